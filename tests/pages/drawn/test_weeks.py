"""A calendar at random: every run has its place in its week, nothing overlaps, empty weeks are folded."""

from __future__ import annotations

import random
from datetime import date, timedelta
from itertools import combinations, pairwise

import pytest

from campaigns.seeds import seeds
from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.marks import RunMark
from mothermold.pages.drawn.weeks import MOST, TEXT, WEEK, Weeks, weeks


def mark(day: date, run: str = "r") -> RunMark:
    return RunMark("good", False, day, run, f"{day}", 1)


def column_of(calendar: Weeks, x: float) -> int:
    return next(place for place, each in enumerate(calendar.columns) if each.x <= x < each.x + each.wide)


@pytest.mark.parametrize("seed", seeds(8, 200))
def test_nothing_overlaps_and_nothing_is_lost(seed: int) -> None:
    chance = random.Random(seed)
    start, long = date(2025, 11, 3), chance.choice((3, 60, 700))
    marks = [
        mark(start + timedelta(days=chance.randint(0, long)), f"r{number}") for number in range(chance.randint(0, 300))
    ]
    chairs = [start + timedelta(days=chance.randint(0, 2 * long)) for _ in range(chance.randint(0, 20))]
    calendar = weeks(marks, chairs)
    if calendar is None:
        assert (marks, chairs) == ([], [])
        return
    for one, other in combinations(calendar.marks, 2):
        assert abs(one.x - other.x) >= WEEK or abs(one.y - other.y) >= WEEK
    ends = [(each.x, each.x + each.wide) for each in calendar.columns]
    assert all(before[1] <= after[0] for before, after in pairwise(ends))
    assert all(each.x + each.wide <= calendar.wide for each in calendar.columns)
    assert all(width(each.text, TEXT) <= each.wide for each in calendar.columns)
    months = [(each.x, each.x + width(each.text, TEXT)) for each in calendar.months]
    assert all(before[1] < after[0] for before, after in pairwise(months))
    assert months[-1][1] <= calendar.wide
    lowest = max((each.y for each in calendar.marks), default=0)
    assert lowest + WEEK / 2 <= calendar.tall
    assert all(
        each.y + 20 <= min((mark.y - WEEK / 2 for mark in calendar.marks), default=calendar.tall)
        for each in calendar.chairs
    )
    assert len(calendar.chairs) == len(set(chairs))
    assert len(calendar.marks) + sum(int(each.text) for each in calendar.more) == len(marks)
    assert not any(calendar.columns[column_of(calendar, each.x)].is_folded for each in calendar.marks)
    busy = {each.day - timedelta(days=each.day.weekday()) for each in marks} | {
        day - timedelta(days=day.weekday()) for day in chairs
    }
    assert {each.text for each in calendar.columns if not each.is_folded} >= {str(day.day) for day in busy}


def test_runs_of_a_week_stand_below_it_in_their_order() -> None:
    calendar = weeks([mark(date(2026, 3, 5), "b"), mark(date(2026, 3, 2), "a"), mark(date(2026, 3, 9), "c")], [])
    assert calendar is not None
    assert [each.mark.run for each in calendar.marks] == ["a", "b", "c"]
    a, b, c = calendar.marks
    assert (a.x, c.x) == (b.x, b.x + WEEK)
    assert (b.y, c.y) == (a.y + WEEK, a.y)
    assert [each.text for each in calendar.columns] == ["2", "9"]


def test_three_empty_weeks_are_folded_and_two_are_not() -> None:
    for apart, folded in ((3, []), (4, ["3 weeks"])):
        calendar = weeks([mark(date(2026, 3, 2)), mark(date(2026, 3, 2) + timedelta(weeks=apart))], [])
        assert calendar is not None
        assert [each.text for each in calendar.columns if each.is_folded] == folded


def test_a_year_is_said_once_and_again_when_it_changes() -> None:
    calendar = weeks([mark(date(2025, 12, 1) + timedelta(weeks=number)) for number in range(12)], [])
    assert calendar is not None
    assert [each.text for each in calendar.months] == ["Dec 2025", "Jan 2026", "Feb"]


def test_of_too_many_in_a_week_the_rest_is_a_number() -> None:
    calendar = weeks([mark(date(2026, 3, 2), f"r{number:03}") for number in range(30)], [])
    assert calendar is not None
    assert len(calendar.marks) == MOST - 1
    assert [each.text for each in calendar.more] == [f"+{30 - MOST + 1}"]


def test_no_run_and_no_day_make_no_calendar() -> None:
    assert weeks([], []) is None
