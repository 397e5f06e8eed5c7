"""Which deliveries are in use, which are past their date, whether the parts of a kit belong together, and how much is left.

A lot is past its date after ``use_by``, and after ``keeps.opened`` from the day it was opened, whichever comes first
(a maker's label says both; common practice, no source); its months are those of the calendar. Parts of a kit were bought together: they came on one day, or
carry one number, a last letter apart, as ``0214A`` and ``0214B`` are often printed (common practice, no source).

What is left is the sum over the lots in use, in grams where that can be known, else in milliliters. The browser says the
same of it in the same words (publish/theme/assets/batch.js).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Final

from mothermold.model.material import Lot, Material
from mothermold.quantities import Quantity
from mothermold.quantities.days import day_after
from mothermold.reckon.batches import Sheet
from mothermold.reckon.mixes import Resolved, ResolvedPart, by_eye
from mothermold.reckon.rounding import in_digits

_DIGITS: Final = 4


def lots_in_use(material: Material) -> tuple[Lot, ...]:
    """The lots one reaches for: those opened and not used up, else all that are not used up."""
    left = [lot for lot in material.lots if lot.left is None or lot.left.value > 0]
    opened = [lot for lot in left if lot.opened is not None]
    return tuple(opened or left)


def last_day(lot: Lot, material: Material) -> date | None:
    """The last day a lot may be used on, by its label or since it was opened; None where neither is written."""
    days = [lot.use_by] if lot.use_by is not None else []
    if lot.opened is not None and material.keeps is not None and material.keeps.opened is not None:
        days.append(day_after(lot.opened, material.keeps.opened))
    return min(days, default=None)


def past_date(material: Material, today: date) -> list[tuple[Lot, date]]:
    """The lots in use that are past their date, each with its last day."""
    found = [(lot, last_day(lot, material)) for lot in lots_in_use(material)]
    return [(lot, last) for lot, last in found if last is not None and last < today]


def same_kit(one: Sequence[Lot], other: Sequence[Lot]) -> bool:
    """Whether some lot of one part and some lot of the other came as one kit; nothing known is no difference."""
    if not one or not other:
        return True
    return any(_together(a, b) for a in one for b in other)


def kit_lacking(names: Collection[str], materials: Mapping[str, Material]) -> bool:
    """Whether some part of a kit is among these and none of those matched to it: such a mix waits for its other part.

    Args:
        names: The materials of a mix.
        materials: The book's materials by name.
    """
    matched: dict[str, set[str]] = {name: set() for name in names}
    for name, material in materials.items():
        for other in map(str, material.kit):
            matched.get(name, set()).add(other)
            matched.get(other, set()).add(name)
    return any(others and not others & set(names) for others in matched.values())


def kits_apart(names: Collection[str], materials: Mapping[str, Material]) -> Iterator[tuple[str, str]]:
    """Pairs of a batch's materials that a maker matched and whose lots in use do not belong together, each pair once."""
    for name in names:
        for other in map(str, materials[name].kit):
            if other not in names or same_kit(lots_in_use(materials[name]), lots_in_use(materials[other])):
                continue
            if name < other or name not in materials[other].kit:
                yield name, other


def kit_words(one: str, other: str) -> str:
    """That two parts are not of one kit, in a sentence."""
    return f"{one} and {other} are matched by their maker, and the lots in use carry different numbers."


def past_words(called: str, lot: str, last: date) -> str:
    """That a lot is past its date, in a sentence."""
    return f"Lot {lot} of {called} is past its date: {last.isoformat()} was the last day."


def _together(one: Lot, other: Lot) -> bool:
    same_day = one.got is not None and one.got == other.got
    return same_day or _kit_number(str(one.lot)) == _kit_number(str(other.lot))


def _kit_number(lot: str) -> str:
    return re.sub(r"(?<=\d)[\s./-]?[A-Za-z]$", "", lot.strip()).casefold()


@dataclass(frozen=True, slots=True)
class Stock:
    """What is left of a material.

    Attributes:
        amount: In all, as far as it is known; of a range its lower end.
        unit: g or ml.
        unknown: The lots in use of which nobody wrote how much is left, or wrote it in a measure that says no weight.
        closed: Further lots in hand, not opened yet.
    """

    amount: Fraction
    unit: str
    unknown: tuple[str, ...]
    closed: tuple[str, ...]


def stock(material: Material) -> Stock | None:
    """What is left in the lots in use; nothing where all are used up; None where no lot says how much is left."""
    if all(lot.left is None for lot in material.lots):
        return None
    used = lots_in_use(material)
    lefts = {lot.lot: lot.left for lot in used}
    written = [left for left in lefts.values() if left is not None]
    volume = material.density is None and bool(written) and all(left.dimension == "volume" for left in written)
    known = {number: _in_unit(left, material, volume=volume) for number, left in lefts.items()}
    unknown = tuple(str(number) for number, amount in known.items() if amount is None)
    closed = tuple(
        str(lot.lot) for lot in material.lots if lot not in used and (lot.left is None or lot.left.value > 0)
    )
    amount = sum((each for each in known.values() if each is not None), Fraction(0))
    return Stock(amount, "ml" if volume else "g", unknown, closed)


def _in_unit(left: Quantity | None, material: Material, *, volume: bool) -> Fraction | None:
    if left is None:
        return None
    if left.dimension == ("volume" if volume else "mass"):
        return left.low
    if left.dimension == "volume" and material.density is not None:
        return left.low * material.density.value
    return None


@dataclass(frozen=True, slots=True)
class Need:
    """A material of a batch and what is left of it.

    Attributes:
        material: Its name.
        stock: What is left.
        part: The material in the mix; its weight and volume belong to the mix's nominal amount.
        through: The premixes it comes through; empty where it is a part itself.
    """

    material: str
    stock: Stock
    part: ResolvedPart
    through: tuple[str, ...]

    @property
    def nominal(self) -> Fraction | None:
        """What the mix's nominal amount takes, in the unit of what is left; None where that cannot be known."""
        return self.part.mass if self.stock.unit == "g" else self.part.volume


def needs(resolved: Resolved, materials: Mapping[str, Material]) -> Iterator[Need]:
    """The materials of a mix, through its premixes, of which some lot says how much is left."""
    own = {part.name for part in resolved.parts}
    for part in resolved.materials:
        held = stock(materials[part.name]) if part.name in materials and not by_eye(part) else None
        if held is not None:
            through = tuple(name for name, names in resolved.inside.items() if part.name in names)
            yield Need(part.name, held, part, () if part.name in own else through)


def batch_scale(resolved: Resolved, sheet: Sheet) -> Fraction:
    """By how much a sheet is larger than the mix's nominal amount."""
    return Fraction(1) if resolved.fixed or sheet.mass is None else sheet.mass / resolved.total_mass


def is_given(need: Need, given: Collection[str]) -> bool:
    """Whether someone said what is there: of the material, or of a premix that it comes through and that stands mixed."""
    return need.material in given or any(name in given for name in need.through)


def left_words(called: str, need: Need, scale: Fraction, through: Sequence[str]) -> tuple[str, str] | None:
    """What is said where less of a material is left than a batch needs, or where that cannot be told.

    Args:
        called: What the material is called.
        need: The material.
        scale: By how much the batch is larger than the mix's nominal amount.
        through: What the premixes are called that it comes through.

    Returns:
        The code of the notice and its sentence; None where enough is left.
    """
    unit, nominal = need.stock.unit, need.nominal
    left = f"{in_digits(need.stock.amount, _DIGITS)} {unit} of {called} are left"
    if nominal is None:
        return "left-not-known", f"{left}; whether that is enough cannot be told without its density."
    if nominal * scale <= need.stock.amount:
        return None
    jar = f", unless {' and '.join(through)} is mixed already" if through else ""
    needed = f"{in_digits(nominal * scale, _DIGITS)} {unit} are needed{jar}"
    if need.stock.unknown:
        lots = " and ".join(need.stock.unknown)
        return "left-not-known", f"{left}, {needed}; how much lot {lots} still holds is not known."
    return "too-little-left", f"{left}, {needed}."
