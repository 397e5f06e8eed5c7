"""Gypsum, against the trade reference's rows on gypsum chemistry.

Sources, as it states them: molar masses from the library periodictable (tag b), "18.6" for the gauging water in dental
texts (tag c); the other rows were computed there from these (tag b). The burn case is S5, its abstract read (tag a).
Standard atomic weights below: from memory, as periodictable gives them.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from mothermold.reckon.gypsum import GAUGING, Slurry, dry_target, heat_rise, slurry_for_volume, slurry_from_powder

CALCIUM, SULFUR, OXYGEN, HYDROGEN = 40.078, 32.065, 15.9994, 1.00794
WATER = 2 * HYDROGEN + OXYGEN
ANHYDRITE = CALCIUM + SULFUR + 4 * OXYGEN


# Tag b: 18.618 g per 100 g. A database that stores the doubled formula (290.296 g/mol) would give 9.3.
def test_gauging_water() -> None:
    assert float(GAUGING) == pytest.approx(18.618, abs=0.001)
    assert float(GAUGING) == pytest.approx(150 * WATER / (ANHYDRITE + WATER / 2), abs=0.005)


# Tag b: on the way from gypsum back to hemihydrate 15.70 % of its weight go.
def test_combined_water() -> None:
    assert float(GAUGING / (100 + GAUGING) * 100) == pytest.approx(15.70, abs=0.02)


# Tag b, powder 2.75 and water 0.998 g/ml: volume of 100 g, wet density, powder per liter, free water, dry density, loss.
ROWS = [
    (22, 58.41, 2.089, 1712, 3.38, 2.031, 2.8),
    (30, 66.42, 1.957, 1506, 11.38, 1.786, 8.8),
    (38, 74.44, 1.854, 1343, 19.38, 1.594, 14.0),
    (40, 76.44, 1.831, 1308, 21.38, 1.552, 15.3),
    (60, 96.48, 1.658, 1036, 41.38, 1.229, 25.9),
    (70, 106.50, 1.596, 939, 51.38, 1.114, 30.2),
]


@pytest.mark.parametrize("row", ROWS, ids=[f"W/P {row[0]}" for row in ROWS])
def test_slurry_of_a_ratio(row: tuple[float, ...]) -> None:
    ratio, volume, wet, per_liter, free, dry, loss = row
    slurry: Slurry = slurry_from_powder(Fraction(100), Fraction(ratio))
    found = (slurry.volume, slurry.wet_density, slurry.free_water, slurry.dry_density, slurry.loss * 100)
    assert [float(each) for each in found] == pytest.approx([volume, wet, free, dry, loss], abs=0.05, rel=5e-4)
    assert float(slurry_for_volume(Fraction(1000), Fraction(ratio)).powder) == pytest.approx(per_liter, abs=1)


# Tag b: m_dry = powder * 1.18618, and the weight at demold * 118.6/(100 + W/P), 0.86 of it at 38.
def test_dry_weight() -> None:
    slurry = slurry_from_powder(Fraction(1000), Fraction(38))
    assert float(slurry.dry) == pytest.approx(1186.18, abs=0.02)
    assert dry_target(slurry.powder + slurry.water, Fraction(38)) == slurry.dry
    assert float(dry_target(Fraction(1), Fraction(38))) == pytest.approx(0.86, abs=0.005)


# Tag b from enthalpies from memory (c): alpha and beta in K; hardening plaster at 70 degC (S5, tag a) is of this order.
@pytest.mark.parametrize(("ratio", "alpha", "beta"), [(30, 67, 75), (40, 54, 61), (60, 39, 44), (70, 34, 39)])
def test_adiabatic_rise(ratio: int, alpha: int, beta: int) -> None:
    assert [float(each) for each in heat_rise(Fraction(ratio))] == pytest.approx([alpha, beta], abs=0.6)
