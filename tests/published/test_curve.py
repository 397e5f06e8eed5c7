"""A flat piece on a curved head, against the trade reference's table of geometry (all tag b, computed there;
one of its strains, 10.3305 %, is rounded up)."""

from __future__ import annotations

from math import pi

import pytest

from mothermold.reckon.curve import fit

# Radius of the sphere, of the disc; circumference on the sphere; hoop strain and its approximation in %; excess in mm.
ROWS = [
    (90, 20, 124.632, -0.821, -0.823, 1.03),
    (90, 40, 243.135, -3.260, -3.292, 8.19),
    (90, 60, 349.680, -7.245, -7.407, 27.31),
    (90, 90, 475.841, -15.853, -16.667, 89.65),
    (75, 60, 338.046, -10.331, -10.667, 38.95),
]


@pytest.mark.parametrize("row", ROWS, ids=[f"R{row[0]} s{row[1]}" for row in ROWS])
def test_a_flat_disc_on_a_sphere(row: tuple[float, ...]) -> None:
    radius, half, around, strain, about, excess = row
    found = fit("disc", half, radius, radius)
    assert (found.share * 100, found.about * 100) == pytest.approx((strain, about), abs=6e-4)
    assert found.wrinkle == pytest.approx(excess, abs=0.005)
    assert 2 * pi * half - found.wrinkle == pytest.approx(around, abs=5e-4)


# The limit 3(2 pi r - C)/(pi r^3) gives the curvature itself: 1.23456e-4 at R 90 and r 1.
def test_the_excess_of_a_small_disc_gives_the_curvature() -> None:
    assert 3 * fit("disc", 1, 90, 90).wrinkle / pi == pytest.approx(1.23456e-4, abs=5e-9)


# A practitioner's reading, computed: a 40 mm band at R 90 is off by 2.5 %, three times a disc of that half-width.
def test_a_band_is_off_three_times_as_much_as_a_disc() -> None:
    band, disc = fit("band", 20, 90, 90), fit("disc", 20, 90, 90)
    assert band.share * 100 == pytest.approx(-2.5, abs=0.05)
    assert band.about == pytest.approx(3 * disc.about)


# The same: at 2 % a disc may be 62 mm across, a band 36.
def test_how_large_a_piece_may_be_at_two_percent() -> None:
    found = [2 * (fit(shape, 20, 90, 90).largest or 0) for shape in ("disc", "band")]
    assert [int(each) for each in found] == [62, 36]


# Local curvature is 1/(R1 R2); cylinders can be laid flat without stretch.
def test_only_the_product_of_two_radii_counts_and_a_cylinder_takes_any_piece() -> None:
    assert fit("disc", 20, 60, 135).share == pytest.approx(fit("disc", 20, 90, 90).share)
    cylinder = fit("disc", 200, 60, None)
    assert (cylinder.share, cylinder.wrinkle, cylinder.largest) == (0, 0, None)
