"""A build's jobs, patch tests and sign-offs as a project: tasks with hands, molds, hours and deadlines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Final

from mothermold.answers.chair_day import HANDS, ChairDay, ChairDays
from mothermold.answers.mold_cycle import mold_cycle
from mothermold.answers.pieces_wanted import worn_days
from mothermold.answers.plan_jobs import Job, Jobs, jobs_of
from mothermold.answers.plan_patches import LATE_REACTION_DAYS, PatchTask, patch_tasks, readings
from mothermold.answers.work_hours import WorkHours
from mothermold.book.document import Document
from mothermold.model.build import Build, WornDay
from mothermold.reckon.project import HeldSpan, Hold, Order, Project, Task, Window
from mothermold.reckon.sittings import Sitting, Sittings, Stretch, sittings_of
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.patch_cover import patch_tests_wanted
from mothermold.view.view import View

OVEN: Final = "oven"
SHOP: Final = "shop"
GRID: Final = 5
"""Work begins at full five minutes."""
IN_HAND: Final = 2
"""So many working days are kept in hand before each deadline where that can be: a casting may have to be done again (common practice, no source)."""
_AHEAD: Final = 500
"""How many days ahead there are hours."""
_MOST_HANDS: Final = 100


@dataclass(frozen=True, slots=True)
class Assumed:
    """What a plan is made with that is not in the book: a remedy that is tried.

    Attributes:
        helpers: How many more pairs of hands.
        spares: Other numbers of spare sets, by look.
        molds: Further molds, by the thing they are.
        days_earlier: How many days earlier the work begins.
        minutes_earlier: How many minutes earlier the wearers sit down.
        moved: Days that are moved, each to another.
    """

    helpers: int = 0
    spares: Mapping[str, int] = field(default_factory=dict)
    molds: Mapping[str, int] = field(default_factory=dict)
    days_earlier: int = 0
    minutes_earlier: int = 0
    moved: Mapping[date, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """A step of a job, in the sittings that hold it."""

    job: Job
    step: str
    parts: tuple[tuple[str, Stretch], ...]


class BuildProject:
    """A build as it stands on a day, as a project.

    Args:
        view: The book.
        document: The build.
        today: The day.
        assumed: What is tried.

    Attributes:
        build: The build.
        hours: The book's hours.
        begin: When work can begin, in minutes.
        days: The days in the chair that are ahead.
        people: How many pairs of hands there are.
    """

    def __init__(self, view: View, document: Document[Build], today: date, assumed: Assumed | None = None) -> None:
        self._view, self._document, self._today = view, document, today
        self.assumed = assumed or Assumed()
        self.build = self._moved(document.model)
        self.hours = WorkHours(view.settings)
        worn = worn_days(view, document.address, today)
        # A day of a look nobody knows is told by `check`; it has nothing to be planned for.
        looks = {str(each.id) for each in self.build.looks}
        coming = (each for each in self.build.days if each.day >= today and str(each.look) in looks)
        self.days = sorted(
            (each for each in coming if (each.day, str(each.look)) not in worn),
            key=lambda each: each.day,
        )
        # Nobody begins more than a year before the first day; so the calendar stays short in an old book.
        first = self.days[0].day - timedelta(days=_AHEAD) if self.days else today
        self.begin = self.hours.minutes(max(today, first) - timedelta(days=self.assumed.days_earlier))
        self.people = min(int(self.build.people or 1), _MOST_HANDS) + self.assumed.helpers

    def _moved(self, build: Build) -> Build:
        moved = self.assumed.moved
        days = tuple(each.model_copy(update={"day": moved.get(each.day, each.day)}) for each in build.days)
        return build.model_copy(update={"days": days}) if moved else build

    @cached_property
    def jobs(self) -> Jobs:
        """What is left to do."""
        found = jobs_of(self._view, self._document.address, self._today, self.assumed.spares, self.assumed.molds)
        if not self.assumed.moved:
            return found
        # The jobs know the days as the build has them.
        by_day = {(each.day, str(each.look)): each for each in self.days}
        moved = self.assumed.moved
        jobs = {
            name: job
            if job.due is None
            else replace(job, due=by_day.get((moved.get(job.due.day, job.due.day), job.look), job.due))
            for name, job in found.jobs.items()
        }
        return Jobs(jobs, found.unread, found.begun, found.castings)

    @cached_property
    def chairs(self) -> tuple[ChairDay, ...]:
        """The days in the chair, minute by minute."""
        early = self.assumed.minutes_earlier
        return ChairDays(self._view, self.build, self.hours, self.people, early).of(self.days)

    @cached_property
    def sittings(self) -> dict[str, Sittings]:
        """By job its sittings."""
        return {name: sittings_of(job.work, job.done) for name, job in self.jobs.jobs.items()}

    @cached_property
    def steps(self) -> list[PlannedStep]:
        """Every step that is planned in the weeks."""
        found: list[PlannedStep] = []
        for name, job in self.jobs.jobs.items():
            parts: dict[str, list[tuple[str, Stretch]]] = {}
            for sitting in self.sittings[name].every:
                for stretch in sitting.stretches:
                    parts.setdefault(str(stretch.step.step.id), []).append((f"{name}/{sitting.id}", stretch))
            found += [PlannedStep(job, step, tuple(every)) for step, every in parts.items()]
        return found

    @cached_property
    def patches(self) -> list[PatchTask]:
        """The patch tests that are still to be put on or read: one for each wearer, before the first look it is for."""
        return patch_tasks(patch_tests_wanted(self._document, self._view.ruling, self._today), self.days)

    def due_of(self, day: WornDay) -> int:
        """When what is made for a day must be there: when the first wearer of it sits down."""
        return next(each.chair for each in self.chairs if each.day == day)

    @cached_property
    def project(self) -> Project:
        """The project; wished for are working days in hand before each deadline, and time for the longest of what is waited for."""
        tasks, orders, spans = dict[str, Task](), list[Order](), list[HeldSpan]()
        resources = {HANDS: self.people, OVEN: 1}
        for name, job in self.jobs.jobs.items():
            sittings = self.sittings[name]
            cycle = mold_cycle(job, sittings)
            for sitting in sittings.every:
                tasks[f"{name}/{sitting.id}"] = self._task(job, sitting, has_cycle=cycle is not None)
            orders += [replace(o, before=f"{name}/{o.before}", after=f"{name}/{o.after}") for o in sittings.orders]
            orders += self._waits(job, sittings)
            if cycle is not None:
                spans.append(cycle.span)
                tasks |= {each.id: each for each in cycle.tasks}
                orders += cycle.orders
            if job.mold:
                resources[f"mold {job.mold}"] = 1
        for each in self.patches:
            tasks[each.task] = self._patch(each)
        orders += readings(self.patches)
        tasks = {name: self._dated(task) for name, task in tasks.items()}
        return Project(tasks, tuple(orders), tuple(spans), resources, {SHOP: self._windows}, tuple(self._busy()), GRID)

    @cached_property
    def _windows(self) -> list[Window]:
        first = self.hours.moment(self.begin).date()
        last = max([first, *(each.day for each in self.days)])
        return self.hours.windows(first, last + timedelta(days=_AHEAD))

    def _task(self, job: Job, sitting: Sitting, *, has_cycle: bool) -> Task:
        name = f"{job.id}/{sitting.id}"
        holds, before = list[Hold](), 0
        for stretch in sitting.stretches:
            # Whoever waits out a short wait is at it alone.
            holds += [Hold(HANDS, before, stretch.start - before)] if stretch.start > before else []
            holds += (
                [Hold(HANDS, stretch.start, stretch.minutes, stretch.step.step.people or 1)] if stretch.minutes else []
            )
            before = stretch.end
            if stretch.step.step.holds == "oven":
                holds.append(Hold(OVEN, stretch.end, stretch.rest))
            elif stretch.step.step.holds == "mold" and job.mold and (not has_cycle or stretch.step.step.once):
                holds.append(Hold(f"mold {job.mold}", stretch.start, stretch.minutes + stretch.rest))
        return Task(
            name, sitting.minutes, sitting.total, SHOP if sitting.minutes else "", tuple(holds), self._ready(job)
        )

    def _ready(self, job: Job) -> int | None:
        """When a job can begin: what is done behind it may still be drying."""
        behind = [self.jobs.jobs[name] for name in job.after if not self.sittings[name].every]
        moments = [self.hours.at(job.ready)] if job.ready is not None else []
        moments += [ready for other in behind if (ready := self._ready(other)) is not None]
        return max(moments, default=None)

    def _waits(self, job: Job, sittings: Sittings) -> Iterator[Order]:
        """What a job waits for: other jobs, and steps that another does once for all."""
        following = {each.after for each in sittings.orders}
        roots = [each for each in sittings.every if each.id not in following]
        for name in job.after:
            for last in _ends(self.sittings[name]):
                for first in roots:
                    wish = last.at_longest if last.at_longest > last.total else None
                    yield Order(f"{name}/{last.id}", f"{job.id}/{first.id}", last.total, wish=wish)
        once = {step: by for step, by in job.once if by}
        for each in job.work.order:
            for step in set(each.after) & once.keys():
                if each.step.id in sittings.first:
                    to, at = sittings.first[str(each.step.id)]
                    of, stretch = self.sittings[once[step]].last[step]
                    yield Order(f"{once[step]}/{of.id}", f"{job.id}/{to.id}", stretch.over - at.start)

    def _patch(self, each: PatchTask) -> Task:
        tested = each.wanted.tested if each.step == "read" else None
        earliest = self.hours.minutes(tested + timedelta(hours=PATCH_TEST_HOURS)) if tested is not None else None
        return Task(each.task, each.minutes, each.minutes, SHOP, (Hold(HANDS, 0, each.minutes),), earliest)

    @cached_property
    def deadlines(self) -> dict[str, tuple[int, str]]:
        """By task when it must have ended, and what for in words."""
        found: dict[str, tuple[int, str]] = {}
        for name, job in self.jobs.jobs.items():
            if job.due is not None:
                self._end(found, name, self.due_of(job.due), f"the chair on {job.due.day.isoformat()}")
            elif self.days and not any(name in other.after for other in self.jobs.jobs.values()):
                self._end(found, name, self.due_of(self.days[-1]), f"the chair on {self.days[-1].day.isoformat()}")
        for each in self.patches:
            # Read and clear before the day itself.
            found[each.task] = (self.hours.minutes(each.day.day), f"the chair on {each.day.day.isoformat()}")
        for approval in self.build.approvals:
            for name, job in self.jobs.jobs.items():
                if approval.due is not None and job.thing == str(approval.what).strip().casefold():
                    self._end(
                        found, name, self.hours.minutes(approval.due), f"its sign-off, due {approval.due.isoformat()}"
                    )
        return found

    def _end(self, found: dict[str, tuple[int, str]], job: str, due: int, words: str) -> None:
        for last in _ends(self.sittings[job]):
            task = f"{job}/{last.id}"
            found[task] = min(found.get(task, (due, words)), (due, words))

    def _dated(self, task: Task) -> Task:
        if task.id not in self.deadlines:
            return task
        due = self.deadlines[task.id][0]
        if any(each.task == task.id for each in self.patches):
            return replace(task, due=due, wish=due - LATE_REACTION_DAYS * 24 * 60)
        name, _, sitting = task.id.rpartition("/")
        longest = next(each for each in self.sittings[name].every if each.id == sitting).at_longest
        return replace(task, due=due, wish=self.hours.days_before(due, IN_HAND) - (longest - task.total))

    def _busy(self) -> Iterator[tuple[str, int, int, int]]:
        """Hands at the chair and on set are not in the shop; of two wearers' days together no more than there are."""
        edges: dict[int, int] = {}
        for chair in self.chairs:
            for each in chair.steps:
                amount = min(each.people, self.people)
                edges[each.start] = edges.get(each.start, 0) + amount
                edges[each.end] = edges.get(each.end, 0) - amount
        had, since = 0, 0
        for moment in sorted(edges):
            if had > 0 and moment > since:
                yield HANDS, since, moment, min(had, self.people)
            had, since = had + edges[moment], moment


def _ends(sittings: Sittings) -> Sequence[Sitting]:
    """The sittings nothing of the same recipe follows on."""
    followed = {each.before for each in sittings.orders}
    return [each for each in sittings.every if each.id not in followed]
