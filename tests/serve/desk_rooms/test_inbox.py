"""What the phone brought is taken or left, run by run; what cannot come in keeps nothing else out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from desk.answering import files
from desk.test_bringing import HALF, ID, PLACE, WHOLE
from desk.test_bringing import book as book  # noqa: PLC0414 - the book with a build of its own
from desk.test_bringing_notes import GEL, LOT, NOTE
from mothermold.desk import bringing_photos
from mothermold.ground.errors import CannotRunError
from mothermold.view.view import open_view
from serve.desk_rooms.sitting_down import Desk


@pytest.fixture
def desk(book: Path) -> Desk:
    return Desk(book)


def wait(desk: Desk, text: str, name: str = f"{ID}.yaml") -> Path:
    path = desk.book / "inbox" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_an_empty_inbox_says_so(desk: Desk) -> None:
    assert "The inbox is empty." in desk.go("desk/inbox").text
    assert desk.read.forms == []


def test_a_run_stands_there_with_its_words_and_is_taken(desk: Desk) -> None:
    path = wait(desk, WHOLE)
    before = files(desk.book)
    desk.go("desk/inbox")
    assert "2026-05-20 14:32; good; in cheek-mold-1" in desk.text
    assert "in two lifts" in desk.text
    assert files(desk.book) == before, "looking wrote something"
    desk.press("Take in")
    assert "is new in the book" in desk.text
    assert (desk.book / PLACE).read_text() == WHOLE
    assert not path.exists()
    assert "The inbox is empty now." in desk.text


def test_a_failure_note_and_a_lot_stand_there_with_their_words_and_are_taken(desk: Desk) -> None:
    wait(desk, NOTE.replace("Seam", "<b>Seam"), "seam-lifts.yaml")
    wait(desk, LOT, "lot-1.yaml")
    before = files(desk.book)
    desk.go("desk/inbox")
    assert "<b>Seam lifts at the heel" in desk.text
    assert "failure note; at cast; seam: lifts # at the heel seam-lifts.yaml" in desk.text
    assert "gel-silicone-a, lot 26F9" in desk.text
    assert "lot; got 2026-05-19; use by 2027-02-01 lot-1.yaml" in desk.text
    assert files(desk.book) == before, "looking wrote something"
    desk.press("Take in")
    assert "<b>Seam lifts at the heel is new in the book" in desk.text
    assert "gel-silicone-a, lot 26F9 stands with its material now" in desk.text
    assert "The inbox is empty now." in desk.text
    assert (desk.book / "recipes/failures/seam-lifts.yaml").exists()
    assert "26F9" in (desk.book / GEL).read_text()
    forms = [where for where, words in desk.read.links if words == "Open its form"]
    assert forms == ["../desk/material/gel-silicone-a", "../desk/failure/seam-lifts"]


def test_a_note_whose_name_is_taken_waits_and_a_lot_that_differs_comes_in_where_that_was_ticked(desk: Desk) -> None:
    note = wait(desk, NOTE, "torn-edge.yaml")
    wait(desk, LOT, "lot-1.yaml")
    desk.go("desk/inbox")
    assert "The book has a note called torn-edge." in desk.text
    desk.press("Take in")
    assert note.exists()
    wait(desk, LOT.replace("05-19", "05-18"), "lot-1.yaml")
    desk.go("desk/inbox")
    assert "The book has this lot. At lot 26F9, got it says 2026-05-19, the file 2026-05-18." in desk.text
    assert not desk.controls["take"].sent
    desk.press("Take in", {"take": ["lot-1.yaml"]})
    assert "2026-05-18" in (desk.book / GEL).read_text()


def test_a_note_whose_name_is_taken_comes_in_under_another_one(desk: Desk) -> None:
    path, there = wait(desk, NOTE, "torn-edge.yaml"), (desk.book / "recipes/failures/torn-edge.yaml").read_text()
    desk.go("desk/inbox")
    assert desk.controls["called.torn-edge.yaml"].value == "torn-edge-2"
    desk.press("Take in", {"way.torn-edge.yaml": ["other"], "called.torn-edge.yaml": "Heel seam"})
    assert "is new in the book" in desk.text
    assert (desk.book / "recipes/failures/heel-seam.yaml").read_text() == NOTE
    assert (desk.book / "recipes/failures/torn-edge.yaml").read_text() == there
    assert not path.exists()


def test_another_name_that_is_taken_too_is_asked_for_again(desk: Desk) -> None:
    path = wait(desk, NOTE, "torn-edge.yaml")
    desk.go("desk/inbox").press("Take in", {"way.torn-edge.yaml": ["other"], "called.torn-edge.yaml": "air-at-cheek"})
    assert "could not come in" in desk.text
    assert path.exists()


def test_a_note_that_is_one_of_the_book_adds_what_is_new_in_it_and_touches_no_other_line(desk: Desk) -> None:
    file = desk.book / "recipes/failures/torn-edge.yaml"
    before = file.read_text()
    path = wait(
        desk, NOTE.replace("cosmetic", "piece lost") + "now: [Stop.]\nhappened: It went again.\n", "torn-edge.yaml"
    )
    desk.go("desk/inbox")
    assert ("../desk/failure/torn-edge", "Open it") in desk.read.links
    desk.press("Take in", {"way.torn-edge.yaml": ["same"]})
    assert "says more in the book now" in desk.text
    assert "Left out: harm: piece lost." in desk.text
    added = set(file.read_text().split("\n")) - set(before.split("\n"))
    assert {each.strip() for each in added} == {
        "- Seam lifts at the heel", '- "seam: lifts # at the heel"', "- Stop.", "happened: It went again.",
    }  # fmt: skip
    assert all(line in file.read_text().split("\n") for line in before.split("\n"))
    assert not path.exists()


def test_a_lot_whose_number_is_taken_comes_in_under_its_own(desk: Desk) -> None:
    wait(desk, LOT, "lot-1.yaml")
    desk.go("desk/inbox").press("Take in")
    wait(desk, LOT.replace("05-19", "05-18"), "lot-1.yaml")
    desk.go("desk/inbox").press("Take in", {"called.lot-1.yaml": "26F9-b"})
    lots = desk_lots(desk)
    assert [(each["lot"], each["got"]) for each in lots[-2:]] == [("26F9", "2026-05-19"), ("26F9-b", "2026-05-18")]


def desk_lots(desk: Desk) -> list[dict[str, str]]:
    raw: Any = open_view(desk.book, "private").on("material")["gel-silicone-a"].raw
    return list(raw["lots"])


def test_what_is_left_stays(desk: Desk) -> None:
    path = wait(desk, WHOLE)
    desk.go("desk/inbox").press("Take in", {"take": []})
    assert "nothing was ticked" in desk.said
    assert path.exists()
    assert not (desk.book / PLACE).exists()


def test_one_that_cannot_come_in_keeps_no_other_out(desk: Desk) -> None:
    wait(desk, WHOLE)
    odd = wait(desk, WHOLE.replace(ID, "r-2026-05-20-cheek-2").replace("cheek@2", "nothing@2"), "odd.yaml")
    desk.go("desk/inbox")
    assert "cannot come in" in desk.text
    desk.press("Take in")
    assert (desk.book / PLACE).exists()
    assert odd.exists()
    assert "1 file lies in the inbox still." in desk.text


def test_one_that_came_half_and_comes_again_says_more(desk: Desk) -> None:
    wait(desk, HALF)
    desk.go("desk/inbox").press("Take in")
    wait(desk, WHOLE)
    assert "says more now" in desk.go("desk/inbox").text
    desk.press("Take in")
    assert (desk.book / PLACE).read_text() == WHOLE


def test_where_the_book_says_otherwise_it_comes_in_only_where_that_was_ticked(desk: Desk) -> None:
    wait(desk, WHOLE)
    desk.go("desk/inbox").press("Take in")
    other = WHOLE.replace("120.5 g", "99 g")
    wait(desk, other)
    desk.go("desk/inbox")
    assert "120.5" in desk.text
    assert not desk.controls["take"].sent
    desk.press("Take in")
    assert (desk.book / PLACE).read_text() == WHOLE
    desk.go("desk/inbox").press("Take in", {"take": [f"{ID}.yaml"]})
    assert (desk.book / PLACE).read_text() == other


def test_a_name_that_does_not_wait_there_is_nothing(desk: Desk) -> None:
    wait(desk, WHOLE)
    desk.go("desk/inbox").send("desk/inbox", (("take", "../recipes/book.yaml"),))
    assert "nothing was ticked" in desk.said


def test_a_build_nobody_has_is_refused_in_the_terminals_words(desk: Desk) -> None:
    wait(desk, WHOLE)
    desk.go("desk/inbox").send("desk/inbox", (("take", f"{ID}.yaml"), ("to", "old-bakery")))
    assert desk.said == "--to: no build is called `old-bakery`."
    assert not (desk.book / PLACE).exists()


def test_hostile_words_are_words(desk: Desk) -> None:
    wait(desk, WHOLE.replace("in two lifts", "<script>alert(1)</script>"), "<b>.yaml")
    desk.go("desk/inbox")
    assert "<script>alert(1)</script>" in desk.text
    assert not {"script", "b"} & set(desk.read.tags)


def test_where_the_disk_refuses_half_way_it_says_what_stands(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    wait(desk, WHOLE)
    other = wait(desk, WHOLE.replace(ID, "r-2026-05-21-cheek-1"), "second.yaml")
    desk.go("desk/inbox")
    written = bringing_photos.write_text

    def full(target: Path, text: str, **how: Any) -> None:
        if "05-21" in target.name:
            raise CannotRunError("No room is left on the disk.")
        written(target, text, **how)

    monkeypatch.setattr(bringing_photos, "write_text", full)
    desk.press("Take in")
    assert desk.said == f"No room is left on the disk. Already in the book: {PLACE}."
    assert (desk.book / PLACE).read_text() == WHOLE
    assert other.exists()
    assert desk.controls["take"].value == "second.yaml"
