"""From when until when a casting has its mold: from the first work at it to the piece that is out of it."""

from __future__ import annotations

from mothermold.answers.plan_jobs import Job
from mothermold.reckon.project import HeldSpan
from mothermold.reckon.sittings import Sitting, Sittings, Stretch


def mold_span(job: Job, sittings: Sittings) -> HeldSpan | None:
    """How long a casting keeps its mold; None where it has none.

    Args:
        job: The casting.
        sittings: What is left of its work. Where several ways lead to the mold the span begins with a task of its own.
    """
    mine = [each for sitting in sittings.every for each in sitting.stretches if not each.step.step.once]
    if not job.mold or not mine:
        return None
    holding = [each for each in mine if _holds_mold(each)]
    last = holding[-1] if holding else mine[-1]
    # The piece is in the mold until the step after that is done: it is opened, and lifted.
    out = next((each for each in mine if str(last.step.step.id) in each.step.after), last)
    last_sitting, stretch = sittings.last[str(out.step.step.id)]
    tail = stretch.end if out is not last else stretch.over
    first, *more = at_the_mold(sittings)
    begins = f"{job.id}/taken" if more else f"{job.id}/{first.id}"
    return HeldSpan(f"mold {job.mold}", begins, f"{job.id}/{last_sitting.id}", 0, tail)


def at_the_mold(sittings: Sittings) -> list[Sitting]:
    """The sittings a casting begins with, what is done once for all left out."""
    mine = [each for each in sittings.every if not all(stretch.step.step.once for stretch in each.stretches)]
    names = {each.id for each in mine}
    following = {each.after for each in sittings.orders if each.before in names}
    return [each for each in mine if each.id not in following]


def _holds_mold(each: Stretch) -> bool:
    step = each.step.step
    return step.holds == "mold" or (step.holds is None and step.wait is not None and step.wait.demold is not None)
