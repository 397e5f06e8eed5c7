"""The start of the desk leads everywhere and says what waits; what is new has a sentence on what it is for."""

from __future__ import annotations

import pytest

from desk.answering import files
from mothermold.desk.starting import STARTED
from serve.desk_rooms.sitting_down import Desk
from serve.desk_rooms.test_save import some_material

WAYS = ("I made one", "It went wrong", "Next version, because of this", "Something new")


def test_the_four_ways_stand_first_and_say_what_they_are_for(desk: Desk) -> None:
    desk.go("desk/")
    for way, (_where, said) in zip(WAYS, desk.read.links[:4], strict=True):
        assert said.startswith(way)


def test_it_says_what_waits_and_writes_nothing(desk: Desk) -> None:
    assert "nothing changed since the last save" in desk.go("desk/").text
    path = desk.book / some_material(desk.book)
    path.write_text(path.read_text(encoding="utf-8") + "density: much\n", encoding="utf-8")
    (desk.book / "inbox").mkdir()
    (desk.book / "inbox/run.yaml").write_text("id: r-1\n", encoding="utf-8")
    before = files(desk.book)
    desk.go("desk/")
    assert "1 file is not saved yet" in desk.text
    assert "1 file waits" in desk.text
    assert "1 error" in desk.text
    assert files(desk.book) == before


def test_everything_that_can_be_begun_is_there(desk: Desk) -> None:
    desk.go("desk/").follow("Something new")
    led = {where.rpartition("/")[2] for where, _ in desk.read.links}
    assert set(STARTED) <= led


@pytest.mark.parametrize("address", ["desk/something/x", "desk/save/x", "desk/undo/x", "desk/inbox/x"])
def test_below_the_rooms_lies_nothing(desk: Desk, address: str) -> None:
    assert not desk.is_there(address)


def test_where_nothing_is_written_a_form_is_refused(desk: Desk) -> None:
    before = files(desk.book)
    desk.send("desk/something", (("title", "x"),))
    assert desk.said == "Nothing is written here."
    assert files(desk.book) == before
