"""The days in the chair, minute by minute: what goes on between sitting down and being ready, the day on set, and the removal.

Each step has its hands and its waiting, and one wearer sits in one chair. Applications begin when the wearer sits down, removals
when the day is wrapped; between the two one pair of hands is with the wearer. A time earlier than the one before it is of
the next day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from itertools import groupby
from typing import Final, NamedTuple

from mothermold.answers.work_hours import WorkHours
from mothermold.model.build import Build, Look, WornDay
from mothermold.model.names import RecipeRef
from mothermold.reckon.project import Hold, Order, Project, Task
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.sittings import Sittings, sittings_of
from mothermold.reckon.solved_plan import has_solver, solved_plan
from mothermold.reckon.work import work_of
from mothermold.view.view import View

HANDS: Final = "hands"
_LIMIT: Final = 2.0


@dataclass(frozen=True, slots=True)
class ChairStep:
    """A step at the chair.

    Attributes:
        look: The look.
        day: The day.
        recipe: The recipe and version, as the look names it.
        step: The step; empty where a recipe as a whole is told.
        start: When it starts, in minutes.
        end: When hands are done with it.
        over: When its waiting is over.
        hands_on: How long hands are busy, in minutes, as written.
        people: How many.
        title: What is done.
    """

    look: str
    day: WornDay
    recipe: str
    step: str
    start: int
    end: int
    over: int
    hands_on: float
    people: int
    title: str = ""


@dataclass(frozen=True, slots=True)
class ChairDay:
    """A look on a day.

    Attributes:
        look: The look.
        day: The day.
        chair: When the wearer sits down, in minutes.
        ready: When it must be finished; None where that is not written.
        done: When it is finished.
        steps: All its steps, in order.
        crowd: The most hands one step needs.
        is_guessed: Whether the chair time is not written.
    """

    look: str
    day: WornDay
    chair: int
    ready: int | None
    done: int
    steps: tuple[ChairStep, ...]
    crowd: int
    is_guessed: bool

    @property
    def late(self) -> int:
        """By how many minutes it is not ready in time."""
        return max(0, self.done - self.ready) if self.ready is not None else 0


class _Times(NamedTuple):
    """When the wearer sits down, when it must be ready, and when it is wrapped; None where that is not written."""

    chair: int
    ready: int | None
    wrap: int | None


@dataclass(frozen=True, slots=True)
class _ChairSheet:
    look: Look
    day: WornDay
    ref: RecipeRef
    sittings: Sittings
    name: str


@dataclass(frozen=True, slots=True)
class _Laid:
    """What is to be planned on one day."""

    tasks: dict[str, Task]
    orders: list[Order]
    resources: dict[str, int]

    def lay(self, sheet: _ChairSheet, begin: int, wearer: str) -> None:
        """Adds a recipe."""
        self.resources[wearer] = 1
        people = self.resources[HANDS]
        for sitting in sheet.sittings.every:
            # Steps between which no time may pass are one sitting.
            busy = (
                Hold(HANDS, each.start, each.minutes, min(people, each.step.step.people or 1))
                for each in sitting.stretches
                if each.minutes
            )
            name = f"{sheet.name}/{sitting.id}"
            holds = (*busy, Hold(wearer, 0, sitting.minutes))
            self.tasks[name] = Task(name, sitting.minutes, sitting.total, holds=holds, earliest=begin)
        self.orders.extend(
            replace(each, before=f"{sheet.name}/{each.before}", after=f"{sheet.name}/{each.after}")
            for each in sheet.sittings.orders
        )


class ChairDays:
    """Days in the chair, each as early as it goes.

    Args:
        view: The book.
        build: The build.
        hours: The book's clocks.
        people: How many pairs of hands there are.
        earlier: How many minutes earlier the wearers sit down than is written.
    """

    def __init__(self, view: View, build: Build, hours: WorkHours, people: int, earlier: int = 0) -> None:
        self._view, self._build, self._hours, self._people, self._earlier = view, build, hours, people, earlier
        self._looks = {str(each.id): each for each in build.looks}

    def of(self, days: Sequence[WornDay]) -> tuple[ChairDay, ...]:
        """Every look on each of these days."""
        known = [each for each in days if str(each.look) in self._looks]
        found: list[ChairDay] = []
        for _day, group in groupby(
            sorted(known, key=lambda each: (each.day, str(each.look))), key=lambda each: each.day
        ):
            found += self._one_day(list(group))
        return tuple(found)

    def _times(self, day: WornDay) -> _Times:
        window = self._hours.window(day.day)
        usual = window[0] if window else self._hours.minutes(day.day, time(9))
        chair = self._hours.minutes(day.day, day.chair) if day.chair else usual
        ready, wrap, before, on = None, None, day.chair, day.day
        if day.ready is not None:
            on = _day_of(on, before, day.ready)
            ready, before = self._hours.minutes(on, day.ready), day.ready
        if day.wrap is not None:
            on = _day_of(on, before, day.wrap)
            wrap = self._hours.minutes(on, day.wrap)
        return _Times(chair - self._earlier, ready, wrap)

    def _one_day(self, days: Sequence[WornDay]) -> Iterator[ChairDay]:
        laid = _Laid({}, [], {HANDS: self._people})
        sheets: list[_ChairSheet] = []
        for day in days:
            look, times = self._looks[str(day.look)], self._times(day)
            before: _ChairSheet | None = None
            for stage, refs in (("application", look.application), ("removal", look.removal)):
                begin = times.wrap if stage == "removal" and times.wrap is not None else times.chair
                for ref in refs:
                    recipe = self._view.ruling.text(ref)
                    if recipe is None or not recipe.steps:
                        continue
                    name = f"{look.id} {stage} {len(sheets):02}"
                    sheet = _ChairSheet(look, day, ref, sittings_of(work_of(recipe), longest=0), name)
                    laid.lay(sheet, begin, str(self._build.wearer_of(look) or look.id))
                    laid.orders.extend(_after(before, sheet))
                    sheets.append(sheet)
                    before = sheet
        starts = _planned(Project(laid.tasks, tuple(laid.orders), (), laid.resources)) if laid.tasks else {}
        for day in days:
            yield self._told(day, [each for each in sheets if each.day is day], starts)

    def _told(self, day: WornDay, sheets: Sequence[_ChairSheet], starts: Mapping[str, int]) -> ChairDay:
        times, look = self._times(day), self._looks[str(day.look)]
        steps = [step for sheet in sheets for step in _steps_of(sheet, starts)]
        on = set(map(str, look.application))
        done = max([times.chair, *(each.over for each in steps if each.recipe in on)])
        crowd = max([1, *(each.people for each in steps)])
        if sheets and times.wrap is not None and times.wrap > done:
            wrap = times.wrap
            steps += [ChairStep(str(look.id), day, str(ref), "", done, wrap, wrap, 0.0, 1) for ref in look.wear[:1]]
        steps.sort(key=lambda each: each.start)
        return ChairDay(str(look.id), day, times.chair, times.ready, done, tuple(steps), crowd, day.chair is None)


def _after(before: _ChairSheet | None, sheet: _ChairSheet) -> Iterator[Order]:
    """One recipe after the other: all that begins in it comes after all that ends in the one before."""
    if before is None:
        return
    followed = {each.before for each in before.sittings.orders}
    following = {each.after for each in sheet.sittings.orders}
    for last in (each for each in before.sittings.every if each.id not in followed):
        for first in (each for each in sheet.sittings.every if each.id not in following):
            yield Order(f"{before.name}/{last.id}", f"{sheet.name}/{first.id}", last.total)


def _day_of(on: date, before: time | None, clock: time) -> date:
    return on + timedelta(days=1) if before is not None and clock < before else on


def _planned(project: Project) -> dict[str, int]:
    begin = min(each.earliest or 0 for each in project.tasks.values())
    hint = serial_plan(project)
    if not has_solver():
        # Steps one after the other as soon as hands are free: what a day by the clock is without the extra.
        return hint or dict.fromkeys(project.tasks, begin)
    end = begin + 2 * sum(each.total for each in project.tasks.values()) + 48 * 60
    # Of equally short days the one where everything is as early as can be: the mirror of as late as can be.
    found = solved_plan(project, "earliest", (begin, end), hint, _LIMIT).starts or hint
    return found or dict.fromkeys(project.tasks, begin)


def _steps_of(sheet: _ChairSheet, starts: Mapping[str, int]) -> Iterator[ChairStep]:
    for sitting in sheet.sittings.every:
        start = starts[f"{sheet.name}/{sitting.id}"]
        for stretch in sitting.stretches:
            step = stretch.step
            hands = float(step.hands_on) if stretch.is_last else 0.0
            yield ChairStep(
                str(sheet.look.id), sheet.day, str(sheet.ref), str(step.step.id), start + stretch.start, start + stretch.end,
                start + stretch.over, hands, step.step.people or 1, str(step.step.title),
            )  # fmt: skip
