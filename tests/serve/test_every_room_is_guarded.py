"""Every room of the desk and of a phone takes a form from its own page, once, and nothing else; whatever is refused wrote nothing.

`test_desk_door.py` holds the door by a desk of its own; here the rooms themselves stand behind it, from their tables.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote_plus

import pytest

from desk.answering import files
from mothermold.pages.desk.paper import SEND
from mothermold.serve.desk_rooms.table import ROOMS, DeskRooms
from mothermold.serve.inbox import Inbox
from mothermold.serve.send_rooms.table import send_rooms
from mothermold.view.view import Whole
from serve.callers import Caller, at_work
from serve.test_desk_door import sealed
from serve.test_sending import hung

Pairs = list[tuple[str, str]]
TYPED: Pairs = [("title", "Taken"), ("why", "Taken."), ("file", "recipes/book.yaml"), ("_do", "write")]
REFUSED: dict[str, tuple[dict[str, str], tuple[str, ...], int]] = {
    "a foreign origin": ({"Origin": "http://rebound.test"}, (), 403),
    "no origin": ({}, ("Origin",), 403),
    "another port of this computer": ({"Origin": "http://127.0.0.1:1"}, (), 403),
    "a page elsewhere": ({"Sec-Fetch-Site": "cross-site"}, (), 403),
    "another name of this computer": ({"Host": "rebound.test"}, (), 421),
    "no cookie": ({}, ("Cookie",), 403),
    "a cookie of another start": ({"Cookie": "mothermold_{port}=wrong"}, (), 403),
    "no form": ({"Content-Type": "text/plain"}, (), 415),
}
"""What is said otherwise than a browser at its own page says it, what is left out, and what is answered."""


@contextmanager
def desk_of(book: Path) -> Iterator[tuple[Caller, list[str]]]:
    @contextmanager
    def now():
        yield Whole.open(book).edition("private")

    with at_work(book, alone=True, desk=DeskRooms(now, hung), patience=2) as at:
        yield at, [f"desk/{name}" for name in ROOMS]


@contextmanager
def phone_of(book: Path) -> Iterator[tuple[Caller, list[str]]]:
    @contextmanager
    def now():
        yield Whole.open(book).edition("private")

    def sends(inbox: Inbox, say: Callable[[str], None]) -> DeskRooms:
        return DeskRooms(now, hung, send_rooms(inbox, say), SEND)

    with at_work(book, sends=sends, patience=2) as at:
        yield at, [f"send/{name}" for name in send_rooms(Inbox(book), lambda _said: None)]


def sent(at: Caller, room: str, pairs: Pairs, said: dict[str, str], left: tuple[str, ...] = ()) -> int:
    data = "&".join(f"{quote_plus(name)}={quote_plus(text)}" for name, text in pairs).encode()
    headers = {
        **at.cookie,
        "Origin": at.doors.origin,
        "Content-Type": "application/x-www-form-urlencoded",
        "Content-Length": str(len(data)),
        **{name: text.format(port=at.doors.port) for name, text in said.items()},
    }
    return at.ask("POST", f"/{room}", {name: text for name, text in headers.items() if name not in left}, data)[0]


@pytest.mark.parametrize("served", [desk_of, phone_of], ids=["desk", "phone"])
def test_no_room_takes_what_its_own_page_did_not_send(served: Callable[[Path], object], good_book: Path) -> None:
    with served(good_book) as (at, rooms):  # type: ignore[attr-defined]
        before = files(good_book)
        start = rooms[0].partition("/")[0]
        seal = next(
            found for room in ("save", "lot", "emergency") if (found := sealed(at.get(f"/{start}/{room}")[2])[:2])
        )
        wrong = {}
        for room in rooms:
            for how, (said, left, status) in REFUSED.items():
                if (told := sent(at, room, [*seal, *TYPED], said, left)) != status:
                    wrong[room, how] = told
            for how, pairs, status in (
                ("no token", TYPED, 403),
                ("a token of another start", [("-start", "0" * 64), seal[1], *TYPED], 403),
                ("half a token", [seal[0], *TYPED], 409),
            ):
                if (told := sent(at, room, pairs, {})) != status:
                    wrong[room, how] = told
            for host, cookie, status in (("rebound.test", at.cookie, 421), (at.host, {}, 403)):
                if (told := at.ask("GET", f"/{room}", {"Host": host, **cookie})[0]) != status:
                    wrong[room, f"read as {host}"] = told
        assert wrong == {}
        # Taken once, whatever became of it; what comes again is none.
        room = f"{start}/{'emergency' if start == 'desk' else 'lot'}"
        assert sent(at, room, [*seal, *TYPED], {}) in (200, 303, 409)
        assert {sent(at, room, [*seal, *TYPED], {}) for room in rooms} == {409}
        assert files(good_book) == before
