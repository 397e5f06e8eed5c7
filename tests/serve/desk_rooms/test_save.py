"""The book is saved from a page by the same door as from the terminal, and what stops it is told as there."""

from __future__ import annotations

import random
import subprocess
from pathlib import Path

import pytest

from campaigns.seeds import seeds
from desk.answering import files
from mothermold.desk.founding import found_book
from serve.desk_rooms.sitting_down import Desk

RECIPE = "recipes/cast/nose-piece.yaml"
MATERIAL = "recipes/materials/baby-powder.yaml"
HOSTILE = "<img src=x onerror=alert(1)>\"'&"


def saves(book: Path) -> list[str]:
    """The first lines of all saves, the newest first."""
    told = subprocess.run(["git", "log", "--format=%s"], cwd=book, check=True, capture_output=True, text=True)
    return told.stdout.splitlines()


def change(book: Path, file: str, old: str, new: str) -> None:
    text = (book / file).read_text(encoding="utf-8")
    assert old in text
    (book / file).write_text(text.replace(old, new, 1), encoding="utf-8")


def some_material(book: Path) -> str:
    return next(path for path in sorted((book / "recipes/materials").iterdir())).relative_to(book).as_posix()


def test_where_nothing_changed_it_says_so_and_offers_no_button(desk: Desk) -> None:
    desk.go("desk/save")
    assert "Nothing changed since the last save." in desk.text
    assert desk.read.forms == []


def test_what_changed_stands_there_with_the_message_and_is_saved_with_the_reason(desk: Desk) -> None:
    file, before = some_material(desk.book), saves(desk.book)
    (desk.book / file).write_text((desk.book / file).read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    looked = files(desk.book)
    desk.go("desk/save")
    assert file in desk.text
    assert "Material changed" in desk.text
    assert files(desk.book) == looked, "looking wrote something"
    desk.press("Look at it again", {"why": "It came in a new bottle."})
    assert "It came in a new bottle." in desk.text
    assert saves(desk.book) == before
    desk.press("Save", {"why": "It came in a new bottle."})
    assert desk.page.title == "Saved"
    assert saves(desk.book) == ["It came in a new bottle.", *before]
    assert "Saved: It came in a new bottle." in desk.text
    assert "Nothing changed" in desk.go("desk/save").text


def test_sent_a_second_time_nothing_more_is_saved(desk: Desk) -> None:
    file = some_material(desk.book)
    (desk.book / file).write_text((desk.book / file).read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    desk.go("desk/save")
    pairs = desk.read.forms[0].sent({"why": "Once."}, "Save")
    desk.send("desk/save", pairs)
    once = saves(desk.book)
    desk.send("desk/save", pairs)
    assert saves(desk.book) == once
    assert "Nothing changed" in desk.text


def test_a_locked_recipe_that_changed_wants_a_reason_and_becomes_the_next_version(desk: Desk) -> None:
    before = saves(desk.book)
    change(desk.book, RECIPE, "batch: 40 ml", "batch: 45 ml")
    desk.go("desk/save")
    assert "is locked, and what it says was changed since it was saved" in desk.text
    assert "a new version needs one" in desk.text
    desk.press("Save", {"why": ""})
    assert "becomes version" in desk.said
    assert "and nothing says why" in desk.said
    assert desk.said.replace("`", "") in desk.text
    assert saves(desk.book) == before
    desk.press("Save", {"why": "It was hurried."})
    assert len(saves(desk.book)) == len(before) + 1
    assert "what version" in desk.text
    assert "It was hurried." in (desk.book / RECIPE).read_text(encoding="utf-8")


def test_a_slip_of_the_pen_keeps_its_number(desk: Desk) -> None:
    change(desk.book, RECIPE, "batch: 40 ml", "batch: 45 ml")
    number = [line for line in (desk.book / RECIPE).read_text().splitlines() if line.startswith("version:")]
    desk.go("desk/save").press("Save", {"keep_number": "yes"})
    assert desk.page.title == "Saved", desk.said
    assert [line for line in (desk.book / RECIPE).read_text().splitlines() if line.startswith("version:")] == number


def test_an_error_stops_it_with_a_link_to_its_form_and_goes_in_only_where_that_was_ticked(desk: Desk) -> None:
    file, before = some_material(desk.book), saves(desk.book)
    (desk.book / file).write_text((desk.book / file).read_text(encoding="utf-8") + "density: much\n", encoding="utf-8")
    desk.go("desk/save")
    assert "What stops the save" in desk.text
    name = Path(file).stem
    assert any(where.endswith(f"desk/material/{name}") for where, _ in desk.read.links)
    desk.press("Save", {"why": "As it is."})
    assert "Nothing was saved, because the book would have errors from this save on." in desk.said
    assert saves(desk.book) == before
    desk.press("Save", {"why": "As it is.", "with_errors": "yes"})
    assert saves(desk.book) == ["As it is.", *before]


def test_what_was_changed_since_the_page_was_made_is_not_saved_unseen(desk: Desk) -> None:
    file, before = some_material(desk.book), saves(desk.book)
    path = desk.book / file
    path.write_text(path.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    desk.go("desk/save")
    path.write_text(path.read_text(encoding="utf-8") + "# and more\n", encoding="utf-8")
    desk.press("Save", {"why": "Blind."})
    assert "changed since this page was made" in desk.said
    assert saves(desk.book) == before
    assert desk.controls["why"].value == "Blind."
    desk.press("Save")
    assert saves(desk.book) == ["Blind.", *before]


def test_hostile_words_are_words(desk: Desk) -> None:
    file = some_material(desk.book)
    (desk.book / file).write_text((desk.book / file).read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    desk.go("desk/save").press("Look at it again", {"why": HOSTILE})
    assert desk.controls["why"].value == HOSTILE
    assert "img" not in desk.read.tags
    desk.press("Save", {"why": HOSTILE})
    assert "img" not in desk.read.tags
    assert HOSTILE in desk.text


_PIECE = "recipes/cast/piece.yaml"
_TEXT = (
    "title: A   # said\nstage: cast\nversion: 1\nstatus: draft\nneeds: [x, y]\nsteps:\n"
    "  # of a\n  - id: a\n    title: Pour\n  - id: b\n    title: Open   # beside\n"
)


@pytest.mark.parametrize("seed", seeds(3, 200))
def test_two_tabs_an_editor_and_a_save_in_any_order_lose_nothing_and_keep_what_stood(seed: int, tmp_path: Path) -> None:
    rng, book = random.Random(seed), tmp_path / "book"
    found_book(book)
    (book / "recipes/cast").mkdir(exist_ok=True)
    (book / _PIECE).write_text(_TEXT, "utf-8")
    Desk(book).go("desk/save").press("Save", {"why": "The first."})
    address = "desk/recipe/cast/piece"
    tabs = {who: Desk(book).go(address) for who in ("one", "other")}
    saver, said, expected = Desk(book).go("desk/save"), {"one": "Pour", "other": "Open ", "editor": "[x, y]"}, _TEXT
    for number, who in enumerate(rng.choices([*said, "save"], k=8)):
        mine = f"{who}{number}"
        if who == "save":
            before = saves(book)
            if rng.random() < 0.7:
                saver.go("desk/save")
            if saver.read.forms:
                saver.press("Save", {"why": mine})
            # Either all of it was saved as it stood, or, where it changed since the page was made, nothing.
            if saves(book) != before:
                assert saves(book) == [mine, *before]
                assert subprocess.check_output(["git", "show", f"HEAD:{_PIECE}"], cwd=book, text=True) == expected
            saver.go("desk/save")
        elif who == "editor":
            new = f"[x, y, {mine}]"
            (book / _PIECE).write_text(expected := expected.replace(said[who], new), "utf-8")
            said[who] = new
        else:
            new = f"{mine} " if who == "other" else mine
            desk = tabs[who].press("Write it", {f"steps.{int(who == 'other')}.title": mine})
            if desk.title != "It stands in the book":
                # Somebody else changed another field meanwhile: what each changed is chosen beforehand.
                desk.press_value("choose")
            expected, said[who] = expected.replace(f"title: {said[who]}", f"title: {new}"), new
            tabs[who] = Desk(book).go(address)
        assert (book / _PIECE).read_text("utf-8") == expected, (number, who)
