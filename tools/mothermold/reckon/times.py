"""How long a recipe keeps hands busy, and how long it takes from start to finish.

Elapsed of a step = hands on + (coats - 1) * between + last + wait. Elapsed of a recipe = the longest path
along ``after``, each step after the one before it unless said (critical path; textbook method). ``until``
counts by its usual time, a range by its longer end.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
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


def minutes_to_close(
    recipe: Recipe, mix: str, pot_life: Fraction | None = None, closes: Callable[[Step], bool] | None = None
) -> Fraction | None:
    """Minutes from where part B meets part A to the end of the last step that uses the mix, along ``after``.

    Hands, the waits between coats and what waits in between all count, because the pot life runs on; of several ways the
    longest decides. Each step that starts the clock is a cup of its own, and what follows the cure of the mix, or coats
    further apart than its pot life, comes from another cup.

    Args:
        recipe: The recipe.
        mix: The mix.
        pot_life: Its short end in minutes, where it is known.
        closes: Whether a step closes the mold; one that comes right after the last use, without a wait, counts too.

    Returns:
        The longest of all cups; None where no step starts the clock, or where a step on the way does not say how long it takes.
    """
    cups = [_Cup(recipe, first, mix, pot_life) for first in recipe.steps if first.starts == mix]
    known = [minutes for cup in cups if (minutes := cup.closed(closes)) is not None]
    return max(known, default=None)


class _Cup:
    """One cup of a mix on its way through the steps, from the one that starts its clock."""

    def __init__(self, recipe: Recipe, first: Step, mix: str, pot_life: Fraction | None) -> None:
        self.mix, self.pot_life = mix, pot_life
        self.mixes: dict[str, Mix] = {each.id: each for each in recipe.mixes}
        self.first = first
        self.steps: dict[str, Step] = {step.id: step for step in recipe.steps}
        self.before = steps_before(recipe)
        # When each step begins, in minutes after B met A; None where a step on the way does not say how long it takes.
        self.begins: dict[str, Fraction | None] = {first.id: Fraction(0)}
        for _ in recipe.steps:
            known = dict(self.begins)
            for step in recipe.steps:
                self._begin(step)
            if self.begins == known:
                break

    def _begin(self, step: Step) -> None:
        if step.id == self.first.id or step.starts == self.mix:
            return
        ahead = [self.steps[name] for name in self.before[step.id] if name in self.begins]
        ends = [self._end(each) for each in ahead if not self._used_up(each)]
        if ends:
            self.begins[step.id] = None if None in ends else max(end for end in ends if end is not None)

    def _end(self, step: Step) -> Fraction | None:
        begins = self.begins[step.id]
        told = step.hands_on or step.wait or step.until
        return None if begins is None or told is None else begins + step_minutes(step, self.mixes)

    def _used_up(self, step: Step) -> bool:
        cures = step.wait is not None and self.mix in (step.wait.demold, step.wait.full_cure)
        return cures or any(self._anew(coats) for coats in self._coats(step))

    def _coats(self, step: Step) -> list[Coats]:
        laid = [use for use in step.uses if use.mix == self.mix]
        found = (step.coats if laid else None, *(use.coats for use in laid))
        return [coats for coats in found if coats is not None and coats.between is not None]

    def _anew(self, coats: Coats) -> bool:
        return (
            self.pot_life is not None
            and coats.count > 1
            and coats.between is not None
            and coats.between.low > self.pot_life
        )

    def _closed_at(self, step: Step) -> Fraction | None:
        begins = self.begins[step.id]
        if begins is None or step.hands_on is None:
            return None
        between = [
            (coats.count - 1) * coats.between.value
            for coats in self._coats(step)
            if coats.between is not None and not self._anew(coats)
        ]
        return begins + step.hands_on.value + sum(between, Fraction(0))

    def closed(self, closes: Callable[[Step], bool] | None) -> Fraction | None:
        """When the last step that uses the cup, or closes the mold over it, is done; None where that is not told."""
        reached = [step for name, step in self.steps.items() if name in self.begins]
        last = [step for step in reached if any(use.mix == self.mix for use in step.uses)] or [self.first]
        open_still = {each.id for each in last if each.wait is None and each.until is None and not self._used_up(each)}
        after = [step for step in reached if open_still & set(self.before[step.id])]
        closing = [step for step in after if closes is not None and closes(step)]
        ways = [self._closed_at(step) for step in (*last, *closing)]
        return max((minutes for minutes in ways if minutes is not None), default=None)
