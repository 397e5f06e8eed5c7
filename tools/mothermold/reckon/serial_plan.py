"""A plan made by hand's rule: the task with the longest way still before it takes the first place that is free for it.

Serial schedule generation, as common in the literature on projects with few hands (common practice, no source). It is quick and
it is seldom the best there is: a beginning for the solver, what stands where the solver finds nothing in its time, and
what the solver is measured by.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from mothermold.reckon.critical_path import in_order_of
from mothermold.reckon.project import HeldSpan, Hold, Order, Project, Task, Window

_PATIENCE: Final = 300
"""How often tasks that must be close together are tried at a later time before it is given up."""


class TakenRoom:
    """What is kept busy when."""

    def __init__(self, project: Project) -> None:
        self._most = project.resources
        self._busy: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        for name, begin, end, amount in project.busy:
            self.take(name, begin, end, amount)

    def take(self, resource: str, begin: int, end: int, amount: int) -> None:
        """Keeps so much of a resource busy."""
        if end > begin:
            self._busy[resource].append((begin, end, amount))

    def free_from(
        self, resource: str, begin: int, end: int, amount: int, more: Sequence[tuple[int, int, int]] = ()
    ) -> int:
        """The earliest time, from ``begin`` on, at which so much might be free for as long; ``begin`` itself where it is.

        Args:
            resource: The resource.
            begin: From when on it is wanted.
            end: Until when.
            amount: How much of it.
            more: What else is taken, each from when until when and how much.
        """
        most = self._most[resource]
        near = [each for each in (*self._busy[resource], *more) if each[0] < end and each[1] > begin]
        if sum(each[2] for each in near) + amount <= most:
            return begin
        for moment in sorted({begin, *(each[0] for each in near if each[0] > begin)}):
            here = [each for each in near if each[0] <= moment < each[1]]
            if sum(each[2] for each in here) + amount > most:
                return min((each[1] for each in here), default=begin)
        return begin


def fits_from(windows: Sequence[Window] | None, begin: int, minutes: int, grid: int) -> int | None:
    """The earliest start, from ``begin`` on, that lies within a window whole; None where there is none."""
    begin = -(-begin // grid) * grid
    if windows is None:
        return begin
    for opens, closes in windows:
        start = -(-max(begin, opens) // grid) * grid
        if start + minutes <= closes:
            return start
    return None


def serial_plan(project: Project, like: Mapping[str, int] | None = None) -> dict[str, int] | None:
    """The starts of all tasks, deadlines not looked at; None where something finds no place.

    Args:
        project: What is to be planned.
        like: A plan whose order is kept: what starts first in it takes its place first, so that nothing waits there without a reason.

    Raises:
        ValueError: Tasks wait for each other in a circle.
    """
    return _Serial(project, like).planned()


class _Serial:
    def __init__(self, project: Project, like: Mapping[str, int] | None) -> None:
        self._project = project
        self._after = project.after
        self._order = in_order_of(project.tasks, self._after)
        self._place = {name: place for place, name in enumerate(self._order)}
        self._before: dict[str, list[Order]] = defaultdict(list)
        for each in project.orders:
            self._before[each.after].append(each)
        self._way = self._ways() if like is None else {name: -start for name, start in like.items()}
        known = [task.earliest for task in project.tasks.values() if task.earliest is not None]
        self._begin = min(known, default=0)
        self._starts: dict[str, int] = {}
        self._taken = TakenRoom(project)

    def _ways(self) -> dict[str, int]:
        """The longest way from the start of each task to the end of everything after it."""
        ways = {name: task.total for name, task in self._project.tasks.items()}
        later: dict[str, list[Order]] = defaultdict(list)
        for each in self._project.orders:
            later[each.before].append(each)
        for name in reversed(self._order):
            ways[name] = max([ways[name], *(each.least + ways[each.after] for each in later[name])])
        return ways

    def planned(self) -> dict[str, int] | None:
        most = self._project.resources
        if any(hold.amount > most[hold.resource] for task in self._project.tasks.values() for hold in task.holds):
            return None
        groups = _groups(self._project, self._order, self._after)
        group_of = {name: number for number, names in enumerate(groups) for name in names}
        waits = {
            number: {group_of[other] for name in names for other in self._after[name]} - {number}
            for number, names in enumerate(groups)
        }
        left = dict(enumerate(groups))
        while left:
            able = [number for number in left if not waits[number] & left.keys()] or [_joined_circle(left, waits)]
            number = min(able, key=lambda each: (-max(self._way[name] for name in left[each]), left[each][0]))
            names = left.pop(number)
            spans = [span for span in self._project.spans if span.first in names]
            if not self._put(names, spans):
                return None
        return self._starts

    def _put(self, names: Sequence[str], spans: Sequence[HeldSpan]) -> bool:
        """Puts tasks that belong together where they are all free; whether that was possible."""
        names = sorted(names, key=self._place.__getitem__)
        least: dict[str, int] = {}
        for _ in range(_PATIENCE):
            put: dict[str, int] = {}
            moved = False
            for name in names:
                start = self._first(self._project.tasks[name], put, least.get(name, self._begin))
                if start is None:
                    return False
                put[name] = start
                for each in self._before[name]:
                    late = start - each.most - self._at(each.before, put) if each.most is not None else 0
                    if late > 0 and each.before in put:
                        least[each.before] = put[each.before] + late
                        moved = True
                    elif late > 0:
                        return False
                if moved:
                    break
            if not moved:
                blocked = self._blocked(spans, put)
                if blocked is None:
                    self._keep(put, spans)
                    return True
                least[blocked[0]] = blocked[1]
        return False

    def _at(self, name: str, put: Mapping[str, int]) -> int:
        return put[name] if name in put else self._starts[name]

    def _first(self, task: Task, put: Mapping[str, int], begin: int) -> int | None:
        """The first start of a task that is after all before it, within its hours, with all it needs free."""
        start: int | None = max(
            [
                begin,
                task.earliest if task.earliest is not None else begin,
                *(self._at(each.before, put) + each.least for each in self._before[task.id]),
            ]
        )
        beside = [(hold, put[name]) for name in put for hold in self._project.tasks[name].holds]
        while start is not None:
            start = fits_from(self._project.windows(task), start, task.minutes, self._project.grid)
            if start is None:
                return None
            free = max((self._free(hold, start, beside) for hold in task.holds), default=start)
            if free <= start:
                return start
            start = free
        return None

    def _free(self, hold: Hold, start: int, beside: Iterable[tuple[Hold, int]]) -> int:
        begin, end = start + hold.start, start + hold.start + hold.minutes
        if end <= begin:
            return start
        more = [
            (at + other.start, at + other.start + other.minutes, other.amount)
            for other, at in beside
            if other.resource == hold.resource
        ]
        return start + self._taken.free_from(hold.resource, begin, end, hold.amount, more) - begin

    def _blocked(self, spans: Sequence[HeldSpan], put: Mapping[str, int]) -> tuple[str, int] | None:
        for span in spans:
            begin, end = put[span.first] + span.head, put[span.last] + span.tail
            free = self._taken.free_from(span.resource, begin, end, 1)
            if free > begin:
                return span.first, free - span.head
        return None

    def _keep(self, put: Mapping[str, int], spans: Sequence[HeldSpan]) -> None:
        for name, start in put.items():
            for hold in self._project.tasks[name].holds:
                begin = start + hold.start
                self._taken.take(hold.resource, begin, begin + hold.minutes, hold.amount)
        for span in spans:
            self._taken.take(span.resource, put[span.first] + span.head, put[span.last] + span.tail, 1)
        self._starts |= put


def _joined_circle(left: dict[int, list[str]], waits: dict[int, set[int]]) -> int:
    """Makes one group of those that wait for each other in a circle, and wait for no others; its number."""

    def reached(number: int) -> set[int]:
        found, trail = {number}, [number]
        while trail:
            ahead = (waits[trail.pop()] & left.keys()) - found
            found |= ahead
            trail += ahead
        return found

    circle = min((reached(number) for number in left), key=lambda each: (len(each), min(each)))
    first = min(circle)
    left[first] = sorted(name for number in circle for name in left[number])
    waits[first] = set().union(*(waits[number] for number in circle)) - circle
    for number in circle - {first}:
        del left[number]
    return first


def _groups(project: Project, order: Sequence[str], after: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """Tasks that must find their places together: near each other, or within one span; with all that lies between them."""
    number = {name: place for place, name in enumerate(order)}
    behind: dict[str, int] = {}
    for name in order:
        behind[name] = 0
        for other in after[name]:
            behind[name] |= behind[other] | 1 << number[other]
    together = {name: {name} for name in order}

    def join(one: str, other: str) -> None:
        if together[one] is not together[other]:
            joined = together[one] | together[other]
            for name in joined:
                together[name] = joined

    for each in project.orders:
        if each.most is not None:
            join(each.before, each.after)
    for span in project.spans:
        join(span.first, span.last)
    changed = True
    while changed:
        changed = False
        for group in {id(each): each for each in together.values()}.values():
            if len(group) == 1:
                continue
            bits = sum(1 << number[name] for name in group)
            reached = 0
            for name in group:
                reached |= behind[name]
            for name in order:
                # Between: comes after one of them, and one of them comes after it.
                if name not in group and behind[name] & bits and reached >> number[name] & 1:
                    join(name, next(iter(group)))
                    changed = True
                    break
            if changed:
                break
    return [sorted(each) for each in {id(each): each for each in together.values()}.values()]
