"""By what a list of the book can be narrowed: the stage, year, outcome, state and build of each entry, and of a failure whether a fix held, and what can be chosen of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from mothermold.answers.records import runs_of, runs_with
from mothermold.answers.troubles import ANSWER_WORDS, trouble_of
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
    "stage": "Stage", "year": "Year", "outcome": "How it ended", "answer": "Did the fix hold?", "state": "State", "build": "Build",
}  # fmt: skip


_ANSWERS: Final = {answer.replace(" ", "-"): words for answer, words in ANSWER_WORDS.items()}


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
        if side == "answer":
            return Offer(word, _ANSWERS[word])
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


def facts_by_name(view: View, kind: str, names: Iterable[str] | None = None) -> Mapping[str, ListFacts]:
    """What is known of each entry of the list of a kind; nothing where such a list is never narrowed.

    Args:
        view: The edition.
        kind: The kind.
        names: The entries, by name; all that can be read unless given.
    """
    find = _FACTS.get(kind)
    if find is None:
        return {}
    every = names if names is not None else view.evidence.lineage.names if kind == "run" else view.on(kind)
    # Only those are opened that changed since they were listed last.
    found = {name: view.made.of(f"{kind}/{name}: facts", partial(find, view, name)) for name in every}
    return {name: facts for name, facts in found.items() if facts is not None}


def _of_run(view: View, name: str) -> ListFacts | None:
    """What a run is found by."""
    run = view.models(Run)[name]
    return {
        "stage": [run.recipe.address.partition("/")[0]] if run.recipe else [],
        "year": [str(run.started.year)],
        "outcome": [ending(run).replace(" ", "-")],
        "build": _builds(view, [run]),
    }


def _of_recipe(view: View, address: str) -> ListFacts | None:
    """What a recipe is found by: a year is one in which it was worked or a version of it was locked."""
    versions = view.versions(address)
    locked = (
        {row.moment.astimezone(view.settings.zone).year for row in versions.rows if row.moment} if versions else set()
    )
    years = sorted({run.started.year for run in runs_of(view, address)} | locked)
    builds = list(dict.fromkeys(each.build for each in recipe_strips(view, address)))
    return {"stage": [address.partition("/")[0]], "year": list(map(str, years)), "build": builds}


def _of_failure(view: View, name: str) -> ListFacts | None:
    """What a failure is found by: the years and builds of the runs in which it happened, and whether a fix of it held."""
    failure = view.models(Failure).get(name)
    if failure is None:
        return None
    runs = [run for run, _entry in runs_with(view, name)]
    years = sorted({str(run.started.year) for run in runs})
    trouble = trouble_of(view, name)
    answer = [trouble.answer.replace(" ", "-")] if trouble is not None else []
    return {"stage": [str(failure.seen_at)], "year": years, "answer": answer, "build": _builds(view, runs)}


def _of_mold(view: View, name: str) -> ListFacts | None:
    """What a mold is found by: the year it was made and those in which it was cast in."""
    document = view.of(Mold).get(name)
    if document is None:
        return None
    mold = document.model
    made = view.models(Run).get(str(mold.made)) if isinstance(mold.made, RunRef) else None
    runs = [*([made] if made else []), *view.evidence.lineage.in_mold(name)]
    build = build_of(document.file)
    return {
        "state": [str(mold.state).replace(" ", "-")] if mold.state else [],
        "year": sorted({str(run.started.year) for run in runs}),
        "build": [build] if build and build in view.on("build") else [],
    }


_FACTS: Final[Mapping[str, Callable[[View, str], ListFacts | None]]] = {
    "run": _of_run, "recipe": _of_recipe, "failure": _of_failure, "mold": _of_mold,
}  # fmt: skip


def _builds(view: View, runs: Iterable[Run]) -> list[str]:
    found = dict.fromkeys(build_of(view.that_says(run).file) for run in runs)
    return [name for name in found if name and name in view.on("build")]
