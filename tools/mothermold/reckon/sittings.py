"""A recipe's work cut into sittings: what is done without going away from it, and what lies between.

Hands stay at a step through short waits, of its coats and before the next step that follows it alone; a longer wait ends the
sitting. A step that may pause is cut into parts. All that is common practice, no source. Minutes are whole, rounded up.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Final

from mothermold.model.parts import Coats
from mothermold.reckon.project import Order
from mothermold.reckon.work import Work, WorkStep

SHORT_WAIT: Final = 30
"""Up to so many minutes nobody goes away from the work for a wait."""
LONGEST_SITTING: Final = 240
"""Steps are not put together beyond so many minutes."""
PART: Final = 120
"""Work that may pause is cut into parts no longer than this, in minutes."""
_MOST_PARTS: Final = 200
"""Nothing is cut into more parts: it is no work of a shop any more, and no plan will hold it."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A step, or a part of one, in its sitting.

    Attributes:
        step: The step.
        start: From the sitting's start, in minutes.
        minutes: How long somebody is at it: hands, the short waits between coats, a wait that ties up a person.
        rest: How long it waits afterwards before anything that follows may begin.
        is_last: Whether the step is done with it.
    """

    step: WorkStep
    start: int
    minutes: int
    rest: int
    is_last: bool = True

    @property
    def end(self) -> int:
        """When somebody is done with it, in minutes from the sitting's start."""
        return self.start + self.minutes

    @property
    def over(self) -> int:
        """When its waiting is over, in minutes from the sitting's start."""
        return self.end + self.rest

    @property
    def at_longest(self) -> int:
        """The same if what it waits for takes its longest."""
        longest = self.step.longest if self.is_last else None
        return self.over + max(0, ceil(longest - self.step.waits)) if longest is not None else self.over


@dataclass(frozen=True, slots=True)
class Sitting:
    """Work at one go.

    Attributes:
        id: Its name in the recipe: its first step, with a number where that step has several parts.
        stretches: What is done in it, in order.
    """

    id: str
    stretches: tuple[Stretch, ...]

    @property
    def minutes(self) -> int:
        """How long it takes."""
        return max(each.end for each in self.stretches)

    @property
    def total(self) -> int:
        """The same with the waiting that follows."""
        return max(each.over for each in self.stretches)

    @property
    def at_longest(self) -> int:
        """The same if what it waits for takes its longest."""
        return max(each.at_longest for each in self.stretches)

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps in it."""
        return tuple(str(each.step.step.id) for each in self.stretches)


@dataclass(frozen=True, slots=True)
class Sittings:
    """A recipe's sittings.

    Attributes:
        every: In the order of the work.
        orders: Which comes how long after which, between them.
        first: By step the sitting it begins in, and where in it.
        last: By step the sitting it ends in, and its stretch there.
    """

    every: tuple[Sitting, ...]
    orders: tuple[Order, ...]
    first: Mapping[str, tuple[Sitting, Stretch]]
    last: Mapping[str, tuple[Sitting, Stretch]]


def sittings_of(work: Work, done: Collection[str] = (), longest: int = LONGEST_SITTING) -> Sittings:
    """The sittings of what is left of a recipe.

    Args:
        work: The recipe's work.
        done: Steps that are done.
        longest: Steps are not put together beyond so many minutes; 0 leaves each for itself.
    """
    left = [each for each in work.order if each.step.id not in done]
    followers: dict[str, int] = {}
    for each in left:
        for name in each.after:
            followers[name] = followers.get(name, 0) + 1
    made: list[Sitting] = []
    for each in left:
        parts = _stretches(each)
        if made and len(parts) == 1 and (joined := _joined(made[-1], each, parts[0], longest, followers)):
            made[-1] = joined
            continue
        for number, part in enumerate(parts):
            name = str(each.step.id) if len(parts) == 1 else f"{each.step.id}-{number + 1}"
            made.append(Sitting(name, (replace(part, is_last=number == len(parts) - 1),)))
    first: dict[str, tuple[Sitting, Stretch]] = {}
    last: dict[str, tuple[Sitting, Stretch]] = {}
    for sitting in made:
        for stretch in sitting.stretches:
            first.setdefault(str(stretch.step.step.id), (sitting, stretch))
            last[str(stretch.step.step.id)] = (sitting, stretch)
    return Sittings(tuple(made), tuple(_orders(left, made, first, last)), first, last)


def _joined(
    sitting: Sitting, each: WorkStep, part: Stretch, longest: int, followers: Mapping[str, int]
) -> Sitting | None:
    """A sitting with one more step; None where that is for another sitting."""
    before = sitting.stretches[-1]
    name = str(before.step.step.id)
    is_cut = sitting.id != sitting.steps[0]
    if each.after != (name,) or followers.get(name) != 1 or is_cut or before.step.step.once != each.step.once:
        return None
    start = before.over
    is_close = longest > 0 and _must_be_close(each, sitting)
    fits = before.rest <= SHORT_WAIT and start + part.minutes <= longest
    return replace(sitting, stretches=(*sitting.stretches, replace(part, start=start))) if fits or is_close else None


def _must_be_close(each: WorkStep, sitting: Sitting) -> bool:
    """Whether it has to follow so soon on a step of the sitting that a walk round the house is too long."""
    within = each.step.within
    return within is not None and within.after in sitting.steps and within.time.low < 2 * SHORT_WAIT


def _stretches(each: WorkStep) -> list[Stretch]:
    step = each.step
    every = [coats for coats in (step.coats, *(use.coats for use in step.uses)) if coats]
    long = next((coats for coats in every if coats.count > 1 and _between(coats) > SHORT_WAIT), None)
    is_cut = long is not None and long.count <= _MOST_PARTS
    gaps = ((c.count - 1) * _between(c) for c in every if not (is_cut and c is long))
    busy = each.hands_on + sum(gaps, Fraction(0))
    dries = sum((coats.last.value for coats in every if coats.last), Fraction(0))
    if step.holds == "person":
        busy += dries + each.waits
        dries = Fraction(0)
    else:
        dries += each.waits
    if long is not None and is_cut:
        every_coat = Stretch(each, 0, ceil(busy / long.count), ceil(_between(long)))
        return [every_coat] * (long.count - 1) + [replace(every_coat, rest=ceil(dries))]
    if step.may_pause and PART < busy <= PART * _MOST_PARTS:
        # Equal parts read better on a wall than two hours, two hours and ten minutes.
        count = ceil(busy / PART)
        size = ceil(busy / count / 5) * 5
        sizes = [min(size, ceil(busy) - number * size) for number in range(count) if number * size < busy]
        return [Stretch(each, 0, minutes, 0) for minutes in sizes[:-1]] + [Stretch(each, 0, sizes[-1], ceil(dries))]
    return [Stretch(each, 0, ceil(busy), ceil(dries))]


def _between(coats: Coats) -> Fraction:
    return Fraction(coats.between.value) if coats.between else Fraction(0)


def _orders(
    left: list[WorkStep],
    made: list[Sitting],
    first: Mapping[str, tuple[Sitting, Stretch]],
    last: Mapping[str, tuple[Sitting, Stretch]],
) -> list[Order]:
    found: list[Order] = []
    parts: dict[str, Sitting] = {}
    for sitting in made:
        name = sitting.steps[0]
        if name in parts and len(sitting.stretches) == 1:
            found.append(Order(parts[name].id, sitting.id, parts[name].stretches[-1].over))
        parts[name] = sitting
    for each in left:
        to, at = first[str(each.step.id)]
        for name in each.after:
            if name in last and last[name][0] is not to:
                of, stretch = last[name]
                found.append(
                    Order(of.id, to.id, stretch.over - at.start, wish=_wish(stretch.over, stretch.at_longest, at.start))
                )
        within = each.step.within
        if within is None or within.after not in last or last[str(within.after)][0] is to:
            continue
        of, stretch = last[str(within.after)]
        # What is to begin soon after a step begins after it, also where no `after` says so.
        is_after = within.after in each.before
        if is_after or stretch.step.place < each.place:
            begin = stretch.over if within.from_ == "wait" else stretch.end
            most = begin + floor(within.time.low) - at.start
            least = (stretch.over if is_after else stretch.end) - at.start
            # Where the drying after the last coat is longer than the time given, that counts from its end.
            most = most if most >= least else stretch.over + floor(within.time.low) - at.start
            found.append(Order(of.id, to.id, least, most))
    return found


def _wish(over: int, at_longest: int, start: int) -> int | None:
    return at_longest - start if at_longest > over else None
