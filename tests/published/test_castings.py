"""How many castings give so many good ones, against the trade reference's table and scipy as reference library.

The table, the spot values and the figures for a rate known only from a record were computed there with scipy (binom.sf and
nbinom.ppf agree for all of it; beta-binomial with Jeffreys' prior for the record); no printed table was read. Castings that come out
of one cup or one worn mold are not independent; none of this says otherwise.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy.stats import betabinom, binom, nbinom

from mothermold.reckon.castings import MOST_CASTINGS, castings_after, castings_at_rate

CONFIDENCES = [Fraction(each, 100) for each in (50, 80, 90, 95, 99)]
# By N, the castings at the rates .6, .7, .75, .8 and .9 for 50/80/90/95/99 %.
TABLE = {
    1: ("1/2/3/4/6", "1/2/2/3/4", "1/2/2/3/4", "1/1/2/2/3", "1/1/1/2/2"),
    3: ("5/6/7/8/11", "4/5/6/7/9", "4/5/6/6/8", "3/4/5/6/7", "3/4/4/5/5"),
    5: ("8/10/11/13/15", "7/8/9/10/12", "6/8/9/9/11", "6/7/8/9/10", "5/6/7/7/8"),
    10: ("16/19/21/23/26", "14/16/18/19/21", "13/15/16/17/19", "12/14/15/16/18", "11/12/13/13/14"),
    12: ("20/23/25/27/30", "17/19/21/22/25", "16/18/19/20/22", "15/17/18/19/20", "13/14/15/16/17"),
    20: ("33/37/40/42/46", "28/31/33/35/38", "26/29/31/32/35", "25/27/28/29/32", "22/23/24/25/27"),
}
RATES = [Fraction(each) for each in ("0.6", "0.7", "0.75", "0.8", "0.9")]


@pytest.mark.parametrize("good", TABLE)
def test_the_whole_table_of_castings_is_met(good: int) -> None:
    for rate, row in zip(RATES, TABLE[good], strict=True):
        got = "/".join(str(castings_at_rate(good, rate, confidence)) for confidence in CONFIDENCES)
        assert got == row, f"{good} good ones at {float(rate)}"


def test_the_chances_of_the_spots_are_met() -> None:
    # A hair less than the printed chance is reached with so many castings, a hair more is not.
    for castings, chance in ((12, "0.558346"), (14, "0.870160"), (15, "0.938949"), (16, "0.973343")):
        hair = Fraction(1, 2_000_000)
        assert castings_at_rate(10, Fraction(4, 5), Fraction(chance) - hair) == castings
        assert castings_at_rate(10, Fraction(4, 5), Fraction(chance) + hair) == castings + 1


def test_a_chance_that_just_meets_the_confidence_is_enough() -> None:
    assert castings_at_rate(1, Fraction("0.95"), Fraction("0.95")) == 1
    assert castings_at_rate(1, Fraction("0.95"), Fraction("0.9500001")) == 2


@pytest.mark.parametrize(
    ("came_good", "castings", "good", "needed"),
    [(7, 10, 5, 11), (7, 10, 10, 21), (4, 5, 10, 20), (10, 10, 5, 6), (10, 10, 10, 12)],
)
def test_a_rate_known_only_from_a_record_asks_for_more(came_good: int, castings: int, good: int, needed: int) -> None:
    assert castings_after(good, came_good, castings) == needed
    assert castings_at_rate(good, Fraction(came_good, castings)) <= needed


@given(good=some.integers(1, 30), rate=some.integers(20, 99), confidence=some.integers(5, 99))
@settings(max_examples=60)
def test_known_rates_agree_with_the_reference_library(good: int, rate: int, confidence: int) -> None:
    got = castings_at_rate(good, Fraction(rate, 100), Fraction(confidence, 100))
    assert got is not None
    assert binom.sf(good - 1, got, rate / 100) >= confidence / 100 - 1e-12
    assert got == good or binom.sf(good - 1, got - 1, rate / 100) < confidence / 100 + 1e-12
    assert abs(got - good - nbinom.ppf(confidence / 100, good, rate / 100)) <= 1


@given(
    good=some.integers(1, 15),
    came_good=some.integers(4, 20),
    scrapped=some.integers(0, 8),
    confidence=some.integers(50, 95),
)
@settings(max_examples=60)
def test_records_agree_with_the_reference_library(good: int, came_good: int, scrapped: int, confidence: int) -> None:
    got = castings_after(good, came_good, came_good + scrapped, Fraction(confidence, 100))
    if got is None:
        assert betabinom.sf(good - 1, MOST_CASTINGS, came_good + 0.5, scrapped + 0.5) < confidence / 100
        return
    assert betabinom.sf(good - 1, got, came_good + 0.5, scrapped + 0.5) >= confidence / 100 - 1e-9
    assert got == good or betabinom.sf(good - 1, got - 1, came_good + 0.5, scrapped + 0.5) < confidence / 100 + 1e-9


def test_nothing_wanted_asks_for_nothing_and_the_hopeless_is_not_counted_out() -> None:
    assert castings_at_rate(0, Fraction(1, 2)) == castings_after(0, 3, 9) == 0
    assert castings_at_rate(5, Fraction(1, 1000)) is None
    assert castings_after(5, 0, 8) is None
    assert castings_at_rate(7, Fraction(1)) == 7
