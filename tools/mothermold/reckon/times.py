"""How long a recipe keeps hands busy, and how long it takes from start to finish.

Elapsed of a step = hands on + (coats - 1) * between + last + wait. Elapsed of a recipe = the longest path
along ``after``, each step after the one before it unless said (critical path; textbook method). ``until``
counts by its usual time, a range by its longer end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mothermold.model.parts import Coats
from mothermold.model.recipe import Mix, Recipe, Step


def hands_on_minutes(recipe: Recipe) -> Fraction:
    """The sum of all hands-on times, in minutes."""
    return sum((step.hands_on.value for step in recipe.steps if step.hands_on), Fraction(0))


def elapsed_minutes(recipe: Recipe) -> Fraction:
    """From the first step's start to the last waiting's end, in minutes, with hands enough for everything."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    starts = starts_of(recipe)
    return max((starts[step.id] + step_minutes(step, mixes) for step in recipe.steps), default=Fraction(0))


def starts_of(recipe: Recipe) -> dict[str, Fraction]:
    """The earliest start of each step, in minutes from the start of the recipe, by step id."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    starts: dict[str, Fraction] = {}
    ends: dict[str, Fraction] = {}
    waits_for = steps_before(recipe)
    # A step may name a later one in `after`; passes repeat until nothing moves (a circle stops them too).
    for _ in recipe.steps:
        before = dict(ends)
        for step in recipe.steps:
            starts[step.id] = max((ends.get(name, Fraction(0)) for name in waits_for[step.id]), default=Fraction(0))
            ends[step.id] = starts[step.id] + step_minutes(step, mixes)
        if ends == before:
            break
    return starts


def steps_before(recipe: Recipe) -> dict[str, list[str]]:
    """For each step those it waits for itself: what ``after`` names, else the step before it."""
    known: set[str] = {step.id for step in recipe.steps}
    ahead: list[str] = []
    found: dict[str, list[str]] = {}
    for step in recipe.steps:
        found[step.id] = [name for name in step.after if name in known] if step.after else ahead
        ahead = [step.id]
    return found


def step_minutes(step: Step, mixes: Mapping[str, Mix]) -> Fraction:
    """How long one step takes with its coats and its waiting, in minutes."""
    total = step.hands_on.value if step.hands_on else Fraction(0)
    coats: Sequence[Coats] = [coats for coats in (step.coats, *(use.coats for use in step.uses)) if coats is not None]
    total += sum((_coats_minutes(each) for each in coats), Fraction(0))
    if step.wait is not None:
        total += wait_minutes(step, mixes)
    elif step.until is not None and step.until.usual is not None:
        total += step.until.usual.value
    return total


def _coats_minutes(coats: Coats) -> Fraction:
    between = coats.between.value if coats.between else Fraction(0)
    last = coats.last.value if coats.last else Fraction(0)
    return (coats.count - 1) * between + last


def wait_minutes(step: Step, mixes: Mapping[str, Mix]) -> Fraction:
    """The waiting after a step, in minutes: as written, or the demold or full cure of its mix; coats not counted."""
    if step.wait is None:
        return Fraction(0)
    if step.wait.time is not None:
        return step.wait.time.value
    for name, field in ((step.wait.demold, "demold"), (step.wait.full_cure, "full_cure")):
        mix = mixes.get(str(name))
        timed = getattr(mix, field, None)
        if name and timed is not None:
            return Fraction(timed.time.value)
    return Fraction(0)


def minutes_to_close(recipe: Recipe, mix: str) -> Fraction | None:
    """Hands-on minutes from the step where part B meets part A to the end of the last step that uses the mix.

    Steps in between count with theirs and with what they wait, because the pot life runs on. None where no step
    starts the clock of this mix, or where a step on the way does not say how long it takes.
    """
    mixes: dict[str, Mix] = {each.id: each for each in recipe.mixes}
    steps = list(recipe.steps)
    first = next((index for index, step in enumerate(steps) if step.starts == mix), None)
    if first is None:
        return None
    last = max((index for index, step in enumerate(steps) if any(use.mix == mix for use in step.uses)), default=first)
    total = Fraction(0)
    for index in range(first, max(first, last) + 1):
        hands = steps[index].hands_on
        if hands is None:
            return None
        total += step_minutes(steps[index], mixes) if index < last else hands.value
    return total
