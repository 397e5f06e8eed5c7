"""What a course has to have ready for each meeting, and whether what is made in one is ready for a later one.

From a recipe's own times: a thing is ready when its last wait is over; what waits until something is seen takes its usual time,
or as long as it may. A class meets at most once a day, so days are counted and hours are not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Final, Literal

from mothermold.answers.recipes import pinned_recipe
from mothermold.model.build import STAGES_WORN
from mothermold.model.course import Course
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.reckon.times import elapsed_minutes, longest_minutes
from mothermold.reckon.work import work_of
from mothermold.view.view import View

_DAY: Final = 24 * 60

Ready = Literal["is ready", "may be ready", "not ready", "before", "that day", "unknown"]
"""Whether what is made in one meeting is ready for a later one; ``before`` of what no meeting makes, ``that day`` of what is worn."""


@dataclass(frozen=True, slots=True)
class ReadyForMeeting:
    """Something a meeting needs, and whether it can be there.

    Attributes:
        recipe: What it is made by.
        meeting: The place of the meeting that needs it, from 0.
        made_in: The place of the meeting that makes it; None where it is made outside of them.
        ready: Whether it can be there; ``unknown`` where no days are written, or the recipe cannot be read.
        usual: How many days it takes; None where the recipe cannot be read.
        longest: How many it may take.
        between: How many days lie between the two meetings; None where that is not known.
        begin: The last day to begin what no meeting makes, so that it is there for certain.
        until: What is waited for where it may take longer.
    """

    recipe: RecipeRef
    meeting: int
    made_in: int | None
    ready: Ready
    usual: int | None = None
    longest: int | None = None
    between: int | None = None
    begin: date | None = None
    until: tuple[str, ...] = ()


def ready_for_meetings(view: View, course: Course) -> list[ReadyForMeeting]:
    """What every meeting of a course needs, in their order.

    Args:
        view: The edition.
        course: A course of it.
    """
    return [
        _ready(view, course, meeting, ref)
        for meeting, session in enumerate(course.sessions)
        for ref in session.prepares
    ]


def _ready(view: View, course: Course, meeting: int, ref: RecipeRef) -> ReadyForMeeting:
    made_in, day = _made_in(view, course, meeting, ref), course.sessions[meeting].day
    recipe = pinned_recipe(view, ref)
    if recipe is None:
        return ReadyForMeeting(ref, meeting, made_in, "unknown")
    usual, longest = ceil(elapsed_minutes(recipe) / _DAY), ceil(longest_minutes(recipe) / _DAY)
    until = tuple(_until(recipe))
    if ref.address.partition("/")[0] in STAGES_WORN:
        return ReadyForMeeting(ref, meeting, None, "that day", usual, longest)
    if made_in is None:
        begin = day - timedelta(days=longest) if day is not None else None
        return ReadyForMeeting(
            ref, meeting, None, "before" if day else "unknown", usual, longest, begin=begin, until=until
        )
    made = course.sessions[made_in].day
    if day is None or made is None:
        return ReadyForMeeting(ref, meeting, made_in, "unknown", usual, longest, until=until)
    between = (day - made).days
    ready: Ready = "is ready" if longest <= between else "may be ready" if usual <= between else "not ready"
    return ReadyForMeeting(ref, meeting, made_in, ready, usual, longest, between, until=until)


def _made_in(view: View, course: Course, meeting: int, ref: RecipeRef) -> int | None:
    """The last meeting before this one that teaches the recipe."""
    mine = view.today(ref.address)
    earlier = (
        place
        for place in reversed(range(meeting))
        if any(view.today(other.address) == mine for other in course.sessions[place].covers)
    )
    return next(earlier, None)


def _until(recipe: Recipe) -> Iterator[str]:
    """What is waited for, and may come late."""
    for each in work_of(recipe).steps:
        if each.step.until is not None and each.longest is not None and each.longest > each.waits:
            yield str(each.step.until.what)
