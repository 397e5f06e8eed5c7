"""How long steps and recipes take, against values worked by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from mothermold.book.document import read_document
from mothermold.model.recipe import Recipe
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes, minutes_to_close
from reckon.bench import recipe_of

DESIGN = Path(__file__).parents[1] / "data" / "design" / "recipe.yaml"

MIXES = """
mixes:
  - id: base
    parts: [{material: a, parts: 1}]
    demold: {time: 4 h, at: 23 degC}
    full_cure: {time: 20-24 h, at: 23 degC}
  - {id: film, parts: [{material: b, parts: 1}]}
"""


def _recipe(*steps: str) -> Recipe:
    listed = "\n".join(f"  - {{title: A step, {step}}}" for step in steps)
    return recipe_of(f"{MIXES}steps:\n{listed}\n")


def test_hands_on_time_is_added_up_and_waiting_is_not() -> None:
    recipe = _recipe(
        "id: one, hands_on: 15-20 min, wait: 3 h",
        "id: two, hands_on: 90 s, coats: {count: 2, between: 1 h}",
        "id: three, until: {what: dry, usual: 1 day}",
    )
    assert hands_on_minutes(recipe) == 21.5


def test_steps_follow_each_other_unless_said() -> None:
    # 10 + 20 + 30 + 5
    assert (
        elapsed_minutes(
            _recipe(
                "id: one, hands_on: 10 min",
                "id: two, hands_on: 20 min, wait: 30 min",
                "id: three, hands_on: 5 min",
            )
        )
        == 65
    )


def test_branches_run_beside_each_other_and_the_longer_one_counts() -> None:
    # base 10; left 10 + 120 after it = 140; right 10 + 15 = 25 after it; join 5 after both = 145;
    # the last follows the join: 150
    assert (
        elapsed_minutes(
            _recipe(
                "id: base, hands_on: 10 min",
                "id: left, hands_on: 10 min, wait: 2 h",
                "id: right, hands_on: 15 min, after: base",
                "id: join, hands_on: 5 min, after: [left, right]",
                "id: last, hands_on: 5 min",
            )
        )
        == 150
    )


def test_a_long_waiting_at_the_side_can_end_last() -> None:
    # post: 10 + 600 = 610 after one (10) = 620; three follows one: 10 + 5
    assert (
        elapsed_minutes(
            _recipe(
                "id: one, hands_on: 10 min",
                "id: post, hands_on: 10 min, wait: 10 h",
                "id: three, hands_on: 5 min, after: one",
            )
        )
        == 620
    )


def test_a_step_may_come_after_one_written_below_it() -> None:
    # two (20) → one (10) → three, after two only: 25; the end is one's: 30
    assert (
        elapsed_minutes(
            _recipe(
                "id: one, hands_on: 10 min, after: two",
                "id: two, hands_on: 20 min, after: nothing-known",
                "id: three, hands_on: 5 min, after: two",
            )
        )
        == 30
    )


def test_a_circle_of_steps_ends_the_reckoning_instead_of_the_program() -> None:
    assert elapsed_minutes(_recipe("id: one, hands_on: 10 min, after: two", "id: two, hands_on: 20 min")) > 0


def test_a_recipe_without_steps_takes_no_time() -> None:
    recipe = recipe_of("mixes: []")
    assert hands_on_minutes(recipe) == 0
    assert elapsed_minutes(recipe) == 0


def test_the_recipe_of_the_contract_takes_eighty_minutes_of_hands_and_seven_and_a_half_hours() -> None:
    document = read_document("recipe", "cast/cheek-piece", "recipes/cast/cheek-piece.yaml", DESIGN.read_bytes())
    assert isinstance(document.model, Recipe)
    # release     15
    # encapsulate 25 + (8 − 1) × 10 + 60       = 155
    # mix         10
    # fill        10 + demold of base, 4 h     = 250
    # open        20
    # hands on    15 + 25 + 10 + 10 + 20       = 80
    # elapsed     15 + 155 + 10 + 250 + 20     = 450, one step after the other
    assert hands_on_minutes(document.model) == 80
    assert elapsed_minutes(document.model) == 450


# From B to closed


def timed(*steps: dict[str, object]) -> Recipe:
    mixes = [{"id": "base", "parts": [{"material": "a", "parts": "1"}]}, {"id": "other", "parts": []}]
    named = [{"title": "Step", "id": f"s{index}", **step} for index, step in enumerate(steps)]
    return Recipe.model_validate(
        {"title": "T", "stage": "cast", "version": "1", "status": "locked", "mixes": mixes, "steps": named}
    )


def test_from_b_to_closed_counts_from_the_step_that_starts_the_clock_to_the_last_that_uses_the_mix() -> None:
    recipe = timed(
        {"hands_on": "30 min"},
        {"hands_on": "4 min", "starts": "base"},
        {"hands_on": "3 min", "wait": "2 min"},
        {"hands_on": "5 min", "uses": [{"mix": "base", "as": "cast"}], "wait": "4 h"},
        {"hands_on": "20 min"},
    )
    # 4 + (3 + 2) + 5; the wait of the last step is the cure itself.
    assert minutes_to_close(recipe, "base") == 14
    assert minutes_to_close(recipe, "other") is None


def test_a_step_that_does_not_say_how_long_it_takes_leaves_it_unknown() -> None:
    recipe = timed({"hands_on": "4 min", "starts": "base"}, {"uses": [{"mix": "base", "as": "cast"}]})
    assert minutes_to_close(recipe, "base") is None


def test_the_starting_step_alone_counts_where_no_later_one_uses_the_mix() -> None:
    assert minutes_to_close(timed({"hands_on": "4 min", "starts": "base"}, {"hands_on": "1 h"}), "base") == 4


# Along the path of `after`


def pour(**more: object) -> dict[str, object]:
    return {"uses": [{"mix": "base", "as": "cast"}], **more}


def test_only_steps_on_the_way_from_b_to_the_pour_count_and_the_longest_way_decides() -> None:
    recipe = timed(
        {"id": "release", "hands_on": "15 min"},
        {"id": "mix", "hands_on": "4 min", "starts": "base", "after": "release"},
        {"id": "lid", "hands_on": "40 min", "after": "release"},
        {"id": "degas", "hands_on": "2 min", "wait": "3 min", "after": "mix"},
        pour(id="fill", hands_on="5 min", after=["lid", "degas"]),
    )
    # 4 + (2 + 3) + 5; the lid is made meanwhile.
    assert minutes_to_close(recipe, "base") == 14


def test_each_step_that_starts_the_clock_is_a_cup_of_its_own() -> None:
    recipe = timed(
        {"id": "first", "hands_on": "4 min", "starts": "base"},
        pour(id="skin", hands_on="5 min", wait="40 min"),
        {"id": "second", "hands_on": "4 min", "starts": "base"},
        pour(id="thick", hands_on="8 min", wait="4 h"),
    )
    assert minutes_to_close(recipe, "base") == 12


def test_what_follows_the_cure_of_the_mix_is_another_cup() -> None:
    recipe = timed(
        pour(id="left", hands_on="5 min", starts="base", wait={"demold": "base"}), pour(id="right", hands_on="6 min")
    )
    assert minutes_to_close(recipe, "base") == 5


def test_the_waits_between_the_coats_of_the_last_step_count_too() -> None:
    recipe = timed(pour(hands_on="4 min", starts="base", coats={"count": "3", "between": "3 min", "last": "60 min"}))
    assert minutes_to_close(recipe, "base") == 4 + 2 * 3
    of_the_use = {"mix": "base", "as": "coat", "coats": {"count": "2", "between": "3 min"}}
    other = {"mix": "other", "as": "coat", "coats": {"count": "9", "between": "9 min"}}
    assert minutes_to_close(timed({"hands_on": "4 min", "starts": "base", "uses": [of_the_use, other]}), "base") == 7


def test_coats_further_apart_than_the_pot_life_are_mixed_anew_each() -> None:
    coats = {"count": "3", "between": "30 min"}
    recipe = timed(pour(id="brush", hands_on="6 min", starts="base", coats=coats), pour(id="thick", hands_on="7 min"))
    assert minutes_to_close(recipe, "base", Fraction(20)) == 6
    assert minutes_to_close(recipe, "base", Fraction(30)) == 6 + 60 + 7


def test_a_step_that_only_waits_says_how_long_it_takes() -> None:
    recipe = timed({"hands_on": "4 min", "starts": "base"}, {"wait": "10 min"}, pour(hands_on="5 min"))
    assert minutes_to_close(recipe, "base") == 19


def test_a_step_that_closes_right_after_the_pour_counts_and_one_after_a_wait_does_not() -> None:
    steps: list[dict[str, object]] = [
        {"hands_on": "4 min", "starts": "base"},
        pour(hands_on="5 min"),
        {"id": "shut", "hands_on": "6 min", "wait": "4 h"},
    ]
    assert minutes_to_close(timed(*steps), "base") == 9
    assert minutes_to_close(timed(*steps), "base", closes=lambda step: step.id == "shut") == 15
    steps[1] = pour(hands_on="5 min", wait="4 h")
    assert minutes_to_close(timed(*steps), "base", closes=lambda step: step.id == "shut") == 9
