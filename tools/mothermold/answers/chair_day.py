"""The days in the chair, minute by minute: what goes on between sitting down and being ready, the day on set, and the removal.

Each step has its hands and its waiting, and one wearer sits in one chair. Applications begin when the wearer sits down, removals
when the day is wrapped; between the two one pair of hands is with the wearer. A time earlier than the one before it is of
the next day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from itertools import groupby
from typing import Final

from mothermold.answers.work_hours import WorkHours
from mothermold.model.build import Build, Look, WornDay
from mothermold.model.names import RecipeRef
from mothermold.reckon.project import Hold, Order, Project, Task
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.sittings import Sittings, sittings_of
from mothermold.reckon.solved_plan import solved_plan
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


@dataclass(frozen=True, slots=True)
class _Sheet:
    look: Look
    day: WornDay
    ref: RecipeRef
    sittings: Sittings
    name: str


def chair_days(
    view: View, build: Build, days: Sequence[WornDay], hours: WorkHours, people: int, earlier: int = 0
) -> tuple[ChairDay, ...]:
    """Every look on every day, as early as it goes.

    Args:
        view: The book.
        build: The build.
        days: The days to look at.
        hours: The book's clocks.
        people: How many pairs of hands there are.
        earlier: How many minutes earlier the wearers sit down than is written.
    """
    looks = {str(each.id): each for each in build.looks}
    known = [each for each in sorted(days, key=lambda each: (each.day, str(each.look))) if str(each.look) in looks]
    found: list[ChairDay] = []
    for _day, group in groupby(known, key=lambda each: each.day):
        found += _one_day(view, build, list(group), looks, hours, people, earlier)
    return tuple(found)


def _times(day: WornDay, hours: WorkHours, earlier: int) -> tuple[int, int | None, int | None, bool]:
    """When the wearer sits down, when it must be ready, when it is wrapped, and whether the first is guessed."""
    window = hours.window(day.day)
    chair = (
        hours.minutes(day.day, day.chair) if day.chair else (window[0] if window else hours.minutes(day.day, time(9)))
    )
    ready, wrap, before, on = None, None, day.chair, day.day
    if day.ready is not None:
        on = _day_of(on, before, day.ready)
        ready, before = hours.minutes(on, day.ready), day.ready
    if day.wrap is not None:
        on = _day_of(on, before, day.wrap)
        wrap = hours.minutes(on, day.wrap)
    return chair - earlier, ready, wrap, day.chair is None


def _day_of(on: date, before: time | None, clock: time) -> date:
    return on + timedelta(days=1) if before is not None and clock < before else on


def _one_day(
    view: View,
    build: Build,
    days: Sequence[WornDay],
    looks: Mapping[str, Look],
    hours: WorkHours,
    people: int,
    earlier: int,
) -> Iterator[ChairDay]:
    tasks: dict[str, Task] = {}
    orders: list[Order] = []
    resources: dict[str, int] = {HANDS: people}
    sheets: list[_Sheet] = []
    for day in days:
        look = looks[str(day.look)]
        chair, _ready, wrap, _guessed = _times(day, hours, earlier)
        before: _Sheet | None = None
        for stage, refs in (("application", look.application), ("removal", look.removal)):
            for ref in refs:
                recipe = view.ruling.text(ref)
                if recipe is None or not recipe.steps:
                    continue
                sheet = _Sheet(
                    look, day, ref, sittings_of(work_of(recipe), longest=0), f"{look.id} {stage} {len(sheets):02}"
                )
                begin = chair if stage == "application" else wrap
                _lay(
                    sheet,
                    begin if begin is not None else chair,
                    str(build.wearer_of(look) or look.id),
                    people,
                    tasks,
                    resources,
                )
                orders += [
                    Order(f"{sheet.name}/{o.before}", f"{sheet.name}/{o.after}", o.least, o.most)
                    for o in sheet.sittings.orders
                ]
                orders += _after(before, sheet)
                sheets.append(sheet)
                before = sheet
    project = Project(tasks, tuple(orders), (), resources)
    starts = _planned(project) if tasks else {}
    for day in days:
        mine = [each for each in sheets if each.day is day]
        yield _told(day, mine, starts, hours, earlier)


def _lay(
    sheet: _Sheet, begin: int, wearer: str, people: int, tasks: dict[str, Task], resources: dict[str, int]
) -> None:
    resources[wearer] = 1
    for sitting in sheet.sittings.every:
        (stretch,) = sitting.stretches
        busy = Hold(HANDS, 0, stretch.minutes, min(people, stretch.step.step.people or 1))
        name = f"{sheet.name}/{sitting.id}"
        tasks[name] = Task(
            name, stretch.minutes, stretch.over, holds=(busy, Hold(wearer, 0, stretch.minutes)), earliest=begin
        )


def _after(before: _Sheet | None, sheet: _Sheet) -> Iterator[Order]:
    """One recipe after the other: all that begins in it comes after all that ends in the one before."""
    if before is None:
        return
    followed = {each.before for each in before.sittings.orders}
    following = {each.after for each in sheet.sittings.orders}
    for last in (each for each in before.sittings.every if each.id not in followed):
        for first in (each for each in sheet.sittings.every if each.id not in following):
            yield Order(f"{before.name}/{last.id}", f"{sheet.name}/{first.id}", last.total)


def _planned(project: Project) -> dict[str, int]:
    begin = min(each.earliest or 0 for each in project.tasks.values())
    hint = serial_plan(project)
    end = begin + 2 * sum(each.total for each in project.tasks.values()) + 48 * 60
    # Of equally short days the one where everything is as early as can be: the mirror of as late as can be.
    found = solved_plan(project, "earliest", begin, end, hint, _LIMIT).starts or hint
    return found or {name: begin for name in project.tasks}


def _told(
    day: WornDay, sheets: Sequence[_Sheet], starts: Mapping[str, int], hours: WorkHours, earlier: int
) -> ChairDay:
    chair, ready, wrap, guessed = _times(day, hours, earlier)
    steps: list[ChairStep] = []
    done, crowd = chair, 1
    for sheet in sheets:
        for sitting in sheet.sittings.every:
            (stretch,) = sitting.stretches
            start, step = starts[f"{sheet.name}/{sitting.id}"], stretch.step
            wanted = step.step.people or 1
            steps.append(
                ChairStep(
                    str(sheet.look.id), day, str(sheet.ref), str(step.step.id), start, start + stretch.minutes, start + stretch.over,
                    float(step.hands_on) if stretch.is_last else 0.0, wanted, str(step.step.title),
                )
            )  # fmt: skip
            crowd = max(crowd, wanted)
            if sheet.ref in sheet.look.application:
                done = max(done, start + stretch.over)
    if sheets and wrap is not None and wrap > done:
        look = sheets[0].look
        steps += [ChairStep(str(look.id), day, str(ref), "", done, wrap, wrap, 0.0, 1) for ref in look.wear[:1]]
    return ChairDay(
        str(day.look), day, chair, ready, done, tuple(sorted(steps, key=lambda each: each.start)), crowd, guessed
    )
