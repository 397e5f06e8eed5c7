"""A plan as a picture: the things down the side, weeks across, work, waiting and slack as marks. Pure; empty weeks are folded."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from mothermold.pages.drawn.lettering import shortened, width
from mothermold.pages.drawn.weeks import TEXT, TextAt, WeekColumn, monday

NAMES: Final = 132.0
"""How wide the names of things are."""
_DAY: Final = 8.0
_WEEK: Final = 7 * _DAY
_FOLDED: Final = 62.0
_FEWEST: Final = 2
"""So many empty weeks in a row are folded."""
_HEAD: Final = 40.0
_CHAIRS: Final = 24.0
_ROW: Final = 30.0
_FOOT: Final = 20.0
"""Room below the rows for the word today."""

BarKind = Literal["work", "tight", "waits", "slack"]


@dataclass(frozen=True, slots=True)
class PlanBar:
    """From one day to another in the row of a thing: work, work where a day lost is too much, waiting, or slack."""

    row: str
    first: date
    last: date
    kind: BarKind


@dataclass(frozen=True, slots=True)
class BarAt:
    """A bar in its place, by its upper left corner."""

    x: float
    y: float
    wide: float
    kind: BarKind


@dataclass(frozen=True, slots=True)
class PlanWeeks:
    """Where everything of the picture stands.

    Attributes:
        wide: How wide it is.
        tall: How tall.
        columns: The weeks, each with the day of its Monday.
        months: The months, above the first week that begins in them.
        names: The names of the things.
        rules: The heights of the lines between them.
        bars: The marks.
        chairs: Each day in the chair, by its upper left corner, with its number in the month.
        today: Where today is; None where it is not in the picture.
    """

    wide: float
    tall: float
    columns: tuple[WeekColumn, ...]
    months: tuple[TextAt, ...]
    names: tuple[TextAt, ...]
    rules: tuple[float, ...]
    bars: tuple[BarAt, ...]
    chairs: tuple[TextAt, ...]
    today: float | None


def plan_weeks(
    names: Sequence[tuple[str, str]], bars: Sequence[PlanBar], chairs: Iterable[date], today: date
) -> PlanWeeks | None:
    """The picture of a plan; None where nothing is planned.

    Args:
        names: The rows, each with what it is called.
        bars: What is in them.
        chairs: The days in the chair.
        today: The day it is.
    """
    seats = sorted(set(chairs))
    busy = {monday(day) for bar in bars if bar.kind != "slack" for day in _days(bar)} | {monday(day) for day in seats}
    if not busy:
        return None
    weeks = sorted(busy | {monday(today)} if today <= max(busy) + timedelta(days=6) else busy)
    columns, months, at = _columns(weeks)
    end = columns[-1].x + columns[-1].wide

    def x(day: date) -> float:
        begin = monday(day)
        if begin in at:
            return at[begin] + (day - begin).days * _DAY
        later = [week for week in weeks if week > begin]
        # A day of a folded stretch is at its end.
        return at[later[0]] if later else end

    seated = _seated([x(day) for day in seats])
    top = _HEAD + _CHAIRS * (1 + max(seated, default=0))
    heights = {row: top + _ROW * number for number, (row, _title) in enumerate(names)}
    placed = [
        BarAt(
            x(bar.first),
            heights[bar.row],
            max(_DAY, x(bar.last) + _DAY - x(bar.first)) if bar.kind != "slack" else x(bar.last) - x(bar.first),
            bar.kind,
        )
        for bar in bars
        if bar.row in heights
    ]
    order = ("slack", "waits", "work", "tight")
    return PlanWeeks(
        max([end, *(each.x + width(each.text, TEXT) for each in months)]),
        top + _ROW * len(names) + _FOOT,
        tuple(columns),
        tuple(months),
        tuple(TextAt(0.0, heights[row] + 19, shortened(title, TEXT, NAMES - 8)) for row, title in names),
        tuple(heights.values()),
        tuple(sorted(placed, key=lambda each: (order.index(each.kind), each.y, each.x))),
        tuple(TextAt(x(day) - 7, _HEAD + _CHAIRS * row, str(day.day)) for day, row in zip(seats, seated, strict=True)),
        x(today) if monday(today) in at else None,
    )  # fmt: skip


def _seated(places: Sequence[float]) -> list[int]:
    """In which row each day in the chair stands, so that none lies over another."""
    ends: list[float] = []
    found: list[int] = []
    for place in places:
        row = next((number for number, end in enumerate(ends) if end <= place), len(ends))
        ends[row : row + 1] = [place + _CHAIRS]
        found.append(row)
    return found


def _columns(weeks: Sequence[date]) -> tuple[list[WeekColumn], list[TextAt], dict[date, float]]:
    """The columns of weeks, the months above them, and where each week begins."""
    columns, months, at = list[WeekColumn](), list[TextAt](), dict[date, float]()
    x, before = NAMES, weeks[0]
    for week in weeks:
        empty = (week - before).days // 7 - 1
        if empty >= _FEWEST:
            columns.append(WeekColumn(x, _FOLDED, f"{empty} weeks", is_folded=True))
            x += _FOLDED
        between = [before + timedelta(weeks=number + 1) for number in range(max(empty, 0))] if empty < _FEWEST else []
        for each in (*between, week):
            is_new = not months or each.day <= 7 or (columns and columns[-1].is_folded)
            if is_new and (not months or months[-1].x + width(months[-1].text, TEXT) < x):
                months.append(TextAt(x, 14.0, f"{each:%b %Y}" if not months or each.month == 1 else f"{each:%b}"))
            columns.append(WeekColumn(x, _WEEK, str(each.day), is_folded=False))
            at[each] = x
            x += _WEEK
        before = week
    return columns, months, at


def _days(bar: PlanBar) -> Iterable[date]:
    return (bar.first + timedelta(days=number) for number in range((bar.last - bar.first).days + 1))
