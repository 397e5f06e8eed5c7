"""The patch tests a plan still has to put on or read, before the first look they are for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.model.build import WornDay
from mothermold.reckon.project import Order
from mothermold.trade.skin import PATCH_TEST_DAYS, PATCH_TEST_HOURS
from mothermold.view.patch_cover import PatchWanted

PUTTING_ON: Final = 15
READING: Final = 10
"""How many minutes putting a patch on and reading it take (common practice, no source)."""
LATE_REACTION_DAYS: Final = 7 - PATCH_TEST_DAYS
"""Where there is time a patch is read so early that a week has gone since it was put on: a late reaction shows by then (``trade.skin``)."""


@dataclass(frozen=True, slots=True)
class PatchTask:
    """Putting a patch on, or reading it.

    Attributes:
        task: Its name in the plan.
        step: ``put on`` or ``read``.
        wanted: Whose, and of what.
        minutes: How long it takes.
        day: The first day it is for.
        look: The look worn then.
    """

    task: str
    step: str
    wanted: PatchWanted
    minutes: int
    day: WornDay
    look: str


def patch_tasks(wanted: Mapping[str, PatchWanted], days: Sequence[WornDay]) -> list[PatchTask]:
    """What is to be done, one patch for each wearer.

    Args:
        wanted: By look what is still to be tried or read.
        days: The days ahead, in order.
    """
    by_wearer: dict[str, tuple[WornDay, str, PatchWanted]] = {}
    for day in days:
        if (need := wanted.get(str(day.look))) is not None:
            by_wearer.setdefault(need.wearer, (day, str(day.look), need))
    found: list[PatchTask] = []
    for wearer, (day, look, need) in sorted(by_wearer.items()):
        if need.tested is None:
            found.append(PatchTask(f"patch test {wearer}/put on", "put on", need, PUTTING_ON, day, look))
        found.append(PatchTask(f"patch test {wearer}/read", "read", need, READING, day, look))
    return found


def readings(patches: Sequence[PatchTask]) -> Iterator[Order]:
    """A patch is read so many hours after it was put on."""
    on = {each.wanted.wearer: each.task for each in patches if each.step == "put on"}
    for each in patches:
        if each.step == "read" and each.wanted.wearer in on:
            yield Order(on[each.wanted.wearer], each.task, PUTTING_ON + PATCH_TEST_HOURS * 60)
