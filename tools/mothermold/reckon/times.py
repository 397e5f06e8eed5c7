"""How long a recipe keeps hands busy, how long it takes from start to finish, and how long one cup of a mix is worked with.

When each step starts and ends the graph of the work says.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from mothermold.model.recipe import Recipe, Step
from mothermold.reckon.work import Work, WorkStep, work_of


def hands_on_minutes(recipe: Recipe) -> Fraction:
    """The sum of all hands-on times, in minutes."""
    return sum((each.hands_on for each in work_of(recipe).steps), Fraction(0))


def elapsed_minutes(recipe: Recipe) -> Fraction:
    """From the first step's start to the last waiting's end, in minutes, with hands enough for everything."""
    return max((each.ends for each in work_of(recipe).steps), default=Fraction(0))


def longest_minutes(recipe: Recipe) -> Fraction:
    """The same where everything that waits ``until`` something is seen takes as long as it may, in minutes."""
    work = work_of(recipe)
    ends: dict[str, Fraction] = {}
    for each in work.order:
        waits = each.waits if each.longest is None else max(each.waits, each.longest)
        begins = max((ends[name] for name in each.after), default=Fraction(0))
        ends[each.step.id] = begins + each.minutes - each.waits + waits
    return max(ends.values(), default=Fraction(0))


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
    work = work_of(recipe)
    cups = [_MixedCup(work, first, mix, pot_life) for first in work.steps if first.step.starts == mix]
    known = [minutes for cup in cups if (minutes := cup.closed(closes)) is not None]
    return max(known, default=None)


class _MixedCup:
    """One cup of a mix on its way through the steps, from the one that starts its clock."""

    def __init__(self, work: Work, first: WorkStep, mix: str, pot_life: Fraction | None) -> None:
        self.mix, self.pot_life, self.first = mix, pot_life, first
        # When each step begins, in minutes after B met A; None where a step on the way does not say how long it takes.
        self.begins: dict[str, Fraction | None] = {first.step.id: Fraction(0)}
        for each in work.order:
            ahead = [work.named[name] for name in each.after if name in self.begins]
            ends = [self._end(other) for other in ahead if not self._used_up(other.step)]
            if ends and each.step.starts != mix:
                self.begins[each.step.id] = None if None in ends else max(end for end in ends if end is not None)
        self.reached = [each for each in work.steps if each.step.id in self.begins]

    def _end(self, each: WorkStep) -> Fraction | None:
        begins, step = self.begins[each.step.id], each.step
        told = step.hands_on or step.wait or step.until
        return begins + each.minutes if begins is not None and told else None

    def _used_up(self, step: Step) -> bool:
        cures = step.wait is not None and self.mix in (step.wait.demold, step.wait.full_cure)
        return cures or bool(self._between(step, anew=True))

    def _between(self, step: Step, *, anew: bool) -> list[Fraction]:
        """The waits between coats of the mix, in minutes: where each coat is mixed anew, or those in one cup's time."""
        laid = [use for use in step.uses if use.mix == self.mix]
        return [
            (coats.count - 1) * coats.between.value
            for coats in (step.coats if laid else None, *(use.coats for use in laid))
            if coats is not None and coats.between is not None
            # Only what is longer than the pot life asks for another cup.
            if anew == (self.pot_life is not None and coats.count > 1 and coats.between.low > self.pot_life)
        ]

    def _closed_at(self, each: WorkStep) -> Fraction | None:
        begins = self.begins[each.step.id]
        if begins is None or each.step.hands_on is None:
            return None
        return begins + each.hands_on + sum(self._between(each.step, anew=False), Fraction(0))

    def closed(self, closes: Callable[[Step], bool] | None) -> Fraction | None:
        """When the last step that uses the cup, or closes the mold over it, is done; None where that is not told."""
        last = [each for each in self.reached if any(use.mix == self.mix for use in each.step.uses)] or [self.first]
        steps = [each.step for each in last]
        open_still = {step.id for step in steps if not (step.wait or step.until or self._used_up(step))}
        then = [each for each in self.reached if open_still & set(each.after)]
        closing = [each for each in then if closes is not None and closes(each.step)]
        ways = [self._closed_at(each) for each in (*last, *closing)]
        return max((minutes for minutes in ways if minutes is not None), default=None)
