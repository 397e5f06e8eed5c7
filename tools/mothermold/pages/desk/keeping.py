"""The rarer pages of the desk: what a draft lacks to be locked, who sees what, and the emergency card."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.open_needs import lines_of
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.desk.forms.form import FormField
from mothermold.desk.locking import Locking
from mothermold.ground.notices import Notice
from mothermold.model.kinds import KINDS, PAGED
from mothermold.model.walk import KeyPath
from mothermold.pages.addresses import page_of
from mothermold.pages.desk.paper import DeskPaper, field_at, form_at
from mothermold.pages.page import Page
from mothermold.view.editions import EDITIONS, visibility_of
from mothermold.view.needs import READERS

EDITIONS_AT: Final = "desk/editions"
EMERGENCY_AT: Final = "desk/emergency"


def locking_page(paper: DeskPaper, address: str, locking: Locking | None, refusal: Sequence[Notice] = ()) -> Page:
    """What a draft lacks before it can be locked, with a link to each field.

    Args:
        paper: The page.
        address: The recipe.
        locking: What was found; None where it cannot be looked at.
        refusal: Why it cannot.
    """
    form = form_at("recipe", address)
    rows: list[list[tuple[str, Notice]]] = [[], []]
    for row, told in zip(rows, (locking.lacks, locking.doubts) if locking else (), strict=False):
        row += [(form + field_at(path) if _is_own(locking, each) else "", each) for path, each in told]
    title = getattr(paper.view.on("recipe")[address].model, "title", address)
    return paper.page(
        "desk_locking.html", "What it lacks to be locked", recipe=title, at_page=page_of("recipe", address), form=form,
        lacks=rows[0], doubts=rows[1], refusal=refusal, can=locking is not None and not locking.lacks,
        digest=locking.form.digest if locking else "", next_at=f"desk/next/{address}",
    )  # fmt: skip


def _is_own(locking: Locking | None, notice: Notice) -> bool:
    return locking is not None and notice.file in (None, locking.form.file)


@dataclass(frozen=True, slots=True)
class SeenBy:
    """A document and who sees it."""

    address: str
    title: str
    page: str
    edition: str
    readers: str


def editions_page(paper: DeskPaper) -> Page:
    """Every document with who sees it, by kind."""
    groups = [
        (kind.plural.capitalize(), [_seen(kind.word, document) for document in sorted(paper.view.on(kind.word).values(), key=lambda each: each.address)])
        for kind in PAGED
        if paper.view.on(kind.word)
    ]  # fmt: skip
    return paper.page("desk_editions.html", "Who sees this?", groups=groups)


def _seen(kind: str, document: Document) -> SeenBy:
    edition = visibility_of(document)
    title = str(getattr(document.model, "title", None) or document.address)
    return SeenBy(document.address, title, f"{EDITIONS_AT}/{kind}/{document.address}", edition, READERS[edition])


def opening_page(paper: DeskPaper, document: Document, needs: Mapping[str, Result], lines: Sequence[str]) -> Page:
    """Who sees a document, and what must be opened with it before somebody else does.

    Args:
        paper: The page.
        document: The document.
        needs: By edition, what it lacks for it; empty for what needs nothing else.
        lines: What was done just now.
    """
    now = visibility_of(document)
    # Of what cannot be read nobody can say who may see it.
    ways = [_way(each, needs.get(each)) for each in EDITIONS if each != now and document.model is not None]
    return paper.page(
        "desk_opening.html", f"Who sees this: {_seen(document.kind, document).title}", now=now, readers=READERS[now], ways=ways,
        lines=lines, file=document.file, at_page=page_of(document.kind, document.address), kind=KINDS[document.kind].called, list_at=EDITIONS_AT,
    )  # fmt: skip


def _way(edition: str, found: Result | None) -> dict[str, Any]:
    told = lines_of(found.data) if found is not None else []
    return {
        "edition": edition,
        "readers": READERS[edition],
        "told": told,
        "notices": found.notices if found is not None else (),
        "opens": opens_of(found) if found is not None else "",
        "can": found is None or bool(found.data["opens"]),
    }


def opens_of(found: Result) -> str:
    """The files that would be opened, as a form carries them."""
    return "|".join(row["file"] for row in found.data["opens"])


def emergency_page(
    paper: DeskPaper,
    fields: Sequence[FormField],
    digest: str,
    told: Mapping[KeyPath, Sequence[Notice]],
    *,
    changed: bool,
) -> Page:
    """The emergency card: whom to call from this place.

    Args:
        paper: The page.
        fields: Its fields, with what was typed.
        digest: By what the settings it was made of are known again.
        told: What is said of them.
        changed: Whether the settings were changed since the page was made.
    """
    rows = [(each, list(told.get(each.path, ()))) for each in fields]
    paths = {each.path for each in fields}
    others = [each for path, held in told.items() if path not in paths for each in held]
    return paper.page(
        "desk_emergency.html", "Emergency card", rows=rows, digest=digest, others=others, changed=changed
    )  # fmt: skip
