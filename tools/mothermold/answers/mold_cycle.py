"""From when until when a casting has its mold: from the first work at it to the piece that is out of it."""

from __future__ import annotations

from dataclasses import dataclass

from mothermold.answers.plan_jobs import Job
from mothermold.reckon.project import HeldSpan, Order, Task
from mothermold.reckon.sittings import Sitting, Sittings, Stretch


@dataclass(frozen=True, slots=True)
class MoldCycle:
    """How long a casting keeps its mold.

    Attributes:
        span: From when until when.
        tasks: Moments it begins and ends with, where several ways lead to the mold or away from it; nobody works at them.
        orders: What comes before and after these moments.
    """

    span: HeldSpan
    tasks: tuple[Task, ...]
    orders: tuple[Order, ...]


def mold_cycle(job: Job, sittings: Sittings) -> MoldCycle | None:
    """The cycle of a casting; None of what is cast in no mold.

    Args:
        job: The casting.
        sittings: What is left of its work.
    """
    mine = [each for sitting in sittings.every for each in sitting.stretches if not each.step.step.once]
    if not job.mold or not mine:
        return None
    tasks, orders = list[Task](), list[Order]()
    beginning = _beginning(sittings)
    first = f"{job.id}/{beginning[0].id}"
    if len(beginning) > 1:
        first = f"{job.id}/taken"
        tasks.append(Task(first, 0, 0))
        orders += [Order(first, f"{job.id}/{each.id}", 0) for each in beginning]
    holding = [each for each in mine if _holds_mold(each)] or mine[-1:]
    last = holding[-1]
    # The piece is in the mold until the step after that is done: it is opened, and lifted.
    out = next((each for each in mine if str(last.step.step.id) in each.step.after), last)
    sitting, stretch = sittings.last[str(out.step.step.id)]
    end, tail = f"{job.id}/{sitting.id}", stretch.end if out is not last else stretch.over
    if beside := [each for each in holding if each is not last and each.step.step.id not in last.step.before]:
        orders.append(Order(end, f"{job.id}/given back", tail))
        for each in beside:
            of, held = sittings.last[str(each.step.step.id)]
            orders.append(Order(f"{job.id}/{of.id}", f"{job.id}/given back", held.over))
        end, tail = f"{job.id}/given back", 0
        tasks.append(Task(end, 0, 0))
    return MoldCycle(HeldSpan(f"mold {job.mold}", first, end, 0, tail), tuple(tasks), tuple(orders))


def _beginning(sittings: Sittings) -> list[Sitting]:
    """The sittings a casting begins with, what is done once for all left out."""
    mine = [each for each in sittings.every if not all(stretch.step.step.once for stretch in each.stretches)]
    names = {each.id for each in mine}
    following = {each.after for each in sittings.orders if each.before in names}
    return [each for each in mine if each.id not in following]


def _holds_mold(each: Stretch) -> bool:
    step = each.step.step
    return step.holds == "mold" or (step.holds is None and step.wait is not None and step.wait.demold is not None)
