"""The page of a run, and how runs are named and listed on other pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.records import kind_words, run_title
from mothermold.book.document import Document
from mothermold.model.run import Run
from mothermold.view.view import View

SHOWN: Final = (
    "id", "title", "kind", "recipe", "started", "finished", "outcome", "thing", "mold", "went_wrong", "changed", "kept",
    "asks", "between", "cups", "palette", "touch_ups", "batch", "measured", "look", "day", "worn",
)  # fmt: skip
"""The keys its page shows at a place of their own."""


def cited(view: View, name: str) -> str:
    """A run named elsewhere, as one reads it: what was done, and when."""
    document = view.documents["run"].get(name)
    run = document.model if document else None
    return f"{run_title(view, run)}, {run.started.date().isoformat()}" if isinstance(run, Run) else name


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
    """A run in a list."""

    run: Run
    title: str
    day: str
    ending: str


def entries(view: View, runs: Iterable[Run]) -> list[RunEntry]:
    """Runs as they stand in a list, in the order given."""
    return [RunEntry(run, run_title(view, run), run.started.date().isoformat(), ending(run)) for run in runs]


def run_details(view: View, document: Document) -> dict[str, Any]:
    """What the page of a run shows beside the run itself."""
    run = document.model
    assert isinstance(run, Run)
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
        "ending": ending(run),
        "steps": steps,
        "mixes": mixes,
        "pinned": f"{run.recipe.address}@{run.recipe.version}"
        if run.recipe and run.recipe.version
        else str(run.recipe or ""),
    }
