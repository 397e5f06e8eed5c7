"""The critical path of a network of tasks: how early and how late each may start, and how much it can slip.

Forward and backward pass as in every textbook of management science; the two networks the tests check it with are such a
textbook's (a solutions manual, chapter 8, and a hospital example). Hands, molds and nights are not looked at here.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

T = TypeVar("T", bound=Hashable)
Time = int | Fraction


@dataclass(frozen=True, slots=True)
class TaskTimes:
    """When a task may be done, in the unit of the durations.

    Attributes:
        earliest: Its earliest start; ``early_end`` where it then ends.
        latest: Its latest start that makes nothing late; ``late_end`` where it then ends.
        slack: How much later than its earliest it may start without the whole becoming longer.
        free: How much later without any other task starting later than its earliest.
    """

    earliest: Time
    early_end: Time
    latest: Time
    late_end: Time
    slack: Time
    free: Time

    @property
    def is_critical(self) -> bool:
        """Whether a delay of it delays the whole."""
        return self.slack == 0


def critical_path(lengths: Mapping[T, Time], after: Mapping[T, Sequence[T]]) -> dict[T, TaskTimes]:
    """The times of every task.

    Args:
        lengths: How long each takes.
        after: What each waits for; one that is not named waits for nothing.

    Raises:
        ValueError: Tasks wait for each other in a circle.
    """
    order = in_order_of(lengths, after)
    followed: dict[T, list[T]] = {each: [] for each in lengths}
    for each in lengths:
        for other in after.get(each, ()):
            followed[other].append(each)
    starts: dict[T, Time] = {}
    for each in order:
        starts[each] = max((starts[other] + lengths[other] for other in after.get(each, ())), default=0)
    whole = max((starts[each] + lengths[each] for each in order), default=0)
    ends: dict[T, Time] = {}
    for each in reversed(order):
        ends[each] = min((ends[other] - lengths[other] for other in followed[each]), default=whole)
    return {
        each: TaskTimes(
            starts[each],
            starts[each] + lengths[each],
            ends[each] - lengths[each],
            ends[each],
            ends[each] - lengths[each] - starts[each],
            min((starts[other] for other in followed[each]), default=whole) - starts[each] - lengths[each],
        )
        for each in lengths
    }


def in_order_of(names: Mapping[T, object], after: Mapping[T, Sequence[T]]) -> list[T]:
    """The names, each after all it waits for; else as they come.

    Raises:
        ValueError: Some wait for each other in a circle.
    """
    left = {each: len(after.get(each, ())) for each in names}
    followed: dict[T, list[T]] = {each: [] for each in names}
    for each in names:
        for other in after.get(each, ()):
            followed[other].append(each)
    order = [each for each in names if not left[each]]
    for each in order:
        for other in followed[each]:
            left[other] -= 1
            if not left[other]:
                order.append(other)
    if len(order) < len(left):
        raise ValueError("tasks wait for each other in a circle")
    return order
