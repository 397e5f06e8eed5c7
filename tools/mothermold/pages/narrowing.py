"""By what a list of the book can be narrowed: the stage, year, outcome, state and build of each entry, and what can be chosen of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.answers.records import runs_of, runs_with
from mothermold.book.files import build_of
from mothermold.desk.asking import Offer
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run
from mothermold.pages.runs import ending
from mothermold.pages.strip import recipe_strips
from mothermold.view.view import View

ListFacts = Mapping[str, Sequence[str]]
"""Of an entry, by side the words it goes by there; none where nothing is known."""
_SIDES: Final[Mapping[str, str]] = {
    "stage": "Stage", "year": "Year", "outcome": "How it ended", "state": "State", "build": "Build",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Narrowing:
    """A side by which a list can be narrowed: its name in the address, its label, and what can be chosen."""

    name: str
    label: str
    offers: Sequence[Offer]


def narrowings(view: View, entries: Iterable[ListFacts]) -> list[Narrowing]:
    """The sides of a list on which its entries differ.

    Args:
        view: The edition.
        entries: What is known of each entry.
    """
    held: dict[str, set[str]] = {}
    for facts in entries:
        for side, words in facts.items():
            held.setdefault(side, set()).update(words)
    order = {word: place for place, word in enumerate(view.words.stages)}
    builds = view.models(Build)

    def offer(side: str, word: str) -> Offer:
        return Offer(word, builds[word].title if side == "build" and word in builds else word.replace("-", " "))

    return [
        Narrowing(
            side,
            label,
            # The newest year first, a stage where it stands in the work, all else by name.
            [offer(side, word) for word in sorted(held[side], key=lambda each: (order.get(each, 0), each), reverse=side == "year")],
        )
        for side, label in _SIDES.items()
        if len(held.get(side, ())) > 1
    ]  # fmt: skip


def run_facts(view: View, run: Run) -> ListFacts:
    """What a run is found by."""
    return {
        "stage": [run.recipe.address.partition("/")[0]] if run.recipe else [],
        "year": [str(run.started.year)],
        "outcome": [ending(run).replace(" ", "-")],
        "build": _builds(view, [run]),
    }


def recipe_facts(view: View, address: str) -> ListFacts:
    """What a recipe is found by: a year is one in which it was worked or a version of it was locked."""
    versions = view.versions(address)
    locked = (
        {row.moment.astimezone(view.settings.zone).year for row in versions.rows if row.moment} if versions else set()
    )
    years = sorted({run.started.year for run in runs_of(view, address)} | locked)
    builds = list(dict.fromkeys(each.build for each in recipe_strips(view, address)))
    return {"stage": [address.partition("/")[0]], "year": list(map(str, years)), "build": builds}


def failure_facts(view: View, name: str, failure: Failure) -> ListFacts:
    """What a failure is found by: the years and builds of the runs in which it happened."""
    runs = [run for run, _entry in runs_with(view, name)]
    years = sorted({str(run.started.year) for run in runs})
    return {"stage": [str(failure.seen_at)], "year": years, "build": _builds(view, runs)}


def mold_facts(view: View, name: str, mold: Mold) -> ListFacts:
    """What a mold is found by: the year it was made and those in which it was cast in."""
    document = view.that_says(mold)
    runs = view.models(Run)
    made = runs.get(str(mold.made)) if isinstance(mold.made, RunRef) else None
    years = {
        run.started.year
        for run in (*([made] if made else []), *(each for each in runs.values() if str(each.mold) == name))
    }
    build = build_of(document.file)
    return {
        "state": [str(mold.state).replace(" ", "-")] if mold.state else [],
        "year": sorted(map(str, years)),
        "build": [build] if build and build in view.on("build") else [],
    }


def _builds(view: View, runs: Iterable[Run]) -> list[str]:
    found = dict.fromkeys(build_of(view.that_says(run).file) for run in runs)
    return [name for name in found if name and name in view.on("build")]
