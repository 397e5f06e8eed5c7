"""Which runs lie behind a run: those it comes from, and those that made the mold it was cast in and the mold's parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from mothermold.book.shelves import Shelves
from mothermold.history.versions import FindVersions
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run, WentWrong


def counts(run: Run) -> bool:
    """Whether a run is evidence: of kind run, with an outcome, of some recipe."""
    return run.kind == "run" and run.outcome is not None and run.recipe is not None


class Lineage:
    """The runs of a book, and what each comes from.

    Args:
        documents: By kind and address; only these are looked at.
        versions: Looks up the versions of a recipe by its address, also by an earlier one.
    """

    def __init__(self, documents: Shelves, versions: FindVersions) -> None:
        self._documents, self._versions = documents, versions
        self._generations: dict[str, Sequence[Sequence[Run]]] = {}
        self._behind: dict[tuple[str, str], Run | None] = {}

    @cached_property
    def runs(self) -> list[Run]:
        """Every readable run, oldest first."""
        return sorted(self._documents.models(Run).values(), key=lambda run: (run.started, run.id))

    @cached_property
    def by_recipe(self) -> dict[str, list[Run]]:
        """The runs of each recipe, by the address it has today, oldest first."""
        found: dict[str, list[Run]] = {}
        for run in self.runs:
            if run.recipe is not None:
                found.setdefault(self.today(run.recipe.address), []).append(run)
        return found

    @cached_property
    def counted(self) -> dict[str, list[Run]]:
        """Those of them that count as evidence, of kind run with an outcome."""
        return {recipe: list(filter(counts, runs)) for recipe, runs in self.by_recipe.items()}

    @cached_property
    def troubles(self) -> dict[str, list[tuple[Run, WentWrong]]]:
        """The runs in which each failure happened, newest first, each with its entry."""
        found: dict[str, list[tuple[Run, WentWrong]]] = {}
        for run in reversed(self.runs):
            for entry in run.went_wrong:
                if entry.failure is not None:
                    found.setdefault(str(entry.failure), []).append((run, entry))
        return found

    def today(self, address: str) -> str:
        """The address a recipe has today, from any it ever had."""
        versions = self._versions(address)
        return versions.address if versions is not None else address

    def version_behind(self, run: Run, recipe: str) -> int | None:
        """The version of a recipe that a run did, or the nearest run behind it; None where that is not known."""
        did = self.behind(run, recipe)
        return did.recipe.version if did is not None and did.recipe is not None else None

    def behind(self, run: Run, recipe: str) -> Run | None:
        """The nearest run that did a recipe, from a run itself backward; of several equally near the newest."""
        key = (str(run.id), recipe)
        if key not in self._behind:
            did = (
                [each for each in generation if each.recipe is not None and self.today(each.recipe.address) == recipe]
                for generation in self.generations(run)
            )
            nearest: list[Run] = next((each for each in did if each), [])
            self._behind[key] = max(nearest, key=lambda each: (each.started, each.id), default=None)
        return self._behind[key]

    def is_of_another(self, run: Run, recipe: str) -> bool:
        """Whether a run is known to come of another recipe of the same stage, as out of a mold of another kind.

        It is not known where a mold behind it, or a part of one, was made nobody knows by what.
        """
        stage = recipe.partition("/")[0]
        every = [each for generation in self.generations(run) for each in generation]
        return not any(self._in_the_dark(each) for each in every) and any(
            each is not run and each.recipe is not None and each.recipe.address.partition("/")[0] == stage
            for each in every
        )

    def generations(self, run: Run) -> Sequence[Sequence[Run]]:
        """The run itself, then those it comes from, then those they come from, each run once."""
        if str(run.id) not in self._generations:
            self._generations[str(run.id)] = tuple(self._walk(run))
        return self._generations[str(run.id)]

    def _walk(self, run: Run) -> Iterator[list[Run]]:
        seen, here = {str(run.id)}, [run]
        while here:
            yield here
            ahead = dict.fromkeys(name for each in here for name in self._parents(each) if name not in seen)
            seen |= set(ahead)
            here = [parent for parent in map(self._run, ahead) if parent is not None]

    def _run(self, name: str) -> Run | None:
        return self._documents.models(Run).get(name)

    def _parents(self, run: Run) -> list[str]:
        mold = self._mold(run)
        made = [mold.made, *(part.made for part in mold.parts)] if mold is not None else []
        return [*(each.address for each in run.from_), *(each.address for each in made if isinstance(each, RunRef))]

    def _in_the_dark(self, run: Run) -> bool:
        """Whether its mold, or a part of it, was made on a mere day or nobody knows when; a part that says nothing came with it."""
        mold = self._mold(run)
        if mold is None:
            return run.mold is not None
        return any(
            each is not None and not isinstance(each, RunRef) for each in (mold.made, *(p.made for p in mold.parts))
        )

    def _mold(self, run: Run) -> Mold | None:
        return self._documents.models(Mold).get(run.mold.address) if run.mold is not None else None
