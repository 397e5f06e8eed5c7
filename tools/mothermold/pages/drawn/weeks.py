"""Weeks as columns, what was done in each as marks below it: a calendar whose empty stretches are folded. Pure."""

from __future__ import annotations

from calendar import month_abbr
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.marks import RunMark

WEEK: Final = 26.0
"""How wide a week is, and how far apart marks are: room for a finger."""
TEXT: Final = 12.5
_FOLDED: Final = 62.0
_FEWEST: Final = 3
"""So many empty weeks in a row are folded."""
MOST: Final = 14
"""So many marks stand below a week; of more the rest is a number."""
_HEAD: Final = 40.0
_DAY: Final = 22.0


@dataclass(frozen=True, slots=True)
class MarkAt:
    """A run in its place, by its middle."""

    x: float
    y: float
    mark: RunMark


@dataclass(frozen=True, slots=True)
class TextAt:
    """Letters in their place, by the left end of the line they stand on."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class WeekColumn:
    """A week, or a stretch of empty ones."""

    x: float
    wide: float
    text: str
    is_folded: bool


@dataclass(frozen=True, slots=True)
class Weeks:
    """Where everything of the calendar stands.

    Attributes:
        wide: How wide it is.
        tall: How tall.
        columns: The weeks, each with the day of its Monday.
        months: The months, above the first week that begins in them.
        chairs: Each day in the chair, by its upper left corner, with its number in the month.
        marks: The runs.
        more: How many further runs a week has.
    """

    wide: float
    tall: float
    columns: tuple[WeekColumn, ...]
    months: tuple[TextAt, ...]
    chairs: tuple[TextAt, ...]
    marks: tuple[MarkAt, ...]
    more: tuple[TextAt, ...]


def weeks(marks: Sequence[RunMark], chairs: Iterable[date]) -> Weeks | None:
    """The calendar of some runs and of the days somebody sat in the chair; None where there are neither."""
    by_week, seats = defaultdict[date, list[RunMark]](list), defaultdict[date, list[date]](list)
    for mark in sorted(marks, key=lambda each: (each.day, each.run)):
        by_week[monday(mark.day)].append(mark)
    for day in sorted(set(chairs)):
        seats[monday(day)].append(day)
    busy = sorted(by_week.keys() | seats.keys())
    if not busy:
        return None
    top = _HEAD + _DAY * max((len(each) for each in seats.values()), default=0)
    columns, months, chair_marks = list[WeekColumn](), list[TextAt](), list[TextAt]()
    placed, more = list[MarkAt](), list[TextAt]()
    x, before = 0.0, busy[0]
    for week in busy:
        empty = (week - before).days // 7 - 1
        if empty >= _FEWEST:
            columns.append(WeekColumn(x, _FOLDED, f"{empty} weeks", is_folded=True))
            x += _FOLDED
        for number in range(max(empty, 0) if empty < _FEWEST else 0):
            x = _column(before + timedelta(weeks=number + 1), x, columns, months)
        middle = x + WEEK / 2
        x = _column(week, x, columns, months)
        chair_marks += [
            TextAt(middle - WEEK / 2 + 2, _HEAD + _DAY * number, str(day.day)) for number, day in enumerate(seats[week])
        ]
        shown = by_week[week] if len(by_week[week]) <= MOST else by_week[week][: MOST - 1]
        placed += [MarkAt(middle, top + WEEK * (number + 0.5), mark) for number, mark in enumerate(shown)]
        if rest := len(by_week[week]) - len(shown):
            more.append(_centered(middle, top + WEEK * (len(shown) + 0.5) + 4, f"+{rest}"))
        before = week
    rows = max((min(len(each), MOST) for each in by_week.values()), default=0)
    wide = max([x, *(each.x + width(each.text, TEXT) for each in months)])
    return Weeks(
        wide, top + WEEK * rows + 4, tuple(columns), tuple(months), tuple(chair_marks), tuple(placed), tuple(more)
    )


def _column(week: date, x: float, columns: list[WeekColumn], months: list[TextAt]) -> float:
    """Adds a week, and above it the month that begins in it; where the next one begins."""
    is_told = any(each.text.endswith(str(week.year)) for each in months)
    name = month_abbr[week.month] if is_told else f"{month_abbr[week.month]} {week.year}"
    is_new = not months or week.day <= 7 or columns[-1].is_folded
    end = months[-1].x + width(months[-1].text, TEXT) if months else -1.0
    if is_new and end < x:
        months.append(TextAt(x, 14.0, name))
    columns.append(WeekColumn(x, WEEK, str(week.day), is_folded=False))
    return x + WEEK


def _centered(x: float, y: float, text: str) -> TextAt:
    return TextAt(x - width(text, TEXT) / 2, y, text)


def monday(day: date) -> date:
    """The Monday of the week a day lies in."""
    return day - timedelta(days=day.weekday())
