"""What a difference leads to says what can hurt, also where no step uses it or there is no step yet."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from mothermold.answers.consequences import Sides, consequences, figure
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.cautions import step_cautions

MATERIALS = {"gel": Material.model_validate({"title": "Gel", "families": ["platinum-silicone"]})}
MIX = {"id": "base", "parts": [{"material": "gel", "parts": "1"}]}
FILL = {"id": "fill", "title": "Fill", "uses": [{"mix": "base", "as": "cast", "on": "mold-face"}]}
CLEAN = {"id": "clean", "title": "Clean"}


def recipe(*steps: dict[str, Any], mixes: tuple[dict[str, Any], ...] = (MIX,)) -> Recipe:
    return Recipe.model_validate(
        {"title": "It", "stage": "cast", "version": "1", "status": "draft", "steps": list(steps), "mixes": list(mixes)}
    )


def told(before: Recipe, after: Recipe) -> list[tuple[str, str, str]]:
    cautions = (step_cautions(before, MATERIALS), step_cautions(after, MATERIALS))
    sides = Sides(before, after, MATERIALS, Fraction(100), ((), ()), cautions)
    return [
        (figure(each.before, each.unit), figure(each.after, each.unit), each.sentence)
        for each in consequences(sides)
        if each.what == "caution:silicone-uncured"
    ]


def test_a_mix_that_comes_brings_its_caution_though_no_step_uses_it() -> None:
    assert told(recipe(CLEAN, mixes=()), recipe(CLEAN)) == [
        ("none", "at 1 step", "This version brings: Silicone before it has cured.")
    ]


def test_a_caution_that_was_told_before_there_was_a_step_does_not_come_with_the_step() -> None:
    assert told(recipe(), recipe(CLEAN, FILL)) == [("before there is a step", "at 1 step", "")]
    assert told(recipe(), recipe(mixes=())) == [
        ("before there is a step", "none", "This version removes: Silicone before it has cured.")
    ]
