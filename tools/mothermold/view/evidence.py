"""What the runs of a book say of a failure: how often it happens by version, and whether each fix held.

A failure counts over the runs where it can be noticed. A run comes after a fix when it, or the nearest run behind it, did the
fixed recipe at that version or later, up to the next fix of the same failure there; before it, when at an earlier one, back to
the fix before. What comes from nobody knows where is left out, and counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Any, Final, get_args

from mothermold.book.document import Document
from mothermold.ground.looking import Remembered
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.model.scalars import Harm
from mothermold.reckon.proportions import Tally, Verdict, clean_runs_to_settle, judge
from mothermold.view.lineage import Lineage, counts
from mothermold.view.sums import Summed, entry_by_entry

_HURT: Final = get_args(Harm)[-1]
_IN_USE: Final = frozenset({"locked", "retired", "deleted"})


@dataclass(frozen=True, slots=True)
class AtVersion:
    """How often a failure happened at one version of a recipe where it can be noticed."""

    recipe: str
    version: int
    tally: Tally


@dataclass(frozen=True, slots=True)
class FixRecord:
    """A fix, and the runs before and after it.

    Attributes:
        recipe: The recipe that carries it.
        version: Since which version.
        before: The runs before it, back to the fix before.
        after: The runs since, up to the next fix.
        unknown: Ids of runs left out, for nobody knows what they come from; what came of another recipe is not among them.
        makings: By how many doings of the recipe those before came about, and those since: two molds, say, and one. What is
            cast in one mold goes well or badly together. Nothing where the runs did the recipe themselves.
        uncounted: The kinds of the runs before it, or nobody knows of what, in which it happened and which do not count:
            first pulls, tests, runs under way.
        is_hurt: Whether somebody was hurt by the failure, by its note or in a run.
    """

    recipe: str
    version: int
    before: Tally
    after: Tally
    unknown: tuple[str, ...]
    makings: tuple[int, int] = (0, 0)
    uncounted: tuple[str, ...] = ()
    is_hurt: bool = False

    @property
    def verdict(self) -> Verdict:
        """Whether it held, as far as the runs can say."""
        return judge(self.before, self.after)

    @property
    def clean_runs_to_settle(self) -> int | None:
        """How many further runs without the failure would settle it; None above 200 or where nothing can."""
        return clean_runs_to_settle(self.before, self.after)


@dataclass(frozen=True, slots=True)
class Beginning:
    """A failure that begins at some version: earlier ones of the same recipe had runs and never showed it.

    Attributes:
        recipe: The recipe.
        before: The last version whose runs were clean.
        version: The first with the failure.
        clean: How many runs were clean before.
    """

    recipe: str
    before: int
    version: int
    clean: int


@dataclass(frozen=True, slots=True)
class FailureRecord:
    """All that the runs say of one failure.

    Attributes:
        by_version: Where it is noticed, recipe by recipe and version by version.
        fixes: Each fix, by recipe and version.
        beginnings: Where it begins at some version.
        places: The recipes over whose runs it is counted.
        is_hurt: Whether somebody was hurt by it, by its note or in a run; then clean runs prove nothing.
    """

    by_version: tuple[AtVersion, ...]
    fixes: tuple[FixRecord, ...]
    beginnings: tuple[Beginning, ...]
    places: tuple[str, ...]
    is_hurt: bool = False


@dataclass(frozen=True, slots=True)
class _BeforeOrAfter:
    """How the counted runs of one recipe stand to another that may lie behind them; the same for every failure.

    Attributes:
        runs: How many came of each version.
        makings: The runs that did that version, other than these themselves.
        unknown: Ids of those of which nobody knows.
    """

    runs: Mapping[int, int]
    makings: Mapping[int, frozenset[str]]
    unknown: tuple[str, ...]


def _standing(view: Summed, address: str) -> list[list[Any]] | None:
    """Of each version of a recipe: its number, whether it is in use or was, and the failures it says it fixes.

    None where the edition holds no such recipe.
    """
    versions = view.versions(address)
    if versions is None:
        return None
    return [[row.number, row.status in _IN_USE, list(map(str, row.fixes))] for row in versions.rows]


def _noted(document: Document) -> list[list[Any]]:
    """The recipe versions that a failure note names as its fixes."""
    note = document.model
    fixes = [fix.in_ for fix in note.fixes if fix.in_ is not None] if isinstance(note, Failure) else []
    return [[place.address, place.version] for place in fixes if place.version is not None]


@entry_by_entry("fixed-by")
def _fixed_by(view: Summed) -> dict[str, list[tuple[str, int]]]:
    """The recipe versions that say they fix a failure, and those its note names, by failure; sorted."""

    def standing(address: str) -> list[list[Any]] | None:
        told: list[list[Any]] | None = view.made.of(f"recipe/{address}: standing", partial(_standing, view, address))
        return told

    found: dict[str, set[tuple[str, int]]] = {}
    for address in view.recipes:
        for number, in_use, failures in standing(address) or ():
            for failure in failures if in_use else ():
                found.setdefault(failure, set()).add((address, number))
    for name, document in view.on("failure").items():
        for address, number in view.made.of(f"failure/{name}: fixed in", partial(_noted, document)):
            rows = standing(address)
            # A draft does not count as a fix, nor does a version withdrawn; a text lost to history does.
            if rows is not None and all(in_use for row, in_use, _failures in rows if row == number):
                found.setdefault(name, set()).add((view.today(address), number))
    return {failure: sorted(places) for failure, places in found.items()}


@entry_by_entry("fixed-in")
def _fixed_in(view: Summed) -> dict[str, list[tuple[int, str]]]:
    """The same by recipe: which version answers which failure."""
    found: dict[str, list[tuple[int, str]]] = {}
    for failure, places in _fixed_by(view).items():
        for address, number in places:
            found.setdefault(address, []).append((number, failure))
    return found


class Evidence:
    """What the runs of an edition say of its failures.

    Args:
        view: The edition.
    """

    def __init__(self, view: Summed) -> None:
        self._view, self.lineage = view, Lineage(view)
        self._once = Remembered()

    def of(self, failure: str) -> FailureRecord:
        """The record of a failure; an empty one where the note cannot be read."""
        return self._once.of(("of", failure), lambda: self._of(failure))

    def _of(self, failure: str) -> FailureRecord:
        note = self._view.models(Failure).get(failure)
        return self._weigh(failure, note) if note is not None else FailureRecord((), (), (), ())

    def fixed_in(self, recipe: str) -> Sequence[tuple[int, str]]:
        """Which version of a recipe answers which failure."""
        return _fixed_in(self._view).get(recipe, [])

    def runs_of(self, failure: str) -> list[tuple[Run, bool]]:
        """The runs where a failure can be noticed, oldest first, and whether it happened in each."""
        runs = [run for place in self.of(failure).places for run in self.lineage.counted(place)]
        failed = {str(run.id) for run, _entry in self.lineage.troubles(failure)}
        return [(run, str(run.id) in failed) for run in sorted(runs, key=lambda run: (run.started, run.id))]

    def at(self, failure: str, recipe: str, version: int) -> Tally:
        """How often a failure happened in the runs of one version of a recipe, wherever its note says that it is noticed."""
        return self._tallies([recipe], recipe, self._failed(failure)).get(version, Tally(0, 0))

    def _weigh(self, name: str, note: Failure) -> FailureRecord:
        noticed = sorted({self._view.today(step.address) for step in note.noticed})
        fixed = _fixed_by(self._view).get(name, [])
        failed = self._failed(name)
        places = noticed or sorted({recipe for recipe, _version in fixed}) or sorted(failed)
        happened = self.lineage.troubles(name)
        is_hurt = _HURT in (note.harm, *(entry.harm for _run, entry in happened))
        others = list({str(run.id): run for run, _entry in happened if not counts(run)}.values())
        fixes = (
            self._fix(recipe, version, fixed, noticed or [recipe], failed, uncounted=others)
            for recipe, version in fixed
        )
        return FailureRecord(
            tuple(
                AtVersion(place, version, tally)
                for place in places
                for version, tally in sorted(self._tallies([place], place, failed).items())
            ),
            tuple(replace(fix, is_hurt=is_hurt) for fix in fixes),
            tuple(self._beginnings(note, places, failed)),
            tuple(places),
            is_hurt,
        )

    def _failed(self, name: str) -> dict[str, list[Run]]:
        """The counted runs in which a failure happened, each once, by their recipe."""
        found: dict[str, dict[str, Run]] = {}
        for run, _entry in self.lineage.troubles(name):
            if counts(run) and run.recipe is not None:
                found.setdefault(self._view.today(run.recipe.address), {})[str(run.id)] = run
        return {place: list(runs.values()) for place, runs in found.items()}

    def _standing(self, place: str, recipe: str) -> _BeforeOrAfter:
        return self._once.of(("standing", place, recipe), lambda: self._stand(place, recipe))

    def _stand(self, place: str, recipe: str) -> _BeforeOrAfter:
        runs: Counter[int] = Counter()
        makings: dict[int, set[str]] = {}
        unknown: list[str] = []
        for run in self.lineage.counted(place):
            did = self.lineage.behind(run, recipe)
            number = did.recipe.version if did is not None and did.recipe is not None else None
            if did is not None and number is not None:
                runs[number] += 1
                makings.setdefault(number, set()).update({str(did.id)} - {str(run.id)})
            elif not self.lineage.is_of_another(run, recipe):
                unknown.append(str(run.id))
        kept = {number: frozenset(names) for number, names in makings.items()}
        return _BeforeOrAfter(runs, kept, tuple(unknown))

    def _tallies(self, places: Iterable[str], recipe: str, failed: Mapping[str, Sequence[Run]]) -> dict[int, Tally]:
        """How often it happened by the version of a recipe that the runs of some places came of."""
        runs: Counter[int] = Counter()
        gone_wrong: Counter[int | None] = Counter()
        for place in places:
            runs.update(self._standing(place, recipe).runs)
            gone_wrong.update(self.lineage.version_behind(run, recipe) for run in failed.get(place, ()))
        return {number: Tally(gone_wrong[number], count) for number, count in runs.items()}

    def _fix(
        self,
        recipe: str,
        version: int,
        fixed: Sequence[tuple[str, int]],
        places: Sequence[str],
        failed: Mapping[str, Sequence[Run]],
        *,
        uncounted: Sequence[Run],
    ) -> FixRecord:
        others = [number for where, number in fixed if where == recipe]
        since = max((number for number in others if number < version), default=0)
        until = min((number for number in others if number > version), default=None)
        tallies = self._tallies(places, recipe, failed)
        standings = [self._standing(place, recipe) for place in places]

        def over(numbers: Sequence[int]) -> tuple[Tally, int]:
            made = {name for each in standings for number in numbers for name in each.makings.get(number, ())}
            parts = [tallies[number] for number in numbers]
            return Tally(sum(part.failed for part in parts), sum(part.runs for part in parts)), len(made)

        before, made_before = over([number for number in tallies if since <= number < version])
        after, made_after = over(
            [number for number in tallies if version <= number and (until is None or number < until)]
        )
        unknown = tuple(name for each in standings for name in each.unknown)
        behind = [(run, self.lineage.version_behind(run, recipe)) for run in uncounted]
        kinds = tuple(str(run.kind) for run, number in behind if number is None or since <= number < version)
        return FixRecord(recipe, version, before, after, unknown, (made_before, made_after), kinds)

    def _beginnings(self, note: Failure, places: Sequence[str], failed: Mapping[str, Sequence[Run]]) -> list[Beginning]:
        """Where it begins: among the recipes that show it, and those of the causing stage that lie behind its runs."""
        behind = {recipe for place in places for recipe in self._of_stage(place, note.caused_at)}
        found: list[Beginning] = []
        for recipe in sorted({*places, *behind}):
            tallies = self._tallies(places, recipe, failed)
            clean = 0
            for before, number in pairwise(sorted(tallies)):
                clean += tallies[before].runs
                if tallies[before].failed:
                    break
                if tallies[number].failed:
                    found.append(Beginning(recipe, before, number, clean))
                    break
        # One clean run is hardly a beginning; where another has more to show, it is none.
        return [each for each in found if each.clean > 1] or found

    def _of_stage(self, place: str, stage: str | None) -> frozenset[str]:
        """The recipes of a stage that lie behind the runs of a place."""
        if stage is None:
            return frozenset()
        return self._once.of(
            ("stage", place, stage),
            lambda: frozenset(
                self._view.today(each.recipe.address)
                for run in self.lineage.counted(place)
                for generation in self.lineage.generations(run)
                for each in generation
                if each.recipe is not None and each.recipe.address.partition("/")[0] == stage
            ),
        )
