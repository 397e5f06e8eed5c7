"""What `diff` tells of two versions in generated repositories, worked out by hand from the written texts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from history.command_line import Answer, ask
from history.repositories import (
    ANOTHER_FILE,
    FIFTH,
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    empty_book,
    recipe,
    start_repository,
)

BEFORE = """\
title: Small cheek piece
stage: cast
version: 1
status: locked
mixes:
  - id: base
    title: Base silicone
    by: weight
    parts:
      - {material: gel-silicone-a, parts: 100}
      - {material: deadener, percent: 60 %, of: gel-silicone-a}
    fills: 100 ml
    allowance: 10 %
steps:
  - id: release
    title: Release
    hands_on: 15 min
  - id: fill
    title: Fill and close
    do: A thin thread into the lowest point.
    hands_on: 60 min
    wait: 30 min
"""

AFTER = """\
title: Small cheek piece with soft edge
stage: cast
version: 2
status: locked
why: Air sat at the cheek.
fixes: [air-at-cheek]
visibility: public
mixes:
  - id: base
    title: Base silicone
    by: weight
    parts:
      - {material: gel-silicone-a, parts: 220}
      - {material: gel-silicone-b, parts: 220}
      - {material: deadener, percent: 80 %, of: gel-silicone-a}
    fills: 120 ml
    allowance: 10 %
steps:
  - id: release
    title: Release
    hands_on: 15 min
  - id: vent
    title: Vent the core
    hands_on: 5 min
  - id: fill
    title: Fill and close
    do: A thick thread into the lowest point.
    hands_on: 1 h
    with: [vacuum-chamber]
    wait: 45 min
"""


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | ANOTHER_FILE)
    return repository


def ask_difference(repository: Repository, *words: str) -> Answer:
    answer = ask(repository.folder, "diff", "cast/cheek", *words)
    assert answer.exit_code == 0, answer.body
    return answer


def between(answer: Answer) -> tuple[Any, Any]:
    return answer.body["from"], answer.body["to"]


def changes(answer: Answer) -> dict[tuple[str, ...], dict[str, Any]]:
    """Return the changes by their paths, which are unique."""
    found = {tuple(change["path"]): change for change in answer.body["changes"]}
    assert len(found) == len(answer.body["changes"])
    assert all(change["sentence"].strip() for change in found.values())
    return found


def told(change: dict[str, Any]) -> tuple[str, str, Any, Any]:
    return change["kind"], change["action"], change["before"], change["after"]


def reasons(answer: Answer) -> list[tuple[int, str | None, list[str]]]:
    return [(found["version"], found["why"], found["fixes"]) for found in answer.body["reasons"]]


def consequence(answer: Answer, what: str) -> tuple[Any, Any]:
    (found,) = [row for row in answer.body["consequences"] if row["what"] == what]
    return found["before"], found["after"]


# Which two


def test_the_last_two_locked_versions_are_compared_unless_told(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(FOURTH, {RECIPE: recipe(3, why="Softer still.", fixes=["air-at-cheek"], deadener="90 %")})

    answer = ask_difference(repository)

    assert answer.body["recipe"] == "cast/cheek"
    assert between(answer) == (2, 3)
    found = changes(answer)
    assert list(found) == [("mixes", "base", "parts", "deadener", "percent")]
    assert told(found["mixes", "base", "parts", "deadener", "percent"]) == (
        "quantity",
        "changed",
        "80 %",
        "90 %",
    )
    assert reasons(answer) == [(3, "Softer still.", ["air-at-cheek"])]


def test_a_draft_is_not_chosen_while_there_are_two_locked_versions(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(FOURTH, {RECIPE: recipe(3, "draft", why="Softer still.", deadener="90 %")})

    assert between(ask_difference(repository)) == (1, 2)


def test_a_withdrawn_version_is_not_among_the_last_two_locked(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Too soft.", deadener="180 %")})
    repository.save(FOURTH, {RECIPE: recipe(1)})
    repository.save(FIFTH, {RECIPE: recipe(3, why="Softer.", deadener="80 %")})

    answer = ask_difference(repository)

    assert between(answer) == (1, 3)
    # The reasons are those of every version crossed.
    assert reasons(answer) == [(2, "Too soft.", []), (3, "Softer.", [])]


def test_one_locked_version_is_compared_with_the_draft(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, "draft", why="Trying it softer.", deadener="80 %")})

    answer = ask_difference(repository)

    assert between(answer) == (1, 2)
    assert told(changes(answer)["mixes", "base", "parts", "deadener", "percent"])[2:] == ("60 %", "80 %")
    assert reasons(answer) == [(2, "Trying it softer.", [])]


def test_two_numbers_may_be_given_and_every_version_crossed_gives_its_reason(
    repository: Repository,
) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %", hands_on="12 min")})
    repository.save(FOURTH, {RECIPE: recipe(3, why="Quicker.", fixes=["air-at-cheek"], deadener="80 %")})

    answer = ask_difference(repository, "1", "3")

    assert between(answer) == (1, 3)
    assert list(changes(answer)) == [("mixes", "base", "parts", "deadener", "percent")]
    assert reasons(answer) == [(2, "Softer.", []), (3, "Quicker.", ["air-at-cheek"])]


def test_the_higher_number_may_stand_first(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})

    answer = ask_difference(repository, "2", "1")

    assert between(answer) == (2, 1)
    assert told(changes(answer)["mixes", "base", "parts", "deadener", "percent"])[2:] == ("80 %", "60 %")
    assert reasons(answer) == [(2, "Softer.", [])]


def test_the_unsaved_text_is_called_working(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.write({RECIPE: recipe(3, why="Only written.", deadener="85 %", hands_on="12 min")})

    answer = ask_difference(repository, "1", "working")

    assert between(answer) == (1, "working")
    found = changes(answer)
    assert set(found) == {("mixes", "base", "parts", "deadener", "percent"), ("steps", "fill", "hands_on")}
    assert told(found["steps", "fill", "hands_on"]) == ("time", "changed", "10 min", "12 min")
    assert reasons(answer) == [(2, "Softer.", []), (3, "Only written.", [])]


def test_the_newest_text_of_an_amended_version_is_compared(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(FOURTH, {RECIPE: recipe(2, why="Softer, weighed again.", deadener="82 %")})

    answer = ask_difference(repository)

    assert told(changes(answer)["mixes", "base", "parts", "deadener", "percent"])[2:] == ("60 %", "82 %")
    assert reasons(answer) == [(2, "Softer, weighed again.", [])]


def test_a_version_that_never_was_is_answered_with_nulls_and_exit_1(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})

    answer = ask(repository.folder, "diff", "cast/cheek", "1", "7")

    assert answer.exit_code == 1
    assert [answer.body[key] for key in ("from", "to", "at_ml")] == [None, None, None]
    assert all(answer.body[key] == [] for key in ("changes", "consequences", "reasons", "evidence"))


# What changed


@pytest.fixture
def difference(repository: Repository) -> Answer:
    repository.save(SECOND, {RECIPE: BEFORE})
    repository.save(THIRD, {RECIPE: AFTER})
    return ask_difference(repository)


def test_each_change_is_told_once_in_its_kind_with_the_written_texts(difference: Answer) -> None:
    found = changes(difference)

    assert {path: told(change) for path, change in found.items() if change["action"] == "changed"} == {
        ("title",): ("wording", "changed", "Small cheek piece", "Small cheek piece with soft edge"),
        ("mixes", "base", "parts", "gel-silicone-a", "parts"): ("quantity", "changed", "100", "220"),
        ("mixes", "base", "parts", "deadener", "percent"): ("quantity", "changed", "60 %", "80 %"),
        ("mixes", "base", "fills"): ("quantity", "changed", "100 ml", "120 ml"),
        ("steps", "fill", "wait"): ("time", "changed", "30 min", "45 min"),
        ("steps", "fill", "do"): (
            "wording",
            "changed",
            "A thin thread into the lowest point.",
            "A thick thread into the lowest point.",
        ),
    }


def test_an_added_part_is_one_change_of_material(difference: Answer) -> None:
    change = changes(difference)["mixes", "base", "parts", "gel-silicone-b"]

    assert told(change) == ("material", "added", None, {"material": "gel-silicone-b", "parts": "220"})


def test_an_added_step_is_one_change_of_order(difference: Answer) -> None:
    found = changes(difference)

    assert told(found["steps", "vent"]) == (
        "order",
        "added",
        None,
        {"id": "vent", "title": "Vent the core", "hands_on": "5 min"},
    )
    assert [path for path in found if path[:2] == ("steps", "vent")] == [("steps", "vent")]


def test_added_equipment_is_a_change_of_safety(difference: Answer) -> None:
    (change,) = [change for change in difference.body["changes"] if change["kind"] == "safety"]

    assert change["path"][:3] == ["steps", "fill", "with"]
    assert "vacuum-chamber" in str([change["path"], change["after"]])


def test_notes_and_equal_times_are_no_changes_and_wording_stands_last(difference: Answer) -> None:
    kinds = [change["kind"] for change in difference.body["changes"]]

    # Nine in all: the six above, a part, a step, equipment. An hour is sixty minutes; why, fixes, version and
    # visibility are never changes.
    assert sorted(kinds) == sorted(
        ["wording", "wording", "quantity", "quantity", "quantity", "time", "material", "order", "safety"]
    )
    assert kinds[-2:] == ["wording", "wording"]


def test_the_fill_and_the_times_of_both_sides_are_told(difference: Answer) -> None:
    assert difference.body["at_ml"] == pytest.approx(120)
    assert consequence(difference, "hands_on_min") == pytest.approx((75, 80))
    # 15 + 60 + 30 before; 15 + 5 + 60 + 45 after, each step after the one before it.
    assert consequence(difference, "elapsed_min") == pytest.approx((105, 125))


def test_the_grams_of_both_sides_are_reckoned_at_the_same_fill(difference: Answer) -> None:
    # 120 ml and ten percent are 132 ml on both sides.
    # Before: 100 g of A at 1.05 g/ml and 60 g of deadener at 0.97 g/ml.
    milliliters = 100 / 1.05 + 60 / 0.97
    before = 132 * 100 / milliliters
    # After: 220 g of A, 220 g of B at 1.04 g/ml, 176 g of deadener.
    milliliters = 220 / 1.05 + 220 / 1.04 + 176 / 0.97
    after = 132 * 220 / milliliters

    assert consequence(difference, "grams:base:gel-silicone-a") == pytest.approx((before, after))


def test_the_reason_is_that_of_the_version_crossed(difference: Answer) -> None:
    assert reasons(difference) == [(2, "Air sat at the cheek.", ["air-at-cheek"])]


def test_a_replaced_part_is_one_change_named_by_the_old_one(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    replaced = recipe(2, why="Firmer.").replace("material: deadener", "material: gel-silicone-b")
    repository.save(THIRD, {RECIPE: replaced})

    (change,) = ask_difference(repository).body["changes"]

    assert (change["kind"], change["action"]) == ("material", "changed")
    assert change["path"] == ["mixes", "base", "parts", "deadener"]
    assert "gel-silicone-b" in str(change["after"])


def test_a_moved_step_is_one_change_of_order(repository: Repository) -> None:
    steps = ("release", "prime", "fill")
    repository.save(SECOND, {RECIPE: with_steps(1, steps)})
    repository.save(THIRD, {RECIPE: with_steps(2, ("fill", "release", "prime"), "why: Other way round.\n")})

    (change,) = ask_difference(repository).body["changes"]

    assert (change["kind"], change["action"], change["path"]) == ("order", "moved", ["steps", "fill"])


def with_steps(version: int, names: tuple[str, ...], notes: str = "") -> str:
    head = f"title: Small cheek piece\nstage: cast\nversion: {version}\nstatus: locked\n{notes}steps:\n"
    return head + "".join(f"  - id: {name}\n    title: Do {name}\n    hands_on: 5 min\n" for name in names)


def test_without_a_fill_in_the_newer_version_that_of_the_older_one_counts(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1).replace("100 ml", "150 ml")})
    batch = recipe(2, why="Plainly a batch.").replace("fills: 100 ml", "batch: 300 g")
    repository.save(THIRD, {RECIPE: batch})

    assert ask_difference(repository).body["at_ml"] == pytest.approx(150)


def test_without_any_fill_a_hundred_milliliters_count(repository: Repository) -> None:
    text = recipe(1).replace("fills: 100 ml", "batch: 300 g")
    repository.save(SECOND, {RECIPE: text})
    repository.save(THIRD, {RECIPE: recipe(2, why="More of it.").replace("fills: 100 ml", "batch: 400 g")})

    answer = ask_difference(repository)

    assert answer.body["at_ml"] == pytest.approx(100)
    found = changes(answer)
    assert told(found["mixes", "base", "batch"]) == ("quantity", "changed", "300 g", "400 g")
    # Mixes with only a batch are compared at their batch: 100 of 160 parts are part A.
    assert consequence(answer, "grams:base:gel-silicone-a") == pytest.approx((187.5, 250))


def test_versions_of_the_same_process_differ_in_nothing(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Only counted on.").replace("120 min", "2 h")})

    answer = ask_difference(repository)

    assert between(answer) == (1, 2)
    assert answer.body["changes"] == []
    assert reasons(answer) == [(2, "Only counted on.", [])]
