"""What runs say of a recipe's own numbers: how long its steps take, what its mold takes, what stays in the cups.

The middle one is the median. A band in which the next one falls with a chance of 80 % lies between order statistics: of n that went
before, the next lies between the r-th and the s-th with the chance (s - r) / (n + 1), whatever their distribution (David and Nagaraja,
Order Statistics; from memory). The ends taken are the (n + 1) / 10-th from either side, interpolated between neighbors where that
is no whole number; the chance is then exact for n = 9, 19, 29 ... and about right between. Under nine there is no such band, and how
many more it takes is said instead.

Runs disagree with what is written where they fall on one side of it so often that the sign test, two-sided and exact, gives 5 % or less
(six of six, nine of ten; a textbook test, from memory), and their median is off by more than a scale or a clock can tell: a twentieth of a
weight, a fifth of a time (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from mothermold.model.recipe import Mix, Recipe, Step
from mothermold.reckon.work import work_of

FEWEST_FOR_BAND: Final = 9
DISAGREES_AT: Final = Fraction(1, 20)
WORTH_SAYING: Final = {"min": Fraction(1, 5), "g": Fraction(1, 20)}
"""By how much of itself a written number must be off before it is told."""
_LATEST: Final = 40
"""Of more runs the latest count: a bench changes."""

LearnedUnit = Literal["min", "g"]


def median(values: Sequence[Fraction]) -> Fraction:
    """The middle one, of an even number the mean of both."""
    ordered, half = sorted(values), len(values) // 2
    return ordered[half] if len(values) % 2 else (ordered[half - 1] + ordered[half]) / 2


def band(values: Sequence[Fraction]) -> tuple[Fraction, Fraction] | None:
    """Between which two the next one falls with a chance of 80 %; None of fewer than nine."""
    if len(values) < FEWEST_FOR_BAND:
        return None
    ordered, end = sorted(values), Fraction(len(values) + 1, 10)
    return _fractional(ordered, end), _fractional(ordered, len(values) + 1 - end)


def _fractional(ordered: Sequence[Fraction], place: Fraction) -> Fraction:
    """The order statistic at a place from 1 on, between its neighbors where the place is no whole number."""
    below = int(place)
    if below == len(ordered):
        return ordered[-1]
    return ordered[below - 1] + (place - below) * (ordered[below] - ordered[below - 1])


def one_sided(values: Sequence[Fraction], written: Fraction) -> Fraction:
    """How likely values fall so much to one side of a number, were it their median: the sign test's two-sided chance."""
    above = sum(value > written for value in values)
    below = sum(value < written for value in values)
    count, least = above + below, min(above, below)
    tail = sum(math.comb(count, each) for each in range(least + 1))
    return min(Fraction(2 * tail, 2**count), Fraction(1))


@dataclass(frozen=True, slots=True)
class Observed:
    """One number of a recipe, and what runs found.

    Attributes:
        what: What it is: ``hands-on``, ``waiting``, ``piece``, ``cups``.
        of: The step or mix it is of.
        unit: Minutes or grams.
        values: What runs found, oldest first.
        written: What the recipe says; None where it says nothing.
        path: Where it says that.
        runs: The runs, oldest first.
        mold: The mold it is of, where that has a record of its own: then that record is what is written.
    """

    what: str
    of: str
    unit: LearnedUnit
    values: tuple[Fraction, ...]
    written: Fraction | None
    path: tuple[str | int, ...]
    runs: tuple[str, ...]
    mold: str = ""

    @property
    def middle(self) -> Fraction:
        """The median."""
        return median(self.values)

    @property
    def band(self) -> tuple[Fraction, Fraction] | None:
        """Where the next one falls with a chance of 80 %; None of too few."""
        return band(self.values)

    @property
    def more_needed(self) -> int:
        """How many more it takes for a band."""
        return max(FEWEST_FOR_BAND - len(self.values), 0)

    @property
    def disagrees(self) -> bool:
        """Whether runs say otherwise than the recipe, as surely as the sign test has it."""
        if self.written is None or self.path[-1] == "wait":
            # A piece that waits longer in its mold says nothing of the time it needs: somebody came later.
            return False
        off = abs(self.middle - self.written)
        return off > WORTH_SAYING[self.unit] * self.written and one_sided(self.values, self.written) <= DISAGREES_AT


@dataclass(frozen=True, slots=True)
class BenchRun:
    """What one run says of its recipe's numbers; times in minutes, weights in grams.

    Attributes:
        run: Its name.
        version: The version it did.
        room: The room in degC; None where nobody noted it.
        mold: The mold it was cast in; empty where nobody noted it.
        holds: What that holds by its own record, flashing included, in ml; None where that says nothing.
        took: By step its hands-on time and its waiting, each None where nobody noted it.
        weighed: By mix how much was mixed.
        piece: What the piece weighed with its flashing; None where nobody weighed it.
    """

    run: str
    version: int
    room: Fraction | None
    mold: str
    holds: Fraction | None
    took: Mapping[str, tuple[Fraction | None, Fraction | None]]
    weighed: Mapping[str, Fraction]
    piece: Fraction | None


def learned(
    recipe: Recipe, texts: Mapping[int, Recipe], runs: Sequence[BenchRun], densities: Mapping[str, Fraction]
) -> list[Observed]:
    """What runs say of a version's numbers, in the order of the recipe.

    A run of another version counts for a step or a mix that said the very same there.

    Args:
        recipe: The version.
        texts: The versions by number.
        runs: The runs of all versions, oldest first.
        densities: Of the mixes whose density is known, in g/ml.
    """
    return [each for each in (*_steps(recipe, texts, runs), *_pieces(recipe, texts, runs, densities)) if each.values]


def _steps(recipe: Recipe, texts: Mapping[int, Recipe], runs: Sequence[BenchRun]) -> Iterator[Observed]:
    waits = {str(each.step.id): each.waits for each in work_of(recipe).steps}
    for at, step in enumerate(recipe.steps):
        name = str(step.id)
        mine = [run for run in runs if name in run.took and _same_step(step, texts.get(run.version))]
        written = step.hands_on.value if step.hands_on is not None else None
        yield _observed("hands-on", name, written, ("steps", at, "hands_on"), [(r.run, r.took[name][0]) for r in mine])
        key = "until" if step.until is not None else "wait"
        said = waits[name] if step.wait is not None or step.until is not None else None
        yield _observed("waiting", name, said or None, ("steps", at, key), [(r.run, r.took[name][1]) for r in mine])


def _pieces(
    recipe: Recipe, texts: Mapping[int, Recipe], runs: Sequence[BenchRun], densities: Mapping[str, Fraction]
) -> Iterator[Observed]:
    filling = [(at, mix) for at, mix in enumerate(recipe.mixes) if mix.fills is not None]
    if len(filling) != 1 or recipe.yields not in (None, 1):
        # Of several pours, or several pieces, nobody knows whose weight it was.
        return
    ((at, mix),) = filling
    name, path = str(mix.id), ("mixes", at, "fills")
    mine = [run for run in runs if run.piece is not None and _same_mix(mix, texts.get(run.version))]
    fills = mix.fills.value * densities[name] if mix.fills is not None and name in densities else None
    yield _observed("piece", name, fills, path, [(run.run, run.piece) for run in mine if run.holds is None])
    # A mold with a record of its own is no word on the recipe's figure, but on its own.
    for mold, holds in sorted({(run.mold, run.holds) for run in mine if run.holds is not None}):
        found = [(run.run, run.piece) for run in mine if run.mold == mold]
        grams = holds * densities[name] if name in densities else None
        yield replace(_observed("piece", name, grams, ("cavity", "volume"), found), mold=mold)
    left = [(run.run, max(run.weighed[name] - (run.piece or 0), Fraction(0))) for run in mine if name in run.weighed]
    yield _observed("cups", name, None, path, left)


def _observed(
    what: str,
    of: str,
    written: Fraction | None,
    path: tuple[str | int, ...],
    found: Sequence[tuple[str, Fraction | None]],
) -> Observed:
    known = [(run, value) for run, value in found if value is not None][-_LATEST:]
    unit: LearnedUnit = "min" if what in ("hands-on", "waiting") else "g"
    return Observed(
        what, of, unit, tuple(value for _run, value in known), written, path, tuple(run for run, _value in known)
    )


def demold_by_room(
    recipe: Recipe, texts: Mapping[int, Recipe], runs: Sequence[BenchRun]
) -> dict[str, list[tuple[int, list[Fraction]]]]:
    """How long pieces stayed in the mold, in minutes, by step and by the room in whole degC, the coldest first.

    Args:
        recipe: The version.
        texts: The versions by number.
        runs: The runs of all versions, oldest first.
    """
    found: dict[str, list[tuple[int, list[Fraction]]]] = {}
    for step in recipe.steps:
        if step.wait is None or step.wait.demold is None:
            continue
        rooms: dict[int, list[Fraction]] = {}
        for run in runs:
            waited = run.took.get(str(step.id), (None, None))[1]
            if waited is not None and run.room is not None and _same_step(step, texts.get(run.version)):
                rooms.setdefault(round(run.room), []).append(waited)
        if rooms:
            found[str(step.id)] = sorted(rooms.items())
    return found


def _same_step(step: Step, then: Recipe | None) -> bool:
    return then is not None and step in then.steps


def _same_mix(mix: Mix, then: Recipe | None) -> bool:
    return then is not None and mix in then.mixes
