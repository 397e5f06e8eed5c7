"""Which deliveries are in use, which of them are past their date, and whether the parts of a kit belong together.

A lot is past its date after ``use_by``, and after ``keeps.opened`` from the day it was opened, whichever comes first
(a maker's label says both; common practice, no source). Parts of a kit were bought together: they came on one day, or
carry one number, a last letter apart, as ``0214A`` and ``0214B`` are often printed (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta

from mothermold.model.material import Lot, Material


def lots_in_use(material: Material) -> tuple[Lot, ...]:
    """The lots one reaches for: those opened and not used up, else all that are not used up."""
    left = [lot for lot in material.lots if lot.left is None or lot.left.value > 0]
    opened = [lot for lot in left if lot.opened is not None]
    return tuple(opened or left)


def last_day(lot: Lot, material: Material) -> date | None:
    """The last day a lot may be used on, by its label or since it was opened; None where neither is written."""
    days = [lot.use_by] if lot.use_by is not None else []
    if lot.opened is not None and material.keeps is not None and material.keeps.opened is not None:
        days.append(lot.opened + timedelta(minutes=int(material.keeps.opened.low)))
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


def _together(one: Lot, other: Lot) -> bool:
    same_day = one.got is not None and one.got == other.got
    return same_day or _kit_number(str(one.lot)) == _kit_number(str(other.lot))


def _kit_number(lot: str) -> str:
    return re.sub(r"(?<=\d)[\s./-]?[A-Za-z]$", "", lot.strip()).casefold()
