"""The plan of a build: as late as is wise before its days, or as short as can be from a moment on; and why there is none.

As late as is wise: with two working days in hand before each deadline, and with time for the longest of what is waited for, as far as
that can be. What would make an impossible plan possible is tried, one thing after the other, by planning anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

from mothermold.answers.chair_day import ChairDay
from mothermold.answers.plan_jobs import job_of
from mothermold.answers.plan_project import Assumed, BuildProject
from mothermold.ground.words import in_words
from mothermold.reckon.project import Project, end_of, mirrored, mirrored_starts, with_wishes
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.solved_plan import solved_plan

_SOONER: Final = 0.3
"""How much work is spent on whether there is a plan at all."""
_MOST_DAYS: Final = 180
_MOST_HELPERS: Final = 3
_MOST_MINUTES: Final = 240

Planning = Callable[[Assumed], BuildProject]
"""Makes the project of the build with what is assumed."""


@dataclass(frozen=True, slots=True)
class BestPlan:
    """A plan that keeps everything.

    Attributes:
        made: What was planned.
        project: The same as a project; where it is planned forward without its deadlines.
        starts: When each task starts.
        is_proven: Whether none is better, to a thousandth.
    """

    made: BuildProject
    project: Project
    starts: Mapping[str, int]
    is_proven: bool


@dataclass(frozen=True, slots=True)
class LateThing:
    """What comes too late: the thing or look, by how many minutes, what for, and what would make the plan possible."""

    thing: str
    by_min: int
    what_for: str
    remedy: str


def best_plan(made: BuildProject) -> BestPlan | None:
    """The plan backward from the days; None where there is none, or none was found.

    Args:
        made: What is to be planned.
    """
    if any(map(_is_impossible, made.chairs, [made.people] * len(made.chairs))):
        return None
    project = made.project
    if not project.tasks:
        return BestPlan(made, project, {}, is_proven=True)
    end = _end(made)
    if (hint := _late_hint(made, wished := with_wishes(project))) is not None:
        # Everything wished for can be had, so it need not be weighed against the rest.
        found = solved_plan(wished, "latest", (made.begin, end), hint)
    else:
        hint = _late_hint(made, project) or _any_plan(made)
        if hint is None:
            return None
        found = solved_plan(project, "latest", (made.begin, end), hint)
    # What was begun with is a plan too, where the solver finds none in its time.
    return BestPlan(made, project, found.starts or hint, found.is_proven and found.starts is not None)


def shortest_plan(made: BuildProject, begin: int) -> BestPlan | None:
    """The plan forward from a moment, deadlines not looked at.

    Args:
        made: What is to be planned.
        begin: The moment.
    """
    tasks = {name: replace(task, due=None, wish=None) for name, task in made.project.tasks.items()}
    project = _not_before(replace(made.project, tasks=tasks), begin)
    hint = serial_plan(project)
    if hint is None:
        return None
    found = solved_plan(project, "shortest", (begin, end_of(project, hint)), hint)
    return BestPlan(made, project, found.starts or hint, found.is_proven)


def _not_before(project: Project, begin: int) -> Project:
    return replace(
        project,
        tasks={
            name: replace(task, earliest=max(begin, task.earliest or begin)) for name, task in project.tasks.items()
        },
    )


def _is_impossible(chair: ChairDay, people: int) -> bool:
    return chair.late > 0 or chair.crowd > people


def _end(made: BuildProject) -> int:
    return max((task.due for task in made.project.tasks.values() if task.due is not None), default=made.begin)


def _late_hint(made: BuildProject, project: Project) -> dict[str, int] | None:
    """By the rule of the hand, from the end backward; None where that would have to begin in the past."""
    other = mirrored(project)
    found = serial_plan(other)
    if found is None:
        return None
    starts = mirrored_starts(other, found)
    first = {name: task.earliest if task.earliest is not None else made.begin for name, task in project.tasks.items()}
    return starts if all(start >= max(made.begin, first[name]) for name, start in starts.items()) else None


def is_possible(made: BuildProject) -> bool:
    """Whether there is any plan at all that keeps everything, with nothing in hand."""
    if any(map(_is_impossible, made.chairs, [made.people] * len(made.chairs))):
        return False
    if not made.project.tasks or _late_hint(made, made.project) is not None:
        return True
    return _any_plan(made) is not None


def _any_plan(made: BuildProject) -> dict[str, int] | None:
    return solved_plan(made.project, "any", (made.begin, _end(made)), None, _SOONER).starts


def what_is_late(planning: Planning, assumed: Assumed) -> list[LateThing]:
    """What comes too late in the plan that is late by the least, with the first change that makes it possible."""
    made = planning(assumed)
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
            yield chair.look, chair.late, f"being ready on {chair.day.day.isoformat()}"


def _late_in_the_shop(made: BuildProject) -> Iterator[tuple[str, int, str]]:
    project = made.project
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
    end = max(_end(made), end_of(project, hint))
    starts = solved_plan(project, "least late", (made.begin, end), hint, _SOONER).starts or hint
    worst: dict[str, tuple[int, str]] = {}
    for name, (due, words) in made.deadlines.items():
        task = project.tasks[name]
        job = made.jobs.jobs.get(job_of(name))
        by = starts[name] + task.total - due
        thing = job.thing if job is not None else job_of(name)
        if by > 0 and by > worst.get(thing, (0, ""))[0]:
            worst[thing] = by, words
    yield from ((thing, by, words) for thing, (by, words) in worst.items())


def _remedies(planning: Planning, assumed: Assumed, made: BuildProject) -> Iterator[str]:
    """What makes it possible, in words, the smallest loss first: each was tried."""
    for look in made.build.looks:
        spares = look.spares or 0

        def left_with(fewer: int, name: str = str(look.id), had: int = spares) -> BuildProject:
            return planning(replace(assumed, spares={**assumed.spares, name: had - fewer}))

        fewer = _least(spares, lambda count: is_possible(left_with(count))) if spares else None
        if fewer is not None:
            sets, lost = "set" if fewer == 1 else "sets", _castings_words(made, left_with(fewer))
            yield f"Give up {fewer} spare {sets} of `{look.id}` (`spares: {spares - fewer}`){lost}."
    for mold in dict.fromkeys(job.mold for job in made.jobs.jobs.values() if job.mold):
        source = next(iter(_mold_things(made, mold)), "")
        other = replace(assumed, molds={**assumed.molds, source: assumed.molds.get(source, 0) + 1})
        if source and mold not in made.jobs.jobs and is_possible(planning(other)):
            yield f"Another mold like `{mold}`, dry and ready now, beside it."
    if (days := _least(_MOST_DAYS, lambda n: is_possible(planning(replace(assumed, days_earlier=n))))) is not None:
        day = (made.hours.moment(made.begin) - timedelta(days=days - assumed.days_earlier)).date()
        yield (
            f"Begin {days} {'day' if days == 1 else 'days'} earlier, on {day.isoformat()}; where that is past, move the chair by as much."
        )
    if (more := _least(_MOST_HELPERS, lambda n: is_possible(planning(replace(assumed, helpers=n))))) is not None:
        yield f"{more} more {'helper' if more == 1 else 'helpers'} (`people: {made.people + more}`)."
    minutes = _least(_MOST_MINUTES // 5, lambda n: is_possible(planning(replace(assumed, minutes_earlier=5 * n))))
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
