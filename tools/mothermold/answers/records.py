"""What runs are called, and what they say about recipes, molds and failures in plain counts; no statistics."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from mothermold.model.run import Run, WentWrong
from mothermold.quantities import Quantity
from mothermold.view.learning import is_with_flashing
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Record:
    """How runs ended.

    Attributes:
        good: Runs that ended good.
        usable: Runs that ended usable.
        scrapped: Runs that were scrapped.
        pulls: First pulls, which say more of the mold than of the recipe.
    """

    good: int
    usable: int
    scrapped: int
    pulls: int

    @property
    def runs(self) -> int:
        """Runs with an outcome."""
        return self.good + self.usable + self.scrapped

    def __str__(self) -> str:
        """The record in words: ``3 runs: 2 good, 1 scrapped; 1 first pull``."""
        pulls = f"{self.pulls} first {'pull' if self.pulls == 1 else 'pulls'}" if self.pulls else ""
        if not self.runs:
            return pulls or "no run yet"
        ends = ((self.good, "good"), (self.usable, "usable"), (self.scrapped, "scrapped"))
        told = ", ".join(f"{count} {word}" for count, word in ends if count)
        words = f"{self.runs} {'run' if self.runs == 1 else 'runs'}: {told}"
        return f"{words}; {pulls}" if pulls else words


def record_of(runs: Iterable[Run]) -> Record:
    """Counts how runs ended; only those of kind run with an outcome count as runs, and first pulls stand apart."""
    return _counted((run.kind, run.outcome) for run in runs)


def record_of_recipe(view: View, address: str) -> Record:
    """The record of all runs of a recipe: only those are opened that changed since they were counted last."""
    names = view.evidence.lineage.names_of_recipe(address)
    return _counted(view.made.of(f"run/{name}: ended", partial(_ended, view, name)) for name in names)


def _ended(view: View, name: str) -> list[str | None]:
    run = view.models(Run)[name]
    return [str(run.kind), str(run.outcome) if run.outcome is not None else None]


def _counted(ended: Iterable[Sequence[str | None]]) -> Record:
    listed = list(ended)
    pulls = sum(1 for kind, _outcome in listed if kind == "pull")
    ends = [outcome for kind, outcome in listed if kind == "run" and outcome is not None]
    good, usable, scrapped = (ends.count(end) for end in ("good", "usable", "scrapped"))
    return Record(good, usable, scrapped, pulls)


def runs_of(view: View, address: str, number: int | None = None) -> list[Run]:
    """The runs of a recipe, also cited by an earlier address; of one version where a number is given."""
    return [
        run
        for run in view.evidence.lineage.of_recipe(address)
        if number is None or (run.recipe is not None and run.recipe.version == number)
    ]


def runs_with(view: View, failure: str) -> list[tuple[Run, WentWrong]]:
    """The runs in which a failure happened, newest first, each with its entry."""
    return view.evidence.lineage.troubles(failure)


@dataclass(frozen=True, slots=True)
class LastCasting:
    """The last good casting of a mold that was weighed with its flashing: the best word on what the mold takes."""

    run: Run
    weight: Quantity


def last_casting(view: View, mold: str, recipe: str) -> LastCasting | None:
    """The newest casting of a recipe out of a mold that ended good or usable and was weighed with its flashing.

    The weight of "piece with flashing" is looked for; a piece weighed trimmed says less than the mold holds, and one
    cast by another recipe may be of another density.
    """
    for run in reversed(runs_of(view, recipe)):
        if run.mold != mold or run.outcome not in {"good", "usable"}:
            continue
        for each in run.measured:
            weight = each.value
            if is_with_flashing(str(each.what)) and isinstance(weight, Quantity) and weight.dimension == "mass":
                return LastCasting(run, weight)
    return None


def went_wrong_in(runs: Sequence[Run]) -> dict[str, int]:
    """How often each failure note happened in these runs, the most frequent first."""
    counts: dict[str, int] = {}
    for run in runs:
        for name in {str(entry.failure) for entry in run.went_wrong if entry.failure}:
            counts[name] = counts.get(name, 0) + 1
    return dict(sorted(counts.items(), key=lambda each: (-each[1], each[0])))


_KINDS: Final = {"run": "Run", "test": "Test", "pull": "First pull"}


def kind_words(run: Run) -> str:
    """What sort of run it is."""
    return _KINDS[run.kind]


def run_title(view: View, run: Run) -> str:
    """What a run is called: its own words, else what was done."""
    if run.title:
        return str(run.title)
    what = recipe_words(view, run) or (f"on {run.thing}" if run.thing else str(run.id))
    return what if run.kind == "run" else f"{kind_words(run)}: {what}"


def dated_title(view: View, run: Run) -> str:
    """What a run is called, and when it began: among others of its recipe the day tells it apart."""
    return f"{run_title(view, run)}, {run.started.date().isoformat()}"


def recipe_words(view: View, run: Run) -> str:
    """The title of the recipe a run did, as the version it did was called."""
    if run.recipe is None:
        return ""
    versions = view.versions(run.recipe.address)
    if versions is None or not versions.rows:
        return run.recipe.address
    row = (versions.get(run.recipe.version) if run.recipe.version else None) or versions.current or versions.rows[-1]
    return row.recipe.title if row.recipe else run.recipe.address
