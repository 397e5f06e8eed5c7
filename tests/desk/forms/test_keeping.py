"""What was sent is written, and never over what somebody else wrote meanwhile: then all three texts are shown, field by field."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from campaigns.seeds import seeds
from desk.forms.as_sent import another, as_sent
from mothermold.desk.forms.form import NAME
from mothermold.desk.forms.keeping import Conflict, keep
from mothermold.desk.forms.making import form_of, new_form
from mothermold.desk.forms.sending import sent
from mothermold.ground.errors import RefusedError
from mothermold.model.walk import KeyPath
from mothermold.view.view import View, open_view

FILE = "recipes/cast/piece.yaml"
TEXT = (
    "title: A   # said\nstage: cast\nversion: 1\nstatus: draft\nneeds: [x, y]\nsteps:\n"
    "  # of a\n  - id: a\n    title: Pour\n  - id: b\n    title: Open   # beside\n"
)


@pytest.fixture
def book(good_book: Path) -> View:
    (good_book / FILE).write_text(TEXT, encoding="utf-8")
    return open_view(good_book, "private")


def conflict(book: View, typed: dict[KeyPath, Any], there: str) -> Conflict:
    form = form_of(book, "recipe", "cast/piece")
    found = sent(book, form, as_sent(form, typed))
    (book.root / FILE).write_text(there, encoding="utf-8")
    held = keep(book, form, found)
    assert held is not None
    assert (book.root / FILE).read_text(encoding="utf-8") == there
    return held


def merged(book: View, held: Conflict, mine: list[KeyPath] | None = None) -> str:
    assert held.now is not None
    found = sent(open_view(book.root, "private"), held.now, held.pairs(mine))
    assert keep(book, held.now, found) is None
    return (book.root / FILE).read_text(encoding="utf-8")


def test_what_was_sent_stands_in_the_file(book: View) -> None:
    form = form_of(book, "recipe", "cast/piece")
    found = sent(book, form, as_sent(form, {("title",): "B"}))
    assert keep(book, form, found) is None
    assert (book.root / FILE).read_text(encoding="utf-8") == TEXT.replace("title: A", "title: B")


def test_nothing_is_written_where_nothing_changed(book: View) -> None:
    form = form_of(book, "recipe", "cast/piece")
    before = (book.root / FILE).stat().st_mtime_ns
    assert keep(book, form, sent(book, form, as_sent(form))) is None
    assert (book.root / FILE).stat().st_mtime_ns == before


def test_what_cannot_stand_is_never_written(book: View) -> None:
    form = form_of(book, "recipe", "cast/piece")
    with pytest.raises(RefusedError):
        keep(book, form, sent(book, form, as_sent(form, {("version",): "one"})))
    assert (book.root / FILE).read_text(encoding="utf-8") == TEXT


def test_a_new_document_does_not_take_the_name_of_another(book: View) -> None:
    form = new_form(book, "material")
    found = sent(book, form, as_sent(form, {NAME: "own-gel", ("title",): "Gel", ("families",): ["wax"]}))
    (book.root / found.file).write_text("title: Other\nfamilies: wax\n", encoding="utf-8")
    with pytest.raises(RefusedError):
        keep(book, form, found)
    assert (book.root / found.file).read_text(encoding="utf-8") == "title: Other\nfamilies: wax\n"


def test_the_same_field_changed_on_both_sides_is_shown_with_all_three_texts(book: View) -> None:
    held = conflict(
        book, {("title",): "Mine", ("steps", 1, "title"): "Lift"}, TEXT.replace("title: A", "title: Theirs")
    )
    told = {row.path: (row.opened, row.there, row.typed, row.both) for row in held.rows}
    assert told == {
        ("title",): ("A", "Theirs", "Mine", True),
        ("steps", 1, "title"): ("Open", "Open", "Lift", False),
    }
    assert [row.label for row in held.rows] == ["What it makes", "Steps, b, What is done"]
    # What only one changed goes in by itself, what both did is chosen.
    assert held.pairs() == [(("steps", 1, "title"), "Lift")]
    after = TEXT.replace("title: A", "title: Theirs").replace("Open ", "Lift ")
    assert merged(book, held) == after


def test_what_is_chosen_is_written_into_the_file_as_it_is_now(book: View) -> None:
    there = TEXT.replace("title: A", "title: Theirs").replace("[x, y]", "[x, y, z]")
    held = conflict(book, {("title",): "Mine"}, there)
    assert merged(book, held, [("title",)]) == there.replace("Theirs", "Mine")


def test_an_entry_is_known_by_its_name_wherever_it_stands_now(book: View) -> None:
    there = TEXT.replace("  # of a\n", "  - id: first\n    title: Wash\n  # of a\n")
    held = conflict(book, {("steps", 1, "title"): "Lift"}, there)
    assert (("steps", 2, "title"), "Lift") in held.pairs()
    assert merged(book, held) == there.replace("Open ", "Lift ")


def test_an_entry_that_came_and_one_that_went_are_kept_so(book: View) -> None:
    typed = {("steps",): ["0", "+1"], ("steps", "+1", "title"): "Wash"}
    there = TEXT.replace("title: A", "title: Theirs")
    held = conflict(book, typed, there)
    assert merged(book, held) == there.partition("  - id: b")[0] + "  - id: wash\n    title: Wash\n"


def test_another_order_is_kept_so(book: View) -> None:
    there = TEXT.replace("title: A", "title: Theirs")
    held = conflict(book, {("steps",): ["1", "0"]}, there)
    assert held.pairs() == [(("steps",), ""), (("steps",), "1"), (("steps",), "0")]
    after = merged(book, held)
    assert after.index("id: b") < after.index("# of a") < after.index("id: a")


def test_a_file_that_is_gone_or_broken_is_never_written_again(book: View) -> None:
    held = conflict(book, {("title",): "Mine"}, "title: [a\n")
    assert (held.rows, held.now) == ((), None)
    form = form_of(book, "recipe", "cast/piece", TEXT)
    found = sent(book, form, as_sent(form, {("title",): "Mine"}))
    (book.root / FILE).unlink()
    assert keep(book, form, found) == Conflict((), None)
    assert not (book.root / FILE).exists()


@pytest.mark.parametrize("seed", seeds(4, 40))
def test_two_who_change_other_fields_lose_nothing(seed: int, view: View, own_sample_book: Path) -> None:
    rng = random.Random(seed)
    shelf = sorted(view.documents.every(), key=lambda document: document.file)
    while True:
        document = rng.choice(shelf)
        form = form_of(view, document.kind, document.address)
        chosen = [
            (each.path, said)
            for each in form.fields
            if (said := another(each, form, rng)) and each.kind in ("text", "day", "amount")
        ]
        if len(chosen) < 2:
            continue
        (one, mine), (other, theirs) = rng.sample(chosen, 2)
        first, second = (sent(view, form, as_sent(form, {path: said})) for path, said in ((one, mine), (other, theirs)))
        both = sent(view, form, as_sent(form, {one: mine, other: theirs}))
        if first.text and second.text and both.text:
            break
    own = open_view(own_sample_book, "private")
    assert keep(own, form, second) is None
    held = keep(own, form, first)
    assert held is not None
    assert held.now is not None
    again = sent(open_view(own_sample_book, "private"), held.now, held.pairs())
    assert again.typed == both.text, (form.file, one, other)
