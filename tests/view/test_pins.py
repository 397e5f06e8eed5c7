"""Versions that are named and are not there: what to type instead, and a recipe whose earlier texts were never saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.ground.notices import Notice
from mothermold.view.view import open_view
from view.evidence_books import note, recipe, written

CHEEK = "cast/cheek"


def told(root: Path, code: str) -> list[Notice]:
    return [notice for notice in open_view(root, "private").notices if notice.code == code]


@pytest.mark.parametrize(("step", "typed"), [("#open", "`cast/cheek@3#open`"), ("", "`cast/cheek@3`")])
def test_a_version_above_the_newest_is_answered_with_the_newest_and_the_same_step(
    tmp_path: Path, step: str, typed: str
) -> None:
    named = {"noticed": [f"{CHEEK}@4{step}"]} if step else {"fixed_in": [f"{CHEEK}@4"]}
    (notice,) = told(written(tmp_path, recipe(CHEEK, 3), note(**named)), "version-missing")
    assert typed in notice.help


@pytest.mark.parametrize(
    ("numbers", "begins"),
    [([], None), ([3], None), ([1], "Version 1 of this recipe is"), ([2, 1], "Versions 1, 2 of this recipe are")],
)
def test_earlier_texts_that_were_never_saved_are_told_once_of_the_recipe(
    tmp_path: Path, numbers: list[int], begins: str | None
) -> None:
    noticed = [f"{CHEEK}@{number}#open" for number in numbers]
    root = written(tmp_path, recipe(CHEEK, 3), note(noticed=noticed))
    assert [notice.message.partition(" named")[0] for notice in told(root, "earlier-text-missing")] == (
        [begins] if begins else []
    )
