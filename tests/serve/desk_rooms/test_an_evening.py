"""A new user's whole evening at the desk, scripts off: from an empty folder to the next version and a course, no file touched."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Browser

from desk.counting import Counting
from mothermold.desk.founding import found_book
from mothermold.desk.numbering import Wish
from mothermold.desk.saving import save_book
from mothermold.desk.starting import start
from mothermold.model.course import Course
from mothermold.model.failure import Failure
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.view.view import View, open_view
from serve.desk_rooms.in_a_window import Window, opened
from serve.desk_rooms.sitting_down import Desk
from serve.desk_rooms.test_save import saves


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    found_book(tmp_path / "book")
    return Desk(tmp_path / "book")


MATERIALS, RECIPE, LOCKED = "two materials with lots", "a recipe of two mixes", "locked and saved"
MADE, WRONG, NEXT, COURSE = "a run gone wrong", "its failure note", "the next version", "a course, saved"
PARTS = (MATERIALS, RECIPE, LOCKED, MADE, WRONG, NEXT, COURSE)


def begins(who: Desk | Window | Counting, part: str) -> None:
    """From here on all that is done belongs to this part of the evening."""
    if not isinstance(who, Desk):
        who.effort.begin(part)


Typed = dict[str, str | list[str]]


def add(desk: Desk | Window, what: str, under: str, typed: Typed | None = None) -> str:
    """Types, presses the button that adds an entry, and hands back what its fields begin with."""
    before = set(desk.controls)
    desk.press(f"Add a {what}", typed)
    new = sorted(set(desk.controls) - before)
    heads = {".".join(name.split(".")[: len(under.split(".")) + 1]) for name in new if name.startswith(f"{under}.+")}
    assert len(heads) == 1, new
    return heads.pop()


def material(desk: Desk | Window, title: str, family: str, lot: str) -> None:
    row = "lots.+1"
    typed: Typed = {
        "title": title, "families": [family], "density": "1.1 g/ml", f"{row}.lot": lot, f"{row}.opened": "2026-11-20",
        "sds.where": "the red folder",
    }  # fmt: skip
    desk.press("Write it into the book", typed)
    assert "It stands in the book" in desk.text, desk.text


def now(desk: Desk | Window) -> View:
    return open_view(desk.book, "private")


def test_the_evening_goes_with_scripts_off(desk: Desk) -> None:
    the_evening(desk)


def test_the_evening_goes_in_a_browser_in_so_many_answers_and_taps(
    chromium: Browser, tmp_path: Path, desk: Desk
) -> None:
    (tmp_path / "around").mkdir()
    with opened(chromium, desk.book, tmp_path / "around") as window:
        the_evening(window)
    # The first recipe alone takes 53 questions in the terminal.
    assert window.answers < 53
    assert window.taps < 40
    # Every short way in is gone in less than two minutes; two materials are two ways.
    minutes = {part: cost.minutes for part, cost in window.effort.parts.items()} | {MATERIALS: 0}
    assert [part for part, each in minutes.items() if each >= 2] == []
    assert window.effort.parts[MATERIALS].minutes < 4
    assert tuple(window.effort.parts) == PARTS


def test_the_same_evening_at_the_terminal_ends_in_the_same_documents(tmp_path: Path, desk: Desk) -> None:
    found_book(tmp_path / "other")
    who = Counting()
    lines = at_the_terminal(tmp_path / "other", who)
    other = open_view(tmp_path / "other", "private")
    the_end(other)
    # Answers typed, questions passed by Enter, and lines changed in an editor: `campaigns.evening` prints both ways side by side.
    assert (who.answers, who.enters, lines) == (49, 57, 4)
    the_evening(desk)
    assert told(other) == told(now(desk))


def at_the_terminal(book: Path, who: Counting) -> int:
    """The evening in `new` and `save`; how many lines it needs an editor for."""
    lines = 0

    def new(kind: str, *answers: tuple[str, str]) -> None:
        who.left = list(answers)
        who.effort.line(f"mothermold new {kind}", is_answer=False)
        assert start(book, who, kind) is not None
        assert who.left == []

    def save(*answers: tuple[str, str]) -> None:
        who.left = list(answers)
        who.effort.line("mothermold save", is_answer=False)
        save_book(book, Wish(), who, asks=True)
        assert who.left == []

    def edit(before: str, after: str, gone: str, typed: str = "") -> None:
        nonlocal lines
        file = book / "recipes/cast/cheek-in-gel-silicone.yaml"
        who.effort.edit(file.relative_to(book).as_posix(), before.split("\n", maxsplit=1)[0][:8], gone, typed)
        assert before in file.read_text()
        file.write_text(file.read_text().replace(before, after))
        lines += max(before.count("\n"), 1)

    begins(who, MATERIALS)
    for part in "AB":
        new(
            "material", ("What it is", f"Gel silicone, part {part}"), ("family", "platinum-silicone"), ("Density", "1.1 g/ml"),
            ("lot number", f"{part}1"), ("opened", "2026-11-20"), ("safety data", "the red folder"),
        )  # fmt: skip
    begins(who, RECIPE)
    new(
        "recipe", ("stage", "cast"), ("What it makes", "Cheek in gel silicone"),
        ("first mix", "Tinted part A"), ("goes in first", "gel-silicone-part-a"), ("How much", "1"), ("Another mix", "yes"),
        ("next mix", "Gel"), ("goes in first", "gel-silicone-part-b"), ("How much", "1"), ("Then what", "tinted-part-a"),
        ("How much", "1"), ("one pour fills", "50 ml"),
        ("first step", "Tint part A"), ("How it is done", "Stir slowly."),
        ("next step", "Fill the mold"), ("How it is done", "Pour in one thin stream."),
        ("next step", "Open"), ("How it is done", "After four hours."), ("Right?", "no"), ("As what", "fill"),
    )  # fmt: skip
    # The terminal asks on what it is poured, and a finished recipe says what that is made of; the page need not be told.
    begins(who, LOCKED)
    # Two keys delete two lines.
    edit("surfaces:\n  - {id: mold-face}\n", "", "..")
    edit(", on: mold-face", "", ", on: mold-face")
    save(("draft finished", "yes"), ("A word on why", "How I cast the cheek."))
    begins(who, MADE)
    new(
        "run", ("began", "yesterday 14:10"), ("Weighed for Gel", "62 g"), ("How it ended", "scrapped"),
        ("What went wrong", "Sticky at the rim after a night"), ("At which step", "open"), ("Lots used", "gel-silicone-part-a A1"),
    )  # fmt: skip
    begins(who, WRONG)
    new(
        "failure", ("shout", "Sticky at the rim after a night"), ("What happened", "Sticky at the rim after a night"),
        ("to do now", "Wipe it dry, no solvent."), ("worst it can cost", "piece lost"),
    )  # fmt: skip
    begins(who, NEXT)
    edit("{mix: tinted-part-a, parts: 1}", "{mix: tinted-part-a, parts: 0.9}", "1", "0.9")
    save(
        ("Why does", "Sticky at the rim: less of the tinted part."),
        ("Which failures", "sticky-at-the-rim-after-a-night"),
    )
    begins(who, COURSE)
    new("course", ("called", "Casting, winter"), ("versions are taught", "cast/cheek-in-gel-silicone@2"))
    save(("A word on why", "The winter course."))
    return lines


def told(view: View) -> dict[str, object]:
    """What the documents of the evening say, but for what only one of the two ways writes of itself."""
    found: dict[str, object] = {}
    for document in view.documents.every():
        if document.kind == "book":
            continue
        text = re.sub(r"(?m)^(#.*|format: 1|kind: run)\n", "", document.text)
        found[document.file] = yaml.load(text.replace("by: weight", ""), yaml.BaseLoader)
    return found


def the_evening(desk: Desk | Window) -> None:
    """Two materials, a recipe of two mixes, a run gone wrong, its note, the next version, what it changes, a course."""
    begins(desk, MATERIALS)
    desk.go("desk/").follow("Something new").follow("A material")
    material(desk, "Gel silicone, part A", "platinum-silicone", "A1")
    desk.follow("Another material")
    material(desk, "Gel silicone, part B", "platinum-silicone", "B1")
    assert set(now(desk).on("material")) == {"gel-silicone-part-a", "gel-silicone-part-b"}

    begins(desk, RECIPE)
    desk.go("desk/something").follow("A recipe")
    # What is typed goes with the next button: nobody presses one for nothing.
    typed: Typed = {"title": "Cheek in gel silicone", "stage": "cast"}
    # The first mix, its first part and the first step stand ready.
    mix, step = "mixes.+1", "steps.+1"
    for title, fills, parts in (
        ("Tinted part A", "", [{"material": "gel-silicone-part-a"}]),
        ("Gel", "50 ml", [{"material": "gel-silicone-part-b"}, {"mix": "tinted-part-a"}]),
    ):
        if title == "Gel":
            mix, typed = add(desk, "mix", "mixes", typed), {}
        typed |= {f"{mix}.title": title} | ({f"{mix}.fills": fills} if fills else {})
        for number, each in enumerate(parts):
            part = f"{mix}.parts.+1"
            if number:
                part, typed = _add_under(desk, mix, "parts", typed), {}
            typed |= {f"{part}.{key}": said for key, said in each.items()} | {f"{part}.parts": "1"}
    for title, do in (
        ("Tint part A", "Stir slowly."),
        ("Fill the mold", "Pour in one thin stream."),
        ("Open", "After four hours."),
    ):
        if title != "Tint part A":
            step, typed = add(desk, "step", "steps", typed), {}
        typed |= {f"{step}.title": title, f"{step}.do": do}
        if title == "Fill the mold":
            use = _add_under(desk, step, "uses", typed)
            typed = {f"{use}.mix": "gel", f"{use}.as": "fill"}
    desk.press("Write it into the book", typed)
    assert "It stands in the book" in desk.text, desk.text
    recipe = now(desk).models(Recipe)["cast/cheek-in-gel-silicone"]
    assert [len(mix.parts) for mix in recipe.mixes] == [1, 2]
    assert [step.title for step in recipe.steps] == ["Tint part A", "Fill the mold", "Open"]

    begins(desk, LOCKED)
    desk.follow("What it lacks to be locked")
    assert "Nothing is missing." in desk.text, desk.text
    desk.press("Lock it").follow("Save it with a reason").press("Save", {"why": "How I cast the cheek."})
    assert saves(desk.book)[0] == "How I cast the cheek."

    begins(desk, MADE)
    desk.go("desk/").follow("I made one").follow("Cheek in gel silicone")
    desk.press(
        "Write",
        {
            "started": "yesterday 14:10",
            "_weighed.gel": "62",
            "outcome": "scrapped",
            "_what": "Sticky at the rim after a night",
            "_step": "open",
            "_lots": ["gel-silicone-part-a A1"],
        },
    )
    assert "It stands in the book" in desk.text, desk.text

    begins(desk, WRONG)
    desk.follow("Write the failure note")
    desk.press("Write it into the book", {"now": ["Wipe it dry, no solvent."], "harm": "piece lost"})
    assert "Do these runs tell of the same?" in desk.text, desk.text
    desk.press("Yes, this one")
    (note,) = now(desk).models(Failure)
    (run,) = now(desk).models(Run).values()
    assert [str(each.failure) for each in run.went_wrong] == [note]
    assert [str(each) for each in now(desk).models(Failure)[note].noticed] == ["cast/cheek-in-gel-silicone#open"]

    begins(desk, NEXT)
    desk.follow("Next version, because of this")
    assert desk.controls["version"].value == "2"
    assert desk.controls["why"].value == "Sticky at the rim after a night."
    desk.press(
        "What would this change?",
        {"mixes.1.parts.1.parts": "0.9", "why": "Sticky at the rim: less of the tinted part."},
    )
    assert "0.9" in desk.text
    assert now(desk).models(Recipe)["cast/cheek-in-gel-silicone"].version == 1
    desk.press("Write it into the book").follow("What it lacks to be locked").press("Lock it")
    desk.follow("Save it with a reason")
    assert "version 2" in desk.text
    desk.press("Save", {"why": ""})
    assert desk.title == "Saved"
    assert "0.9" in desk.follow("what version 2 changes").text

    begins(desk, COURSE)
    desk.go("desk/something").follow("A course")
    desk.press("Write it into the book", {"title": "Casting, winter", "pins": ["cast/cheek-in-gel-silicone@2"]})
    assert "It stands in the book" in desk.text, desk.text
    desk.follow("Save it with a reason").press("Save", {"why": "The winter course."})
    assert saves(desk.book)[:1] == ["The winter course."]

    the_end(now(desk))
    assert "Nothing changed since the last save." in desk.go("desk/save").text


def the_end(view: View) -> None:
    """What the book holds after the evening, wherever it was told."""
    note = next(iter(view.models(Failure)))
    versions = view.versions("cast/cheek-in-gel-silicone")
    assert versions is not None
    assert [(row.number, row.status) for row in versions.rows] == [(1, "locked"), (2, "locked")]
    assert [str(pin) for course in view.models(Course).values() for pin in course.pins] == [
        "cast/cheek-in-gel-silicone@2"
    ]
    assert [str(each) for each in view.models(Recipe)["cast/cheek-in-gel-silicone"].fixes] == [note]
    assert [str(fix.in_) for fix in view.models(Failure)[note].fixes] == ["cast/cheek-in-gel-silicone@2"]
    assert [each.message for each in view.notices if each.severity == "error"] == []


def _add_under(desk: Desk | Window, entry: str, key: str, typed: Typed) -> str:
    """Types, and adds an entry to a list within an entry."""
    before = set(desk.controls)
    desk.press_value(f"add {entry}.{key}", typed)
    new = [name for name in set(desk.controls) - before if name.startswith(f"{entry}.{key}.")]
    return ".".join(new[0].split(".")[: len(f"{entry}.{key}".split(".")) + 1])
