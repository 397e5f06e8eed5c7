"""Too much of a part, too little time to pour, a time for another temperature: in what a recipe itself says."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from mothermold.answers.meanings import meanings
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.pages.room_data import closing_told
from mothermold.trade.pouring import find_pour_slips, lacks_pot_life, sets_too_soon

FAMILIES: dict[str, dict[str, Any]] = {
    "a": {"families": ["platinum-silicone"], "kit": ["b"]},
    "b": {"families": ["platinum-silicone"]},
    "fluid": {"families": ["silicone-deadener"], "maximum": {"percent": "250", "of": ["platinum-silicone"]}},
    "stone": {"families": ["gypsum-cement"]},
    "water": {"families": ["water"]},
    "sheet": {"families": ["gelatin"]},
}
MATERIALS = {name: Material.model_validate({"title": name, **told}) for name, told in FAMILIES.items()}


def parts(**amounts: int) -> list[dict[str, str]]:
    return [{"material": name, "parts": str(amount)} for name, amount in amounts.items()]


def made(mixes: list[dict[str, Any]], *steps: dict[str, Any], status: str = "locked") -> Recipe:
    named = [{"title": "Step", "id": f"s{index}", **step} for index, step in enumerate(steps)]
    told = {"title": "T", "stage": "cast", "version": "1", "status": status, "mixes": mixes, "steps": named}
    return Recipe.model_validate(told)


def codes(*args: Any, **more: Any) -> list[str]:
    return [slip.code for slip in find_pour_slips(made(*args, **more), MATERIALS)]


def gel(**more: Any) -> dict[str, Any]:
    return {"id": "gel", "parts": parts(a=100, b=100), **more}


def pour(**more: Any) -> dict[str, Any]:
    return {"uses": [{"mix": "gel", "as": "cast"}], **more}


def test_every_code_has_a_meaning() -> None:
    assert meanings().keys() >= {"over-maximum", "pot-life-too-short", "outside-temperature", "pot-life-not-known"}


# The maker's maximum


@pytest.mark.parametrize(("fluid", "over"), [(500, False), (501, True)])
@pytest.mark.parametrize("status", ["draft", "locked"])
def test_more_than_the_makers_maximum_is_a_slip_of_the_part(fluid: int, over: bool, status: str) -> None:
    recipe = made([gel(parts=parts(a=100, b=100, fluid=fluid))], status=status)
    slips = list(find_pour_slips(recipe, MATERIALS))
    assert [slip.path for slip in slips] == [("mixes", 0, "parts", 2)] * over


def test_a_premix_is_judged_in_the_mix_it_goes_into() -> None:
    soft = {"id": "soft", "parts": parts(a=100, fluid=400)}
    whole = {"id": "gel", "parts": [{"mix": "soft", "parts": "500"}, {"material": "b", "parts": "100"}]}
    assert codes([soft, whole]) == []
    whole["parts"] = [{"mix": "soft", "parts": "500"}, {"material": "b", "parts": "10"}]
    assert codes([soft, whole]) == ["over-maximum"]


def test_a_part_that_waits_for_its_other_part_is_no_whole_mix() -> None:
    assert codes([{"id": "soft", "parts": parts(a=100, fluid=300)}]) == []


def test_a_draft_whose_formula_is_not_finished_is_left_alone() -> None:
    unfinished = gel(parts=[{"material": "a"}, {"material": "fluid", "percent": "900"}])
    assert codes([unfinished], status="draft") == []


# The pot life


def short_of(minutes: str) -> dict[str, Any]:
    return gel(pot_life={"time": minutes, "at": "23 degC"})


STEPS = ({"hands_on": "3 min", "starts": "gel"}, pour(hands_on="5 min", wait="4 h"))


@pytest.mark.parametrize(
    ("pot_life", "short"), [("7 min", True), ("7-20 min", True), ("8 min", False), ("9 min", False)]
)
def test_work_from_b_to_closed_longer_than_the_short_end_is_a_slip(pot_life: str, short: bool) -> None:
    assert codes([short_of(pot_life)], *STEPS) == ["pot-life-too-short"] * short
    assert codes([short_of(pot_life)], *STEPS, status="draft") == ["pot-life-too-short"] * short


def test_a_pot_life_is_told_with_the_temperature_it_is_written_for_or_that_of_the_room() -> None:
    def said(pot_life: dict[str, str], room: int | None = None) -> str:
        recipe = made([gel(pot_life=pot_life)], *STEPS)
        (slip,) = sets_too_soon(recipe, recipe.mixes[0], None if room is None else Fraction(room))
        return slip.message.partition("may end after ")[2]

    assert said({"time": "7 min", "at": "23 degC"}) == "7 min at 23 degC."
    assert said({"time": "7 min"}) == "7 min."
    assert said({"time": "7 min"}, room=30) == "7 min."
    assert said({"time": "7 min", "at": "23 degC"}, room=23) == "7 min at 23 degC."
    assert said({"time": "14 min", "at": "23 degC"}, room=33).endswith(" at 33 degC.")


@pytest.mark.parametrize(
    ("portions", "begins"), [(1, "Cool the parts and the room"), (2, "Mix and pour each portion by itself")]
)
def test_who_mixes_in_portions_already_is_not_told_to_mix_smaller_ones(portions: int, begins: str) -> None:
    recipe = made([short_of("7 min")], *STEPS)
    (slip,) = sets_too_soon(recipe, recipe.mixes[0], portions=portions)
    assert slip.help.startswith(begins)


def test_closing_right_after_the_pour_belongs_to_it() -> None:
    steps = [
        STEPS[0],
        pour(hands_on="5 min"),
        {"title": "Seat the core and clamp the mold", "hands_on": "6 min", "wait": "4 h"},
    ]
    assert codes([short_of("10 min")], *steps) == ["pot-life-too-short"]
    steps[2] = {"title": "Clean the cups", "hands_on": "6 min", "wait": "4 h"}
    assert codes([short_of("10 min")], *steps) == []


def test_without_a_pot_life_or_a_clock_nothing_is_said() -> None:
    assert codes([gel()], *STEPS) == []
    assert codes([short_of("1 min")], pour(hands_on="5 min")) == []


# The temperature


@pytest.mark.parametrize(
    ("at", "done_at", "apart"),
    [
        ("23 degC", "20-25 degC", False), ("23 degC", "20 degC", False), ("23 degC", "15-18 degC", True), ("23 degC", "31 degC", True),
        ("23 degC", "26 degC", False), ("23 degC", "26.1 degC", True), ("23 degC", "19.9 degC", True), ("20-25 degC", "28.1 degC", True),
        ("20-25 degC", "17 degC", False), ("20-25 degC", "16.9 degC", True), ("20-25 degC", "27 degC", False), ("73 degF", "68 degF", False), ("73 degF", "60 degF", True),
    ],
)  # fmt: skip
def test_a_step_at_another_temperature_than_its_mix_is_timed_for_is_a_slip(at: str, done_at: str, apart: bool) -> None:
    mix = gel(pot_life={"time": "25 min", "at": at})
    recipe = made([mix], pour(hands_on="5 min", temperature=done_at, wait="4 h"))
    assert [slip.path for slip in find_pour_slips(recipe, MATERIALS)] == [("steps", 0, "temperature")] * apart


def test_an_oven_is_held_against_the_wait_and_not_against_the_pour() -> None:
    mix = gel(pot_life={"time": "25 min", "at": "23 degC"}, demold={"time": "4 h", "at": "23 degC"})
    hot = pour(hands_on="5 min", temperature="60 degC", **{"with": ["oven"]})
    assert codes([mix], hot | {"wait": "1 h"}) == []
    assert codes([mix], hot | {"wait": {"demold": "gel"}}) == ["outside-temperature"]
    assert codes([gel(demold={"time": "1 h", "at": "60 degC"})], hot | {"wait": {"demold": "gel"}}) == []


def test_a_step_that_neither_uses_nor_waits_for_the_mix_may_be_as_warm_as_it_likes() -> None:
    mix = gel(pot_life={"time": "25 min", "at": "23 degC"})
    assert codes([mix], pour(hands_on="5 min"), {"temperature": "45 degC", "wait": "2 h"}) == []


# No pot life


@pytest.mark.parametrize(
    ("mix", "lacks"),
    [
        (gel(), True), (gel(pot_life={"time": "6 min"}), False), (gel(parts=parts(stone=100, water=30)), True),
        (gel(parts=parts(sheet=1, water=3)), False), (gel(parts=parts(a=100, fluid=50)), False),
    ],
)  # fmt: skip
def test_a_mix_that_sets_wants_a_pot_life_and_one_that_does_not_does_not(mix: dict[str, Any], lacks: bool) -> None:
    recipe = made([mix])
    assert lacks_pot_life(recipe, recipe.mixes[0], MATERIALS) is lacks
    assert codes([mix]) == []


def test_a_premix_wants_none_of_its_own() -> None:
    recipe = made(
        [{"id": "slip", "parts": parts(stone=9, water=1)}, {"id": "whole", "parts": [{"mix": "slip", "parts": "1"}]}]
    )
    assert [lacks_pot_life(recipe, mix, MATERIALS) for mix in recipe.mixes] == [False, True]


def test_a_page_counts_the_same_minutes_as_check_closing_the_mold_included() -> None:
    steps = (
        STEPS[0],
        pour(hands_on="5 min"),
        {"title": "Seat the core and clamp the mold", "hands_on": "6 min", "wait": "4 h"},
    )
    recipe = made([short_of("10 min")], *steps)
    told = closing_told(recipe, recipe.mixes[0], "The gel")
    assert [each["code"] for each in told] == ["pot-life-too-short"]
    assert "14 min" in told[0]["words"]
