"""What the runs of a recipe say of its own numbers: gathered for whoever shows it, and told where they say otherwise."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from functools import partial
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.library import Book
from mothermold.ground.looking import Looked
from mothermold.ground.made import MadeBefore
from mothermold.ground.notices import Notice
from mothermold.history.timeline import History
from mothermold.history.versions import Versions
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.quantities import Quantity
from mothermold.quantities.wording import minutes_in_words, weight_in_words
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.learned import BenchRun, Observed, demold_by_room, learned
from mothermold.reckon.mixes import resolve
from mothermold.view.sums import Summed, entry_by_entry

_WITH_FLASHING: Final = re.compile(r"\bwith (the |its )?flashing\b")


class Learned:
    """What runs say of one version of a recipe.

    Args:
        recipe: The version.
        versions: All its versions.
        facts: What its runs say.
        molds: The molds by name.
        materials: The materials by name.
    """

    def __init__(
        self,
        recipe: Recipe,
        versions: Versions,
        facts: Iterable[list[Any]],
        molds: Mapping[str, Mold],
        materials: Mapping[str, Material],
    ) -> None:
        self._recipe = recipe
        self._texts = {row.number: row.recipe for row in versions.rows if row.recipe is not None}
        self._texts[int(recipe.version)] = recipe
        self._runs = [_bench_run(each, molds) for each in facts]
        self._materials = materials

    @property
    def observed(self) -> list[Observed]:
        """Its numbers, each with what runs found."""
        return learned(self._recipe, self._texts, self._runs, self._densities()) if self._runs else []

    @property
    def rooms(self) -> dict[str, list[tuple[int, list[Fraction]]]]:
        """How long pieces stayed in the mold, by step and room."""
        return demold_by_room(self._recipe, self._texts, self._runs)

    def _densities(self) -> dict[str, Fraction]:
        found = {}
        for mix in self._recipe.mixes:
            if mix.fills is not None:
                try:
                    found[str(mix.id)] = resolve(self._recipe.mixes, str(mix.id), self._materials).density
                except ReckoningError:
                    # Without it a weight cannot be held against a volume; the mix itself says what is missing.
                    continue
        return found


def learned_of(view: Summed, address: str, recipe: Recipe) -> Learned | None:
    """What the runs an edition holds say of a version of a recipe; None where it holds none."""
    versions, facts = view.versions(address), _facts_by_recipe(view).get(address)
    if versions is None or not facts:
        return None
    return Learned(recipe, versions, facts, view.models(Mold), view.models(Material))


@entry_by_entry("bench-facts")
def _facts_by_recipe(view: Summed) -> dict[str, list[list[Any]]]:
    return _by_recipe(view.on("run"), view.made, view.today)


def _by_recipe(
    runs: Mapping[str, Document], made: MadeBefore, today: Callable[[str], str]
) -> dict[str, list[list[Any]]]:
    """By recipe what its runs say of its numbers, oldest first."""
    told = [made.of(f"run/{name}: bench", partial(_facts, name, each)) for name, each in runs.items()]
    found: dict[str, list[list[Any]]] = {}
    for each in sorted(filter(None, told), key=lambda each: (each[0], each[1])):
        found.setdefault(today(each[2]), []).append(each)
    return found


def _facts(name: str, document: Document) -> list[Any]:
    """What a run says of its recipe's numbers, as JSON holds it; nothing of a test, a pull, or one that says none of it."""
    run = document.model
    if not isinstance(run, Run) or run.kind != "run" or run.recipe is None or run.recipe.version is None:
        return []
    took = {str(each.step): [_said(each.hands_on), _said(each.waited)] for each in run.took}
    weighed = {
        str(b.mix): _said(b.weighed) for b in run.batch if b.weighed is not None and b.weighed.dimension == "mass"
    }
    piece = next((_said(each.value) for each in run.measured if _is_piece(each.what, each.value)), None)
    if not took and not weighed and piece is None:
        return []
    room = run.conditions.room if run.conditions is not None else None
    mold = str(run.mold) if run.mold is not None else None
    # What a scrapped casting weighed says nothing of a good one.
    piece = piece if run.outcome in ("good", "usable") else None
    return [
        run.started.isoformat(),
        name,
        run.recipe.address,
        run.recipe.version,
        mold,
        _said(room),
        took,
        weighed,
        piece,
    ]


def _is_piece(what: str, value: object) -> bool:
    weighs = isinstance(value, Quantity) and value.dimension == "mass"
    return weighs and is_with_flashing(str(what))


def is_with_flashing(what: str) -> bool:
    """Whether what was measured is a piece with its flashing: the best word on what a mold takes."""
    return bool(_WITH_FLASHING.search(what.casefold()))


def _said(value: Any) -> str | None:
    return None if value is None else str(value.value)


def _bench_run(facts: list[Any], molds: Mapping[str, Mold]) -> BenchRun:
    _started, name, _address, version, mold, room, took, weighed, piece = facts
    cavity = molds[mold].cavity if mold in molds else None
    holds = cavity.volume.value if cavity is not None and cavity.flashing != "trimmed" else None
    times = {step: (_number(hands), _number(waited)) for step, (hands, waited) in took.items()}
    weights = {mix: Fraction(grams) for mix, grams in weighed.items()}
    return BenchRun(name, version, _number(room), mold or "", holds, times, weights, _number(piece))


def _number(text: str | None) -> Fraction | None:
    return None if text is None else Fraction(text)


class SaidByRuns:
    """Tells of the recipes in use whose runs say otherwise than they do.

    Args:
        book: The book.
        history: What was saved of it.
    """

    def __init__(self, book: Book, history: History) -> None:
        self._book, self._history = book, history
        runs = book.documents.on("run")
        self._facts = Looked("bench-runs", lambda: _by_recipe(runs, book.made, history.address))
        book.made.opens(self._facts)

    def faults(self, document: Document) -> Iterator[Notice]:
        """What the runs of a recipe say otherwise."""
        recipe = document.model
        if not isinstance(recipe, Recipe) or recipe.status != "locked":
            return
        facts = self._facts.get(document.address)
        if not facts:
            return
        documents = self._book.documents
        versions = self._history.versions(document.address)
        told = Learned(recipe, versions, facts, documents.models(Mold), documents.models(Material))
        for each in told.observed:
            if each.disagrees:
                of = documents.on("mold")[each.mold] if each.mold else document
                yield of.notice(
                    "runs-say-otherwise",
                    otherwise_words(each),
                    _mend_words(each),
                    each.path,
                    severity="advice",
                )


def _mend_words(each: Observed) -> str:
    if each.mold:
        return (
            "Are they right? Type the volume they fill as the mold's `cavity`; or say in the runs what was different."
        )
    return (
        f"Are they right? Open `{each.runs[-1]}` at the desk and take `Next version, because of this`; or say in the runs what was "
        "different."
    )


def amount_words(each: Observed, value: Fraction) -> str:
    """A time or a weight as people say it."""
    return minutes_in_words(value) if each.unit == "min" else weight_in_words(value)


def spread_words(each: Observed) -> str:
    """The middle one, and how far they lie apart: ``208 g (205 g to 211 g)``."""
    ends = each.band or (min(each.values), max(each.values))
    low, high = (amount_words(each, end) for end in ends)
    middle = amount_words(each, each.middle)
    return middle if low == high == middle else f"{middle} ({low} to {high})"


def otherwise_words(each: Observed) -> str:
    """That runs say otherwise than the recipe, in a sentence."""
    assert each.written is not None
    written, count = amount_words(each, each.written), len(each.values)
    if each.what == "piece":
        by = f"by the record of `{each.mold}` it" if each.mold else f"by the recipe `{each.of}`"
        return f"Your last {count} castings weighed {spread_words(each)} with flashing; {by} fills {written}."
    what = "of hands on" if each.what == "hands-on" else "of waiting"
    return f"Step `{each.of}` took {spread_words(each)} {what} in your last {count} runs; the recipe says {written}."
