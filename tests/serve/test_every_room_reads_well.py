"""Every room of the desk and of a phone reads well: no rule of accessibility is broken, and nothing scrolls sideways.

The rooms come from their tables, so a new one is looked at by itself. Where a room shows more than its first page, or shows
nothing without being asked for something, what is asked stands in ``ASKED``.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, Page, expect

from browser import THEMES, Watched, breaches, too_wide
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.paper import DESK, SEND
from mothermold.pages.desk.write_here import AT_DESK, TO_SEND
from mothermold.serve.desk_rooms.document import DocumentRoom
from mothermold.serve.desk_rooms.table import ROOMS, DeskRooms
from mothermold.serve.inbox import Inbox
from mothermold.serve.living import LivingPages
from mothermold.serve.rooms import Holdings
from mothermold.serve.send_rooms.table import send_rooms
from mothermold.view.view import open_view
from serve.callers import come_in

BROKEN: Final = "recipes/materials/broken.yaml"
DRAFTED: Final = "recipes/cast/face-piece.yaml"
ASKED: Final[Mapping[str, Sequence[str]]] = {
    "desk/done": ["?file=recipes/failures/wrinkled-edge.yaml&from=desk/new/failure"],
    "desk/editions": ["", "/recipe/cast/face-piece"],
    "desk/locking": ["/cast/face-piece"],
    "desk/made": ["", "?recipe=cast/face-piece@4"],
    "desk/next": ["", "?because=failure/wrinkled-edge"],
    "desk/new": ["/failure"],
    "desk/photo": ["", "?to=recipe/cast/face-piece"],
    "desk/wrong": ["", "?words=torn+edge", "?words=it+burns+in+my+eye"],
    "send/made": ["", "?recipe=cast/face-piece@4"],
    "send/note": ["?words=torn+edge"],
    "send/photo": ["", "?to=recipe/cast/face-piece"],
    "send/sent": ["?what=run"],
    "send/wrong": ["", "?words=torn+edge"],
}
"""Behind a room's address, what is asked there; a room that stands here with nothing is asked as it lies."""
NOTE: Final = "title: Torn edge\nseen_at: cast\nsymptoms: [gone at the lip]\n"


@pytest.fixture(scope="module")
def book(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample book with something unsaved, something broken, and something in the inbox."""
    book = Path(shutil.copytree(sample_book, tmp_path_factory.mktemp("rooms") / "book"))
    (book / BROKEN).write_text("title: [Gel\nfamilies: x\n", "utf-8")
    text = (book / DRAFTED).read_text("utf-8")
    (book / DRAFTED).write_text(text.replace("version: 4\nstatus: locked", "version: 5\nstatus: draft"), "utf-8")
    (book / "inbox").mkdir(exist_ok=True)
    (book / "inbox/wrinkled-edge.yaml").write_text(NOTE, "utf-8")
    (book / "inbox/seam-lifts.yaml").write_text(NOTE.replace("Torn", "Lifted"), "utf-8")
    (book / "inbox/nothing.yaml").write_text("title: Nothing\n", "utf-8")
    return book


@pytest.fixture(scope="module")
def desk(chromium: Browser, book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    pages = LivingPages(book, "private", tmp_path_factory.mktemp("around"), lambda _said: None, writes=AT_DESK)
    holdings = Holdings(pages, pages.news, desk=DeskRooms(pages.view, pages.hang_form))
    with come_in(chromium, holdings, alone=True) as seen:
        yield seen


@pytest.fixture(scope="module")
def phone(chromium: Browser, book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    inbox = Inbox(book)
    pages = LivingPages(book, "private", tmp_path_factory.mktemp("around"), lambda _said: None, writes=TO_SEND)
    sends = DeskRooms(pages.view, pages.hang_form, send_rooms(inbox, lambda _said: None), SEND)
    with come_in(chromium, Holdings(pages, pages.news, inbox, sends=sends)) as seen:
        yield seen


def rooms(table: Mapping[str, object], start: str) -> list[str]:
    """The addresses of all rooms of a table, but the forms of documents: those are gone through kind by kind."""
    found = [f"{start}{name}" for name, room in table.items() if not isinstance(room, DocumentRoom)]
    return [each + behind for each in found for behind in ASKED.get(each, [""])]


def faults(page: Page) -> list[str]:
    """What is wrong with a page on a narrow phone in daylight, and on a wide screen in the dark."""
    found = []
    for width, theme in zip((320, 1280), THEMES, strict=True):
        page.set_viewport_size({"width": width, "height": 800})
        # High enough that nothing lies under the bar.
        tall: int = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": width, "height": tall + 100})
        page.emulate_media(color_scheme=theme)
        found += [f"{width}, {theme}: {each}" for each in (*breaches(page), *too_wide(page))]
    return found


def looked_at(seen: Watched, address: str) -> list[str]:
    answer = seen.page.goto(f"{seen.home}{address}")
    assert answer is not None
    return (
        faults(seen.page) if answer.status == 200 else [f"nothing lies there ({answer.status}): say in ASKED what is"]
    )


def test_every_room_of_the_desk_reads_well(desk: Watched) -> None:
    assert {at: found for at in rooms(ROOMS, DESK) if (found := looked_at(desk, at))} == {}
    assert desk.told() == []


def test_every_room_of_a_phone_reads_well(phone: Watched, book: Path) -> None:
    table = send_rooms(Inbox(book), lambda _said: None)
    assert {at: found for at in rooms(table, SEND) if (found := looked_at(phone, at))} == {}
    assert phone.told() == []


@pytest.mark.campaign
def test_the_form_of_every_kind_reads_well(desk: Watched, book: Path) -> None:
    view = open_view(book, "private")
    first = [f"desk/{kind}/{name}" for kind in KINDS for name in [min(view.on(kind), default="")] if name]
    every = [*first, *(f"desk/new/{kind}" for kind in KINDS if KINDS[kind].plural)]
    assert {at: found for at in every if (found := looked_at(desk, at))} == {}


def test_what_is_refused_reads_well_beside_its_field(desk: Watched) -> None:
    page = desk.page
    desk.open("desk/made?recipe=cast/face-piece@4")
    page.get_by_label("When it began").fill("at noon-ish")
    page.get_by_role("button", name="Write it into the book").click()
    expect(page.locator(".told.error").first).to_be_visible()
    assert faults(page) == []
    desk.open("desk/new/failure")
    page.get_by_role("button", name="Write it into the book").click()
    expect(page.locator(".stops")).to_be_visible()
    assert faults(page) == []


def test_the_choice_between_two_texts_reads_well(desk: Watched, book: Path) -> None:
    page, file = desk.page, book / "recipes/failures/wrinkled-edge.yaml"
    text = file.read_text("utf-8")
    desk.open("desk/failure/wrinkled-edge")
    page.get_by_label("What happened").first.fill("Mine")
    title = next(line for line in text.split("\n") if line.startswith("title:"))
    file.write_text(text.replace(title, "title: Theirs"), "utf-8")
    page.get_by_role("button", name="Write it into the book").click()
    expect(page.locator(".conflict").first).to_be_visible()
    assert faults(page) == []
    file.write_text(text, "utf-8")


def test_the_text_of_a_broken_file_reads_well(desk: Watched) -> None:
    page = desk.page
    desk.open("desk/material/broken")
    expect(page.locator("#text")).to_be_visible()
    expect(page.locator(".lines").first).to_be_visible()
    assert faults(page) == []
