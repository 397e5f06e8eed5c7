"""What a scale's steps do to a mix: a part it cannot show well, and a ratio it moves.

The ratio is sacred: a part that is off by over 1 % of itself is told, and where none of two parts is, but their printed
weights stand to each other otherwise than the exact ones by over 1 %, these two. The 1 % is common practice, no source. The browser says the
same in the same words (publish/theme/assets/batch.js).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.reckon.weighing import WeighingLine, round_to

TOLERATED: Final = Fraction(1, 100)
"""How far rounding may move a part of itself, or one part against another."""


@dataclass(frozen=True, slots=True)
class Moved:
    """The two parts rounding moves most against each other.

    Attributes:
        heavier: The part that prints too heavy against the other.
        lighter: The other.
        by: How far their ratio is off, as a share of the exact ratio.
    """

    heavier: str
    lighter: str
    by: Fraction


def too_coarse(line: WeighingLine) -> bool:
    """Whether the scale shows a part's weight off by more than is tolerated; a part below its step always is."""
    if not line.grams or line.weigh is None:
        return False
    return abs(line.weigh - line.grams) > TOLERATED * line.grams


def ratio_moved(lines: Sequence[WeighingLine]) -> Moved | None:
    """The worst pair of a sheet where rounding moves a ratio by more than is tolerated.

    ``(weigh a / weigh b) / (grams a / grams b) - 1``, the largest over all pairs. A part that is too coarse moves its
    ratio to every other, and is told by itself already. Of equal ones the first in pouring order counts.
    """
    factors = [
        (line.weigh / line.grams, line.name) for line in lines if line.grams and line.weigh and not too_coarse(line)
    ]
    if len(factors) < 2:
        return None
    heavier = max(factors, key=lambda each: each[0])
    lighter = min(factors, key=lambda each: each[0])
    by = heavier[0] / lighter[0] - 1
    return Moved(heavier[1], lighter[1], by) if by > TOLERATED else None


def by_eye_words(called: str, outside: str) -> str:
    """That no scale weighs a part, in a sentence: it is measured by eye."""
    return f"{called} is measured by eye ({outside}) and stays outside the arithmetic."


def in_digits(value: Fraction, count: int = 3) -> str:
    """A number above 0 with so many digits that matter, halves up, never in powers, without needless zeros."""
    if not value:
        return "0"
    power = len(str(value.numerator)) - len(str(value.denominator))
    if value < Fraction(10) ** power:
        power -= 1
    places = max(0, count - 1 - power)
    scaled = str(int(round_to(value, Fraction(10) ** (power - count + 1)) * 10**places)).rjust(places + 1, "0")
    if not places:
        return scaled
    return f"{scaled[:-places]}.{scaled[-places:]}".rstrip("0").rstrip(".")


def coarse_words(called: str, grams: Fraction, step: Fraction) -> str:
    """That a scale is too coarse for a part, in a sentence."""
    return f"{called} is {in_digits(grams)} g, and the scale shows steps of {in_digits(step)} g."


def moved_words(heavier: str, lighter: str, by: Fraction) -> str:
    """That rounding moves a ratio, in a sentence."""
    return f"Rounded to the scale, {heavier} is {in_digits(by * 100, 2)} % too much for {lighter}."
