"""A batch sheet: how many grams of each part for a given cavity, and what the scale reads.

total = max(fill * castings * (1 + percent) * density + left in cups * portions, smallest batch)

The allowance comes on top of what is poured (+15 % of 129.6 g is 149.04 g, not 129.6 / 0.85). Common
practice, no source; the contract of the project fixes the formula.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.model.recipe import Allowance, Mix
from mothermold.model.settings import Scale
from mothermold.quantities import Quantity
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, ResolvedPart, by_eye, missing_density

COMMON_STEP: Final = Fraction(1, 10)
"""Grams a scale shows where the book names none fine or strong enough."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the batch is for: at most one of the fields is set.

    Attributes:
        fill: The cavity one pour fills, in milliliters.
        piece: The weight of a good casting with its flashing, in grams; no percent comes on top.
        have: What is left of parts; the scarcest decides.
        poured: A part and its grams that already stand in the cup; all else is scaled to it.
        castings: How many castings.
    """

    fill: Fraction | None = None
    piece: Fraction | None = None
    have: tuple[tuple[str, Quantity], ...] = ()
    poured: tuple[str, Fraction] | None = None
    castings: int = 1


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the sheet, in pouring order.

    Attributes:
        name: Material or premix.
        grams: Exact; None for a part outside the arithmetic.
        milliliters: Exact; None where the density is missing.
        share: Of the whole batch by weight.
        weigh: Grams rounded to the scale that weighs it.
        reads: What the scale reads after it, without taring in between.
        step: The step of that scale.
        outside: As written, what is measured by eye; on a flat sheet a material may have that and a weight.
    """

    name: str
    grams: Fraction | None
    milliliters: Fraction | None
    share: Fraction | None
    weigh: Fraction | None
    reads: Fraction | None
    step: Fraction
    outside: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A batch, exact and as weighed.

    Attributes:
        fill: Milliliters to be filled, before allowance; None for a plain batch, and where only weights were
            asked and a density is missing.
        mass: Grams in all, exact; None for fixed amounts of which one has a volume and no density.
        volume: Milliliters in all; None where a density is missing.
        portions: In how many equal portions it is mixed.
        lines: The parts.
        plain: Whether no allowance was added because none is written.
    """

    fill: Fraction | None
    mass: Fraction | None
    volume: Fraction | None
    portions: int
    lines: tuple[Line, ...]
    plain: bool


def reckon_batch(resolved: Resolved, wanted: Wanted, scales: Sequence[Scale], *, flat: bool = False) -> Sheet:
    """Reckons the batch for what is wanted, else for the mix's own cavity, layer or batch.

    Args:
        resolved: The mix in exact proportions.
        wanted: What the batch is for.
        scales: The scales on the bench.
        flat: Whether premixes are taken apart into raw materials.

    Raises:
        ReckoningError: ``no-fill``, ``missing-density``, ``not-scaled``, ``unknown-part`` or
            ``cups-too-large``.
    """
    mix = resolved.mix
    if resolved.fixed:
        return _fixed_sheet(resolved, wanted, scales, flat=flat)
    fill, mass, portions, plain = _total(resolved, mix, wanted)
    scale = mass / resolved.total_mass
    if flat and any(part.mass is None and part.volume is None and not by_eye(part) for part in resolved.materials):
        # A premix measured by volume and taken by weight, or the reverse.
        raise missing_density(resolved.lacking)
    lines = _lines(resolved.materials if flat else resolved.parts, scale, mass, scales)
    return Sheet(fill, mass, _volume(mass, resolved), portions, lines, plain)


def adjusted(before: Sheet, after: Sheet, poured: str) -> tuple[tuple[str, Fraction | None], ...]:
    """What is to be done about the parts that stand before a poured one: how much more of each is weighed in.

    Args:
        before: The batch as it was meant.
        after: The batch scaled to what was poured.
        poured: The part that was poured.

    Returns:
        Each earlier part with its grams on the scale, less than 0 where the cup already holds too much of it.
    """
    place = next((number for number, line in enumerate(after.lines) if line.name == poured), 0)
    return tuple(
        (now.name, now.weigh - was.weigh if now.weigh is not None and was.weigh is not None else None)
        for was, now in zip(before.lines[:place], after.lines[:place], strict=True)
    )


def own_fill(mix: Mix) -> Fraction | None:
    """The volume a mix fills by its own text, in milliliters: its cavity, or the layer it makes."""
    if mix.fills is not None:
        return mix.fills.value
    if mix.covers is not None:
        # cm2 times mm is a tenth of a milliliter.
        return mix.covers.area.value * mix.covers.thick.value / 10
    return None


def _volume(mass: Fraction, resolved: Resolved) -> Fraction | None:
    """Milliliters of a weight of the mix; None where a density is missing."""
    known = resolved.mix.density is not None or bool(resolved.mass and resolved.volume)
    return mass / resolved.density if known else None


def _total(resolved: Resolved, mix: Mix, wanted: Wanted) -> tuple[Fraction | None, Fraction, int, bool]:
    allowance = mix.allowance
    percent = allowance.percent.value if allowance and allowance.percent else Fraction(0)
    if wanted.poured is not None:
        name, grams = wanted.poured
        have = ((name, Quantity("mass", grams, grams, f"{grams} g")),)
        return (*_from_leftovers(resolved, have, percent), allowance is None)
    if wanted.have:
        return (*_from_leftovers(resolved, wanted.have, percent), allowance is None)
    if wanted.piece is not None:
        poured = wanted.piece * wanted.castings
        mass, portions = _with_cups(poured, allowance, resolved)
        return _volume(poured, resolved), mass, portions, allowance is None
    single = wanted.fill if wanted.fill is not None else own_fill(mix)
    if single is None:
        if mix.batch is None:
            raise ReckoningError(
                "no-fill",
                f"It is not said how much `{mix.id}` shall fill.",
                "Say `--fill 185 ml`, or type `fills:`, `covers:` or `batch:` in the mix.",
            )
        return None, _grams(mix.batch, resolved) * wanted.castings, 1, False
    fill = single * wanted.castings
    mass, portions = _with_cups(fill * (1 + percent) * resolved.density, allowance, resolved)
    return fill, mass, portions, allowance is None


def _grams(amount: Quantity, resolved: Resolved) -> Fraction:
    return amount.value if amount.dimension == "mass" else amount.value * resolved.density


def _with_cups(poured: Fraction, allowance: Allowance | None, resolved: Resolved) -> tuple[Fraction, int]:
    if allowance is None:
        return poured, 1
    cups = _grams(allowance.left_in_cups, resolved) if allowance.left_in_cups else Fraction(0)
    portions = 1
    if allowance.largest_batch is not None:
        largest = _largest(allowance.largest_batch, cups, resolved)
        # Each portion leaves its own rest in its own cups, so the rests count towards the largest batch.
        portions = max(1, math.ceil(poured / (largest - cups)))
    mass = poured + cups * portions
    if allowance.smallest_batch is not None:
        mass = max(mass, _grams(allowance.smallest_batch, resolved))
    return mass, portions


def _largest(amount: Quantity, cups: Fraction, resolved: Resolved) -> Fraction:
    largest = _grams(amount, resolved)
    if cups >= largest:
        raise ReckoningError(
            "cups-too-large",
            "What stays in the cups is as much as the largest batch.",
            "Raise `largest_batch` or lower `left_in_cups`.",
        )
    return largest


def _from_leftovers(
    resolved: Resolved, have: Sequence[tuple[str, Quantity]], percent: Fraction
) -> tuple[Fraction | None, Fraction, int]:
    known = {
        part.name: part
        for part in (*resolved.materials, *resolved.parts)
        if part.mass != 0 and part.volume != 0 and not by_eye(part)
    }
    scales: list[Fraction] = []
    for name, amount in have:
        part = known.get(name)
        if part is None:
            listed = ", ".join(f"`{other}`" for other in known)
            raise ReckoningError(
                "unknown-part", f"`{name}` is nothing that is measured in this mix.", f"Type one of {listed}."
            )
        per = part.mass if amount.dimension == "mass" else part.volume
        if per is None:
            measure = "milliliters" if amount.dimension == "mass" else "grams"
            raise ReckoningError(
                "missing-density",
                f"The density of `{name}` is not in the book.",
                f"Say what is left in {measure}, or type its density in the material.",
            )
        scales.append(amount.value / per)
    mass = min(scales) * resolved.total_mass
    allowance = resolved.mix.allowance
    cups = _grams(allowance.left_in_cups, resolved) if allowance and allowance.left_in_cups else Fraction(0)
    portions = 1
    if allowance and allowance.largest_batch:
        portions = max(1, math.ceil(mass / _largest(allowance.largest_batch, cups, resolved)))
    poured = max(mass - cups * portions, Fraction(0))
    return _volume(poured / (1 + percent), resolved), mass, portions


def _fixed_sheet(resolved: Resolved, wanted: Wanted, scales: Sequence[Scale], *, flat: bool) -> Sheet:
    if wanted != Wanted():
        raise ReckoningError(
            "not-scaled",
            f"`{resolved.mix.id}` is written in fixed amounts and is not scaled.",
            "Ask for it without a fill, or give its parts as `parts:` in the recipe.",
        )
    lines = _lines(resolved.materials if flat else resolved.parts, Fraction(1), resolved.mass, scales)
    return Sheet(None, resolved.mass, resolved.volume, 1, lines, plain=False)


def _lines(
    parts: Sequence[ResolvedPart], scale: Fraction, mass: Fraction | None, scales: Sequence[Scale]
) -> tuple[Line, ...]:
    lines: list[Line] = []
    reads = Fraction(0)
    for part in parts:
        grams = part.mass * scale if part.mass is not None else None
        step = step_for(grams, scales)
        weigh = round_to(grams, step) if grams is not None else None
        if weigh is not None:
            reads += weigh
        volume = part.volume * scale if part.volume is not None else None
        share = grams / mass if grams is not None and mass else None
        read = reads if weigh is not None else None
        lines.append(Line(part.name, grams, volume, share, weigh, read, step, part.outside))
    return tuple(lines)


def step_for(grams: Fraction | None, scales: Sequence[Scale]) -> Fraction:
    """The step of the finest scale that can carry a weight; a tenth of a gram where none is named."""
    fit = [
        scale.step.value
        for scale in scales
        if grams is not None and scale.up_to.value >= grams and scale.step.value > 0
    ]
    return min(fit, default=COMMON_STEP)


def round_to(grams: Fraction, step: Fraction) -> Fraction:
    """Rounds to a scale's step, halves up, as a bench does."""
    return math.floor(grams / step + Fraction(1, 2)) * step
