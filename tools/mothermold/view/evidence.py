"""What the runs of a book say of a failure: how often it happens by version, and whether each fix held.

A failure counts over the runs where it can be noticed. A run comes after a fix when it, or the nearest run behind it, did the
fixed recipe at that version or later, up to the next fix of the same failure there; before it, when at an earlier one, back to
the fix before. What comes from nobody knows where is left out, and counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.reckon.proportions import Tally, Verdict, clean_runs_to_settle, judge
from mothermold.view.lineage import Documents, Lineage, Lookup

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
    """

    recipe: str
    version: int
    before: Tally
    after: Tally
    unknown: tuple[str, ...]
    makings: tuple[int, int] = (0, 0)

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
        runs: The runs where it can be noticed, oldest first, and whether it happened in each.
    """

    by_version: tuple[AtVersion, ...]
    fixes: tuple[FixRecord, ...]
    beginnings: tuple[Beginning, ...]
    runs: tuple[tuple[Run, bool], ...]


class Evidence:
    """What the runs of an edition say of its failures.

    Args:
        documents: By kind and address; only these are looked at.
        versions: Looks up the versions of a recipe by its address, also by an earlier one.
        recipes: The addresses of all recipes.
    """

    def __init__(self, documents: Documents, versions: Lookup, recipes: Sequence[str]) -> None:
        self._documents, self._versions, self._recipes = documents, versions, recipes
        self.lineage = Lineage(documents, versions)
        self._known: dict[str, FailureRecord] = {}

    def of(self, failure: str) -> FailureRecord:
        """The record of a failure; an empty one where the note cannot be read."""
        if failure not in self._known:
            document = self._documents["failure"].get(failure)
            note = document.model if document is not None and isinstance(document.model, Failure) else None
            self._known[failure] = self._weigh(failure, note) if note is not None else FailureRecord((), (), (), ())
        return self._known[failure]

    @cached_property
    def fixed_by(self) -> dict[str, list[tuple[str, int]]]:
        """The recipe versions that say they fix a failure, and those its note names, by failure; sorted."""
        found: dict[str, set[tuple[str, int]]] = {}
        for address in self._recipes:
            versions = self._versions(address)
            for row in versions.rows if versions is not None else ():
                if row.status in _IN_USE:
                    for failure in row.fixes:
                        found.setdefault(str(failure), set()).add((address, row.number))
        for name, document in self._documents["failure"].items():
            for fix in document.model.fixes if isinstance(document.model, Failure) else ():
                if (
                    fix.in_ is not None
                    and fix.in_.version is not None
                    and self._counts(fix.in_.address, fix.in_.version)
                ):
                    found.setdefault(name, set()).add((self.lineage.today(fix.in_.address), fix.in_.version))
        return {failure: sorted(places) for failure, places in found.items()}

    def _counts(self, address: str, number: int) -> bool:
        """Whether a version counts as a fix: a draft does not, nor one withdrawn; a text lost to history does."""
        versions = self._versions(address)
        row = versions.get(number) if versions is not None else None
        return versions is not None and (row is None or row.status in _IN_USE)

    def _weigh(self, name: str, note: Failure) -> FailureRecord:
        noticed = sorted({self.lineage.today(step.address) for step in note.noticed})
        fixed = self.fixed_by.get(name, [])
        places = noticed or sorted({recipe for recipe, _version in fixed}) or self._where_it_happened(name)
        runs = self._happened(name, places)
        return FailureRecord(
            tuple(_by_version(self.lineage, places, runs)),
            tuple(self._fix(name, recipe, version, fixed, noticed) for recipe, version in fixed),
            tuple(self._beginnings(note, places, runs)),
            tuple(sorted(runs, key=lambda each: (each[0].started, each[0].id))),
        )

    def _where_it_happened(self, name: str) -> list[str]:
        return sorted(
            place
            for place, runs in self.lineage.counted.items()
            if any(entry.failure == name for run in runs for entry in run.went_wrong)
        )

    def _happened(self, name: str, places: Iterable[str]) -> list[tuple[Run, bool]]:
        return [
            (run, any(entry.failure == name for entry in run.went_wrong))
            for place in places
            for run in self.lineage.counted.get(place, ())
        ]

    def _fix(
        self, name: str, recipe: str, version: int, fixed: Sequence[tuple[str, int]], noticed: Sequence[str]
    ) -> FixRecord:
        others = [number for where, number in fixed if where == recipe]
        since = max((number for number in others if number < version), default=0)
        until = min((number for number in others if number > version), default=None)
        before = after = Tally(0, 0)
        unknown: list[str] = []
        makings: tuple[set[str], set[str]] = (set(), set())
        for run, failed in self._happened(name, noticed or [recipe]):
            did = self.lineage.behind(run, recipe)
            number = did.recipe.version if did is not None and did.recipe is not None else None
            if number is None or did is None:
                if not self.lineage.is_of_another(run, recipe):
                    unknown.append(str(run.id))
            elif since <= number < version:
                before = _added(before, failed)
                makings[0].update({str(did.id)} - {str(run.id)})
            elif version <= number and (until is None or number < until):
                after = _added(after, failed)
                makings[1].update({str(did.id)} - {str(run.id)})
        return FixRecord(recipe, version, before, after, tuple(unknown), (len(makings[0]), len(makings[1])))

    def _beginnings(
        self, note: Failure, places: Sequence[str], runs: Sequence[tuple[Run, bool]]
    ) -> Iterable[Beginning]:
        """Where it begins: among the recipes that show it, and those of the causing stage that lie behind its runs."""
        behind = {
            self.lineage.today(each.recipe.address)
            for run, _failed in runs
            for generation in self.lineage.generations(run)
            for each in generation
            if each.recipe is not None and each.recipe.address.split("/")[0] == note.caused_at
        }
        found: list[Beginning] = []
        for recipe in sorted({*places, *behind}):
            tallies: dict[int, Tally] = {}
            for run, failed in runs:
                if (did := self.lineage.version_behind(run, recipe)) is not None:
                    tallies[did] = _added(tallies.get(did, Tally(0, 0)), failed)
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


def _by_version(lineage: Lineage, places: Sequence[str], runs: Sequence[tuple[Run, bool]]) -> Iterable[AtVersion]:
    tallies: dict[tuple[str, int], Tally] = {}
    for run, failed in runs:
        if run.recipe is not None and run.recipe.version is not None:
            at = (lineage.today(run.recipe.address), run.recipe.version)
            tallies[at] = _added(tallies.get(at, Tally(0, 0)), failed)
    for (recipe, version), tally in sorted(tallies.items(), key=lambda each: (places.index(each[0][0]), each[0][1])):
        yield AtVersion(recipe, version, tally)


def _added(tally: Tally, failed: bool) -> Tally:
    return Tally(tally.failed + failed, tally.runs + 1)
