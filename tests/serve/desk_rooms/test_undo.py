"""A save is taken back from a page and comes back by the same button; a changed file is put back and its text laid aside."""

from __future__ import annotations

from desk.answering import files
from serve.desk_rooms.sitting_down import Desk
from serve.desk_rooms.test_save import saves, some_material


def changed(desk: Desk, words: str = "# seen\n") -> str:
    path = desk.book / some_material(desk.book)
    path.write_text(path.read_text(encoding="utf-8") + words, encoding="utf-8")
    return some_material(desk.book)


def test_a_save_is_taken_back_and_brought_back(desk: Desk) -> None:
    file, before = changed(desk), saves(desk.book)
    with_it = (desk.book / file).read_text()
    desk.go("desk/save").press("Save", {"why": "A look."})
    looked = files(desk.book)
    desk.go("desk/undo")
    assert "The last save was: A look." in desk.text
    assert f"{file}: as it was before" in desk.text
    assert files(desk.book) == looked, "looking wrote something"
    desk.press("Take it back")
    assert saves(desk.book) == ["Withdraw: A look.", "A look.", *before]
    assert (desk.book / file).read_text() + "# seen\n" == with_it
    desk.go("desk/undo").press("Take it back")
    assert saves(desk.book)[0] == "Bring back: A look."
    assert (desk.book / file).read_text() == with_it


def test_sent_a_second_time_it_is_not_taken_back_twice(desk: Desk) -> None:
    changed(desk)
    desk.go("desk/save").press("Save", {"why": "A look."}).go("desk/undo")
    pairs = desk.read.forms[0].sent()
    desk.send("desk/undo", pairs)
    once = saves(desk.book)
    desk.send("desk/undo", pairs)
    assert "Something else was saved since this page was made" in desk.said
    assert saves(desk.book) == once


def test_over_unsaved_changes_it_is_refused_and_they_can_be_put_back_instead(desk: Desk) -> None:
    before = saves(desk.book)
    file = "recipes/builds/reed-cutter/build.yaml"  # of the last save
    saved = (desk.book / file).read_text()
    (desk.book / file).write_text(f"{saved}# seen\n")
    desk.go("desk/undo")
    assert f"Changed since the last save, and not saved: {file}" in desk.text
    assert "Take it back" not in desk.text
    desk.press("Put these back", {"file": []})
    assert desk.said == "No file was chosen, so nothing was put back."
    assert (desk.book / file).read_text() == f"{saved}# seen\n"
    desk.press("Put these back", {"file": [file]})
    assert f"{file} is as it was last saved." in desk.text
    assert (desk.book / file).read_text() == saved
    assert [path.read_text() for path in (desk.book / "set-aside").rglob("*.yaml")] == [f"{saved}# seen\n"]
    assert saves(desk.book) == before


def test_of_two_changed_files_only_the_chosen_one_goes_back(desk: Desk) -> None:
    one = changed(desk)
    other = "recipes/book.yaml"
    (desk.book / other).write_text((desk.book / other).read_text() + "# kept\n")
    desk.go(f"desk/undo?file={one}")
    desk.press("Put these back")
    assert "# seen" not in (desk.book / one).read_text()
    assert "# kept" in (desk.book / other).read_text()
