"""Verdicts at their limits: a chance of exactly one in twenty, of exactly one in five, and one run more or less."""

from __future__ import annotations

from fractions import Fraction

import pytest

from mothermold.reckon.proportions import (
    Tally,
    Verdict,
    chance_of_fewer,
    clean_runs_to_settle,
    difference,
    judge,
    wilson,
)

TWENTIETH, FIFTH = Fraction(1, 20), Fraction(1, 5)


def test_a_chance_of_exactly_one_in_twenty_has_held() -> None:
    # Three of three before, none of three since: one of the twenty ways to deal three failures to six runs.
    before, after = Tally(3, 3), Tally(0, 3)
    assert chance_of_fewer(before, after) == TWENTIETH
    assert judge(before, after) == "held"
    assert judge(before, Tally(0, 2)) == "likely"


def test_a_chance_of_exactly_one_in_five_is_likely() -> None:
    before, after = Tally(1, 1), Tally(0, 4)
    assert chance_of_fewer(before, after) == FIFTH
    assert judge(before, after) == "likely"
    assert judge(before, Tally(0, 3)) == "too few runs"


def test_a_chance_of_exactly_one_in_five_is_worse_the_other_way_round() -> None:
    # Four failures among six runs: three of the fifteen ways leave one or none among the first three.
    before, after = Tally(1, 3), Tally(3, 3)
    assert chance_of_fewer(after, before) == FIFTH
    assert judge(before, after) == "worse"
    assert judge(Tally(1, 2), Tally(3, 3)) != "worse"


def test_as_often_as_before_is_never_worse() -> None:
    assert judge(Tally(4, 8), Tally(4, 8)) == "no better"
    assert judge(Tally(1, 2), Tally(1, 2)) == "too few runs"


def test_runs_that_could_just_have_settled_it_and_did_not_are_no_better() -> None:
    # Had none of the three failed, the chance would be exactly one in twenty: enough runs, and no fewer failures.
    assert judge(Tally(3, 3), Tally(2, 3)) == "no better"
    assert judge(Tally(3, 3), Tally(2, 2)) == "too few runs"


@pytest.mark.parametrize(
    ("before", "after", "verdict"),
    [
        (Tally(0, 5), Tally(0, 5), "too few runs"),
        (Tally(0, 5), Tally(5, 5), "too few runs"),
        (Tally(5, 5), Tally(0, 0), "too few runs"),
        (Tally(1, 1), Tally(0, 1), "too few runs"),
    ],
)
def test_without_a_failure_before_or_a_run_since_nothing_can_be_said(
    before: Tally, after: Tally, verdict: Verdict
) -> None:
    assert judge(before, after) == verdict


@pytest.mark.parametrize(
    ("before", "after", "more"),
    [
        # One of n before and none of m since has the chance n in (n + m): one in twenty from m = 19 n on.
        (Tally(1, 10), Tally(0, 0), 190),
        (Tally(1, 11), Tally(0, 9), 200),
        (Tally(1, 11), Tally(0, 8), None),
        (Tally(3, 3), Tally(0, 3), 0),
        (Tally(3, 3), Tally(0, 2), 1),
        (Tally(0, 3), Tally(0, 3), None),
    ],
)
def test_the_clean_runs_that_settle_it_are_counted_up_to_two_hundred(
    before: Tally, after: Tally, more: int | None
) -> None:
    assert clean_runs_to_settle(before, after) == more


def test_of_no_run_a_rate_may_be_anything_and_has_no_difference() -> None:
    assert wilson(Tally(0, 0)) == (0.0, 1.0)
    assert difference(Tally(0, 0), Tally(1, 2)) is None
    assert difference(Tally(1, 2), Tally(0, 0)) is None
    found = difference(Tally(1, 1), Tally(0, 1))
    assert found is not None
    assert found[0] == -1.0
