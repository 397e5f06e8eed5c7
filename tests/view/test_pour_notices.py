"""What a recipe's own numbers say against each other is said by `check`, at its place, in every edition, and once."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
CHEEK = "recipes/cast/cheek.yaml"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def change(book: Path, *changes: tuple[str, str]) -> None:
    text = (book / CHEEK).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (book / CHEEK).write_text(text, encoding="utf-8")


def told(book: Path, edition: Edition = "private") -> list[tuple[str, str, int | None]]:
    codes = {"over-maximum", "pot-life-too-short", "outside-temperature"}
    return [(each.code, each.severity, each.line) for each in open_view(book, edition).notices if each.code in codes]


def line_of(book: Path, words: str) -> int:
    lines = (book / CHEEK).read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, start=1) if words in line)


SHORT = ("{time: 25 min, at: 23 degC, basis: label}", "{time: 18 min, at: 23 degC}")
DRAFT = ("status: locked", "status: draft")


def test_a_good_book_hears_nothing_of_it(book: Path) -> None:
    assert told(book) == []


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_pot_life_that_is_too_short_is_told_where_it_is_written(book: Path, edition: Edition) -> None:
    change(book, SHORT)
    assert told(book, edition) == [("pot-life-too-short", "warning", line_of(book, "pot_life:"))]


def test_a_draft_hears_it_too_and_a_retired_recipe_does_not(book: Path) -> None:
    change(book, SHORT, DRAFT)
    assert [code for code, _, _ in told(book)] == ["pot-life-too-short"]
    change(book, ("status: draft", "status: retired"))
    assert told(book) == []


def test_above_the_makers_maximum_is_told_of_the_whole_mix(book: Path) -> None:
    change(book, ("percent: 120,", "percent: 510,"), ("parts: 220}", "parts: 610}"))
    assert told(book) == [("over-maximum", "warning", line_of(book, "id: base") - 1 + 1)]


def test_a_step_outside_the_temperature_of_its_mix_is_told_at_the_step(book: Path) -> None:
    change(book, ("    people: 2\n", "    people: 2\n    temperature: 12 degC\n"))
    assert told(book) == [("outside-temperature", "warning", line_of(book, "temperature: 12"))]


def test_a_recipe_with_a_slip_of_its_own_is_asked_when_that_is_mended(book: Path) -> None:
    change(book, SHORT, ("starts: base", "starts: bass"))
    assert told(book) == []


def test_the_batch_says_it_once_and_goes_by_todays_room(book: Path) -> None:
    change(book, SHORT)

    def of_batch(**asked: str) -> list[str]:
        notices = mix_batch(open_view(book, "private"), "cast/cheek", "base", BatchAsked(**asked)).notices
        return [each.message for each in notices if each.code == "pot-life-too-short"]

    assert len(of_batch()) == 1
    assert of_batch(room="15 degC") == []
    assert ["at 26 degC" in message for message in of_batch(room="26 degC")] == [True]
