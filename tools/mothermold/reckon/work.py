"""The work of a recipe as one graph: what each step waits for, what is certainly done before it, how long it takes and waits.

A step waits for those its ``after`` names, without ``after`` for the step written before it. A name no step bears counts for
nothing. Of steps that wait for each other in a circle the order in which they are written counts: an ``after`` that points
down the page there counts for nothing either. Whoever asks for the order of steps, or for their times, asks here.

Times are minutes, ranges by their longer end. A step takes hands on + (coats - 1) * between + last + wait, and starts with
hands enough for everything when the last of those it waits for has ended (critical path; textbook method).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from mothermold.ground.memory import once_for_each
from mothermold.model.parts import Coats
from mothermold.model.recipe import Mix, Recipe, Step, Use
from mothermold.reckon.nesting import materials_used


@dataclass(frozen=True)
class WorkStep:
    """A step in its place in the work.

    Attributes:
        step: As written.
        place: Its place in the recipe, from 0.
        after: The steps it waits for itself.
        before: All that are certainly done before it, at any remove.
        starts: Its earliest start, in minutes from the start of the recipe.
        mixes: The recipe's mixes by id.
    """

    step: Step
    place: int
    after: tuple[str, ...]
    before: frozenset[str]
    starts: Fraction
    mixes: Mapping[str, Mix] = field(repr=False)

    @property
    def hands_on(self) -> Fraction:
        """How long hands are busy, in minutes; 0 where nothing says it."""
        return self.step.hands_on.value if self.step.hands_on else Fraction(0)

    @property
    def waits(self) -> Fraction:
        """Minutes of waiting after the work: as written, the demold or full cure of its mix, or what ``until`` usually takes."""
        wait, until = self.step.wait, self.step.until
        if wait is None:
            return until.usual.value if until is not None and until.usual is not None else Fraction(0)
        if wait.time is not None:
            return wait.time.value
        for name, key in ((wait.demold, "demold"), (wait.full_cure, "full_cure")):
            timed = getattr(self.mixes.get(name or ""), key, None)
            if timed is not None:
                return Fraction(timed.time.value)
        return Fraction(0)

    @property
    def longest(self) -> Fraction | None:
        """When to stop hoping for what ``until`` waits for, in minutes of waiting; None where nothing says it."""
        until = self.step.until
        return until.longest.value if until is not None and until.longest is not None else None

    @cached_property
    def minutes(self) -> Fraction:
        """How long it takes with its coats and its waiting; 0 where nothing says it."""
        every = (self.step.coats, *(use.coats for use in self.step.uses))
        return self.hands_on + sum((_coats_minutes(coats) for coats in every if coats), Fraction(0)) + self.waits

    @property
    def ends(self) -> Fraction:
        """When its waiting is over, in minutes from the start of the recipe."""
        return self.starts + self.minutes

    @property
    def holds(self) -> str | None:
        """What its waiting, the last ``waits`` minutes before it ``ends``, keeps busy; None where that is nothing."""
        return self.step.holds if self.step.holds != "nothing" else None

    @property
    def surfaces(self) -> frozenset[str]:
        """The surfaces its uses name."""
        return frozenset(str(name) for use in self.step.uses for name in use.on)

    @property
    def materials(self) -> frozenset[str]:
        """The materials it uses, through its mixes."""
        return frozenset(name for use in self.step.uses for name in materials_used(use, self.mixes))

    def rests(self, use: Use | None) -> Fraction:
        """How long a use, or the whole step, lies at its end, in minutes: after its last coat, and the waiting."""
        every = (self.step.coats, use.coats if use else None)
        return self.waits + sum((coats.last.value for coats in every if coats and coats.last), Fraction(0))


@dataclass(frozen=True, slots=True)
class Work:
    """A recipe's steps as a graph without circles.

    Attributes:
        steps: As written.
        order: Each after all that are certainly done before it; those that could change places as written.
        named: By id.
    """

    steps: tuple[WorkStep, ...]
    order: tuple[WorkStep, ...]
    named: Mapping[str, WorkStep]


@once_for_each
def work_of(recipe: Recipe) -> Work:
    """The graph of a recipe, also of one with a slip in its order."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    ids = [step.id for step in recipe.steps]
    places = {name: place for place, name in enumerate(ids)}
    said = [
        [places[name] for name in step.after if name in places] if step.after else [place - 1] if place else []
        for place, step in enumerate(recipe.steps)
    ]
    reach = _reached(said)
    after = [
        [other for other in names if other < place or not reach[other] >> place & 1] for place, names in enumerate(said)
    ]
    before = [[other for other in range(len(ids)) if far >> other & 1] for far in _reached(after)]
    made: dict[int, WorkStep] = {}
    for place in sorted(range(len(ids)), key=lambda place: (len(before[place]), place)):
        made[place] = WorkStep(
            recipe.steps[place],
            place,
            tuple(ids[other] for other in after[place]),
            frozenset(ids[other] for other in before[place]),
            max((made[other].ends for other in after[place]), default=Fraction(0)),
            mixes,
        )
    steps = tuple(made[place] for place in range(len(ids)))
    return Work(steps, tuple(made.values()), {each.step.id: each for each in steps})


def _reached(after: Sequence[Sequence[int]]) -> list[int]:
    """For each place all it comes after at any remove, as bits; its own too where it stands in a circle."""
    found = [0] * len(after)
    moved = True
    # A step may name a later one, so passes repeat until nothing moves.
    while moved:
        moved = False
        for place, others in enumerate(after):
            far = 0
            for other in others:
                far |= found[other] | 1 << other
            moved, found[place] = moved or far != found[place], far
    return found


def _coats_minutes(coats: Coats) -> Fraction:
    between = coats.between.value if coats.between else Fraction(0)
    last = coats.last.value if coats.last else Fraction(0)
    return (coats.count - 1) * between + last
