"""A batch sheet: how many grams of each part for a given cavity, in one cup or in portions.

total = max(fill * castings * (1 + percent) * density + left in cups * portions, smallest batch)

The allowance comes on top of what is poured (+15 % of 129.6 g is 149.04 g, not 129.6 / 0.85). Common
practice, no source; the contract of the project fixes the formula.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from mothermold.model.recipe import Allowance, Mix
from mothermold.model.settings import Scale
from mothermold.quantities import Quantity
from mothermold.reckon.errors import ReckoningError, missing_density
from mothermold.reckon.mixes import Resolved, by_eye
from mothermold.reckon.rounding import in_digits
from mothermold.reckon.weighing import WeighingLine, weighed_out


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
class Sheet:
    """A batch, exact and as weighed.

    Attributes:
        fill: Milliliters to be filled, before allowance; None for a plain batch, and where only weights were
            asked and a density is missing.
        mass: Grams in all, exact; None for fixed amounts of which one has a volume and no density.
        volume: Milliliters in all; None where a density is missing.
        portions: In how many equal portions it is mixed.
        lines: The parts, as if all were weighed into one cup.
        portion: The parts of one portion, each rounded by itself; the same where there is only one.
        plain: Whether no allowance was added because none is written.
    """

    fill: Fraction | None
    mass: Fraction | None
    volume: Fraction | None
    portions: int
    lines: tuple[WeighingLine, ...]
    portion: tuple[WeighingLine, ...]
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
    parts = resolved.materials if flat else resolved.parts
    lines = weighed_out(parts, scale, mass, scales)
    portion = lines if portions == 1 else weighed_out(parts, scale / portions, mass / portions, scales)
    return Sheet(fill, mass, _volume(mass, resolved), portions, lines, portion, plain)


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


def grown_from(resolved: Resolved, wanted: Wanted, sheet: Sheet) -> str:
    """Where the allowance comes in: ``185 ml + 10 % + 15 g left in cups``; empty where nothing comes on top.

    Of what is left or poured already it is the other way round: what that fills, and what of it is allowance.
    """
    allowance = resolved.mix.allowance
    if allowance is None or (sheet.fill is None and wanted.piece is None):
        return ""
    single = wanted.piece if wanted.piece is not None else wanted.fill
    turned = bool(wanted.have or wanted.poured)
    if turned:
        single = sheet.fill
    elif single is None:
        single = own_fill(resolved.mix)
    times = f"{wanted.castings} x " if wanted.castings > 1 and not turned else ""
    words = [f"{times}{in_digits(single or Fraction(0), 4)} {'g' if wanted.piece is not None else 'ml'}"]
    if allowance.percent and allowance.percent.value and wanted.piece is None:
        words.append(f"{in_digits(allowance.percent.value * 100)} %")
    if allowance.left_in_cups and allowance.left_in_cups.value:
        each = f"{sheet.portions} x " if sheet.portions > 1 else ""
        words.append(f"{each}{allowance.left_in_cups} left in cups")
    said = " + ".join(words)
    if allowance.smallest_batch is not None and not turned and sheet.mass == _grams(allowance.smallest_batch, resolved):
        return f"{said}, at least the smallest batch of {allowance.smallest_batch}"
    return said if len(words) > 1 else ""


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
                f"Nothing says how much `{mix.id}` should fill.",
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
    lines = weighed_out(resolved.materials if flat else resolved.parts, Fraction(1), resolved.mass, scales)
    return Sheet(None, resolved.mass, resolved.volume, 1, lines, lines, plain=False)
