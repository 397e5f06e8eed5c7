"""Temperatures at their exact limits: within three degrees, at the ends of a range, at the edge of the cold."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.reckon.cure import at_temperature
from mothermold.trade.rooms import (
    Noted,
    closing_words,
    cold_words,
    limits_of,
    outlasted_words,
    too_soon_words,
)
from mothermold.trade.rules import rules

MATERIALS = {"a": Material.model_validate({"title": "A", "families": ["platinum-silicone"]})}
STEPS: tuple[dict[str, Any], ...] = (
    {"id": "mix", "title": "Mix", "hands_on": "3 min", "starts": "gel"},
    {"id": "fill", "title": "Fill", "hands_on": "5 min", "uses": [{"mix": "gel", "as": "cast"}], "wait": {"demold": "gel"}},
)  # fmt: skip


def made(*steps: dict[str, Any], **mix: Any) -> Recipe:
    gel = {"id": "gel", "parts": [{"material": "a", "parts": "1"}], **mix}
    told = {"title": "A piece", "stage": "cast", "version": "1", "status": "locked"}
    return Recipe.model_validate(told | {"mixes": [gel], "steps": list(steps or STEPS)})


def noted(**degrees: str) -> Noted:
    return Noted(**{what: Fraction(value) for what, value in degrees.items()})


@pytest.mark.parametrize(
    ("asks", "room", "is_broken"),
    [
        ("23 degC", "20", False), ("23 degC", "19.9", True), ("23 degC", "26", False), ("23 degC", "26.1", True),
        ("19-23 degC", "19", False), ("19-23 degC", "18.9", True), ("19-23 degC", "23", False), ("19-23 degC", "23.1", True),
    ],
)  # fmt: skip
def test_one_number_is_met_within_three_degrees_and_a_range_means_its_ends(
    asks: str, room: str, is_broken: bool
) -> None:
    (limit,) = limits_of(made(STEPS[0], STEPS[1] | {"temperature": asks}), MATERIALS, rules()).steps
    assert limit.broken_by(noted(room=room)) == [("the room", Fraction(room))] * is_broken


def test_a_temperature_noted_twice_is_told_once_of_the_first() -> None:
    (limit,) = limits_of(made(STEPS[0], STEPS[1] | {"temperature": "23 degC"}), MATERIALS, rules()).steps
    assert limit.broken_by(noted(room="30", mold="30", material="31")) == [("the room", 30), ("the material", 31)]


@pytest.mark.parametrize(
    ("more", "is_of_room"),
    [
        ({"temperature": "10-40 degC"}, True),
        ({"temperature": "9 degC"}, False),
        ({"temperature": "41 degC"}, False),
        ({"temperature": "30 degC", "with": ["oven"]}, False),
        ({"temperature": "30 degC", "with": ["scale"]}, True),
    ],
)
def test_a_steps_temperature_is_the_rooms_where_anyone_works_and_nothing_heats(
    more: dict[str, Any], is_of_room: bool
) -> None:
    assert bool(limits_of(made(STEPS[0], STEPS[1] | more), MATERIALS, rules()).steps) is is_of_room


@pytest.mark.parametrize(
    ("degrees", "what"),
    [
        ({"room": "15"}, None),
        ({"room": "14.9"}, "The room"),
        ({"room": "14", "mold": "15", "material": "15"}, None),
        ({"room": "20", "mold": "14"}, "The mold"),
        ({"room": "20", "material": "14"}, "The material"),
        ({"mold": "13", "material": "14"}, "The mold"),
        ({"mold": "14", "material": "13"}, "The material"),
        ({}, None),
    ],
)
def test_the_cold_begins_under_fifteen_degrees_of_mold_or_material(degrees: dict[str, str], what: str | None) -> None:
    cold = next(each for each in limits_of(made(), MATERIALS, rules()).cold if each.rule.id == "cold-silicone")
    words = cold_words("step `fill`", "`a`", cold, noted(**degrees), "was")
    assert (words.partition(" was")[0] if words else None) == what


def test_no_rule_of_the_cold_asks_a_step_that_heats_or_uses_something_else() -> None:
    heated = made(STEPS[0], STEPS[1] | {"with": ["heat-gun"]})
    assert limits_of(heated, MATERIALS, rules()).cold == ()
    other = {"a": Material.model_validate({"title": "A", "families": ["epoxy"]})}
    assert "cold-silicone" not in {each.rule.id for each in limits_of(made(), other, rules()).cold}


def closing(pot_life: dict[str, str] | None, *steps: dict[str, Any]) -> Any:
    (found,) = limits_of(made(*steps, **({"pot_life": pot_life} if pot_life else {})), MATERIALS, rules()).closing
    return found


@pytest.mark.parametrize(("time", "is_short"), [("8 min", False), ("7 min 59 s", True), ("8-20 min", False)])
def test_a_pot_life_that_is_just_as_long_as_the_work_is_enough(time: str, is_short: bool) -> None:
    said = closing_words("Gel", closing({"time": time, "at": "23 degC"}), noted())
    assert (said.code if said else None) == ("pot-life-too-short" if is_short else None)


@pytest.mark.parametrize(
    ("pot_life", "steps", "degrees", "code"),
    [
        (None, STEPS, {}, "pot-life-not-known"),
        (None, STEPS[1:], {}, None),
        (None, STEPS[1:], {"room": "23"}, "pot-life-not-known"),
        ({"time": "20 min"}, STEPS, {}, None),
        ({"time": "20 min"}, STEPS, {"room": "23"}, "pot-life-not-known"),
        ({"time": "20 min", "at": "23 degC"}, STEPS, {"room": "39"}, "pot-life-not-known"),
        ({"time": "20 min", "at": "23 degC"}, STEPS, {"room": "38"}, "pot-life-too-short"),
        ({"time": "20 min", "at": "23 degC"}, STEPS[1:], {}, None),
        ({"time": "20 min", "at": "23 degC"}, STEPS[1:], {"room": "23"}, "pot-life-not-known"),
        ({"time": "20 min", "at": "23 degC"}, STEPS, {"room": "23"}, None),
        ({"time": "20 min", "at": "23 degC"}, STEPS, {"room": "38", "material": "23"}, None),
        ({"time": "20 min", "at": "23 degC"}, STEPS, {"room": "23", "mold": "38"}, None),
    ],
)
def test_what_is_not_known_of_a_pot_life_is_said_and_never_passed_over(
    pot_life: dict[str, str] | None, steps: tuple[dict[str, Any], ...], degrees: dict[str, str], code: str | None
) -> None:
    said = closing_words("Gel", closing(pot_life, *steps), noted(**degrees))
    assert (said.code if said else None) == code


@pytest.mark.parametrize(
    ("time", "room", "is_told"),
    [
        ("8 min", "24", True),
        ("8 min", "23", False),
        ("8 min", "22", False),
        ("7 min", "30", False),
        ("20 min", "24", False),
        ("20 min", "39", True),
    ],
)
def test_a_warm_run_is_told_where_its_room_and_not_its_recipe_left_too_little(
    time: str, room: str, is_told: bool
) -> None:
    words = outlasted_words("`gel`", closing({"time": time, "at": "23 degC"}), noted(room=room))
    assert (words is not None) is is_told


def test_a_mold_is_cold_more_than_three_degrees_under_and_opened_too_soon_before_the_long_end() -> None:
    mix = made(demold={"time": "4 h", "at": "23 degC"}).mixes[0]

    def soon(waited: str, **degrees: str) -> bool:
        fill = STEPS[1] | {"wait": {"time": waited}}
        wait = made(STEPS[0], fill).steps[1].wait
        assert wait is not None
        assert wait.time is not None
        return too_soon_words("`gel`", mix, wait.time, noted(**degrees)) is not None

    assert not soon("1 h", room="20")
    assert soon("4 h", room="19.9")
    assert not soon("4 h", room="15", mold="20")
    assert not soon("4 h", mold="7")  # beyond the rule's reach nothing is claimed
    long = at_temperature(240, 23, 13).long
    assert long == 600
    assert not soon("600 min", room="13")
    assert soon("599 min", room="13")
    assert not soon("500-600 min", room="13")
