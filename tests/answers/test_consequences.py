"""What a difference leads to says what can hurt, also where no step uses it or there is no step yet."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from mothermold.answers.consequences import Versus, consequences, figure
from mothermold.answers.pours import weighs_the_same
from mothermold.compare.change import Change
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.cautions import step_cautions
from mothermold.trade.rules import rules

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
    sides = Versus(before, after, MATERIALS, Fraction(100), ((), ()), cautions)
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


# What moves through a premix.

GELS = {
    name: Material.model_validate({"title": title, "families": [family], "density": "1 g/ml"})
    for name, title, family in (
        ("gel-a", "A", "platinum-silicone"), ("gel-b", "B", "platinum-silicone"), ("deadener", "Deadener", "silicone-oil"),
        ("tint", "Tint", "silicone-oil"),
    )
}  # fmt: skip


def pour(*parts: dict[str, Any], deadener: str = "") -> Recipe:
    """A pour of parts, of which ``soft`` is a premix of A and deadener."""
    inner = [{"material": "gel-a", "parts": "100"}, {"material": "deadener", "percent": deadener, "of": "gel-a"}]
    premix = ({"id": "soft", "parts": inner},) if deadener else ()
    return recipe(FILL, mixes=(*premix, {"id": "base", "parts": list(parts), "fills": "100 ml"}))


A, B = {"material": "gel-a", "parts": "100"}, {"material": "gel-b", "parts": "100"}
SOFT = {"mix": "soft", "parts": "100"}


def poured_rows(before: Recipe, after: Recipe) -> dict[str, str]:
    sides = Versus(before, after, GELS, Fraction(100), ((), ()), ({}, {}))
    return {each.what: each.sentence for each in consequences(sides) if each.what.startswith("pour:base")}


def test_what_moves_into_a_premix_is_compared_at_the_pour() -> None:
    old = pour(A, B, {"material": "deadener", "percent": "60", "of": ["gel-a", "gel-b"]})
    # 200 parts of half A, half deadener, and as much B as there is A: 100 of A, 100 of deadener, 100 of B.
    new = pour(
        {"mix": "soft", "parts": "200"}, {"material": "gel-b", "percent": "100", "of": "soft/gel-a"}, deadener="100"
    )

    rows = poured_rows(old, new)

    # 100 g: 60 of 320 parts were deadener, now it is a third; of A and B it was 60 % and is 50 %.
    assert rows["pour:base:deadener"] == "Deadener in the pour 60 % → 50 % of A + B, 37.5 g → 33.3 g."
    assert rows["pour:base:gel-a"] == "A in the pour 31.2 g → 33.3 g."
    assert "pour:base:gel-b" not in rows


def test_a_premix_with_another_formula_is_compared_at_the_pour_that_did_not_change() -> None:
    rows = poured_rows(pour(SOFT, B, deadener="100"), pour(SOFT, B, deadener="300"))

    assert rows["pour:base:deadener"] == "Deadener in the pour 33.33 % → 60 % of A + B, 25.0 g → 37.5 g."


def test_a_share_that_stays_is_said_to_stay_and_only_its_weight_changes() -> None:
    old = pour(SOFT, B, deadener="100")
    rows = poured_rows(old, pour(SOFT, B, {"material": "tint", "parts": "50"}, deadener="100"))

    # 50 of 200 parts were deadener, now 50 of 250; of A and B it is a third as before.
    told = "Deadener in the pour is still 33.33 % of A + B, 25.0 g → 20.0 g."
    assert rows["pour:base:deadener"] == told


def test_a_pour_without_a_premix_has_no_such_row() -> None:
    assert poured_rows(pour(A, B), pour(A, B | {"parts": "90"})) == {}


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [
        ({"percent": "50", "of": "gel-a"}, {"percent": "25", "of": ["gel-a", "gel-b"]}, True),
        ({"percent": "50", "of": "gel-a"}, {"percent": "20", "of": "total"}, True),
        ({"percent": "50", "of": "gel-a"}, {"parts": "50"}, True),
        ({"parts": "50"}, {"percent": "25", "of": ["gel-a", "gel-b"]}, True),
        ({"percent": "50", "of": "gel-a"}, {"percent": "50", "of": ["gel-a", "gel-b"]}, False),
        ({"percent": "50", "of": "gel-a"}, {"amount": "50 g"}, False),
        ({"percent": "50", "of": "gel-a"}, {"percent": "60", "of": "gel-a"}, False),
    ],
)
def test_another_way_to_say_the_same_weight_is_told_from_another_weight(
    was: dict[str, Any], now: dict[str, Any], same: bool
) -> None:
    old, new = (pour(A, B, {"material": "deadener"} | each) for each in (was, now))
    change = Change("quantity", "changed", ("mixes", "base", "parts", "deadener"), was, now, amounts=(was, now))

    assert weighs_the_same(change, old, new, GELS) is same


def test_a_rule_that_is_broken_now_reads_as_one() -> None:
    rule = next(iter(rules().values()))
    finding = SimpleNamespace(rule=rule, open=True)
    found = {
        each.sentence
        for sides in (((), (finding,)), ((finding,), ()))
        for each in consequences(Versus(recipe(), recipe(), MATERIALS, Fraction(100), sides, ({}, {})))  # type: ignore[arg-type]
        if each.what.startswith("rule:")
    }

    assert found == {f"Now breaks: {rule.title}.", f"No longer breaks: {rule.title}."}
