"""A flat piece on a curved head: saddles, tolerances, and what is refused."""

from __future__ import annotations

import pytest

from mothermold.reckon.curve import Shape, fit
from mothermold.reckon.errors import ReckoningError


@pytest.mark.parametrize("shape", ["disc", "band"])
def test_on_a_saddle_the_edge_has_to_stretch(shape: Shape) -> None:
    found = fit(shape, 30, 60, 90, saddle=True)
    assert found.surface == "saddle"
    assert found.share > found.about > 0 > found.wrinkle


@pytest.mark.parametrize("saddle", [False, True])
@pytest.mark.parametrize("shape", ["disc", "band"])
def test_a_piece_as_large_as_allowed_is_off_by_the_tolerance(shape: Shape, saddle: bool) -> None:
    largest = fit(shape, 10, 75, 90, saddle=saddle, tolerance=0.035).largest
    assert largest is not None
    assert abs(fit(shape, largest, 75, 90, saddle=saddle).share) == pytest.approx(0.035, rel=1e-9)


def test_the_answer_for_a_band_is_told_for_each_100_mm_of_its_edge() -> None:
    found = fit("band", 20, 90, 90)
    assert found.wrinkle == pytest.approx(-100 * found.share)


@pytest.mark.parametrize(
    ("half", "radius", "across", "tolerance", "code"),
    [
        (0, 90, 90, 0.02, "out-of-range"),
        (20, -90, 90, 0.02, "out-of-range"),
        (20, 90, 0, 0.02, "out-of-range"),
        (float("inf"), 90, 90, 0.02, "out-of-range"),
        (142, 90, 90, 0.02, "beyond-range"),
        (20, 90, 90, 0, "beyond-range"),
        (20, 90, 90, 0.21, "beyond-range"),
    ],
)
def test_what_the_formulas_do_not_hold_for_is_refused(
    half: float, radius: float, across: float, tolerance: float, code: str
) -> None:
    with pytest.raises(ReckoningError) as refusal:
        fit("disc", half, radius, across, tolerance=tolerance)
    assert refusal.value.code == code


def test_a_quarter_of_the_way_round_is_still_reckoned() -> None:
    assert fit("disc", 141, 90, 90).share < -0.3
