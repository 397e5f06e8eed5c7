"""What is left of each lot, and of each jar of premix, after what runs took of it.

What is left was weighed on a day (``left`` with ``weighed``): what runs took on later days comes off it. What is left without a day
is taken as it stands. Where nothing was weighed, what the lot held when it came (``held``) is where it begins. A lot of which neither
is written is not known, and that is never nothing.

A lot goes off after ``use_by``, after ``keeps.opened`` from its opening, or unopened after ``keeps.closed`` from the day it came,
whichever comes first (a maker's label says so; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from mothermold.model.material import Lot, Material
from mothermold.quantities.days import day_after
from mothermold.reckon.lots import last_day
from mothermold.reckon.taking import common


@dataclass(frozen=True, slots=True)
class Draw:
    """What one run took of one material.

    Attributes:
        run: The run.
        day: The day it began.
        lots: The lots of the material it names.
        unit: The unit of the amount.
        amount: How much; None where nothing says it.
    """

    run: str
    day: date
    lots: tuple[str, ...]
    unit: str = "g"
    amount: Fraction | None = None


@dataclass(frozen=True, slots=True)
class LotStock:
    """One lot as it stands.

    Attributes:
        lot: Its number.
        unit: The unit its amounts are in; empty where none is known.
        start: What it began with: as weighed, else as it came; None where nothing says it.
        since: The day it was weighed; None where it counts from the beginning, or as it stands.
        used: What runs took of it since then.
        left: What is left; None where that is not known. Never less than nothing: see ``over``.
        over: How much more runs took than there was.
        silent: The runs that took of it and do not say how much.
        last: The last day it may be used on; None where nothing says it.
        as_it_stands: Whether what is left is taken as written, whatever runs took: nobody wrote when it was weighed.
    """

    lot: str
    unit: str
    start: Fraction | None
    since: date | None
    used: Fraction
    left: Fraction | None
    over: Fraction
    silent: tuple[str, ...]
    last: date | None
    as_it_stands: bool

    def good_on(self, day: date | None) -> bool:
        """Whether it may still be used on a day, as far as anything says."""
        return day is None or self.last is None or self.last >= day


def goes_off(lot: Lot, material: Material) -> date | None:
    """The last day a lot may be used on, opened or not; None where nothing says it."""
    keeps = material.keeps
    days = [last_day(lot, material)]
    if lot.opened is None and lot.got is not None and keeps is not None and keeps.closed is not None:
        days.append(day_after(lot.got, keeps.closed))
    return min((day for day in days if day is not None), default=None)


def lots_now(material: Material, draws: Iterable[Draw]) -> tuple[LotStock, ...]:
    """The lots of a material after what was taken of them.

    Args:
        material: The material.
        draws: What runs took of it, in any order. A draw out of several lots, or in another unit than the lot's, says nothing
            of how much came out of each.
    """
    every = list(draws)
    return tuple(_now(lot, material, [draw for draw in every if str(lot.lot) in draw.lots]) for lot in material.lots)


def _now(lot: Lot, material: Material, draws: Sequence[Draw]) -> LotStock:
    written = lot.left if lot.left is not None else lot.held
    unit, start = common(written, material) if written is not None else ("", None)
    since = lot.weighed if lot.left is not None else None
    # An empty lot stays empty.
    as_it_stands = lot.left is not None and (since is None or not start)
    counted = [draw for draw in draws if not as_it_stands and (since is None or draw.day > since)]
    known = [draw for draw in counted if draw.amount is not None and draw.lots == (str(lot.lot),) and draw.unit == unit]
    used = sum((draw.amount for draw in known if draw.amount is not None), Fraction(0))
    silent = tuple(dict.fromkeys(draw.run for draw in counted if draw not in known)) if written is not None else ()
    rest = start - used if start is not None else None
    return LotStock(
        str(lot.lot),
        unit,
        start,
        since,
        used,
        max(rest, Fraction(0)) if rest is not None else None,
        max(-rest, Fraction(0)) if rest is not None else Fraction(0),
        silent,
        goes_off(lot, material),
        as_it_stands,
    )


@dataclass(frozen=True, slots=True)
class Jar:
    """A premix that stands in a jar for a whole build.

    Attributes:
        recipe: The address of its recipe.
        mix: The mix.
        made: Grams that were mixed.
        used: Grams that runs took out since.
        silent: The runs that took of it and do not say how much.
        since: The day the newest of it was mixed.
    """

    recipe: str
    mix: str
    made: Fraction
    used: Fraction
    silent: tuple[str, ...]
    since: date

    @property
    def left(self) -> Fraction:
        """Grams that are left, as far as the runs say."""
        return max(self.made - self.used, Fraction(0))
