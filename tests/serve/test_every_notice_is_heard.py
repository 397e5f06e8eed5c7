"""What is said of a field is heard at the field by a screen reader, in every room of the desk and of a phone.

The rooms come from their tables: each is shown, every line of its forms is filled with what can stand nowhere, every button is
pressed, and whatever then stands there as told must be named by the field it is about, or be an alert.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from book.photos import jpeg, patches
from mothermold.ground.errors import MothermoldError
from mothermold.pages.desk.paper import DESK, SEND
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import DeskRoom, Visit
from mothermold.serve.desk_rooms.table import ROOMS
from mothermold.serve.forms import Pairs
from mothermold.serve.inbox import Inbox
from mothermold.serve.parts import SentFile
from mothermold.serve.send_rooms.table import send_rooms
from mothermold.view.view import View, open_view
from serve.browsing import Read
from serve.test_every_room_reads_well import rooms

ODD = "18o ml: [noon-ish"
"""What is no amount, no moment and no name."""
EMPTY = frozenset({"input", "br", "img", "meta", "link", "hr", "source"})
"""Tags that hold nothing and are never closed."""
TOLD = {
    DESK: {"desk/made?recipe=cast/face-piece@4", "desk/photo?to=recipe/cast/face-piece", "desk/new/run"},
    SEND: {
        "send/made?recipe=cast/face-piece@4",
        "send/lot",
        "send/note?words=torn+edge",
        "send/photo?to=recipe/cast/face-piece",
    },
}
"""Where something must be told of it, or nothing was shown."""


@dataclass
class Heard(HTMLParser):
    """What is told on a page, and which of it no field names."""

    page: str
    told: list[frozenset[str]] = field(default_factory=list)
    named: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._around: list[str] = []
        self.feed(self.page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        self.named |= set(said.get("aria-describedby", "").split())
        own = "alert" if said.get("role") in ("alert", "status") else said.get("id", "")
        if {"told", "error"} <= set(said.get("class", "").split()):
            self.told.append(frozenset([*self._around, own]))
        if tag not in EMPTY:
            self._around.append(own)

    def handle_endtag(self, tag: str) -> None:
        if tag not in EMPTY:
            self._around.pop()

    @property
    def unheard(self) -> int:
        return sum(not (ids & (self.named | {"alert"})) for ids in self.told)


def pressed(view: View, room: DeskRoom, at: str, asked: Pairs) -> list[Heard]:
    """The pages that come back of a room whose every line says what cannot stand, by its buttons that write or look."""
    shown = room.show(Visit(view, at, asked, lambda: ""))
    if shown is None:
        return []
    read, found = Read(shown.body), []
    lines = {each.name: ODD for each in read.fields if each.tag == "textarea" or each.said.get("type") == "text"}
    lines["material"] = "isopropanol-99"
    pairs = [(each.name, lines.get(each.name, each.value)) for each in read.controls if each.tag != "button"]
    has_photos = "_photo.1" in {name for name, _text in pairs}
    files = (SentFile("_photo.1", "a.jpg", jpeg(patches())), SentFile("_photo.2", "b.jpg", b"no photo"))
    for photos in (files, files[:1]) if has_photos else ((),):
        for do in ("look", "write"):
            with suppress(MothermoldError):
                told = room.take(Visit(view, at, (*asked, *pairs, ("_do", do)), lambda: "", files=photos))
                found += [Heard(told.body)] if isinstance(told, Page) else []
    return found


@pytest.mark.parametrize("start", TOLD)
def test_what_is_said_of_a_field_is_heard_at_it_in_every_room(start: str, sample_book: Path, tmp_path: Path) -> None:
    book = Path(shutil.copytree(sample_book, tmp_path / "book"))
    view = open_view(book, "private")
    table: Mapping[str, DeskRoom] = ROOMS if start == DESK else send_rooms(Inbox(book), lambda _said: None)
    told, unheard = set(), {}
    for address in [*rooms(table, start), *(["desk/new/run"] if start == DESK else [])]:
        path, _, query = address.removeprefix(start).partition("?")
        name, _, at = path.partition("/")
        pages = pressed(view, table[name], at, tuple(parse_qsl(query)))
        told |= {address} if any(page.told for page in pages) else set()
        if count := sum(page.unheard for page in pages):
            unheard[address] = count
    assert unheard == {}
    assert told >= TOLD[start]
