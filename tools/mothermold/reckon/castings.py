"""How many castings give so many good ones, as surely as wanted.

Of a known rate p the good ones of n castings are binomial, and the answer is the smallest n with

    P(Binom(n, p) >= N) >= confidence,

the negative binomial's quantile: the n-th casting is the N-th good one with the chance C(n-1, N-1) p^N (1-p)^(n-N).

Of a rate known only from castings on record it is beta-binomial with Jeffreys' prior Beta(1/2, 1/2): after g good ones and s
scrapped the chance that the n-th is the N-th good one is C(n-1, N-1) B(a+N, b+n-N) / B(a, b) with a = g + 1/2 and b = s + 1/2. The
few castings behind a rate so count as few. (Textbook results; Jeffreys, Theory of Probability, 1961, from memory. The project's
trade reference holds the checked table.)

Everything is reckoned in whole numbers, so that a chance that meets the confidence to the last digit, as one casting at 95 % for 95 %,
is not lost to rounding; a confidence is therefore given as the fraction that was typed.

Castings out of one cup, or out of one worn mold, fail together: then even this many may be too few. Whoever shows the figure says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

ENOUGH_ON_RECORD: Final = 8
"""From so many castings on record on their own rate is used; below, a rate has to be told."""
USUAL_CONFIDENCE: Final = Fraction(9, 10)
MOST_CASTINGS: Final = 1000
"""More than these no bench casts for one thing; what needs more needs a better recipe."""


def castings_at_rate(good: int, rate: Fraction, confidence: Fraction = USUAL_CONFIDENCE) -> int | None:
    """The fewest castings that give so many good ones with the confidence, at a rate that is known.

    Args:
        good: How many good ones are wanted.
        rate: The share of castings that come out good, above 0 and at most 1.
        confidence: Above 0 and below 1.

    Returns:
        The number; None where it is more than ``MOST_CASTINGS``.
    """
    return _fewest(good, _at_rate(good, rate), confidence)


def castings_after(good: int, came_good: int, castings: int, confidence: Fraction = USUAL_CONFIDENCE) -> int | None:
    """The same where the rate is known only from castings on record.

    Args:
        good: How many good ones are wanted.
        came_good: How many on record came out good.
        castings: How many are on record.
        confidence: Above 0 and below 1.

    Returns:
        The number; None where it is more than ``MOST_CASTINGS``.
    """
    return _fewest(good, _after(good, came_good, castings - came_good), confidence)


def _fewest(good: int, chances: Iterator[tuple[int, int]], confidence: Fraction) -> int | None:
    if good <= 0:
        return 0
    for castings, (reached, whole) in zip(range(good, MOST_CASTINGS + 1), chances, strict=False):
        if reached * confidence.denominator >= confidence.numerator * whole:
            return castings
    return None


def _at_rate(good: int, rate: Fraction) -> Iterator[tuple[int, int]]:
    """The chance that the good ones are reached with N, N + 1, ... castings, each as a share of a whole."""
    came, of = rate.numerator, rate.denominator
    lost, castings = of - came, good
    last, whole = came**good, of**good
    reached = last
    while True:
        yield reached, whole
        # C(n, N-1) follows from C(n-1, N-1) without a remainder; one more casting was lost.
        last = last * lost * castings // (castings - good + 1)
        whole *= of
        reached = reached * of + last
        castings += 1


def _after(good: int, came_good: int, scrapped: int) -> Iterator[tuple[int, int]]:
    """The same by the record. Halves are doubled: a = alpha / 2, b = beta / 2, and each casting brings a factor 2 (a + b + n)."""
    alpha, beta = 2 * came_good + 1, 2 * scrapped + 1
    last = whole = 1
    for number in range(good):
        last *= alpha + 2 * number
        whole *= alpha + beta + 2 * number
    reached, castings = last, good
    while True:
        yield reached, whole
        lost = castings - good
        last = last * (beta + 2 * lost) * castings // (lost + 1)
        more = alpha + beta + 2 * castings
        whole *= more
        reached = reached * more + last
        castings += 1
