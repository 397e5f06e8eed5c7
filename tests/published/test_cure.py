"""Pot life at another temperature, against the trade reference's rows on pot life.

Sources, as it states them: S46 a page on the 10 degree rule (read), S47 a page on epoxy pot life (read); what was
computed there says so.
"""

from __future__ import annotations

from fractions import Fraction
from math import exp

import pytest

from mothermold.reckon.cure import Q10_LONG, Q10_SHORT, Q10_USUAL, at_temperature, fitted_q10


# S46, read (tag a) and computed (tag b); the line for 45 degC by the rule alone, and too far away to be reckoned here.
@pytest.mark.parametrize(("minutes", "expected"), [(10, 5), (60, 30)])
def test_ten_degrees_warmer_halve_the_usual_time(minutes: int, expected: int) -> None:
    assert at_temperature(minutes, 25, 35).usual == expected


# S47, read (tag a).
def test_q10_is_usually_between_one_and_a_half_and_two_and_a_half() -> None:
    assert (Q10_SHORT, Q10_USUAL, Q10_LONG) == (1.5, 2, 2.5)


# Computed (tag b): 6 min at 23 degC with Q10 of 1.5, 2 and 2.5; 3.80 there is 3.795 rounded up.
@pytest.mark.parametrize(
    ("room", "mild", "usual", "steep"),
    [(15, 8.30, 10.45, 12.49), (18, 7.35, 8.49, 9.49), (28, 4.90, 4.24, 3.80), (33, 4.00, 3.00, 2.40)],
)
def test_six_minutes_at_23_degrees_elsewhere(room: int, mild: float, usual: float, steep: float) -> None:
    band = at_temperature(Fraction(6), Fraction(23), Fraction(room))
    found = (band.short, band.usual, band.long)
    assert found == pytest.approx((min(mild, steep), usual, max(mild, steep)), abs=0.006)


# Computed (tag b): 6 min at 23 degC and 4 min at 30 degC.
def test_q10_from_two_logs() -> None:
    assert fitted_q10(6, 23, 4, 30) == pytest.approx(1.7847, abs=5e-5)


# Computed (tag b): an activation energy of 50 kJ/mol gives Q10 2.0137 from 15 to 25 and 1.9243 from 25 to 35 degC.
@pytest.mark.parametrize(("cool", "warm", "q10"), [(15, 25, 2.0137), (25, 35, 1.9243)])
def test_an_arrhenius_rate_has_about_the_usual_q10(cool: int, warm: int, q10: float) -> None:
    def minutes(celsius: int) -> float:
        return exp(50_000 / 8.314462618 / (celsius + 273.15)) * 1e-8

    assert fitted_q10(minutes(cool), cool, minutes(warm), warm) == pytest.approx(q10, abs=1e-4)
