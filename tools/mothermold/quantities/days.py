"""Lengths of time counted on the calendar: a month ends on the day of the same number, whatever days it has."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from fractions import Fraction
from typing import Final

from mothermold.quantities.quantity import Quantity
from mothermold.quantities.units import UNITS

_MONTH: Final = UNITS["month"].factor
_DAY: Final = UNITS["day"].factor


def day_after(day: date, length: Quantity) -> date:
    """The day that lies a length of time after another, its shorter end where it is a range.

    Months and years go by the calendar: 12 months after 2026-02-10 is 2027-02-10. Where the month has no such day, its
    last one is taken; days and weeks count from there. The last day there is stands for all later ones.

    Args:
        day: The first day.
        length: A time.
    """
    months, minutes = _months(length.low)
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > date.max.year:
        return date.max
    on = date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
    days = int(minutes / _DAY)
    return on + timedelta(days=days) if days <= (date.max - on).days else date.max


def _months(minutes: Fraction) -> tuple[int, Fraction]:
    """The whole months in a length and the rest of it.

    A mean month is no whole number of days, and no sum of fewer than 1,600 of them is: so the months that were written
    are the ones that leave whole days over. A length in hours has none.
    """
    for months in range(min(int(minutes / _MONTH), 1599) + 1):
        rest = minutes - months * _MONTH
        if rest % _DAY == 0:
            return months, rest
    return 0, minutes
