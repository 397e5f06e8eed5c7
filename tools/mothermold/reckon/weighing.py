"""What is weighed of each part, and on which scale: one cup stands on it, and what went in before stays in.

A scale must be fine enough and carry what the cup then holds, so a part of 5 g into a cup with 300 g does not go on a scale
up to 200 g. Parts of one weight print equal: they go on the scale that carries the last of them. By the contract of the
project; the step where no scale fits is common practice, no source. The browser does the same (publish/theme/assets/batch.js).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.model.settings import Scale
from mothermold.reckon.mixes import ResolvedPart

COMMON_STEP: Final = Fraction(1, 10)
"""Grams a scale shows where the book names none fine or strong enough."""


@dataclass(frozen=True, slots=True)
class WeighingLine:
    """One line of the sheet, in pouring order.

    Attributes:
        name: Material or premix.
        grams: Exact; None for a part outside the arithmetic.
        milliliters: Exact; None where the density is missing.
        share: Of the whole batch by weight.
        weigh: Grams rounded to the scale that weighs it.
        reads: What the scale reads after it, without taring in between.
        step: The step of that scale.
        scale: What that scale is called; empty where none of the book carries the cup, or nothing is weighed.
        outside: As written, what is measured by eye; on a flat sheet a material may have that and a weight.
    """

    name: str
    grams: Fraction | None
    milliliters: Fraction | None
    share: Fraction | None
    weigh: Fraction | None
    reads: Fraction | None
    step: Fraction
    scale: str
    outside: str


def weighed_out(
    parts: Sequence[ResolvedPart], factor: Fraction, mass: Fraction | None, scales: Sequence[Scale]
) -> tuple[WeighingLine, ...]:
    """The lines of a sheet.

    Args:
        parts: The parts in pouring order, at their nominal amount.
        factor: How often that amount is mixed.
        mass: Grams of the batch in all, or None.
        scales: The scales on the bench.
    """
    coarsest: dict[Fraction, Fraction] = {}
    while True:
        lines = _poured(parts, factor, mass, scales, coarsest)
        found: dict[Fraction, Fraction] = {}
        for line in lines:
            if line.grams is not None:
                found[line.grams] = max(line.step, found.get(line.grams, line.step))
        # A coarser step moves the sum, which may ask for a larger scale once more; steps only grow, so it ends.
        if all(line.grams is None or line.step == found[line.grams] for line in lines):
            return lines
        coarsest = found


def _poured(
    parts: Sequence[ResolvedPart],
    factor: Fraction,
    mass: Fraction | None,
    scales: Sequence[Scale],
    coarsest: dict[Fraction, Fraction],
) -> tuple[WeighingLine, ...]:
    lines: list[WeighingLine] = []
    held = reads = Fraction(0)
    for part in parts:
        grams = part.mass * factor if part.mass is not None else None
        scale, step = None, COMMON_STEP
        weigh = read = None
        if grams is not None:
            least = coarsest.get(grams, Fraction(0))
            scale = scale_for(grams, scales, held, reads, least)
            step = scale.step.value if scale is not None else max(COMMON_STEP, least)
            weigh = round_to(grams, step)
            held, reads = held + grams, reads + weigh
            read = reads
        volume = part.volume * factor if part.volume is not None else None
        share = grams / mass if grams is not None and mass else None
        name = str(scale.id) if scale is not None else ""
        lines.append(WeighingLine(part.name, grams, volume, share, weigh, read, step, name, part.outside))
    return tuple(lines)


def scale_for(
    grams: Fraction,
    scales: Sequence[Scale],
    held: Fraction = Fraction(0),
    reads: Fraction = Fraction(0),
    least: Fraction = Fraction(0),
) -> Scale | None:
    """The finest scale that carries the cup with a part in it and can show the reading; None where none does.

    Args:
        grams: The part, exact.
        scales: The scales on the bench.
        held: What the cup holds before, exact.
        reads: What the scale reads before.
        least: The finest step that is wanted.
    """
    fit = [
        scale
        for scale in scales
        if scale.step.value > 0
        and scale.step.value >= least
        and scale.up_to.value >= max(held + grams, reads + round_to(grams, scale.step.value))
    ]
    return min(fit, key=lambda scale: scale.step.value, default=None)


def scale_words(lines: Sequence[WeighingLine], scales: Sequence[Scale]) -> list[str]:
    """What is said before each line of a sheet about its scale: where the cup moves to another, or none carries it.

    Nothing is said where one scale does for the whole cup, nor where the book names no scale.
    """
    names = [line.scale for line in lines if line.weigh is not None]
    moves = bool(scales) and (len(set(names)) > 1 or "" in names)
    said: list[str] = []
    before: str | None = None
    for line in lines:
        words = ""
        if moves and line.weigh is not None and line.scale != before:
            again = " from here" if before is not None else ""
            tare = ": put the cup on, tare, and go by what to weigh" if again else ""
            words = (
                f"On the scale {line.scale}{again}{tare}."
                if line.scale
                else f"No scale of the book carries the cup{again}; weigh what follows by itself."
            )
            before = line.scale
        said.append(words)
    return said


def round_to(grams: Fraction, step: Fraction) -> Fraction:
    """Rounds to a scale's step, halves up, as a bench does."""
    return math.floor(grams / step + Fraction(1, 2)) * step
