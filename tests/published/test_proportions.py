"""Rates and their differences against published tables, and against scipy as reference library.

Sources, as the trade reference states them: Newcombe 1998, table I (quoted alike in several public test suites) and his hybrid
score interval for differences; R manual, fisher.test (S41, read). "Computed" values were computed there.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy.stats import binomtest, fisher_exact

from mothermold.reckon.proportions import Tally, chance_of_fewer, clean_runs_to_settle, difference, judge, wilson


# Newcombe 1998, table I, score method; then computed.
@pytest.mark.parametrize(
    ("failed", "runs", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718),
        (0, 10, 0.0, 0.2775), (1, 10, 0.0179, 0.4042), (3, 10, 0.1078, 0.6032), (7, 10, 0.3968, 0.8922),
        (9, 10, 0.5959, 0.9821), (10, 10, 0.7225, 1.0),
    ],
)  # fmt: skip
def test_score_intervals_are_those_of_the_table(failed: int, runs: int, low: float, high: float) -> None:
    assert wilson(Tally(failed, runs)) == (pytest.approx(low, abs=6e-5), pytest.approx(high, abs=6e-5))


# NIST e-Handbook 7.2.4.1 (S39, read): 26 of 200, one-sided lower limit at 95 %, printed 0.09577.
def test_the_lower_limit_of_the_handbook() -> None:
    assert wilson(Tally(26, 200), deviate=1.6448536269514722)[0] == pytest.approx(0.09577, abs=5e-6)


# Newcombe 1998, hybrid score: first minus second; the first verified in public, all computed.
@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339), ((9, 10), (3, 10), 0.1705, 0.8090), ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926), ((0, 10), (0, 20), -0.1611, 0.2775), ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0), ((10, 10), (0, 10), 0.6075, 1.0),
    ],
)  # fmt: skip
def test_differences_are_those_of_the_table(
    first: tuple[int, int], second: tuple[int, int], low: float, high: float
) -> None:
    found = difference(Tally(*second), Tally(*first))
    assert found is not None
    assert found[0] == pytest.approx(first[0] / first[1] - second[0] / second[1])
    assert found[1:] == (pytest.approx(low, abs=6e-5), pytest.approx(high, abs=6e-5))


# R manual, fisher.test: the tea table, printed 0.2429 one-sided; the twins data, 4.6518e-4 (p of fewer in the first row).
def test_the_exact_chances_of_the_r_manual() -> None:
    assert float(chance_of_fewer(Tally(3, 4), Tally(1, 4))) == pytest.approx(0.242857, abs=1e-6)
    assert float(chance_of_fewer(Tally(15, 18), Tally(2, 12))) == pytest.approx(4.6518e-4, rel=1e-4)


# Before and after a fix, computed: one-sided chance, and the interval of the change.
@pytest.mark.parametrize(
    ("before", "after", "chance", "low", "high"),
    [
        ((5, 10), (1, 10), 0.0704, -0.676, 0.002), ((5, 10), (0, 10), 0.0163, -0.763, -0.117),
        ((4, 10), (0, 10), 0.0433, -0.687, -0.038), ((6, 20), (2, 20), 0.1176, -0.431, 0.054),
        ((7, 20), (1, 20), 0.0218, -0.521, -0.049),
    ],
)  # fmt: skip
def test_before_and_after_a_fix(
    before: tuple[int, int], after: tuple[int, int], chance: float, low: float, high: float
) -> None:
    old, new = Tally(*before), Tally(*after)
    assert float(chance_of_fewer(old, new)) == pytest.approx(chance, abs=5e-5)
    found = difference(old, new)
    assert found is not None
    assert found[1:] == (pytest.approx(low, abs=5e-4), pytest.approx(high, abs=5e-4))


@pytest.mark.parametrize(
    ("before", "after", "chance"),
    [((2, 5), (0, 5), 0.2222), ((3, 5), (0, 5), 0.0833), ((3, 4), (0, 8), 0.0182)],
)
def test_the_chances_of_few_runs(before: tuple[int, int], after: tuple[int, int], chance: float) -> None:
    assert float(chance_of_fewer(Tally(*before), Tally(*after))) == pytest.approx(chance, abs=5e-5)


# Order of the verdicts as agreed: too few, worse, held, likely, too few to reach it, no better.
@pytest.mark.parametrize(
    ("before", "after", "verdict"),
    [
        ((0, 9), (5, 9), "too few runs"), ((3, 5), (0, 0), "too few runs"), ((1, 4), (4, 4), "worse"),
        ((3, 4), (0, 8), "held"), ((4, 10), (0, 10), "held"), ((3, 5), (0, 5), "likely"), ((6, 20), (2, 20), "likely"),
        ((2, 5), (0, 5), "too few runs"), ((2, 4), (0, 4), "too few runs"), ((5, 10), (4, 10), "no better"),
        ((6, 9), (6, 9), "no better"), ((1, 10), (2, 10), "too few runs"), ((5, 10), (6, 10), "no better"),
    ],
)  # fmt: skip
def test_verdicts(before: tuple[int, int], after: tuple[int, int], verdict: str) -> None:
    assert judge(Tally(*before), Tally(*after)) == verdict


def test_the_clean_runs_that_would_settle_it() -> None:
    # 2 of 4 before, none of 4 since: 6/(n+4)(n+3) falls to 0.05 with 8 more, by hand C(4,2)/C(16,2) = 6/120.
    assert clean_runs_to_settle(Tally(2, 4), Tally(0, 4)) == 8
    assert clean_runs_to_settle(Tally(3, 4), Tally(0, 8)) == 0
    assert clean_runs_to_settle(Tally(0, 4), Tally(0, 8)) is None
    assert clean_runs_to_settle(Tally(1, 400), Tally(0, 1)) is None


COUNTS = some.integers(0, 40).flatmap(lambda runs: some.tuples(some.integers(0, runs), some.just(runs)))


@given(COUNTS, COUNTS)
def test_scipy_says_the_same(before: tuple[int, int], after: tuple[int, int]) -> None:
    old, new = Tally(*before), Tally(*after)
    table = [[new.failed, new.runs - new.failed], [old.failed, old.runs - old.failed]]
    assert float(chance_of_fewer(old, new)) == pytest.approx(fisher_exact(table, alternative="less")[1], abs=1e-9)
    if new.runs:
        theirs = binomtest(new.failed, new.runs).proportion_ci(confidence_level=0.95, method="wilson")
        assert wilson(new) == pytest.approx((theirs.low, theirs.high), abs=1e-12)
