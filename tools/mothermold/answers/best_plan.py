"""The plan of a build: as late as is wise before its days, or as short as can be from a moment on; and why there is none.

As late as is wise: even if what is waited for takes its longest, and with a working day in hand before each deadline. Where that
cannot be, with what it usually takes; where that cannot be either, with no day in hand. What would make an impossible plan
possible is tried, one thing after the other, by planning anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

from mothermold.answers.chair_day import ChairDay
from mothermold.answers.plan_project import Assumed, BuildProject
from mothermold.ground.words import in_words
from mothermold.reckon.project import Project, end_of, mirrored, mirrored_starts
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.solved_plan import LIMIT, SolvedPlan, solved_plan

_SOONER: Final = 4.0
"""How much work is spent on a plan with something in hand before one with less is looked at."""
_MOST_DAYS: Final = 180
_MOST_HELPERS: Final = 3
_MOST_MINUTES: Final = 240

Planning = Callable[[Assumed, bool], BuildProject]
"""Makes the project of the build with what is assumed, carefully or not."""


@dataclass(frozen=True, slots=True)
class BestPlan:
    """A plan that keeps everything.

    Attributes:
        made: What was planned.
        project: The same as a project, without anything kept in hand.
        starts: When each task starts.
        is_kept: Whether a working day is in hand before each deadline.
        is_careful: Whether there is time for the longest of what is waited for.
        is_proven: Whether none is better, to a thousandth.
    """

    made: BuildProject
    project: Project
    starts: Mapping[str, int]
    is_kept: bool
    is_careful: bool
    is_proven: bool


@dataclass(frozen=True, slots=True)
class LateThing:
    """What comes too late: the thing or look, by how many minutes, what for, and what would make the plan possible."""

    thing: str
    by_min: int
    what_for: str
    remedy: str


def best_plan(planning: Planning, assumed: Assumed) -> BestPlan | None:
    """The plan backward from the days; None where there is none, or none was found.

    Args:
        planning: Makes the project.
        assumed: What is assumed beyond the book.
    """
    plain = planning(assumed, False)  # noqa: FBT003 - it stands for the careful one below
    if any(map(_is_impossible, plain.chairs, [plain.people] * len(plain.chairs))):
        return None
    for careful, kept in ((True, True), (False, True), (False, False)):
        made = planning(assumed, careful)
        found = _backward(made, made.project(kept=kept), LIMIT if not kept else _SOONER)
        if found.starts is not None:
            return BestPlan(plain, plain.project(kept=False), found.starts, kept, careful, found.is_proven)
    return None


def shortest_plan(made: BuildProject, begin: int) -> BestPlan | None:
    """The plan forward from a moment, deadlines not looked at.

    Args:
        made: What is to be planned.
        begin: The moment.
    """
    project = made.project(kept=False)
    hint = serial_plan(_not_before(project, begin))
    if hint is None:
        return None
    end = end_of(project, hint)
    found = solved_plan(project, "shortest", begin, end, hint)
    return BestPlan(made, project, found.starts or hint, False, False, found.is_proven)  # noqa: FBT003 - of a plan forward neither is


def _not_before(project: Project, begin: int) -> Project:
    return replace(project, tasks={name: replace(task, earliest=max(begin, task.earliest or begin)) for name, task in project.tasks.items()})


def _is_impossible(chair: ChairDay, people: int) -> bool:
    return chair.late > 0 or chair.crowd > people


def _backward(made: BuildProject, project: Project, limit: float) -> SolvedPlan:
    if not project.tasks:
        return SolvedPlan({}, is_proven=True)
    end = _end(project, made)
    hint = _late_hint(project)
    is_good = hint is not None and all(
        start >= max(made.begin, project.tasks[name].earliest or made.begin) for name, start in hint.items()
    )
    found = solved_plan(project, "latest", made.begin, end, hint if is_good else None, limit if not is_good else LIMIT)
    # What a rule of the hand finds is a plan too, where the solver finds none in its time.
    return found if found.starts is not None or not is_good else SolvedPlan(hint, is_proven=False)


def _end(project: Project, made: BuildProject) -> int:
    return max((task.due for task in project.tasks.values() if task.due is not None), default=made.begin)


def _late_hint(project: Project) -> dict[str, int] | None:
    """By the rule of the hand, from the end backward."""
    other = mirrored(project)
    starts = serial_plan(other)
    return mirrored_starts(other, starts) if starts is not None else None


def is_possible(planning: Planning, assumed: Assumed) -> bool:
    """Whether there is any plan at all that keeps everything, with nothing in hand."""
    made = planning(assumed, False)  # noqa: FBT003 - as above
    if any(map(_is_impossible, made.chairs, [made.people] * len(made.chairs))):
        return False
    project = made.project(kept=False)
    if not project.tasks:
        return True
    hint = _late_hint(project)
    if hint is not None and all(start >= max(made.begin, project.tasks[n].earliest or made.begin) for n, start in hint.items()):
        return True
    return solved_plan(project, "any", made.begin, _end(project, made), None, _SOONER).starts is not None


def what_is_late(planning: Planning, assumed: Assumed) -> list[LateThing]:
    """What comes too late in the plan that is late by the least, with the first change that makes it possible."""
    made = planning(assumed, False)  # noqa: FBT003 - as above
    if too_long := list(_too_long(made)):
        return too_long
    rows = [*_late_at_the_chair(made), *_late_in_the_shop(made)]
    remedy = next(_remedies(planning, assumed, made), "")
    remedy = remedy or (
        "No single change that was tried makes it possible: fewer spares, another mold, an earlier beginning, more helpers. Move the days apart."
    )
    return [LateThing(thing, by, what_for, remedy) for thing, by, what_for in rows]


def _too_long(made: BuildProject) -> Iterator[LateThing]:
    longest = made.hours.longest()
    for name, sittings in made.sittings.items():
        for each in sittings.every:
            if each.minutes > longest:
                steps = in_words(each.steps)
                yield LateThing(
                    made.jobs.jobs[name].thing, each.minutes - longest, "the working day",
                    f"{steps} of `{made.jobs.jobs[name].recipe}` takes {each.minutes} min at one go, and the longest working day has "
                    f"{longest}. Where it can be left, type `may_pause: yes` at the step; else longer `hours:` in the book.",
                )  # fmt: skip


def _late_at_the_chair(made: BuildProject) -> Iterator[tuple[str, int, str]]:
    for chair in made.chairs:
        if chair.crowd > made.people:
            yield chair.look, chair.late, f"{chair.crowd} pairs of hands on {chair.day.day.isoformat()}"
        elif chair.late:
            yield chair.look, chair.late, f"ready on {chair.day.day.isoformat()}"


def _late_in_the_shop(made: BuildProject) -> Iterator[tuple[str, int, str]]:
    project = made.project(kept=False)
    crowded = {
        job.thing: (0, f"`{each.step.step.id}` needs {each.step.step.people} pairs of hands")
        for name, job in made.jobs.jobs.items()
        for sitting in made.sittings[name].every
        for each in sitting.stretches
        if (each.step.step.people or 1) > made.people
    }
    if crowded:
        yield from ((thing, by, words) for thing, (by, words) in crowded.items())
        return
    forward = _not_before(project, made.begin)
    hint = serial_plan(forward)
    if hint is None:
        return
    end = max(_end(project, made), end_of(project, hint))
    starts = solved_plan(project, "least late", made.begin, end, hint).starts or hint
    worst: dict[str, tuple[int, str]] = {}
    for name, (due, words) in made.deadlines.items():
        task = project.tasks[name]
        job = made.jobs.jobs.get(name.partition("/")[0])
        by = starts[name] + task.total - due
        thing = job.thing if job is not None else name.partition("/")[0]
        if by > 0 and by > worst.get(thing, (0, ""))[0]:
            worst[thing] = by, words
    yield from ((thing, by, words) for thing, (by, words) in worst.items())


def _remedies(planning: Planning, assumed: Assumed, made: BuildProject) -> Iterator[str]:
    """What makes it possible, in words, the smallest loss first: each was tried."""
    for look in made.build.looks:
        for fewer in range(1, (look.spares or 0) + 1):
            left = (look.spares or 0) - fewer
            other = replace(assumed, spares={**assumed.spares, str(look.id): left})
            if is_possible(planning, other):
                lost = _castings_words(made, planning(other, False))  # noqa: FBT003 - as above
                yield f"Give up {fewer} spare {'set' if fewer == 1 else 'sets'} of `{look.id}` (`spares: {left}`){lost}."
    for mold in dict.fromkeys(job.mold for job in made.jobs.jobs.values() if job.mold):
        source = next(iter(_mold_things(made, mold)), "")
        other = replace(assumed, molds={**assumed.molds, source: assumed.molds.get(source, 0) + 1})
        if source and mold not in made.jobs.jobs and is_possible(planning, other):
            yield f"Another mold like `{mold}`, dry and ready now, beside it."
    if (days := _least(_MOST_DAYS, lambda n: is_possible(planning, replace(assumed, days_earlier=n)))) is not None:
        day = (made.hours.moment(made.begin) - timedelta(days=days - assumed.days_earlier)).date()
        yield (
            f"Begin {days} {'day' if days == 1 else 'days'} earlier, on {day.isoformat()}; where that is past, move the chair by as much."
        )
    if (more := _least(_MOST_HELPERS, lambda n: is_possible(planning, replace(assumed, helpers=n)))) is not None:
        yield f"{more} more {'helper' if more == 1 else 'helpers'} (`people: {made.people + more}`)."
    minutes = _least(_MOST_MINUTES // 5, lambda n: is_possible(planning, replace(assumed, minutes_earlier=5 * n)))
    if minutes is not None:
        yield f"Let the wearer sit down {5 * minutes} min earlier."


def _castings_words(made: BuildProject, other: BuildProject) -> str:
    before = {each.thing: each.to_cast for each in made.jobs.castings}
    after = {each.thing: each.to_cast for each in other.jobs.castings}
    fewer = {thing: count - after.get(thing, 0) for thing, count in before.items() if count > after.get(thing, 0)}
    told = [f"{count} {'casting' if count == 1 else 'castings'} of `{thing}` fewer" for thing, count in fewer.items()]
    return f": {', '.join(told)}" if told else ""


def _mold_things(made: BuildProject, mold: str) -> Iterator[str]:
    for job in made.jobs.jobs.values():
        if job.mold == mold:
            thing = next(each for each in made.build.things if each.id == job.thing)
            yield from map(str, thing.from_)


def _least(most: int, is_enough: Callable[[int], bool]) -> int | None:
    """The least number from 1 on that is enough; None where not even the most is."""
    if not is_enough(most):
        return None
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        if is_enough(middle):
            high = middle
        else:
            low = middle + 1
    return low
