"""Whatever is sent to a room gives a page or a sentence, and no room is brought to a standstill."""

from __future__ import annotations

import random
from contextlib import suppress

import pytest

from mothermold.ground.errors import MothermoldError
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.desk_rooms.table import ROOMS
from mothermold.view.view import View, open_view
from serve.desk_rooms.sitting_down import Desk

OURS = ("", "done", "editions", "emergency", "inbox", "locking", "made", "next", "save", "something", "undo", "wrong")
_AT = (
    "",
    "x",
    "cast/nose-piece",
    "recipe/cast/nose-piece",
    "material/isopropanol-99",
    "..",
    "a/b/c/d",
    "<b>",
    "\0",
    "é" * 300,
    "@1",
    "book/book",
)
_NAMES = (
    "recipe", "because", "file", "from", "words", "failure", "run", "harm", "to", "opens", "digest", "look", "tree", "why", "fixes", "what",
    "last", "take", "differs", "started", "mold", "outcome", "finished", "_for", "_what", "_step", "_lots", "_note", "_do", "place",
    "keep_number", "emergency.call", "emergency.x.y", "_weighed.base",
)  # fmt: skip
_TEXTS = (
    "", "cast/nose-piece@4", "cast/nose-piece@0", "cast/nose-piece@99999999999", "run/r-1", "failure/cracked-mold", "cracked-mold", "run/", "/",
    "recipes/cast/nose-piece.yaml", "recipes/../../x", "<script>alert(1)</script>", "'\"&", "\r\n- x: y", "\0", "-1", "1e999", "yesterday",
    "31.12.9999", "public", "class", "yes", "write", "more", "x" * 5000, "{{ view.root }}", "{% x %}", "`mothermold new <b>`", "\ud7ff", "%s",
)  # fmt: skip


@pytest.mark.parametrize("room", OURS)
def test_whatever_is_sent_gives_a_page_or_a_sentence(desk: Desk, room: str) -> None:
    rng = random.Random(f"nasty {room}")
    view: View = open_view(desk.book, "private")
    for _ in range(30):
        typed = tuple((rng.choice(_NAMES), rng.choice(_TEXTS)) for _ in range(rng.randrange(9)))
        visit = Visit(view, rng.choice(_AT), typed, lambda: "", rng.choice(("", "`<b>` is said.")))
        found = ROOMS[room].show(visit)
        assert found is None or ("<script>alert" not in found.body and "<b>" not in found.body), typed
        if room in ("save", "undo"):
            continue
        # Any other exception than the refusal that the door shows would fail here.
        with suppress(MothermoldError):
            done = ROOMS[room].take(visit)
            assert isinstance(done, Page) or done.startswith("desk/")
            view = open_view(desk.book, "private")
