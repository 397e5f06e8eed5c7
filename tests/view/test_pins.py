"""Versions that are named and are not there: what to type instead, and a recipe whose earlier texts were never saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.ground.notices import Notice
from mothermold.view.view import open_view
from view.evidence_books import note, recipe, run, saved, written

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


def test_earlier_texts_of_a_recipe_that_is_no_more_are_not_missed(tmp_path: Path) -> None:
    gone: dict[str, str | None] = {f"recipes/{CHEEK}.yaml": None}
    root = saved(tmp_path, [recipe(CHEEK, 3), note(noticed=[f"{CHEEK}@1#open"])], [gone])
    assert told(root, "earlier-text-missing") == []


@pytest.mark.parametrize(("states", "typed"), [([], "cast/cheek@1"), ([2], "cast/cheek@2"), ([2, 3], "cast/cheek@3")])
def test_the_newest_locked_version_is_offered_and_a_draft_where_there_is_none(
    tmp_path: Path, states: list[int], typed: str
) -> None:
    locked = [[recipe(CHEEK, number)] for number in states]
    root = saved(tmp_path, [recipe(CHEEK, 1, status="draft"), note(fixed_in=[f"{CHEEK}@9"])], *locked)
    if states:
        written(root, recipe(CHEEK, 4, status="draft"))
    (notice,) = told(root, "version-missing")
    assert f"`{typed}`" in notice.help


def with_step(version: int, step: str) -> dict[str, str]:
    return {file: text.replace("id: open", f"id: {step}") for file, text in recipe(CHEEK, version).items()}


@pytest.mark.parametrize(
    ("named", "code", "words"),
    [
        (f"{CHEEK}#open", None, ""),
        (f"{CHEEK}@3#open", None, ""),
        (f"{CHEEK}@1#vent", None, ""),
        (f"{CHEEK}#vent", "step-gone", "gone from `cast/cheek` since version 2"),
        (f"{CHEEK}@3#vent", "unknown-step", "`cast/cheek` has no step `vent`"),
        (f"{CHEEK}#nowhere", "unknown-step", "`cast/cheek` has no step `nowhere`"),
        (f"{CHEEK}@1#open", "unknown-step", "`cast/cheek` has no step `open`"),
    ],
)
def test_a_step_is_looked_for_in_the_version_that_is_named_or_in_all_where_none_is(
    tmp_path: Path, named: str, code: str | None, words: str
) -> None:
    root = saved(
        tmp_path, [with_step(1, "vent"), note(noticed=[named])], [with_step(2, "vent")], [with_step(3, "open")]
    )
    found = [*told(root, "step-gone"), *told(root, "unknown-step")]
    assert [notice.code for notice in found] == ([code] if code else [])
    assert all(words in notice.message for notice in found)
    if code == "step-gone":
        assert "`cast/cheek@2#vent`" in found[0].help


def test_of_a_text_that_can_no_longer_be_read_no_step_is_missed(tmp_path: Path) -> None:
    torn = {file: f"{text}hardness: 5\n" for file, text in with_step(1, "vent").items()}
    named = note(noticed=[f"{CHEEK}@1#nowhere", f"{CHEEK}#vent"])
    root = saved(
        tmp_path, [torn, named, run("r-1", f"{CHEEK}@1", more="took: [{step: gone}]\n")], [with_step(2, "open")]
    )
    assert told(root, "step-gone") == []
    assert [notice.message for notice in told(root, "unknown-step")] == ["`cast/cheek` has no step `vent`."]


@pytest.mark.parametrize(("version", "slips"), [(1, 0), (2, 1), (7, 0)])
def test_a_run_names_steps_of_the_version_it_did(tmp_path: Path, version: int, slips: int) -> None:
    did = run("r-1", f"{CHEEK}@{version}", more="took: [{step: vent, hands_on: 5 min}]\n")
    root = saved(tmp_path, [with_step(1, "vent"), did], [with_step(2, "open")])
    assert len(told(root, "unknown-step")) == slips


def test_a_test_of_no_recipe_names_none(tmp_path: Path) -> None:
    asks = {"recipes/runs/t-1.yaml": "id: t-1\nkind: test\nstarted: 2026-03-02 09:00\nasks: cure\n"}
    assert [notice.code for notice in open_view(written(tmp_path, asks), "private").notices] == ["no-repository"]
