"""Gypsum: what is refused, and the gate before a mold is sealed."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.gypsum import GAUGING, dry_target, heat_rise, is_dry, slurry_for_volume, slurry_from_powder


@pytest.mark.parametrize("ratio", ["18.6", "0", "-5", "100.1"])
def test_a_ratio_that_sets_no_mold_is_refused_everywhere(ratio: str) -> None:
    for asked in (
        lambda: slurry_from_powder(Fraction(100), Fraction(ratio)),
        lambda: slurry_for_volume(Fraction(100), Fraction(ratio)),
        lambda: dry_target(Fraction(100), Fraction(ratio)),
        lambda: heat_rise(Fraction(ratio)),
    ):
        with pytest.raises(ReckoningError) as refusal:
            asked()
        assert refusal.value.code == "beyond-range"


def test_at_the_gauging_water_nothing_is_left_to_dry() -> None:
    slurry = slurry_from_powder(Fraction(100), GAUGING)
    assert (slurry.free_water, slurry.loss) == (0, 0)
    assert slurry.wet_density == slurry.dry_density


def test_the_slurry_for_a_volume_fills_it_exactly() -> None:
    slurry = slurry_for_volume(Fraction(2500), Fraction(38), Fraction("2.6"), Fraction(1))
    assert slurry.volume == 2500
    assert slurry.water == slurry.powder * Fraction(38, 100)
    assert slurry.powder / Fraction("2.6") + slurry.water == 2500


@pytest.mark.parametrize("powder", [0, -1])
def test_nothing_makes_no_slurry(powder: int) -> None:
    with pytest.raises(ReckoningError, match="nothing or less"):
        slurry_from_powder(Fraction(powder), Fraction(38))


def test_a_density_of_nothing_is_refused() -> None:
    with pytest.raises(ReckoningError, match="nothing or less"):
        slurry_for_volume(Fraction(100), Fraction(38), Fraction(0))


def _weighings(*told: tuple[int, int]) -> list[tuple[date, Fraction]]:
    return [(date(2026, 4, day), Fraction(grams)) for day, grams in told]


@pytest.mark.parametrize(
    ("told", "dry"),
    [
        ([], False),
        ([(1, 9000)], False),
        ([(1, 9000), (2, 8800)], False),
        ([(1, 9000), (2, 8800), (3, 8800)], True),
        ([(3, 8800), (1, 9000), (2, 8800)], True),
        ([(2, 8800), (2, 8800)], False),
        ([(1, 8800), (2, 8790), (2, 8800)], False),
        ([(1, 8800), (2, 8800), (2, 8800)], True),
        ([(1, 8800), (2, 8800), (9, 8850)], False),
    ],
)
def test_a_mold_is_dry_when_two_weighings_a_day_apart_are_equal(told: list[tuple[int, int]], dry: bool) -> None:
    assert is_dry(_weighings(*told)) is dry


def test_the_heat_of_both_powders_is_what_a_hand_works_out() -> None:
    # 118.618 g of stone at 1.09, and 30 - 18.618 g of water left over at 4.18: 176.87 J/K for 11800 and 13300 J.
    assert [round(float(each), 1) for each in heat_rise(Fraction(30))] == [66.7, 75.2]
