"""How much room the tasks of a plan have: how much earlier each could have been, and how much later it may be.

A plan that stands says who follows whom: on a mold, on the hands, in the order of the work. Along these lines each task is
pushed as early and as late as it goes, with all the others moving along and the hours kept (partial order schedules; common practice, no
source). Where one must come at most so long after another, the two move together.
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
class TaskRoom:
    """How early and how late a task can start."""

    earliest: int
    latest: int


class _InUse(NamedTuple):
    """A resource in use: from so long after the start of one task to so long after the start of another, which may be it."""

    begin: int
    end: int
    amount: int
    first: str
    head: int
    last: str
    tail: int


class _KeptApart(NamedTuple):
    """A task starts at least so long after another starts."""

    before: str
    after: str
    least: int


def rooms(project: Project, starts: Mapping[str, int], begin: int, end: int) -> dict[str, TaskRoom]:
    """The room of every task of a plan.

    Args:
        project: What was planned.
        starts: The plan.
        begin: Nothing starts before.
        end: What has no deadline has ended by then.
    """
    lines = [_KeptApart(each.before, each.after, each.least) for each in project.orders]
    low, high = dict.fromkeys(project.tasks, begin), dict[str, int]()
    for name, task in project.tasks.items():
        high[name] = (end if task.due is None else task.due) - task.total
        if task.earliest is not None:
            low[name] = max(begin, task.earliest)
    # "B at most so long after A" is "A at least minus so long after B".
    lines += [_KeptApart(name, name, 0) for name in project.tasks]
    lines += [_KeptApart(each.after, each.before, -each.most) for each in project.orders if each.most is not None]
    closed: dict[str, list[Window]] = defaultdict(list)
    for use, other in _neighbors(project, starts):
        if isinstance(other, _InUse):
            lines.append(_KeptApart(use.last, other.first, use.tail - other.head))
        else:
            closed[use.first].append((other[0] - use.tail, other[1] - use.head))
    for _ in range(_PASSES):
        if not (
            _pushed_early(project, lines, low, starts, closed) | _pushed_late(project, lines, high, starts, closed)
        ):
            break
    return {name: TaskRoom(min(low[name], starts[name]), max(high[name], starts[name])) for name in project.tasks}


_ClosedStarts = Mapping[str, Sequence[Window]]
"""By task between which starts it would run into what is taken anyhow."""


def _pushed_early(
    project: Project, lines: Sequence[_KeptApart], low: dict[str, int], starts: Mapping[str, int], closed: _ClosedStarts
) -> bool:
    moved = False
    for line in sorted(lines, key=lambda each: starts[each.after]):
        task = project.tasks[line.after]
        first: int | None = max(low[line.after], low[line.before] + line.least)
        before = None
        while first is not None and first != before:
            before = first = fits_from(project.windows(task), first, task.minutes, project.grid)
            first = next(
                (end for begin, end in closed.get(line.after, ()) if first is not None and begin < first < end), first
            )
        if first is not None and first > low[line.after]:
            low[line.after] = first
            moved = True
    return moved


def _pushed_late(
    project: Project,
    lines: Sequence[_KeptApart],
    high: dict[str, int],
    starts: Mapping[str, int],
    closed: _ClosedStarts,
) -> bool:
    moved = False
    for line in sorted(lines, key=lambda each: -starts[each.before]):
        task = project.tasks[line.before]
        last: int | None = min(high[line.before], high[line.after] - line.least)
        before = None
        while last is not None and last != before:
            before = last = _fits_before(project.windows(task), last, task, project.grid)
            last = next(
                (begin for begin, end in closed.get(line.before, ()) if last is not None and begin < last < end), last
            )
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


def _neighbors(project: Project, starts: Mapping[str, int]) -> Iterator[tuple[_InUse, _InUse | Window]]:
    """What follows on what, resource by resource; a window stands for what is taken anyhow."""
    uses: dict[str, list[_InUse]] = defaultdict(list)
    for name, task in project.tasks.items():
        for hold in task.holds:
            if hold.minutes > 0:
                begin = starts[name] + hold.start
                tail = hold.start + hold.minutes
                uses[hold.resource].append(
                    _InUse(begin, begin + hold.minutes, hold.amount, name, hold.start, name, tail)
                )
    for span in project.spans:
        begin, end = starts[span.first] + span.head, starts[span.last] + span.tail
        uses[span.resource].append(_InUse(begin, end, 1, span.first, span.head, span.last, span.tail))
    for resource, every in uses.items():
        fixed = sorted((begin, end, amount) for name, begin, end, amount in project.busy if name == resource)
        yield from _in_places(project.resources[resource], fixed, sorted(every))


def _in_places(
    count: int, fixed: Sequence[tuple[int, int, int]], every: Sequence[_InUse]
) -> Iterator[tuple[_InUse, _InUse | Window]]:
    """One place for each of a resource there is: who takes it comes after whoever had it, and before whoever has it then."""
    taken: list[list[Window]] = [[] for _ in range(count)]
    for begin, end, amount in fixed:
        # What is taken anyhow is kept to few places, so that the others stay free.
        free = [place for place in taken if not place or place[-1][1] <= begin]
        for place in free[:amount]:
            place.append((begin, end))
    had: list[_InUse | None] = [None] * count
    for use in every:
        able = [
            number
            for number, last in enumerate(had)
            if (last is None or last.end <= use.begin)
            and all(end <= use.begin or begin >= use.end for begin, end in taken[number])
        ]
        ends = [-(10**12) if last is None else last.end for last in had]
        for number in sorted(able, key=lambda each: (len(taken[each]), -ends[each]))[: use.amount]:
            if (last := had[number]) is not None:
                yield last, use
            had[number] = use
            yield from ((use, window) for window in taken[number])
