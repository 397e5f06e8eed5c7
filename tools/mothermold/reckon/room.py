"""How much room the tasks of a plan have: how much earlier each could have been, and how much later it may be.

A plan that stands says who follows whom: on a mold, on the hands, in the order of the work. Along these lines each task is
pushed as early and as late as it goes, with all the others moving along and the hours kept (partial order schedules; common practice, no
source). A limit of "at most so long after" is held against the other task where it stands in the plan.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from mothermold.reckon.project import Project, Task, Window
from mothermold.reckon.serial_plan import fits_from

_PASSES: Final = 60


@dataclass(frozen=True, slots=True)
class Room:
    """How early and how late a task can start."""

    earliest: int
    latest: int


class _Use(NamedTuple):
    """A resource in use: from so long after the start of one task to so long after the start of another, which may be it."""

    begin: int
    end: int
    amount: int
    first: str
    head: int
    last: str
    tail: int


class _Line(NamedTuple):
    """A task starts at least so long after another starts."""

    before: str
    after: str
    least: int


def rooms(project: Project, starts: Mapping[str, int], begin: int, end: int) -> dict[str, Room]:
    """The room of every task of a plan.

    Args:
        project: What was planned.
        starts: The plan.
        begin: Nothing starts before.
        end: What has no deadline has ended by then.
    """
    lines = [_Line(each.before, each.after, each.least) for each in project.orders]
    low, high = dict.fromkeys(project.tasks, begin), dict[str, int]()
    for name, task in project.tasks.items():
        high[name] = (end if task.due is None else task.due) - task.total
        if task.earliest is not None:
            low[name] = max(begin, task.earliest)
    for each in project.orders:
        if each.most is not None:
            high[each.after] = min(high[each.after], starts[each.before] + each.most)
            low[each.before] = max(low[each.before], starts[each.after] - each.most)
    for use, other in _neighbors(project, starts):
        if isinstance(other, _Use):
            lines.append(_Line(use.last, other.first, use.tail - other.head))
        elif other >= use.end:
            high[use.last] = min(high[use.last], other - use.tail)
        else:
            low[use.first] = max(low[use.first], other - use.head)
    for _ in range(_PASSES):
        if not (_pushed_early(project, lines, low, starts) | _pushed_late(project, lines, high, starts)):
            break
    return {name: Room(min(low[name], starts[name]), max(high[name], starts[name])) for name in project.tasks}


def _pushed_early(project: Project, lines: Sequence[_Line], low: dict[str, int], starts: Mapping[str, int]) -> bool:
    moved = False
    for line in sorted(lines, key=lambda each: starts[each.after]):
        task = project.tasks[line.after]
        first = fits_from(project.windows(task), max(low[line.after], low[line.before] + line.least), task.minutes, project.grid)
        if first is not None and first > low[line.after]:
            low[line.after] = first
            moved = True
    return moved


def _pushed_late(project: Project, lines: Sequence[_Line], high: dict[str, int], starts: Mapping[str, int]) -> bool:
    moved = False
    for line in sorted(lines, key=lambda each: -starts[each.before]):
        task = project.tasks[line.before]
        last = _fits_before(project.windows(task), min(high[line.before], high[line.after] - line.least), task, project.grid)
        if last is not None and last < high[line.before]:
            high[line.before] = last
            moved = True
    return moved


def _fits_before(windows: Sequence[Window] | None, start: int, task: Task, grid: int) -> int | None:
    """The latest start, up to ``start``, that lies within a window whole."""
    for opens, closes in reversed(windows) if windows is not None else [(start - grid, start + task.minutes)]:
        last = min(start, closes - task.minutes) // grid * grid
        if last >= opens:
            return last
    return None


def _neighbors(project: Project, starts: Mapping[str, int]) -> Iterator[tuple[_Use, _Use | int]]:
    """What follows on what, resource by resource; a moment stands for what is taken anyhow."""
    uses: dict[str, list[_Use]] = defaultdict(list)
    for name, task in project.tasks.items():
        for hold in task.holds:
            if hold.minutes > 0:
                begin = starts[name] + hold.start
                tail = hold.start + hold.minutes
                uses[hold.resource].append(_Use(begin, begin + hold.minutes, hold.amount, name, hold.start, name, tail))
    for span in project.spans:
        begin, end = starts[span.first] + span.head, starts[span.last] + span.tail
        uses[span.resource].append(_Use(begin, end, 1, span.first, span.head, span.last, span.tail))
    for resource, every in uses.items():
        fixed = [_Use(begin, end, amount, "", 0, "", 0) for name, begin, end, amount in project.busy if name == resource]
        # One place for each hand there is: who takes it comes after whoever had it before.
        places: list[_Use | None] = [None] * project.resources[resource]
        for use in sorted((*every, *fixed)):
            free = [n for n, had in enumerate(places) if had is None or had.end <= use.begin]
            taken = sorted(free, key=lambda n: -(h.end if (h := places[n]) is not None else -(10**9)))[: use.amount]
            for number in taken:
                had = places[number]
                places[number] = use
                if had is not None and had.last and use.first:
                    yield had, use
                elif had is not None and had.last:
                    yield had, use.begin
                elif had is not None and use.first:
                    yield use, had.end
