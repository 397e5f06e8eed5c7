"""Surfaces that run through themselves, and which way they face, at their limits."""

from __future__ import annotations

import numpy as np
import pytest

from mothermold.reckon.winding import overlaps, turned_outward
from reckon.solids import box, inverted, together


@pytest.mark.parametrize("axis", range(3))
def test_a_thin_overlap_is_found_by_the_lines_across_it_though_all_others_miss_it(axis: int) -> None:
    shift = np.zeros(3)
    shift[axis] = (10, 20, 30)[axis] - 0.05
    both = together(box(), box(tuple(shift)))
    assert overlaps(both, 10, 0.01)
    assert not overlaps(both, 10, 0.06)
    apart = together(box(), box(tuple(shift + np.where(shift > 0, 0.1, 0))))
    assert not overlaps(apart, 10, 0.01)


@pytest.mark.parametrize("scale", [1.0, 0.05])
def test_a_hollow_keeps_facing_inward_however_small_the_thing_is(scale: float) -> None:
    hollow = together(box(scale=scale), inverted(box(scale=scale * 0.8)))
    before = np.array(hollow.faces)
    assert not turned_outward(hollow)
    assert np.array_equal(hollow.faces, before)
    beside = together(box(scale=scale), inverted(box((0, 0, 40 * scale), scale=scale * 0.8)))
    assert turned_outward(beside)
