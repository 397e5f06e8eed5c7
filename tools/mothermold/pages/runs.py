"""The page of a run, and how runs are named and listed on other pages."""

from __future__ import annotations

from calendar import month_name
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from mothermold.answers.pieces import pieces_of
from mothermold.answers.records import dated_title, kind_words, run_title
from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.model.run import Run
from mothermold.pages.wording import spoken
from mothermold.view.view import View

SHOWN: Final = (
    "id", "title", "kind", "recipe", "started", "finished", "outcome", "thing", "mold", "went_wrong", "changed", "kept",
    "asks", "between", "cups", "palette", "touch_ups", "batch", "measured", "look", "day", "worn", "conditions", "took",
    "lots", "used", "from",
)  # fmt: skip
"""The keys its page shows at a place of their own."""


def cited(view: View, name: str) -> str:
    """A run named elsewhere, as one reads it: what was done, and when."""
    document = view.on("run").get(name)
    run = document.model if document else None
    return dated_title(view, run) if isinstance(run, Run) else name


def ending(run: Run) -> str:
    """How it ended, in a word; of a test, what its cups said."""
    if run.outcome:
        return run.outcome
    if run.kind == "test":
        results = [cup.result for cup in run.cups if cup.result]
        return "failed" if "failed" in results and "passed" not in results else "tested"
    return "under way"


@dataclass(frozen=True, slots=True)
class RunEntry:
    """A run in a list.

    Attributes:
        run: The run.
        title: What it is called anywhere in the book.
        day: When it began.
        ending: How it ended.
        build: The build it was done for.
        apart: What tells it from other runs of the same recipe: its thing, its mold.
        troubles: What went wrong in it, failure notes by title.
    """

    run: Run
    title: str
    day: str
    ending: str
    build: str
    apart: str
    troubles: Sequence[str]


def entries(view: View, runs: Iterable[Run]) -> list[RunEntry]:
    """Runs as they stand in a list, in the order given."""
    return [
        RunEntry(
            run,
            run_title(view, run),
            run.started.date().isoformat(),
            ending(run),
            _title(view, "build", build_of(view.on("run")[str(run.id)].file)),
            _apart(view, run),
            [words for each in run.went_wrong if (words := _title(view, "failure", each.failure) or each.what)],
        )
        for run in runs
    ]


def by_month(listed: Iterable[RunEntry]) -> list[tuple[str, list[RunEntry]]]:
    """Runs under the month they began in, in the order given: ``August 2026``."""
    return [
        (f"{month_name[month]} {year}", list(each))
        for (year, month), each in groupby(listed, key=lambda entry: (entry.run.started.year, entry.run.started.month))
    ]


def _title(view: View, kind: str, name: str | None) -> str:
    document = view.on(kind).get(name) if name else None
    return str(getattr(document.model, "title", None) or name) if document else ""


def _apart(view: View, run: Run) -> str:
    """What tells a run from others of its recipe: its own title, else the thing, the mold, the day it was worn."""
    mold = _title(view, "mold", run.mold)
    words = [
        "" if run.kind == "run" else kind_words(run),
        spoken(str(run.thing)) if run.thing else "",
        f"in “{mold}”" if mold else "",
        f"look {spoken(str(run.look))}" if run.look else "",
    ]
    return str(run.title) if run.title else ", ".join(word for word in words if word)


def details(view: View, document: Document[Run]) -> dict[str, Any]:
    """What the page of a run shows beside the run itself."""
    run = document.model
    steps: dict[str, str] = {}
    mixes: dict[str, str] = {}
    versions = view.versions(run.recipe.address) if run.recipe else None
    if run.recipe and versions:
        row = versions.get(run.recipe.version) if run.recipe.version else versions.current
        if row is not None and row.recipe is not None:
            steps = {step.id: step.title for step in row.recipe.steps}
            mixes = {mix.id: mix.title or mix.id for mix in row.recipe.mixes}
    return {
        "kind_words": kind_words(run),
        "mold_title": _title(view, "mold", run.mold),
        "ending": ending(run),
        "cited": lambda name: cited(view, name),
        "pieces": [piece for piece in pieces_of(view, build_of(document.file)) if piece.run is run],
        "steps": steps,
        "mixes": mixes,
        "pinned": f"{run.recipe.address}@{run.recipe.version}"
        if run.recipe and run.recipe.version
        else str(run.recipe or ""),
    }
