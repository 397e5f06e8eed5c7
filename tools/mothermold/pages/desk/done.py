"""It stands in the book: which page shows it, what `check` says of it, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mothermold.answers.records import dated_title
from mothermold.book.document import Document
from mothermold.desk.shop import UnnotedTrouble
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.pages.desk.paper import DeskPaper, by_file, form_at, new_at, page_of_file
from mothermold.pages.desk.wrong import NEXT, NextDeed, deeds_of_run
from mothermold.pages.page import Page


@dataclass(frozen=True, slots=True)
class ToldInRun:
    """What a run tells of in free words, and may mean a failure note by."""

    run: str
    place: int
    title: str
    day: str
    words: str


def done_page(
    paper: DeskPaper, document: Document, came_from: str, troubles: Sequence[UnnotedTrouble], lines: Sequence[str]
) -> Page:
    """What was written, and what comes next.

    Args:
        paper: The page.
        document: What was written.
        came_from: The address of the form it came from.
        troubles: Of a failure note, what runs tell of in words like its own.
        lines: What was done just now.
    """
    view, kind = paper.view, KINDS[document.kind]
    told = [each for each in view.touching({document.file}) if each.file == document.file]
    near = [
        ToldInRun(each.name, each.place, each.title, f"{each.run.started:%Y-%m-%d}", each.words) for each in troubles
    ]
    return paper.page(
        "desk_done.html", "It stands in the book", called=_called(paper, document), kind=kind.called, file=document.file,
        came_from=came_from, at_page=page_of_file(document.file, view), groups=by_file(told), near=near, lines=lines,
        deeds=_deeds(paper, document), errors=sum(1 for each in told if each.severity == "error"),
    )  # fmt: skip


def _called(paper: DeskPaper, document: Document) -> str:
    run = document.model
    return (
        dated_title(paper.view, run) if isinstance(run, Run) else str(getattr(run, "title", None) or document.address)
    )


def _deeds(paper: DeskPaper, document: Document) -> list[NextDeed]:
    """What to go on with."""
    name, model = document.address, document.model
    form = NextDeed(form_at(document.kind, name), "Write more of it")
    if isinstance(model, Run):
        return deeds_of_run(paper, name, model)
    if isinstance(model, Failure):
        shown_in = dict.fromkeys(each.address for each in model.noticed)
        return [
            *(NextDeed(f"{NEXT}/{each}?because=failure/{name}", "Next version, because of this", each) for each in shown_in if each in paper.view.on("recipe")),
            *([] if shown_in else [NextDeed(f"{NEXT}?because=failure/{name}", "Next version, because of this")]),
            form,
        ]  # fmt: skip
    if isinstance(model, Recipe):
        lock = [NextDeed(f"desk/locking/{name}", "What it lacks to be locked")] if model.status == "draft" else []
        return [*lock, NextDeed(f"desk/made?recipe={name}@{model.version}", "I made one"), form]
    more = KINDS[document.kind]
    return [*([NextDeed(new_at(document.kind), f"Another {more.called}")] if more.begun else []), form]
