"""What the picture of a recipe's life shows: versions, runs and failures as the edition holds them."""

from __future__ import annotations

from calendar import month_abbr
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.answers.records import runs_of, runs_with
from mothermold.history.versions import Version, Versions
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.pages.addresses import compare_page, shown_pairs
from mothermold.pages.drawn.life import Life, LifeFailure, LifeVersion, life
from mothermold.pages.drawn.marks import key_of, mark_of
from mothermold.pages.runs import entries
from mothermold.pages.wording import spoken
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class DrawnRecipe:
    """The life of a recipe.

    Attributes:
        life: Where everything stands.
        key: The shapes in it, each with its outline.
        failures: All failures in it, also those that have no row.
        pairs: The pairs of versions that are compared on a page of the edition, as ``1-2``; none where there is no such page.
        compared: That page.
    """

    life: Life
    key: Sequence[tuple[str, str]]
    failures: Sequence[LifeFailure]
    pairs: tuple[str, ...]
    compared: str

    def at(self, number: int) -> list[tuple[str, int]]:
        """The failures that happened at a version, each with the number of runs."""
        return [(each.name, each.happened[number]) for each in self.failures if number in each.happened]


def drawn_recipe(view: View, versions: Versions) -> DrawnRecipe | None:
    """The life of a recipe; None where it has a single version that nobody did yet."""
    address = versions.address
    every = runs_of(view, address)
    if not versions.rows or (len(versions.rows) < 2 and not every):
        return None
    failures = _failures(view, versions)
    told = [_version(view, versions, row, every) for row in versions.rows]
    pairs = tuple(f"{before}-{after}" for before, after in shown_pairs(view, address))
    marks = [mark for each in told for mark in each.marks]
    return DrawnRecipe(life(told, failures), key_of(marks), failures, pairs, compare_page(address))


def _version(view: View, versions: Versions, row: Version, every: Sequence[Run]) -> LifeVersion:
    mine = [run for run in every if run.recipe is not None and run.recipe.version == row.number]
    state = "in use" if versions.current and versions.current.number == row.number else str(row.status)
    moment = row.moment.astimezone(view.settings.zone) if row.moment else None
    day = f"{month_abbr[moment.month]} {moment.day}" if moment and len(versions.rows) <= _DATED else ""
    return LifeVersion(row.number, state, day, tuple(mark_of(each) for each in entries(view, mine)))


_DATED: Final = 14
"""Of so many versions each says its day."""


def _failures(view: View, versions: Versions) -> list[LifeFailure]:
    """The failures this recipe answers, and those that happened to it or to what was made by it; the most frequent first."""
    lineage, address = view.evidence.lineage, versions.address
    numbers = {row.number for row in versions.rows}
    own = {name for run in runs_of(view, address) for entry in run.went_wrong if (name := str(entry.failure or ""))}
    answers = {failure for _number, failure in view.evidence.fixed_in(address)}
    found = []
    for name in sorted(own | answers):
        failure = view.models(Failure).get(name)
        if failure is None:
            continue
        fixes = view.evidence.of(name).fixes
        answered = sorted({fix.version for fix in fixes if fix.recipe == address} & numbers)
        others = tuple(
            f"{spoken(fix.recipe.rpartition('/')[2])} v{fix.version}" for fix in fixes if fix.recipe != address
        )
        runs = {str(run.id): run for run, _entry in runs_with(view, name)}
        behind = Counter(lineage.version_behind(run, address) for run in runs.values())
        told = {number: behind[number] for number in sorted(numbers) if behind[number]}
        if told or answered:
            found.append(LifeFailure(name, str(failure.title), told, tuple(answered), others))
    return sorted(found, key=lambda each: (not each.answered, -sum(each.happened.values()), each.name))
