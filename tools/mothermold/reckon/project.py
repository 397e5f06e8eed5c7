"""What is to be planned, as data: tasks with their hands, waits and order, and what there is of everything they need.

Times are whole minutes from some beginning. A task is work at one stretch; what it keeps busy (hands, a mold through the
waiting) are its holds, told from its own start. An order keeps two starts apart by at least, and where it says so by at most,
so many minutes. A span keeps a thing busy from one task to another, as a mold from its release to the piece that is lifted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

FREE_OF_HOURS: Final = ""
"""The hours of what may happen at any time."""

Window = tuple[int, int]
"""From when until when."""


@dataclass(frozen=True, slots=True)
class Hold:
    """What a task keeps busy: a resource, from so many minutes after its start, for so long, so much of it."""

    resource: str
    start: int
    minutes: int
    amount: int = 1


@dataclass(frozen=True, slots=True)
class Task:
    """Work at one stretch.

    Attributes:
        id: Its name.
        minutes: How long somebody is at it.
        total: The same with the waiting that belongs to it; the deadline is for its end.
        hours: The name of the hours it must lie within; of no name where it may be at any time.
        holds: What it keeps busy.
        earliest: When it may begin.
        due: When all of it must have ended; None where nothing says it.
        wish: When all of it should better have ended.
    """

    id: str
    minutes: int
    total: int
    hours: str = FREE_OF_HOURS
    holds: tuple[Hold, ...] = ()
    earliest: int | None = None
    due: int | None = None
    wish: int | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """One task starts at least, and where told at most, so many minutes after another starts; better at least ``wish``."""

    before: str
    after: str
    least: int
    most: int | None = None
    wish: int | None = None


@dataclass(frozen=True, slots=True)
class HeldSpan:
    """A resource is busy from one task to another: from ``head`` minutes after the first starts to ``tail`` after the last does."""

    resource: str
    first: str
    last: str
    head: int
    tail: int


@dataclass(frozen=True, slots=True)
class Project:
    """All that is to be planned.

    Attributes:
        tasks: By name, in the order of their names: how they were numbered elsewhere must not show in the plan.
        orders: Which comes before which.
        spans: What is kept busy from task to task.
        resources: How much there is of each.
        hours: The windows of each kind of hours, in order and apart.
        busy: What is taken already: resource, from, until, how much.
        grid: Starts are at whole multiples of so many minutes.
    """

    tasks: Mapping[str, Task]
    orders: tuple[Order, ...] = ()
    spans: tuple[HeldSpan, ...] = ()
    resources: Mapping[str, int] = field(default_factory=dict)
    hours: Mapping[str, Sequence[Window]] = field(default_factory=dict)
    busy: tuple[tuple[str, int, int, int], ...] = ()
    grid: int = 1

    def __post_init__(self) -> None:
        """Puts everything in the order of names."""
        object.__setattr__(self, "tasks", {name: self.tasks[name] for name in sorted(self.tasks)})
        for name in ("orders", "spans", "busy"):
            object.__setattr__(self, name, tuple(sorted(getattr(self, name), key=repr)))

    def windows(self, task: Task) -> Sequence[Window] | None:
        """The windows a task must lie within; None where it may lie anywhere."""
        return self.hours[task.hours] if task.hours else None

    @property
    def after(self) -> dict[str, list[str]]:
        """What each task comes after."""
        found: dict[str, list[str]] = {name: [] for name in self.tasks}
        for each in self.orders:
            if each.before not in found[each.after]:
                found[each.after].append(each.before)
        return found


def end_of(project: Project, starts: Mapping[str, int]) -> int:
    """When everything has ended, waiting included."""
    return max((starts[name] + task.total for name, task in project.tasks.items()), default=0)


def with_wishes(project: Project) -> Project:
    """The same with all that is wished for as what must be."""
    return replace(
        project,
        tasks={
            name: task if task.wish is None else replace(task, due=task.wish) for name, task in project.tasks.items()
        },
        orders=tuple(each if each.wish is None else replace(each, least=each.wish) for each in project.orders),
    )


def mirrored(project: Project) -> Project:
    """The same with time running backward: what is planned early in it is planned late in the other.

    A start ``s`` of a task of ``m`` minutes is ``-(s + m)`` there. Deadlines become beginnings and the other way round.
    """
    tasks = project.tasks

    def task(each: Task) -> Task:
        return replace(
            each,
            holds=tuple(replace(hold, start=each.minutes - hold.start - hold.minutes) for hold in each.holds),
            total=each.minutes,
            earliest=None if each.due is None else each.total - each.minutes - each.due,
            due=None if each.earliest is None else -each.earliest,
        )

    def order(each: Order) -> Order:
        more = tasks[each.after].minutes - tasks[each.before].minutes
        return Order(each.after, each.before, each.least + more, None if each.most is None else each.most + more)

    return Project(
        {name: task(each) for name, each in tasks.items()},
        tuple(map(order, project.orders)),
        tuple(
            HeldSpan(
                each.resource,
                each.last,
                each.first,
                tasks[each.last].minutes - each.tail,
                tasks[each.first].minutes - each.head,
            )
            for each in project.spans
        ),
        project.resources,
        {name: [(-end, -begin) for begin, end in reversed(windows)] for name, windows in project.hours.items()},
        tuple((name, -end, -begin, amount) for name, begin, end, amount in project.busy),
        project.grid,
    )


def mirrored_starts(project: Project, starts: Mapping[str, int]) -> dict[str, int]:
    """Starts found in the mirror, as starts in the project itself; the other way round as well."""
    return {name: -(starts[name] + task.minutes) for name, task in project.tasks.items()}
