"""How sure a few runs make one: rates of failure, before and after a fix.

Rates carry Wilson's score interval, and their difference Newcombe's hybrid of two of them, both without continuity correction
at 95 % (Newcombe, Statistics in Medicine 17 (1998) 857 and 873). Whether the later rate is lower is asked by Fisher's exact
test, one-sided, in exact fractions: the hypergeometric chance of as few failures or fewer among the later runs.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

Z: Final = 1.959963984540054
"""The normal deviate of a two-sided 95 % interval."""
HELD_AT: Final = Fraction(1, 20)
LIKELY_AT: Final = Fraction(1, 5)
MOST_RUNS_TO_SETTLE: Final = 200

Verdict = Literal["too few runs", "worse", "held", "likely", "no better"]


@dataclass(frozen=True, slots=True)
class Tally:
    """So many of so many runs failed.

    Attributes:
        failed: 0 or more, at most ``runs``.
        runs: 0 or more.
    """

    failed: int
    runs: int

    @property
    def rate(self) -> Fraction:
        """The share that failed; of no run it is nothing that can be said.

        Raises:
            ZeroDivisionError: There is no run.
        """
        return Fraction(self.failed, self.runs)


def wilson(tally: Tally, deviate: float = Z) -> tuple[float, float]:
    """The score interval of a rate, from 0 to 1, at 95 % unless another normal deviate is given; of no run the whole of it."""
    n = tally.runs
    if not n:
        return 0.0, 1.0
    rate, square = tally.failed / n, deviate * deviate
    middle = rate + square / (2 * n)
    half = deviate * math.sqrt(rate * (1 - rate) / n + square / (4 * n * n))
    whole = 1 + square / n
    # At either end the formula gives 0 or 1 but for the last bit.
    low = 0.0 if not tally.failed else (middle - half) / whole
    high = 1.0 if tally.failed == n else (middle + half) / whole
    return low, high


def difference(before: Tally, after: Tally) -> tuple[float, float, float] | None:
    """Rate after less rate before, and its 95 % interval; None where either has no run."""
    if not before.runs or not after.runs:
        return None
    old, new = float(before.rate), float(after.rate)
    (old_low, old_high), (new_low, new_high) = wilson(before), wilson(after)
    change = new - old
    return (
        change,
        change - math.hypot(new - new_low, old_high - old),
        change + math.hypot(new_high - new, old - old_low),
    )


def chance_of_fewer(before: Tally, after: Tally) -> Fraction:
    """The one-sided exact p: how likely so few failures or fewer fall among the later runs, were nothing changed."""
    failed, runs = before.failed + after.failed, before.runs + after.runs
    least = max(0, failed - before.runs)
    term = ways = math.comb(after.runs, least) * math.comb(before.runs, failed - least)
    for count in range(least, after.failed):
        # Each way to deal the failures follows from the one before it, without a remainder.
        term = term * (after.runs - count) * (failed - count) // ((count + 1) * (before.runs - failed + count + 1))
        ways += term
    return Fraction(ways, math.comb(runs, failed))


@lru_cache(maxsize=1 << 12)
def judge(before: Tally, after: Tally) -> Verdict:
    """Whether a fix held, as far as the runs can say."""
    if not before.failed or not after.runs:
        return "too few runs"
    if after.rate > before.rate and chance_of_fewer(after, before) <= LIKELY_AT:
        return "worse"
    chance = chance_of_fewer(before, after)
    if chance <= HELD_AT:
        return "held"
    if chance <= LIKELY_AT:
        return "likely"
    if chance_of_fewer(before, Tally(0, after.runs)) > HELD_AT:
        return "too few runs"
    return "no better"


@lru_cache(maxsize=1 << 12)
def clean_runs_to_settle(before: Tally, after: Tally) -> int | None:
    """The fewest further runs, none failing, that bring p to 0.05 or less; None above 200, and where nothing failed before."""
    if not before.failed:
        return None
    # With every clean run the chance falls, so the first that is small enough can be searched by halves.
    fewest = bisect_left(
        range(MOST_RUNS_TO_SETTLE + 1),
        True,
        key=lambda more: chance_of_fewer(before, Tally(after.failed, after.runs + more)) <= HELD_AT,
    )
    return fewest if fewest <= MOST_RUNS_TO_SETTLE else None
