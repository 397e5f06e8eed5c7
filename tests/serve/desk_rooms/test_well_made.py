"""Every page of the rooms is well made: each field has a label, no id stands twice, no form of a room sends itself elsewhere."""

from __future__ import annotations

from urllib.parse import unquote, urljoin

import pytest

from mothermold.serve.desk_rooms.table import ROOMS
from serve.browsing import Read
from serve.desk_rooms.sitting_down import HOST, Desk
from serve.desk_rooms.test_save import some_material

PAGES = (
    "desk/", "desk/save", "desk/undo", "desk/inbox", "desk/something", "desk/made", "desk/made?recipe=cast/nose-piece%404", "desk/wrong",
    "desk/wrong?words=catalyst+in+my+eye+and+it+tore+at+the+nostril", "desk/next", "desk/next/cast/nose-piece",
    "desk/locking/cast/nose-piece", "desk/editions", "desk/editions/recipe/cast/nose-piece", "desk/editions/material/isopropanol-99",
    "desk/emergency", "desk/done?file=recipes/cast/nose-piece.yaml&from=desk/recipe/cast/nose-piece",
    "desk/done?file=recipes/failures/cracked-mold.yaml&from=desk/new/failure",
)  # fmt: skip


@pytest.fixture
def busy(desk: Desk) -> Desk:
    """A desk at which something waits everywhere."""
    path = desk.book / some_material(desk.book)
    path.write_text(path.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    (desk.book / "inbox").mkdir()
    (desk.book / "inbox/run.yaml").write_text("id: r-1\nstarted: 2026-05-20 14:32\n", encoding="utf-8")
    return desk


def test_every_page_is_well_made_and_leads_to_rooms_that_are_there(busy: Desk) -> None:
    rooms: set[str] = set()
    for address in PAGES:
        busy.go(address)
        read = Read(busy.page.body)
        assert read.faults() == [], address
        assert read.tags["h1"] == 1, address
        for form in busy.read.forms:
            where = urljoin(HOST + busy.here.partition("?")[0], form.action).removeprefix(HOST)
            assert where.partition("?")[0].split("/")[1] in ROOMS, f"{address} sends to {where}"
        for link, words in busy.read.links:
            where = unquote(urljoin(HOST + busy.here.partition("?")[0], link).removeprefix(HOST)).partition("?")[0]
            assert words.strip(), f"{address} has a link without words"
            if where.startswith("desk/"):
                rooms.add(where.split("/")[1].partition("#")[0])
    assert rooms <= set(ROOMS)
    assert {
        "save",
        "undo",
        "inbox",
        "made",
        "wrong",
        "next",
        "something",
        "editions",
        "emergency",
        "book",
        "new",
    } <= rooms
