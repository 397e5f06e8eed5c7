"""What runs say of a failure: at which version it happened, and before and after each fix. Each clause has a case."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from campaigns.seeds import seeds
from mothermold.view.view import open_view
from view.evidence_books import mold, note, p_fewer, p_fewer_by_dealing, recipe, run, runs, saved, verdict, written
from view.evidence_books import settled_after as settled_after_this

Rows = dict[tuple[str, int], tuple[tuple[int, int], tuple[int, int]]]

CHEEK, SHELL, CORE, BROW = "cast/cheek", "mold/shell", "core/altered", "cast/brow"
AT_CHEEK = f"{CHEEK}#open"


def told(folder: Path, failure: str = "air", edition: Any = "private") -> Any:
    return open_view(folder, edition).evidence.of(failure)


def fixes_of(result: Any) -> Rows:
    rows = [
        ((row.recipe, row.version), ((row.before.failed, row.before.runs), (row.after.failed, row.after.runs)))
        for row in result.fixes
    ]
    assert len(dict(rows)) == len(rows), "a fix is one row"
    return dict(rows)


def versions_of(result: Any) -> dict[tuple[str, int], tuple[int, int]]:
    rows = [((row.recipe, row.version), (row.tally.failed, row.tally.runs)) for row in result.by_version]
    assert len(dict(rows)) == len(rows), "a version is one row"
    return {version: counts for version, counts in rows if counts != (0, 0)}


def unknown_of(result: Any, address: str, version: int) -> list[str]:
    (row,) = (row for row in result.fixes if (row.recipe, row.version) == (address, version))
    return sorted(str(each) for each in row.unknown)


# Which runs count


@pytest.mark.parametrize("outcome", ["good", "usable", "scrapped"])
def test_a_run_counts_however_it_ended(outcome: str, tmp_path: Path) -> None:
    went = runs("old", f"{CHEEK}@1", 1, 1, outcome=outcome), runs("new", f"{CHEEK}@2", 1, 2, outcome=outcome)
    result = told(written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(), *went))
    assert fixes_of(result) == {(CHEEK, 2): ((1, 2), (1, 3))}
    assert versions_of(result) == {(CHEEK, 1): (1, 2), (CHEEK, 2): (1, 3)}


@pytest.mark.parametrize("other", [{"kind": "test"}, {"kind": "pull"}, {"outcome": ""}], ids=str)
def test_tests_first_pulls_and_runs_under_way_count_nowhere(other: dict[str, str], tmp_path: Path) -> None:
    counted = runs("old", f"{CHEEK}@1", 1, 1), runs("new", f"{CHEEK}@2", 0, 2)
    apart = runs("apart-old", f"{CHEEK}@1", 1, 1, **other), runs("apart-new", f"{CHEEK}@2", 1, 1, **other)
    result = told(written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(), *counted, *apart))
    assert fixes_of(result) == {(CHEEK, 2): ((1, 2), (0, 2))}
    assert versions_of(result) == {(CHEEK, 1): (1, 2), (CHEEK, 2): (0, 2)}


def test_a_run_fails_once_however_often_it_says_so_and_only_of_this_failure(tmp_path: Path) -> None:
    twice = run("twice", f"{CHEEK}@1", went=["air", "air"])
    other = run("other", f"{CHEEK}@1", went=["tear"])
    both = run("both", f"{CHEEK}@2", went=["tear", "air"])
    prose = run("prose", f"{CHEEK}@2", more="went_wrong:\n  - what: air, I think\n")
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(), note("tear"), twice, other, both, prose)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 2), (1, 2))}


def test_a_failure_is_counted_in_runs_of_any_step_and_of_what_was_never_noted(tmp_path: Path) -> None:
    at_another = run("late", f"{CHEEK}@1", more="went_wrong:\n  - {failure: air, step: elsewhere}\n")
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(noticed=[AT_CHEEK]), at_another)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 1), (0, 0))}


# Where it can be noticed


def test_without_noticed_the_runs_of_the_fixed_recipe_itself_count(tmp_path: Path) -> None:
    shells = runs("old", f"{SHELL}@1", 1, 2), runs("new", f"{SHELL}@2", 0, 1)
    casts = mold("one", "new-clean-0"), runs("cast", f"{CHEEK}@1", 3, 0, mold="one")
    book = written(tmp_path, recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(), *shells, *casts)
    result = told(book)
    assert fixes_of(result) == {(SHELL, 2): ((1, 3), (0, 1))}
    assert versions_of(result) == {(SHELL, 1): (1, 3), (SHELL, 2): (0, 1)}


def test_with_noticed_only_runs_where_it_is_noticed_count(tmp_path: Path) -> None:
    shells = runs("old", f"{SHELL}@1", 2, 0), runs("new", f"{SHELL}@2", 0, 1)
    casts = (
        mold("before", "old-failed-0"), mold("after", "new-clean-0"),
        runs("early", f"{CHEEK}@1", 1, 1, mold="before"), runs("late", f"{CHEEK}@1", 1, 2, mold="after"),
    )  # fmt: skip
    made = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    result = told(written(tmp_path, *made, *shells, *casts))
    assert fixes_of(result) == {(SHELL, 2): ((1, 2), (1, 3))}
    assert versions_of(result) == {(CHEEK, 1): (2, 5)}


def test_it_may_be_noticed_in_several_recipes_in_two_steps_of_one_and_at_a_pinned_version(tmp_path: Path) -> None:
    noticed = [AT_CHEEK, f"{CHEEK}@1#fill", f"{BROW}@1#open"]
    molds = run("shell-1", f"{SHELL}@1"), run("shell-2", f"{SHELL}@2"), mold("one", "shell-1"), mold("two", "shell-2")
    casts = (
        runs("a", f"{CHEEK}@1", 1, 0, mold="one"), runs("b", f"{BROW}@1", 1, 1, mold="one"),
        runs("c", f"{CHEEK}@2", 0, 1, mold="two"), runs("d", f"{BROW}@3", 1, 1, mold="two"),
        runs("e", "cast/chin@1", 5, 0, mold="one"),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 2), recipe(BROW, 3), recipe("cast/chin", 1)
    result = told(written(tmp_path, *recipes, note(noticed=noticed), *molds, *casts))
    assert fixes_of(result) == {(SHELL, 2): ((2, 3), (1, 3))}
    assert versions_of(result) == {(CHEEK, 1): (1, 1), (CHEEK, 2): (0, 1), (BROW, 1): (1, 2), (BROW, 3): (1, 2)}


def test_a_fix_in_each_of_two_recipes_without_noticed_counts_each_over_its_own_runs(tmp_path: Path) -> None:
    went = (
        runs("a", f"{CHEEK}@1", 1, 0), runs("b", f"{CHEEK}@2", 0, 2),
        runs("c", f"{BROW}@1", 2, 1), runs("d", f"{BROW}@2", 1, 3),
    )  # fmt: skip
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), recipe(BROW, 2, fixes=["air"]), note(), *went)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 1), (0, 2)), (BROW, 2): ((2, 3), (1, 4))}


# Behind a casting


def test_a_fix_of_a_mold_is_seen_in_castings_by_the_mold_they_came_out_of_not_by_their_day(tmp_path: Path) -> None:
    shells = (
        run("shell-1", f"{SHELL}@1", started="2026-01-05"), mold("old", "shell-1"),
        run("shell-2", f"{SHELL}@2", started="2026-02-05"), mold("new", "shell-2"),
    )  # fmt: skip
    casts = (
        runs("a", f"{CHEEK}@1", 1, 1, mold="old", started="2026-01-20"),
        runs("b", f"{CHEEK}@1", 2, 0, mold="old", started="2026-05-20"),
        runs("c", f"{CHEEK}@1", 0, 3, mold="new", started="2026-03-20"),
    )
    made = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *made, *shells, *casts))) == {(SHELL, 2): ((3, 4), (0, 3))}


def test_a_mold_made_by_a_first_pull_or_a_run_without_outcome_still_says_where_a_casting_came_from(
    tmp_path: Path,
) -> None:
    shells = run("shell-1", f"{SHELL}@1", kind="pull"), run("shell-2", f"{SHELL}@2", outcome="")
    casts = (
        mold("old", "shell-1"), mold("new", "shell-2"),
        runs("a", f"{CHEEK}@1", 1, 0, mold="old"), runs("b", f"{CHEEK}@1", 0, 2, mold="new"),
    )  # fmt: skip
    made = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *made, *shells, *casts))) == {(SHELL, 2): ((1, 1), (0, 2))}


@pytest.mark.parametrize("made", ["unknown", "2026-01-02", "shell"])
def test_a_fix_of_a_core_is_seen_through_what_made_a_part_of_the_mold(made: str, tmp_path: Path) -> None:
    cores = run("shell", f"{SHELL}@1"), run("core-1", f"{CORE}@1"), run("core-2", f"{CORE}@2")
    casts = (
        mold("old", made, "2026-01-01", "core-1"), mold("new", made, "core-2", "unknown"),
        runs("a", f"{CHEEK}@1", 2, 1, mold="old"), runs("b", f"{CHEEK}@1", 1, 1, mold="new"),
    )  # fmt: skip
    recipes = recipe(CORE, 2, fixes=["air"]), recipe(SHELL, 1), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    result = told(written(tmp_path, *recipes, *cores, *casts))
    assert fixes_of(result) == {(CORE, 2): ((2, 3), (1, 2))}
    assert unknown_of(result, CORE, 2) == []


def test_a_fix_is_seen_two_runs_back_along_from(tmp_path: Path) -> None:
    chain = (
        run("core-1", f"{CORE}@1"), run("shell-1", f"{SHELL}@1", came_from=["core-1"]),
        run("core-2", f"{CORE}@2"), run("shell-2", f"{SHELL}@1", came_from=["core-2"]),
    )  # fmt: skip
    casts = run("a", f"{CHEEK}@1", went=["air"], came_from=["shell-1"]), run("b", f"{CHEEK}@1", came_from=["shell-2"])
    recipes = recipe(CORE, 2, fixes=["air"]), recipe(SHELL, 1), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *recipes, *chain, *casts))) == {(CORE, 2): ((1, 1), (0, 1))}


def test_a_fix_is_seen_through_a_mold_then_from_then_another_mold(tmp_path: Path) -> None:
    chain = (
        run("core-2", f"{CORE}@2"), mold("core", "unknown", "core-2"),
        run("blank", f"{BROW}@1", mold="core"), run("shell", f"{SHELL}@1", came_from=["blank"]),
        mold("face", "shell"),
    )  # fmt: skip
    recipes = recipe(CORE, 2, fixes=["air"]), recipe(SHELL, 1), recipe(BROW, 1), recipe(CHEEK, 1)
    cast = run("a", f"{CHEEK}@1", went=["air"], mold="face")
    book = written(tmp_path, *recipes, note(noticed=[AT_CHEEK]), *chain, cast)
    assert fixes_of(told(book)) == {(CORE, 2): ((0, 0), (1, 1))}


def test_runs_that_come_from_each_other_in_a_circle_are_followed_once(tmp_path: Path) -> None:
    circle = (
        run("a", f"{CHEEK}@1", came_from=["b"]), run("b", f"{BROW}@1", came_from=["c", "b"]),
        run("c", f"{BROW}@1", mold="round"), mold("round", "a", "shell-2"), run("shell-2", f"{SHELL}@2"),
        run("d", f"{CHEEK}@1", went=["air"], came_from=["e"]), run("e", f"{CHEEK}@1", came_from=["d"]),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), recipe(BROW, 1), note(noticed=[AT_CHEEK])
    result = told(written(tmp_path, *recipes, *circle))
    assert fixes_of(result) == {(SHELL, 2): ((0, 0), (0, 1))}
    assert unknown_of(result, SHELL, 2) == ["d", "e"]


# Which run behind it decides


def test_the_nearest_run_decides_when_an_older_one_lies_further_back(tmp_path: Path) -> None:
    chain = (
        run("shell-1", f"{SHELL}@1"), run("shell-2", f"{SHELL}@2", came_from=["shell-1"]), mold("one", "shell-2"),
        runs("a", f"{CHEEK}@1", 1, 1, mold="one"),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *recipes, *chain))) == {(SHELL, 2): ((0, 0), (1, 2))}


def test_the_nearest_run_decides_when_a_newer_one_lies_further_back(tmp_path: Path) -> None:
    chain = (
        run("shell-2", f"{SHELL}@2"), run("shell-1", f"{SHELL}@1", came_from=["shell-2"]), mold("one", "shell-1"),
        runs("a", f"{CHEEK}@1", 1, 1, mold="one"),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *recipes, *chain))) == {(SHELL, 2): ((1, 2), (0, 0))}


def test_the_nearest_is_the_shortest_way_not_the_first_one_written(tmp_path: Path) -> None:
    chain = (
        run("shell-1", f"{SHELL}@1"), run("blank", f"{BROW}@1", came_from=["shell-1"]),
        run("shell-2", f"{SHELL}@2"), mold("two", "unknown", "shell-2"),
        run("long-first", f"{CHEEK}@1", came_from=["blank", "shell-2"]),
        run("by-part", f"{CHEEK}@1", went=["air"], mold="two", came_from=["blank"]),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(BROW, 1), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *recipes, *chain))) == {(SHELL, 2): ((0, 0), (1, 2))}


def test_a_run_of_the_fixed_recipe_is_itself_the_nearest(tmp_path: Path) -> None:
    chain = (
        run("old", f"{CHEEK}@1", went=["air"]), run("new", f"{CHEEK}@2", came_from=["old"]),
        mold("out-of-new", "new"), run("older-again", f"{CHEEK}@1", went=["air"], mold="out-of-new"),
    )  # fmt: skip
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(noticed=[AT_CHEEK]), *chain)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((2, 2), (0, 1))}


def test_a_run_outside_the_window_is_in_neither_though_one_inside_lies_further_back(tmp_path: Path) -> None:
    chain = (
        run("shell-3", f"{SHELL}@3"), run("shell-4", f"{SHELL}@4", came_from=["shell-3"]), mold("one", "shell-4"),
        run("a", f"{CHEEK}@1", mold="one"),
    )  # fmt: skip
    fixed = note(noticed=[AT_CHEEK], fixed_in=[f"{SHELL}@2", f"{SHELL}@4"])
    result = told(written(tmp_path, recipe(SHELL, 4), recipe(CHEEK, 1), fixed, *chain))
    assert fixes_of(result) == {(SHELL, 2): ((0, 0), (0, 0)), (SHELL, 4): ((0, 0), (0, 1))}
    assert unknown_of(result, SHELL, 2) == []


# Unknown origin


def test_castings_whose_origin_nobody_knows_are_left_out_and_listed(tmp_path: Path) -> None:
    known = run("shell-2", f"{SHELL}@2"), mold("known", "shell-2"), runs("known", f"{CHEEK}@1", 1, 1, mold="known")
    unknown = (
        mold("nobody-knows", "unknown"), mold("bought", "2026-01-02", "unknown", "2026-01-03"),
        run("u1", f"{CHEEK}@1", went=["air"], mold="nobody-knows"), run("u2", f"{CHEEK}@1", mold="bought"),
        run("u3", f"{CHEEK}@1", went=["air"]), run("u4", f"{CHEEK}@1", mold="lost"), mold("by-lost", "r-lost"),
        run("u5", f"{CHEEK}@1", mold="by-lost"), run("u6", f"{CHEEK}@1", kind="test"),
        run("u7", f"{CHEEK}@1", outcome=""), run("u8", f"{BROW}@1"),
    )  # fmt: skip
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), recipe(BROW, 1), note(noticed=[AT_CHEEK])
    result = told(written(tmp_path, *recipes, *known, *unknown))
    assert fixes_of(result) == {(SHELL, 2): ((0, 0), (1, 2))}
    assert unknown_of(result, SHELL, 2) == ["u1", "u2", "u3", "u4", "u5"]
    # By version they count all the same: what was done is known, only the mold is not.
    assert versions_of(result) == {(CHEEK, 1): (3, 7)}


def test_a_casting_without_a_mold_is_of_known_origin_where_the_fixed_recipe_is_its_own(tmp_path: Path) -> None:
    book = written(
        tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(noticed=[AT_CHEEK]), mold("nobody-knows", "unknown"),
        run("a", f"{CHEEK}@1"), run("b", f"{CHEEK}@2", mold="nobody-knows"),
    )  # fmt: skip
    assert unknown_of(told(book), CHEEK, 2) == []


def test_a_casting_out_of_a_mold_that_another_recipe_made_is_neither_before_nor_after(tmp_path: Path) -> None:
    book = written(
        tmp_path, recipe(SHELL, 2, fixes=["air"]), recipe("mold/plate", 3), recipe(CHEEK, 1),
        note(noticed=[AT_CHEEK]), run("plate", "mold/plate@3"), mold("plate", "plate"),
        runs("a", f"{CHEEK}@1", 1, 1, mold="plate"),
    )  # fmt: skip
    assert fixes_of(told(book)) == {(SHELL, 2): ((0, 0), (0, 0))}


def test_a_casting_out_of_a_mold_whose_whole_making_is_known_is_of_no_unknown_origin(tmp_path: Path) -> None:
    book = written(
        tmp_path, recipe(SHELL, 2, fixes=["air"]), recipe("mold/plate", 3), recipe(CHEEK, 1),
        note(noticed=[AT_CHEEK]), run("plate", "mold/plate@3"), mold("plate", "plate", "plate"),
        runs("a", f"{CHEEK}@1", 1, 1, mold="plate"),
    )  # fmt: skip
    assert unknown_of(told(book), SHELL, 2) == []


def test_a_chain_deeper_than_a_thousand_runs_is_followed_to_its_end(tmp_path: Path) -> None:
    chain = [run("r0", f"{SHELL}@2")]
    chain += [run(f"r{number}", f"{BROW}@1", came_from=[f"r{number - 1}"]) for number in range(1, 1200)]
    last = run("last", f"{CHEEK}@1", went=["air"], came_from=["r1199"])
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(BROW, 1), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    assert fixes_of(told(written(tmp_path, *recipes, *chain, last))) == {(SHELL, 2): ((0, 0), (1, 1))}


def test_runs_and_molds_of_builds_count_like_those_of_the_book(tmp_path: Path) -> None:
    def of(build: str, *files: dict[str, str]) -> dict[str, str]:
        return {
            path.replace("recipes/", f"recipes/builds/{build}/"): text for each in files for path, text in each.items()
        }

    things = "title: {}\nthings:\n  - {{id: face, recipe: cast/cheek@1}}\n"
    builds = {f"recipes/builds/{name}/build.yaml": things.format(name) for name in ("ogre", "troll")}
    ogre = of(
        "ogre", run("shell-1", f"{SHELL}@1"), mold("one", "shell-1"), run("a", f"{CHEEK}@1", went=["air"], mold="one")
    )
    troll = of("troll", mold("two", "shell-2"), run("b", f"{CHEEK}@1", mold="two"), run("c", f"{CHEEK}@1", mold="one"))
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK]), run("shell-2", f"{SHELL}@2")
    book = written(tmp_path, builds, ogre, troll, *recipes)
    assert fixes_of(told(book)) == {(SHELL, 2): ((1, 2), (0, 1))}


# From one fix to the next


def test_the_fix_before_and_the_fix_after_of_the_same_failure_bound_what_is_counted(tmp_path: Path) -> None:
    went = (
        runs("v1", f"{CHEEK}@1", 1, 0), runs("v2", f"{CHEEK}@2", 1, 1), runs("v3", f"{CHEEK}@3", 1, 2),
        runs("v4", f"{CHEEK}@4", 0, 4), runs("v5", f"{CHEEK}@5", 1, 4),
    )  # fmt: skip
    fixed = note(fixed_in=[f"{CHEEK}@4", f"{CHEEK}@2"])
    result = told(written(tmp_path, recipe(CHEEK, 5), fixed, *went))
    assert fixes_of(result) == {(CHEEK, 2): ((1, 1), (2, 5)), (CHEEK, 4): ((2, 5), (1, 9))}


def test_three_fixes_on_end_share_no_more_than_their_neighbors(tmp_path: Path) -> None:
    went = [runs(f"v{number}", f"{CHEEK}@{number}", 0, number) for number in (1, 2, 3, 4)]
    fixed = note(fixed_in=[f"{CHEEK}@{number}" for number in (2, 3, 4)])
    result = told(written(tmp_path, recipe(CHEEK, 4), fixed, *went))
    assert fixes_of(result) == {
        (CHEEK, 2): ((0, 1), (0, 2)), (CHEEK, 3): ((0, 2), (0, 3)), (CHEEK, 4): ((0, 3), (0, 4)),
    }  # fmt: skip


def test_a_fix_of_another_failure_or_in_another_recipe_bounds_nothing(tmp_path: Path) -> None:
    went = [
        runs(f"v{number}", f"{CHEEK}@{number}", failed, clean)
        for number, failed, clean in [(1, 1, 0), (2, 0, 1), (3, 1, 1)]
    ]
    notes = note(fixed_in=[f"{CHEEK}@2", f"{BROW}@3"]), note("tear", fixed_in=[f"{CHEEK}@3"])
    result = told(written(tmp_path, recipe(CHEEK, 3), recipe(BROW, 3), *notes, *went))
    assert fixes_of(result) == {(CHEEK, 2): ((1, 1), (1, 3)), (BROW, 3): ((0, 0), (0, 0))}


# What is a fix


@pytest.mark.parametrize(
    ("by_recipe", "by_note"), [(["air"], []), ([], [f"{CHEEK}@2"]), (["air"], [f"{CHEEK}@2", f"{CHEEK}@2#open"])]
)
def test_a_fix_said_by_the_recipe_by_the_note_or_by_both_is_one_row(
    by_recipe: list[str], by_note: list[str], tmp_path: Path
) -> None:
    went = runs("old", f"{CHEEK}@1", 2, 2), runs("new", f"{CHEEK}@2", 0, 4)
    result = told(written(tmp_path, recipe(CHEEK, 2, fixes=by_recipe), note(fixed_in=by_note), *went))
    assert fixes_of(result) == {(CHEEK, 2): ((2, 4), (0, 4))}


def test_a_recipe_that_fixes_another_failure_is_no_fix_of_this_one(tmp_path: Path) -> None:
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["tear"]), note(), note("tear"), runs("a", f"{CHEEK}@1", 1, 1))
    assert fixes_of(told(book)) == {}


@pytest.mark.parametrize(("by_recipe", "by_note"), [(["air"], []), ([], [f"{CHEEK}@3"]), (["air"], [f"{CHEEK}@3"])])
def test_a_draft_is_no_fix_whoever_says_so(by_recipe: list[str], by_note: list[str], tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 2, 0), runs("v2", f"{CHEEK}@2", 0, 4)
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1)],
        [recipe(CHEEK, 2, fixes=["air"])],
        [recipe(CHEEK, 3, status="draft", fixes=by_recipe), note(noticed=[AT_CHEEK], fixed_in=by_note), *went],
    )
    assert fixes_of(told(book)) == {(CHEEK, 2): ((2, 2), (0, 4))}


def test_a_fix_named_without_a_version_is_no_row_and_stops_nothing(tmp_path: Path) -> None:
    went = runs("old", f"{CHEEK}@1", 1, 1), runs("new", f"{CHEEK}@2", 0, 2), run("loose", CHEEK, went=["air"])
    book = written(tmp_path, recipe(CHEEK, 2), note(fixed_in=[f"{CHEEK}@2", CHEEK]), *went)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 2), (0, 2))}


def test_fixes_are_read_from_the_text_of_each_version_not_from_the_newest(tmp_path: Path) -> None:
    went = [
        runs(f"v{number}", f"{CHEEK}@{number}", failed, clean)
        for number, failed, clean in [(1, 2, 0), (2, 1, 2), (3, 1, 3), (4, 0, 5)]
    ]
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1)],
        [recipe(CHEEK, 2, fixes=["air"]), note()],
        [recipe(CHEEK, 3, fixes=["tear"]), note("tear")],
        [recipe(CHEEK, 4, fixes=["air", "tear"]), *went],
    )
    assert fixes_of(told(book)) == {(CHEEK, 2): ((2, 2), (2, 7)), (CHEEK, 4): ((2, 7), (0, 5))}
    assert fixes_of(told(book, "tear")) == {(CHEEK, 3): ((0, 5), (0, 4)), (CHEEK, 4): ((0, 4), (0, 5))}


def test_the_newest_text_of_a_version_says_what_it_fixes(tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 1, 0), runs("v2", f"{CHEEK}@2", 0, 1), runs("v3", f"{CHEEK}@3", 0, 2)
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1), note()],
        [recipe(CHEEK, 2)],
        [recipe(CHEEK, 2, fixes=["air"])],
        [recipe(CHEEK, 3, fixes=["air"])],
        [recipe(CHEEK, 3), *went],
    )
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 1), (0, 3))}


def test_a_retired_recipe_and_a_deleted_one_keep_the_fixes_of_their_locked_versions(tmp_path: Path) -> None:
    went = (
        runs("v1", f"{CHEEK}@1", 1, 0), runs("v2", f"{CHEEK}@2", 0, 1),
        runs("b1", f"{BROW}@1", 2, 0), runs("b2", f"{BROW}@2", 0, 2),
    )  # fmt: skip
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1), recipe(BROW, 1), note()],
        [recipe(CHEEK, 2, fixes=["air"]), recipe(BROW, 2, fixes=["air"])],
        [recipe(CHEEK, 2, fixes=["air"], status="retired"), *went],
        [{f"recipes/{BROW}.yaml": None}],
    )
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 1), (0, 1)), (BROW, 2): ((2, 2), (0, 2))}


def test_a_fix_in_the_first_version_has_nothing_before_it(tmp_path: Path) -> None:
    book = written(tmp_path, recipe(CHEEK, 1, fixes=["air"]), note(), runs("a", f"{CHEEK}@1", 1, 2))
    assert fixes_of(told(book)) == {(CHEEK, 1): ((0, 0), (1, 3))}


def test_an_earlier_address_is_the_same_recipe_in_pins_in_notes_and_in_its_fixes(tmp_path: Path) -> None:
    old = "cast/jaw"
    went = runs("v1", f"{old}@1", 2, 0), runs("v2", f"{old}@2", 0, 1), runs("w2", f"{CHEEK}@2", 0, 1)
    more = runs("v3", f"{CHEEK}@3", 0, 3), runs("w1", f"{CHEEK}@1", 0, 1)
    moved: dict[str, Any] = {f"recipes/{old}.yaml": None}
    book = saved(
        tmp_path,
        [recipe(old, 1), note(noticed=[f"{old}#open"], fixed_in=[f"{old}@3"])],
        [recipe(old, 2, fixes=["air"]), *went[:2]],
        [moved, recipe(CHEEK, 2, fixes=["air"], formerly=[old])],
        [recipe(CHEEK, 3, formerly=[old]), went[2], *more],
    )
    result = told(book)
    assert fixes_of(result) == {(CHEEK, 2): ((2, 3), (0, 2)), (CHEEK, 3): ((0, 2), (0, 3))}
    assert versions_of(result) == {(CHEEK, 1): (2, 3), (CHEEK, 2): (0, 2), (CHEEK, 3): (0, 3)}


def test_an_earlier_address_of_a_mold_recipe_is_followed_behind_a_casting(tmp_path: Path) -> None:
    chain = (
        run("shell-1", "mold/case@1"), mold("one", "shell-1"), run("shell-2", f"{SHELL}@2"), mold("two", "shell-2"),
        runs("a", f"{CHEEK}@1", 1, 0, mold="one"), runs("b", f"{CHEEK}@1", 0, 1, mold="two"),
    )  # fmt: skip
    fixed = note(noticed=[AT_CHEEK], fixed_in=["mold/case@2"])
    book = written(tmp_path, recipe(SHELL, 2, fixes=["air"], formerly=["mold/case"]), recipe(CHEEK, 1), fixed, *chain)
    assert fixes_of(told(book)) == {(SHELL, 2): ((1, 1), (0, 1))}


# Where it is noticed stands in the note: what is counted without it could be counted in the wrong runs.
def test_a_note_that_cannot_be_read_has_no_record(tmp_path: Path) -> None:
    broken = {"recipes/failures/air.yaml": "title: Air at the cheek\nseen_at: [cast\n"}
    went = runs("old", f"{CHEEK}@1", 1, 1), runs("new", f"{CHEEK}@2", 0, 2)
    result = told(written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), broken, *went))
    assert (fixes_of(result), versions_of(result)) == ({}, {})


def test_runs_molds_and_recipes_that_cannot_be_read_hide_no_others(tmp_path: Path) -> None:
    broken = {f"recipes/{place}.yaml": "title: [\n" for place in ("runs/bad", "molds/bad", "cast/bad", "failures/bad")}
    went = runs("old", f"{CHEEK}@1", 1, 1), runs("new", f"{CHEEK}@2", 0, 2), run("lost", f"{CHEEK}@2", mold="bad")
    later = run("later", f"{CHEEK}@2", came_from=["bad"])
    book = written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(), broken, *went, later)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((1, 2), (0, 4))}


def test_a_casting_out_of_a_mold_that_cannot_be_read_is_of_unknown_origin(tmp_path: Path) -> None:
    broken = {"recipes/molds/bad.yaml": "title: [\n"}
    recipes = recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK])
    result = told(written(tmp_path, *recipes, broken, run("a", f"{CHEEK}@1", went=["air"], mold="bad")))
    assert fixes_of(result) == {(SHELL, 2): ((0, 0), (0, 0))}
    assert unknown_of(result, SHELL, 2) == ["a"]


def test_a_failure_without_fix_and_without_runs_says_nothing(tmp_path: Path) -> None:
    result = told(written(tmp_path, recipe(CHEEK, 1), note(noticed=[AT_CHEEK])))
    assert fixes_of(result) == {}
    assert versions_of(result) == {}
    assert list(result.beginnings) == []


# Editions


def test_an_edition_counts_only_the_runs_it_holds(tmp_path: Path) -> None:
    went = [
        runs(f"{level}-{number}", f"{CHEEK}@{number}", 1, number, visibility=level)
        for level in ("private", "class", "public")
        for number in (1, 2)
    ]
    shown = recipe(CHEEK, 2, fixes=["air"], visibility="public"), note(visibility="public")
    book = written(tmp_path, *shown, *went)
    assert fixes_of(told(book)) == {(CHEEK, 2): ((3, 6), (3, 9))}
    assert fixes_of(told(book, edition="class")) == {(CHEEK, 2): ((2, 4), (2, 6))}
    assert fixes_of(told(book, edition="public")) == {(CHEEK, 2): ((1, 2), (1, 3))}
    assert versions_of(told(book, edition="public")) == {(CHEEK, 1): (1, 2), (CHEEK, 2): (1, 3)}


def test_an_edition_does_not_follow_a_mold_or_a_run_it_does_not_hold(tmp_path: Path) -> None:
    shown = [
        recipe(SHELL, 2, fixes=["air"], visibility="public"), recipe(CHEEK, 1, visibility="public"),
        note(noticed=[AT_CHEEK], visibility="public"),
    ]  # fmt: skip
    chain = (
        run("shell-2", f"{SHELL}@2", visibility="public"), mold("hidden", "shell-2"),
        run("secret-shell", f"{SHELL}@2"), mold("shown", "secret-shell", visibility="public"),
        run("a", f"{CHEEK}@1", mold="hidden", visibility="public"),
        run("b", f"{CHEEK}@1", mold="shown", visibility="public"),
        run("c", f"{CHEEK}@1", came_from=["shell-2"], visibility="public"),
    )  # fmt: skip
    book = written(tmp_path, *shown, *chain)
    assert fixes_of(told(book)) == {(SHELL, 2): ((0, 0), (0, 3))}
    public = told(book, edition="public")
    assert fixes_of(public) == {(SHELL, 2): ((0, 0), (0, 1))}
    assert unknown_of(public, SHELL, 2) == ["a", "b"]


def test_an_edition_tells_no_fix_of_a_recipe_or_of_a_version_it_does_not_hold(tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 1, 0, visibility="public"), runs("v3", f"{CHEEK}@3", 0, 1, visibility="public")
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1, visibility="public"), recipe(BROW, 2, fixes=["air"])],
        [recipe(CHEEK, 2, fixes=["air"])],
        [
            recipe(CHEEK, 3, fixes=["air"], visibility="public"),
            note(visibility="public", fixed_in=[f"{BROW}@2"]),
            *went,
        ],
    )
    assert set(fixes_of(told(book))) == {(BROW, 2), (CHEEK, 2), (CHEEK, 3)}
    assert fixes_of(told(book, edition="public")) == {(CHEEK, 3): ((1, 1), (0, 1))}


def test_an_edition_counts_no_run_of_a_recipe_it_does_not_hold(tmp_path: Path) -> None:
    shown = recipe(CHEEK, 1), recipe(BROW, 2, fixes=["air"], visibility="public")
    seen = note(noticed=[AT_CHEEK, f"{BROW}#open"], visibility="public")
    went = runs("a", f"{CHEEK}@1", 1, 1, visibility="public"), runs("b", f"{BROW}@2", 1, 1, visibility="public")
    result = told(written(tmp_path, *shown, seen, *went), edition="public")
    assert {address for address, _version in versions_of(result)} == {BROW}


# Verdicts

TABLES = [
    # Worked by hand: failed and runs before, failed and runs after, the verdict, clean runs to settle it.
    ((2, 4), (0, 4), "too few runs", 8),  # 6/28; with eight more 6/120, a twentieth to the hair
    ((2, 4), (0, 11), "likely", 1),  # 6/105
    ((2, 4), (0, 12), "held", 0),  # 6/120
    ((3, 3), (0, 3), "held", 0),  # 1/20
    ((4, 4), (0, 4), "held", 0),  # 1/70
    ((3, 4), (0, 3), "likely", 2),  # 4/35, 4/56, 4/84
    ((1, 1), (0, 4), "likely", 15),  # 1/5 to the hair, and 1/20 with nineteen
    ((1, 1), (0, 3), "too few runs", 16),  # 1/4
    ((0, 4), (0, 9), "too few runs", None),  # nothing failed before
    ((0, 4), (4, 4), "too few runs", None),  # nor here, though it is far worse
    ((0, 0), (0, 5), "too few runs", None),
    ((3, 4), (0, 0), "too few runs", 5),  # 4/84 with five
    ((1, 6), (4, 5), "worse", None),  # the other way round 31/462
    ((4, 6), (4, 6), "no better", 15),  # all clean, 15/495 would have held
    ((1, 4), (2, 4), "too few runs", None),  # higher, but 1/2 the other way round; all clean would be 1/2
    ((1, 11), (0, 9), "too few runs", 200),  # 11/220
    ((1, 11), (0, 8), "too few runs", None),  # it would take 201
]


@pytest.mark.parametrize(("before", "after", "expected", "more"), TABLES)
def test_the_verdict_and_the_clean_runs_that_would_settle_it(
    before: tuple[int, int], after: tuple[int, int], expected: str, more: int | None, tmp_path: Path
) -> None:
    went = (
        runs("old", f"{CHEEK}@1", before[0], before[1] - before[0]),
        runs("new", f"{CHEEK}@2", after[0], after[1] - after[0]),
    )
    (row,) = told(written(tmp_path, recipe(CHEEK, 2, fixes=["air"]), note(), *went)).fixes
    assert ((row.before.failed, row.before.runs), (row.after.failed, row.after.runs)) == (before, after)
    assert row.verdict == expected
    assert row.clean_runs_to_settle == more


def test_the_sums_of_these_tests_agree_with_dealing_every_way_out() -> None:
    for before, after, expected, more in TABLES:
        if before[1] + after[1] < 15:
            assert p_fewer(before, after) == p_fewer_by_dealing(before, after)
        assert (verdict(before, after), settled_after_this(before, after)) == (expected, more)


# Where it begins


def test_a_failure_that_never_happened_before_a_version_begins_there(tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 0, 3), runs("v2", f"{CHEEK}@2", 2, 1)
    (begins,) = told(written(tmp_path, recipe(CHEEK, 2), note(noticed=[AT_CHEEK]), *went)).beginnings
    assert (begins.recipe, begins.before, begins.version, begins.clean) == (CHEEK, 1, 2, 3)


def test_a_failure_there_from_the_first_run_on_begins_nowhere(tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 1, 3), runs("v2", f"{CHEEK}@2", 2, 1), runs("b", f"{BROW}@2", 2, 0)
    seen = note(noticed=[AT_CHEEK, f"{BROW}#open"])
    assert list(told(written(tmp_path, recipe(CHEEK, 2), recipe(BROW, 2), seen, *went)).beginnings) == []


def test_a_failure_that_never_happened_begins_nowhere(tmp_path: Path) -> None:
    went = runs("v1", f"{CHEEK}@1", 0, 3), runs("v2", f"{CHEEK}@2", 0, 1)
    assert list(told(written(tmp_path, recipe(CHEEK, 2), note(noticed=[AT_CHEEK]), *went)).beginnings) == []


@pytest.mark.parametrize(
    ("cheeks", "brows", "begin"),
    [(1, 1, [CHEEK, BROW]), (1, 2, [BROW]), (2, 1, [CHEEK]), (2, 2, [CHEEK, BROW])],
)
def test_one_clean_run_is_a_beginning_only_where_no_other_recipe_has_more(
    cheeks: int, brows: int, begin: list[str], tmp_path: Path
) -> None:
    went = (
        runs("c1", f"{CHEEK}@1", 0, cheeks), runs("c2", f"{CHEEK}@2", 1, 0),
        runs("b1", f"{BROW}@1", 0, brows), runs("b2", f"{BROW}@2", 1, 0),
    )  # fmt: skip
    seen = note(noticed=[AT_CHEEK, f"{BROW}#open"])
    found = told(written(tmp_path, recipe(CHEEK, 2), recipe(BROW, 2), seen, *went)).beginnings
    assert [each.recipe for each in found] == sorted(begin)


@pytest.mark.parametrize(("caused", "begin"), [("", []), ("mold", [SHELL]), ("core", [CORE]), ("wear", [])])
def test_it_begins_behind_its_castings_only_in_recipes_of_the_stage_that_caused_it(
    caused: str, begin: list[str], tmp_path: Path
) -> None:
    behind = [
        each
        for number in (1, 2)
        for each in (
            run(f"core-{number}", f"{CORE}@{number}"),
            run(f"shell-{number}", f"{SHELL}@{number}", came_from=[f"core-{number}"]),
            mold(f"mold-{number}", f"shell-{number}"),
        )
    ]
    casts = runs("a", f"{CHEEK}@1", 0, 3, mold="mold-1"), runs("b", f"{CHEEK}@1", 2, 1, mold="mold-2")
    seen = {
        file: text.replace("symptoms", f"caused_at: {caused}\nsymptoms" if caused else "symptoms")
        for file, text in note(noticed=[AT_CHEEK]).items()
    }
    made = recipe(CORE, 2), recipe(SHELL, 2), recipe(CHEEK, 1), seen
    found = told(written(tmp_path, *made, *behind, *casts)).beginnings
    assert [(each.recipe, each.before, each.version) for each in found] == [(each, 1, 2) for each in begin]


# Any book

RECIPES = {CHEEK: 4, BROW: 4, SHELL: 4, CORE: 4}
UNKNOWN = ("unknown", "2026-01-02")


@dataclass
class Drawn:
    """A book drawn by lot, as plain facts; what follows from them is counted below.

    Attributes:
        did: By run, the recipe and version it did.
        counts: The runs that count: kind run, with an outcome.
        failed: The runs in which it happened.
        made_of: By run, the runs it came from straight.
        in_the_dark: The runs about whose origin nothing at all is written.
        noticed: The recipes where it is noticed.
        fixed: The versions that fix it.
    """

    files: list[Mapping[str, str]] = field(default_factory=list)
    did: dict[str, tuple[str, int]] = field(default_factory=dict)
    counts: set[str] = field(default_factory=set)
    failed: set[str] = field(default_factory=set)
    made_of: dict[str, set[str]] = field(default_factory=dict)
    in_the_dark: set[str] = field(default_factory=set)
    noticed: list[str] = field(default_factory=list)
    fixed: set[tuple[str, int]] = field(default_factory=set)


def draw(seed: int) -> Drawn:
    """The first book of a seed in which no two runs of one recipe lie equally near behind a third."""
    rng = random.Random(seed)
    while True:
        drawn = _drawn(rng)
        if not _ties(drawn):
            return drawn


def _drawn(rng: random.Random) -> Drawn:
    drawn = Drawn(noticed=rng.choice([[], [CHEEK], [CHEEK], [CHEEK, BROW], [SHELL], [CHEEK, SHELL]]))
    names = [f"r{number}" for number in range(rng.randint(6, 22))]
    molds: dict[str, list[str]] = {}
    for number in range(rng.randint(1, 4)):
        made = [rng.choice([*UNKNOWN, rng.choice(names)]) for _ in range(rng.choice([1, 1, 2, 3]))]
        molds[f"m{number}"] = made
        drawn.files.append(mold(f"m{number}", *made))
    said, noted = set(), set()
    for address, newest in RECIPES.items():
        draft = rng.random() < 0.3
        if rng.random() < 0.5:
            said.add((address, newest))
        noted |= {(address, version) for version in range(1, newest + 1) if rng.random() < 0.2}
        status = "draft" if draft else "locked"
        drawn.files.append(recipe(address, newest, status=status, fixes=["air"] * ((address, newest) in said)))
        drawn.fixed |= {fix for fix in said | noted if fix[0] == address and not (draft and fix[1] == newest)}
        for name in names:
            if rng.random() < 0.4 or name not in drawn.did:
                drawn.did[name] = (address, rng.randint(1, newest - 1 if draft else newest))
    drawn.files.append(
        note(noticed=[f"{each}#open" for each in drawn.noticed], fixed_in=[f"{a}@{v}" for a, v in sorted(noted)])
    )
    for name in names:
        place = rng.choice(["", *molds]) if rng.random() < 0.8 else ""
        came_from = rng.sample(names, rng.choice([0, 0, 0, 1, 1, 2]))
        kind, outcome = rng.choice(["run"] * 6 + ["test", "pull"]), rng.choice(["good", "usable", "scrapped", ""])
        went = ["air"] * (rng.random() < 0.4)
        (address, version) = drawn.did[name]
        drawn.files.append(
            run(name, f"{address}@{version}", went=went, outcome=outcome, kind=kind, mold=place, came_from=came_from)
        )
        drawn.counts |= {name} if kind == "run" and outcome else set()
        drawn.failed |= {name} if went else set()
        drawn.made_of[name] = {*came_from, *(each for each in molds.get(place, []) if each not in UNKNOWN)}
        drawn.in_the_dark |= set() if drawn.made_of[name] else {name}
    return drawn


def _distances(drawn: Drawn) -> dict[str, dict[str, int]]:
    """By run, how far back each run lies: the shortest ways, let grow through every run in turn."""
    far = 10_000
    ways = {a: {b: 0 if a == b else 1 if b in drawn.made_of[a] else far for b in drawn.did} for a in drawn.did}
    for through in drawn.did:
        for start in drawn.did:
            for end in drawn.did:
                ways[start][end] = min(ways[start][end], ways[start][through] + ways[through][end])
    return {start: {end: way for end, way in row.items() if way < far} for start, row in ways.items()}


def _candidates(drawn: Drawn, address: str) -> dict[str, set[int]]:
    """By run, the versions of a recipe among the nearest runs that did it."""
    found = {}
    for name, row in _distances(drawn).items():
        behind = {end: way for end, way in row.items() if drawn.did[end][0] == address}
        found[name] = {drawn.did[end][1] for end, way in behind.items() if way == min(behind.values())}
    return found


def _ties(drawn: Drawn) -> bool:
    return any(len(versions) > 1 for each in RECIPES for versions in _candidates(drawn, each).values())


def _counted(names: set[str], drawn: Drawn) -> tuple[int, int]:
    return len(names & drawn.failed), len(names)


@pytest.mark.parametrize("seed", seeds(12, 80))
def test_any_book_is_counted_as_a_plain_recount_counts_it(seed: int, tmp_path: Path) -> None:
    drawn = draw(seed)
    result = told(written(tmp_path, *drawn.files))
    expected: Rows = {}
    for address in RECIPES:
        numbers = sorted(version for each, version in drawn.fixed if each == address)
        origin = {name: next(iter(found)) for name, found in _candidates(drawn, address).items() if found}
        where = [name for name in drawn.counts if drawn.did[name][0] in (drawn.noticed or [address])]
        for number in numbers:
            # Every version belongs to the stretch that the last fix at or below it opens.
            opened = {name: max((n for n in numbers if n <= origin[name]), default=0) for name in origin}
            previous = max((n for n in numbers if n < number), default=0)
            before = {name for name in where if name in origin and opened[name] == previous}
            after = {name for name in where if name in origin and opened[name] == number}
            expected[address, number] = (_counted(before, drawn), _counted(after, drawn))
            unknown = set(unknown_of(result, address, number))
            assert unknown <= set(where) - set(origin)
            assert unknown >= (set(where) & drawn.in_the_dark) - set(origin)
    assert fixes_of(result) == expected
    shown = drawn.noticed or sorted({address for address, _version in drawn.fixed})
    if shown:
        by_version = {pin: {name for name in drawn.counts if drawn.did[name] == pin} for pin in drawn.did.values()}
        assert versions_of(result) == {
            pin: _counted(names, drawn) for pin, names in by_version.items() if pin[0] in shown and names
        }
    for row in result.fixes:
        before_now, after_now = (row.before.failed, row.before.runs), (row.after.failed, row.after.runs)
        assert row.verdict == verdict(before_now, after_now)
        assert row.clean_runs_to_settle == settled_after_this(before_now, after_now)


def test_the_books_drawn_hold_what_they_are_to_try() -> None:
    books = [draw(seed) for seed in range(80)]
    assert sum(len(each.fixed) for each in books) > 200
    depths = [
        row[end]
        for each in books
        for name, row in _distances(each).items()
        for end in row
        if name in each.counts and each.did[end][0] in {address for address, _version in each.fixed}
    ]
    assert sum(depth > 1 for depth in depths) > 100
    assert sum(len({v for a, v in each.fixed if a == address}) > 1 for each in books for address in RECIPES) > 60
    assert any(each.in_the_dark & each.counts for each in books)
