"""The batching arithmetic of the trade reference, row by row.

Sources, as it states them: the rows were computed from elementary balances of weight; that one physical mix has
three names was also seen in public student logs (its sources S12 and S13), that weighing a formula meant by
volume puts it off ratio in a maker's advice (its source S8). Nothing else is claimed.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import pytest

from mothermold.reckon.batches import Wanted
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.readings import readings
from reckon.bench import amount, grams, masses, materials_of, resolved, sheet_of

FAMILIES: Final = """
a: {families: [platinum-silicone], density: 1.08 g/ml}
b: {families: [platinum-silicone], density: 1.08 g/ml}
d: {families: [silicone-deadener], density: 1.08 g/ml}
"""


def _deadened(percent: str, of: str) -> str:
    return (
        "mix: {by: weight, batch: 240 g, parts: ["
        "{material: a, parts: 50}, {material: b, parts: 50},"
        f"{{material: d, percent: {percent}, of: {of}}}]}}"
    )


# Computed; the three names of one mix also in student logs (S12, S13): 1A + 1B + 0.5D.
def test_half_a_part_of_deadener_is_50_of_a_25_of_a_and_b_and_20_of_the_total() -> None:
    mix = resolved(
        "mix: {parts: [{material: a, parts: 1}, {material: b, parts: 1}, {material: d, parts: 0.5}]}",
        "mix",
        FAMILIES,
    )
    said = {reading.of: reading.percent for reading in readings(mix, materials_of(FAMILIES)) if reading.part == "d"}
    assert said == {("a",): 50, ("a", "b"): 25, "the-rest": 25, "total": 20}


# Computed: D = p·A, p·(A+B), and of the total p·(A+B)/(1 − p).
@pytest.mark.parametrize(
    ("percent", "of", "expected"),
    [
        ("25", "a", "12.5"), ("50", "a", "25"), ("100", "a", "50"),
        ("25", "[a, b]", "25"), ("50", "[a, b]", "50"), ("100", "[a, b]", "100"),
        ("25", "the-rest", "25"), ("50", "the-rest", "50"), ("100", "the-rest", "100"),
        ("25", "total", "100/3"), ("50", "total", "100"),
    ],
)  # fmt: skip
def test_deadener_for_50_g_of_a_and_50_g_of_b(percent: str, of: str, expected: str) -> None:
    assert masses(resolved(_deadened(percent, of), "mix"))["d"] == Fraction(expected)


# Computed: a mix cannot be all deadener and hold A and B as well; it must be refused.
def test_a_mix_of_which_one_part_is_all_is_refused() -> None:
    with pytest.raises(ReckoningError) as refused:
        resolved(_deadened("100", "total"), "mix")
    assert refused.value.code == "percent-over-total"
    assert "under 100 %" in refused.value.advice


# Computed: 240 g at 50 %, three bases.
@pytest.mark.parametrize(("of", "main", "deadener"), [("a", 96, 48), ("[a, b]", 80, 80), ("total", 60, 120)])
def test_a_batch_of_240_g_at_half(of: str, main: int, deadener: int) -> None:
    sheet = sheet_of(resolved(_deadened("50", of), "mix"))
    assert grams(sheet) == {"a": main, "b": main, "d": deadener}
    assert sheet.mass == 240
    assert [line.reads for line in sheet.lines] == [main, 2 * main, 240]


# Computed: 120 ml at 1.08 g/ml; "waste" is what comes on top of what is poured, not a share of it.
@pytest.mark.parametrize(("allowance", "expected"), [("0", "129.6"), ("15 %", "149.04")])
def test_a_cavity_of_120_ml_with_and_without_an_allowance(allowance: str, expected: str) -> None:
    text = (
        f"mix: {{fills: 120 ml, allowance: {allowance}, parts: [{{material: a, parts: 1}}, {{material: b, parts: 1}}]}}"
    )
    sheet = sheet_of(resolved(text, "mix", FAMILIES))
    assert sheet.mass == Fraction(expected)
    assert sheet.fill == 120


def test_an_allowance_is_not_the_share_that_is_lost() -> None:
    # Computed: 15 % of what is poured being lost would be 129.6 / 0.85 = 152.4706 g; that reading is not ours.
    text = "mix: {fills: 120 ml, allowance: 15 %, parts: [{material: a, parts: 1}]}"
    mass = sheet_of(resolved(text, "mix", FAMILIES)).mass
    assert mass is not None
    assert float(mass) != pytest.approx(152.4706, abs=0.01)
    assert float(Fraction("129.6") / Fraction("0.85")) == pytest.approx(152.4706, abs=5e-5)


# Computed from the densities; that it matters: a maker's advice (S8).
def test_one_to_one_by_volume_is_not_one_to_one_by_weight() -> None:
    mix = resolved(
        "mix: {by: volume, parts: [{material: a, parts: 1}, {material: b, parts: 1}]}",
        "mix",
        "{a: {density: 1.05 g/ml}, b: {density: 1.12 g/ml}}",
    )
    weights = masses(mix)
    assert weights["a"] is not None
    assert weights["b"] is not None
    assert weights["a"] / weights["b"] == Fraction("0.9375")
    # Weighing it 1:1 instead gives A too much by 1/0.9375, 6.7 %.
    assert float(1 / Fraction("0.9375") - 1) == pytest.approx(0.067, abs=5e-4)


def test_what_is_left_of_a_part_gives_the_batch_back() -> None:
    # Computed: the row of 240 g at 50 % of A read backward from its 96 g of A.
    sheet = sheet_of(resolved(_deadened("50", "a"), "mix"), Wanted(have=(("a", amount("96 g")),)))
    assert sheet.mass == 240
