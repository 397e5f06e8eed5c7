"""Which runs lie behind a run: those it comes from, and those that made the mold it was cast in and the mold's parts.

Which runs did a recipe, were cast in a mold, belong to a build or saw a failure is told by `sums` of the whole edition: who asks for those
of one recipe has looked at these alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.ground.looking import Looked, Remembered
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run, WentWrong
from mothermold.view.sums import Summed, entry_by_entry


def counts(run: Run) -> bool:
    """Whether a run is evidence: of kind run, with an outcome, of some recipe."""
    return run.kind == "run" and run.outcome is not None and run.recipe is not None


NO_BUILD: Final = ""
"""In place of a build's name, of runs that belong to none."""


def _facts(name: str, document: Document) -> list[Any]:
    """What the sums want to know of a run, as JSON gives it back; nothing of one that cannot be read."""
    run = document.model
    if not isinstance(run, Run):
        return []
    return [
        run.started.isoformat(),
        str(run.id),
        name,
        {
            "recipe": run.recipe.address if run.recipe is not None else None,
            "mold": str(run.mold) if run.mold is not None else None,
            "build": build_of(document.file) or NO_BUILD,
            "thing": str(run.thing) if run.thing is not None else None,
            "failures": [str(entry.failure) for entry in run.went_wrong if entry.failure is not None],
        },
    ]


def _every_run(view: Summed) -> list[tuple[str, dict[str, Any]]]:
    """The name of every readable run with what is known of it, oldest first."""

    def find() -> list[Any]:
        documents = view.on("run").items()
        told = [view.made.of(f"run/{name}: told", partial(_facts, name, each)) for name, each in documents]
        return sorted(filter(None, told), key=lambda each: (each[0], each[1]))

    return [(name, facts) for _started, _id, name, facts in view.once.of("every run", find)]


def _by(view: Summed, what: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, facts in _every_run(view):
        if facts[what] is not None:
            found.setdefault(facts[what], []).append(name)
    return found


@entry_by_entry("runs-of-recipe")
def _of_recipe(view: Summed) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for address, names in _by(view, "recipe").items():
        found.setdefault(view.today(address), []).extend(names)
    order = {name: place for place, (name, _told) in enumerate(_every_run(view))}
    return {address: sorted(names, key=order.__getitem__) for address, names in found.items()}


@entry_by_entry("runs-in-mold")
def _in_mold(view: Summed) -> dict[str, list[str]]:
    return _by(view, "mold")


@entry_by_entry("runs-of-build")
def _of_build(view: Summed) -> dict[str, list[str]]:
    return _by(view, "build")


@entry_by_entry("runs-of-thing")
def _of_thing(view: Summed) -> dict[str, list[str]]:
    return _by(view, "thing")


@entry_by_entry("runs-with-failure")
def _with_failure(view: Summed) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, facts in reversed(_every_run(view)):
        for failure in dict.fromkeys(facts["failures"]):
            found.setdefault(failure, []).append(name)
    return found


class Lineage:
    """The runs of an edition, and what each comes from.

    Args:
        view: The edition.
    """

    def __init__(self, view: Summed) -> None:
        self._view = view
        self._once = Remembered()

    def _named(self, of: Looked[list[str]], name: str) -> list[Run]:
        runs = self._view.models(Run)
        return [runs[each] for each in of.get(name, ())]

    @property
    def names(self) -> list[str]:
        """The name of every readable run, oldest first."""
        return [name for name, _told in _every_run(self._view)]

    def of_recipe(self, address: str) -> list[Run]:
        """The runs of a recipe, by the address it has today, oldest first."""
        return self._named(_of_recipe(self._view), address)

    def names_of_recipe(self, address: str) -> Sequence[str]:
        """Their names."""
        return _of_recipe(self._view).get(address, [])

    def counted(self, address: str) -> list[Run]:
        """Those of them that count as evidence, of kind run with an outcome."""
        return self._once.of(("counted", address), lambda: list(filter(counts, self.of_recipe(address))))

    def in_mold(self, mold: str) -> list[Run]:
        """The runs that were cast in a mold, oldest first."""
        return self._named(_in_mold(self._view), mold)

    def of_build(self, build: str | None) -> list[Run]:
        """The runs of a build, oldest first; without a name those that belong to none."""
        return self._named(_of_build(self._view), build or NO_BUILD)

    def of_thing(self, thing: str) -> Sequence[str]:
        """The names of the runs that made a thing, in whatever build."""
        return _of_thing(self._view).get(thing, [])

    def troubles(self, failure: str) -> list[tuple[Run, WentWrong]]:
        """The runs in which a failure happened, newest first, each with its entry."""
        runs = self._named(_with_failure(self._view), failure)
        return [(run, entry) for run in runs for entry in run.went_wrong if entry.failure == failure]

    def version_behind(self, run: Run, recipe: str) -> int | None:
        """The version of a recipe that a run did, or the nearest run behind it; None where that is not known."""
        did = self.behind(run, recipe)
        return did.recipe.version if did is not None and did.recipe is not None else None

    def behind(self, run: Run, recipe: str) -> Run | None:
        """The nearest run that did a recipe, from a run itself backward; of several equally near the newest."""
        return self._once.of(("behind", str(run.id), recipe), lambda: self._behind(run, recipe))

    def _behind(self, run: Run, recipe: str) -> Run | None:
        did = (
            [each for each in generation if each.recipe is not None and self._view.today(each.recipe.address) == recipe]
            for generation in self.generations(run)
        )
        nearest: Iterable[Run] = next((each for each in did if each), [])
        return max(nearest, key=lambda each: (each.started, each.id), default=None)

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
        return self._once.of(("generations", str(run.id)), lambda: tuple(self._walk(run)))

    def _walk(self, run: Run) -> Iterator[list[Run]]:
        seen, here = {str(run.id)}, [run]
        while here:
            yield here
            ahead = dict.fromkeys(name for each in here for name in self._parents(each) if name not in seen)
            seen |= set(ahead)
            here = [parent for parent in map(self._run, ahead) if parent is not None]

    def _run(self, name: str) -> Run | None:
        return self._view.models(Run).get(name)

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
        return self._view.models(Mold).get(run.mold.address) if run.mold is not None else None
