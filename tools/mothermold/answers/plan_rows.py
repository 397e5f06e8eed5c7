"""A plan as rows: each step with when, for how long, with what, and how much it may slip; and what the plan takes for granted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from mothermold.answers.best_plan import BestPlan
from mothermold.answers.chair_day import HANDS, ChairDay, ChairStep
from mothermold.answers.plan_jobs import job_of
from mothermold.answers.plan_patches import PatchTask
from mothermold.answers.plan_project import IN_HAND, BuildProject, PlannedStep
from mothermold.reckon.project import Window, end_of
from mothermold.reckon.room import TaskRoom, rooms
from mothermold.reckon.sittings import SHORT_WAIT
from mothermold.trade.skin import PATCH_TEST_HOURS

PlanRow = dict[str, Any]
_A_DAY: Final = 24 * 60


def plan_rows(plan: BestPlan) -> list[PlanRow]:
    """Every task of a plan, in the order of time.

    Args:
        plan: The plan.
    """
    made, project = plan.made, plan.project
    last = max([end_of(project, plan.starts), *(task.due for task in project.tasks.values() if task.due is not None)])
    room = rooms(project, plan.starts, made.begin, last)
    teller = _Teller(plan, room)
    rows = [*map(teller.step, made.steps), *map(teller.patch, made.patches)]
    rows += [row for chair in made.chairs for row in teller.chair(chair)]
    return sorted(rows, key=lambda row: (row["start"], row["end"], row["id"]))


class _Teller:
    def __init__(self, plan: BestPlan, room: Mapping[str, TaskRoom]) -> None:
        self._plan, self._room = plan, room
        self._made: BuildProject = plan.made

    def _at(self, minutes: int) -> str:
        return self._made.hours.moment(minutes).isoformat()

    def _critical(self, task: str) -> bool:
        """Whether a day lost here makes something late: less than that is nights, which nobody can make up."""
        return self._slack(task) < _A_DAY

    def _slack(self, task: str) -> int:
        return self._room[task].latest - self._plan.starts[task]

    def step(self, each: PlannedStep) -> PlanRow:
        """A step in the shop."""
        starts = self._plan.starts
        parts = [(starts[task] + stretch.start, starts[task] + stretch.end) for task, stretch in each.parts]
        task, last = each.parts[-1]
        job, step = each.job, last.step.step
        over = starts[task] + last.over
        tasks = [name for name, _stretch in each.parts]
        slack = min(map(self._slack, tasks))
        return {
            "id": f"{job.id}/{each.step}",
            "thing": job.thing,
            "recipe": job.recipe,
            "step": each.step,
            "start": self._at(parts[0][0]),
            "end": self._at(parts[-1][1]),
            "hands_on_min": float(last.step.hands_on),
            "resources": self._resources(each),
            "critical": any(map(self._critical, tasks)),
            "title": str(step.title),
            "job": job.id,
            "piece": job.piece or None,
            "look": job.look or None,
            "day": job.due.day.isoformat() if job.due is not None else None,
            "spare": job.is_spare,
            "people": int(step.people or 1) if last.minutes else 0,
            "parts": [{"start": self._at(begin), "end": self._at(end)} for begin, end in parts],
            "waits_until": self._at(over) if last.rest else None,
            "waits_for": str(step.until.what) if step.until is not None else None,
            "holds": step.holds if last.rest else None,
            "slack_min": slack,
            "earlier_min": max(0, min(starts[name] - self._room[name].earliest for name in tasks)),
            "risk": self._risk(each, slack, over),
        }

    def _resources(self, each: PlannedStep) -> list[str]:
        _task, last = each.parts[-1]
        step, job = last.step.step, each.job
        found = [HANDS] if last.minutes else []
        found += [f"mold {job.mold}"] if job.mold and not (step.once and step.holds != "mold") else []
        found += [str(step.holds)] if step.holds in ("oven", "bench") and last.rest else []
        return found

    def _risk(self, each: PlannedStep, slack: int, over: int) -> PlanRow | None:
        """If what is waited for takes its longest: until when, and by how much something then comes late."""
        _task, last = each.parts[-1]
        longest = last.step.longest
        if longest is None or longest <= last.step.waits:
            return None
        more = int(longest - last.step.waits)
        return {"until": self._at(over + more), "late_by_min": max(0, more - slack)}

    def patch(self, each: PatchTask) -> PlanRow:
        """Putting a patch on, or reading it."""
        start = self._plan.starts[each.task]
        words = "Put the patch test on" if each.step == "put on" else "Read the patch test"
        return self._bare(each.task, each.look, None, (start, start + each.minutes), each.minutes) | {
            "step": each.step,
            "resources": [HANDS],
            "critical": self._critical(each.task),
            "title": f"{words}: {each.wanted.wearer}, {', '.join(each.wanted.products)}",
            "job": job_of(each.task),
            "day": each.day.day.isoformat(),
            "people": 1,
            "waits_until": self._at(start + each.minutes + PATCH_TEST_HOURS * 60) if each.step == "put on" else None,
            "slack_min": self._slack(each.task),
            "earlier_min": start - self._room[each.task].earliest,
        }

    def chair(self, chair: ChairDay) -> Iterator[PlanRow]:
        """What is done at the chair on a day."""
        slack = chair.ready - chair.done if chair.ready is not None else None
        for each in chair.steps:
            yield self._chair_step(each, slack)

    def _chair_step(self, each: ChairStep, slack: int | None) -> PlanRow:
        name = f"{each.look} {each.day.day.isoformat()}/{each.recipe.partition('/')[0]}/{each.step or 'on set'}"
        return self._bare(name, each.look, each.recipe, (each.start, each.end), each.hands_on) | {
            "step": each.step or None,
            "resources": [HANDS, "chair"],
            "title": each.title or "With the wearer on set",
            "job": f"{each.look} {each.day.day.isoformat()}",
            "day": each.day.day.isoformat(),
            "people": each.people,
            "waits_until": self._at(each.over) if each.over > each.end else None,
            "slack_min": slack if each.recipe.startswith("application/") else None,
            "chair": True,
        }

    def _bare(self, name: str, look: str, recipe: str | None, times: Window, hands: float) -> PlanRow:
        """What every row has, of one that belongs to no thing."""
        start, end = map(self._at, times)
        return {
            "id": name, "thing": look, "recipe": recipe, "step": None, "start": start, "end": end,
            "hands_on_min": float(hands), "resources": [], "critical": False, "title": "", "job": "", "piece": None, "look": look,
            "day": None, "spare": False, "people": 1, "parts": [{"start": start, "end": end}],
            "waits_until": None, "waits_for": None, "holds": None, "slack_min": None, "earlier_min": 0, "risk": None,
        }  # fmt: skip


def assumed_words(plan: BestPlan, rows: Sequence[PlanRow], *, forward: bool) -> list[str]:
    """What the plan takes for granted that the book does not say."""
    made = plan.made
    found = (
        [] if made.hours.is_known else ["The book has no `hours:`; the plan takes Monday to Friday, 09:00 to 18:00."]
    )
    if not forward:
        found += _in_hand(plan)
    if not plan.is_proven:
        found.append("A better plan may exist; this is the best that was found with a set amount of reckoning.")
    if any("oven" in row["resources"] for row in rows):
        found.append("There is one oven; how much room there is on the bench is not reckoned.")
    found.append(
        f"Hands stay at the work through waits of up to {SHORT_WAIT} min. Work begins at full five minutes. (Common practice, no source.)"
    )
    if any(row["step"] == "put on" and row["recipe"] is None for row in rows):
        found.append("Putting a patch on takes 15 min and reading it 10. (Common practice, no source.)")
    for chair in made.chairs:
        if chair.is_guessed:
            found.append(
                f"When the wearer of `{chair.look}` sits down on {chair.day.day.isoformat()} is not written: the plan takes {made.hours.moment(chair.chair):%H:%M}."
            )
    return found


def _in_hand(plan: BestPlan) -> Iterator[str]:
    """Before which deadlines there are working days in hand, and for what there is no time to take its longest."""
    made, project, starts = plan.made, plan.project, plan.starts
    tight = {
        made.deadlines[name][1]
        for name, task in project.tasks.items()
        if task.wish is not None and not name.startswith("patch test ") and starts[name] + task.total > task.wish
    }
    hurried = {
        each.before
        for each in project.orders
        if each.wish is not None and starts[each.before] + each.wish > starts[each.after]
    }
    words = f" but {', '.join(sorted(tight))}" if tight else ""
    if len(tight) < len({words for _due, words in made.deadlines.values()}):
        yield f"{IN_HAND} working days are in hand before each deadline{words}."
    elif tight:
        yield f"Before no deadline are {IN_HAND} working days in hand."
    if hurried:
        yield f"There is no time for the longest wait after: {', '.join(sorted(hurried))}. Everything else may take its longest."
    elif any(each.wish is not None for each in project.orders):
        yield "There is time for the longest of all that is waited for."
    if any(
        name.startswith("patch test ") and task.wish is not None and starts[name] + task.total > task.wish
        for name, task in project.tasks.items()
    ):
        yield "There is no week between putting the patch on and the chair: a late reaction may show only then."
