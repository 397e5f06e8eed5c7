"""A day in the chair by the clock: what each pair of hands does when, counted forward from the chair and back from "ready".

The steps lie where `chair_day` puts them, as early as they go; here they are given to hands. A step goes to the hands that were
at the face last, so that nobody changes brushes without need. How often somebody sits up is read off the titles of steps: a step
that uses nothing and is called a break is one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Final

from mothermold.answers.chair_day import ChairDay, ChairDays, ChairStep
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.work_hours import WorkHours
from mothermold.model.build import Build, WornDay
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Step
from mothermold.reckon.work import work_of
from mothermold.view.view import View

LONG_SIT: Final = 120
"""So many minutes in the chair without a break are said (common practice, no source)."""
_BREAK: Final = re.compile(r"(?i)\b(?:breaks?|pauses?|rests?)\b")


@dataclass(frozen=True, slots=True)
class ClockRow:
    """A step of the day.

    Attributes:
        start: When it begins.
        end: When hands are done with it.
        over: When its waiting is over.
        before_ready: Minutes from its start to when all are ready; None where that is not written, and after it.
        look: The look.
        stage: ``application``, ``wear`` or ``removal``.
        recipe: The recipe with its version and step, as one leads there.
        step: The step as the recipe has it; None where a recipe is told as a whole.
        title: What is done.
        hands: Which pairs of hands, from 0.
        wanted: How many hands it asks for.
        is_break: Whether the wearer sits up.
    """

    start: datetime
    end: datetime
    over: datetime
    before_ready: int | None
    look: str
    stage: str
    recipe: str
    step: Step | None
    title: str
    hands: tuple[int, ...]
    wanted: int
    is_break: bool


@dataclass(frozen=True, slots=True)
class LookClock:
    """One look of the day by the clock.

    Attributes:
        day: The day as the build has it.
        chair: When the wearer sits down.
        ready: When it must be finished; None where that is not written.
        done: When it is, by the written times.
        latest: When the wearer must sit down at the latest to be ready; None without ``ready``.
        spare: Minutes between done and ready, less than nought where it is late; None without ``ready``.
        is_guessed: Whether the chair time is not written.
        longest_sit: The longest time in the chair without a break, in minutes.
        has_steps: Whether any step is known.
    """

    day: WornDay
    chair: datetime
    ready: datetime | None
    done: datetime
    latest: datetime | None
    spare: int | None
    is_guessed: bool
    longest_sit: int
    has_steps: bool


@dataclass(frozen=True, slots=True)
class DayClock:
    """All looks of one day by the clock.

    Attributes:
        hands: How many pairs of hands there are.
        looks: Each look that is worn, in the order of the build.
        rows: All steps, by when they begin.
    """

    hands: int
    looks: tuple[LookClock, ...]
    rows: tuple[ClockRow, ...]


def day_clock(view: View, build: Build, days: Sequence[WornDay]) -> DayClock:
    """The day by the clock.

    Args:
        view: The edition.
        build: The build.
        days: The looks of one day.
    """
    hours, people = WorkHours(view.settings), int(build.people or 1)
    found = ChairDays(view, build, hours, people).of(days)
    taken = _hands([step for each in found for step in each.steps], people)
    stages = {str(look.id): _stages(look.application, look.wear, look.removal) for look in build.looks}
    rows = [
        _row(
            view,
            hours,
            each,
            step,
            hands=taken.get(id(step), ()),
            stage=stages[each.look].get(step.recipe, "application"),
        )
        for each in found
        for step in each.steps
    ]
    rows.sort(key=lambda row: (row.start, row.look))
    return DayClock(people, tuple(_look(hours, each, rows) for each in found), tuple(rows))


def _stages(*sheets: Iterable[RecipeRef]) -> dict[str, str]:
    named = zip(("application", "wear", "removal"), sheets, strict=True)
    return {str(ref): stage for stage, refs in named for ref in refs}


def _row(
    view: View, hours: WorkHours, day: ChairDay, step: ChairStep, *, hands: tuple[int, ...], stage: str
) -> ClockRow:
    recipe = pinned_recipe(view, RecipeRef(step.recipe))
    told = work_of(recipe).named.get(step.step) if recipe is not None and step.step else None
    written = told.step if told is not None else None
    title = step.title or (recipe.title if recipe is not None else step.recipe)
    left = day.ready - step.start if day.ready is not None and stage == "application" else None
    return ClockRow(
        hours.moment(step.start), hours.moment(step.end), hours.moment(step.over), left, day.look, stage,
        f"{step.recipe}#{step.step}" if step.step else step.recipe, written, title, hands, step.people,
        written is not None and is_break(written),
    )  # fmt: skip


def is_break(step: Step) -> bool:
    """Whether the wearer sits up in a step: it uses nothing, and its name or title says so."""
    return not step.uses and bool(_BREAK.search(f"{step.title} {str(step.id).replace('-', ' ')}"))


def _look(hours: WorkHours, day: ChairDay, rows: Sequence[ClockRow]) -> LookClock:
    mine = [row for row in rows if row.look == day.look and row.stage == "application"]
    spare = day.ready - day.done if day.ready is not None else None
    return LookClock(
        day.day, hours.moment(day.chair), hours.moment(day.ready) if day.ready is not None else None,
        hours.moment(day.done), hours.moment(day.chair + spare) if spare is not None else None, spare,
        day.is_guessed, _longest_sit(hours.moment(day.chair), mine), bool(mine),
    )  # fmt: skip


def _longest_sit(chair: datetime, rows: Sequence[ClockRow]) -> int:
    """The longest time between sitting down, breaks, and standing up."""
    longest, since = 0, chair
    for rests, group in groupby(rows, key=lambda row: row.is_break):
        last = max(row.over for row in group)
        if not rests:
            longest = max(longest, int((last - since).total_seconds()) // 60)
        else:
            since = last
    return longest


def _hands(steps: Iterable[ChairStep], people: int) -> dict[int, tuple[int, ...]]:
    """Which pairs of hands do which step, by the step's identity: those that were at the same look last, else the first that are free."""
    free_at, last_at = dict.fromkeys(range(people), 0), dict[int, tuple[str, int]]()
    found: dict[int, tuple[int, ...]] = {}
    for step in sorted(steps, key=lambda each: (each.start, -each.people)):
        free = [hand for hand, when in free_at.items() if when <= step.start]
        free.sort(key=lambda hand: (last_at.get(hand, ("", 0))[0] != step.look, hand))
        taken = tuple(sorted(free[: min(step.people, people)]))
        for hand in taken:
            free_at[hand] = step.end
            last_at[hand] = (step.look, step.end)
        found[id(step)] = taken
    return found
