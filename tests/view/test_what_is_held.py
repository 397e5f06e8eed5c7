"""What an open document may name: a recipe the edition holds, at a version it holds, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.model.failure import Failure
from mothermold.view.view import open_view
from view.evidence_books import note, recipe, saved, written

CHEEK = "cast/cheek"


def named(root: Path) -> list[str]:
    """Where the public edition says that the failure is noticed."""
    return [str(each) for each in open_view(root, "public").models(Failure)["air"].noticed]


@pytest.mark.parametrize(("visibility", "kept"), [("public", True), ("class", False), ("private", False)])
@pytest.mark.parametrize("pin", ["", "@1"])
def test_a_recipe_is_named_where_the_edition_holds_it(tmp_path: Path, visibility: str, pin: str, kept: bool) -> None:
    noticed = f"{CHEEK}{pin}#open"
    root = written(tmp_path, recipe(CHEEK, 1, visibility=visibility), note(noticed=[noticed], visibility="public"))
    assert named(root) == [noticed] * kept


def test_a_version_is_named_where_its_own_text_was_open(tmp_path: Path) -> None:
    both = [f"{CHEEK}@1#open", f"{CHEEK}@2#open", f"{CHEEK}#open"]
    root = saved(
        tmp_path,
        [recipe(CHEEK, 1), note(noticed=both, visibility="public")],
        [recipe(CHEEK, 2, visibility="public")],
    )
    assert named(root) == both[1:]


def test_a_recipe_whose_own_text_is_open_is_named_though_no_version_of_it_is(tmp_path: Path) -> None:
    both = [f"{CHEEK}#open", f"{CHEEK}@1#open"]
    root = saved(tmp_path, [recipe(CHEEK, 1), note(noticed=both, visibility="public")])
    written(root, recipe(CHEEK, 1, status="draft", visibility="public"))
    assert named(root) == both[:1]
