"""The pages on which the book is saved, and a save or a change is taken back."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.desk.numbering import Wish
from mothermold.desk.save_message import Told
from mothermold.desk.saving import Proposal
from mothermold.ground.notices import Notice
from mothermold.history.saving import ChangedFile, Snapshot
from mothermold.pages.desk.paper import DeskPaper, by_file, page_of_file
from mothermold.pages.page import Page

_DEEDS: Final[Mapping[str, str]] = {"new": "new", "changed": "changed", "deleted": "taken out", "renamed": "moved"}


@dataclass(frozen=True, slots=True)
class UnsavedFile:
    """A file that is not saved yet.

    Attributes:
        file: Its path relative to the book.
        deed: What was done to it, in a word.
        page: Where its page lies; None where it has none.
        recipe: Its address, of a recipe.
        told: What is saved of it; None where that is not known yet.
        may_go_back: Whether it can be put back to what was last saved.
    """

    file: str
    deed: str
    page: str | None
    recipe: str
    told: Told | None
    may_go_back: bool


def save_page(
    paper: DeskPaper,
    wish: Wish,
    *,
    snapshot: Snapshot | None,
    proposal: Proposal | None,
    heard: Sequence[str],
    stops: Sequence[Notice],
) -> Page:
    """What is not saved yet, what stands in the way, and the message it would be saved under.

    Args:
        paper: The page.
        wish: What was typed so far.
        snapshot: The book's folder as it was looked at; None where it has no history yet.
        proposal: What the save would do; None where something stops it.
        heard: What there is to say before.
        stops: What stops it.
    """
    changes = snapshot.changes if snapshot is not None else ()
    told = {each.file: each for each in proposal.told} if proposal is not None else {}
    files = [_unsaved(paper, each, told.get(each.file)) for each in changes]
    needs_why = any(each.code == "needs-why" for each in stops)
    in_the_way = by_file([each for each in stops if each.code not in ("not-saved", "needs-why")])
    numbered = needs_why or (
        proposal is not None and any(each.step in ("number", "corrected") for each in told.values())
    )
    notes = [(name, getattr(document.model, "title", name)) for name, document in paper.view.on("failure").items()]
    return paper.page(
        "desk_save.html", "Save", snapshot=snapshot, files=files, proposal=proposal, heard=heard, in_the_way=in_the_way,
        needs_why=needs_why, numbered=numbered, notes=sorted(notes, key=lambda each: each[1]), wish=wish,
        is_errors=any(each.code == "not-saved" for each in stops),
    )  # fmt: skip


def _unsaved(paper: DeskPaper, changed: ChangedFile, told: Told | None) -> UnsavedFile:
    page = page_of_file(changed.file, paper.view)
    recipe = page.removeprefix("recipes/").removesuffix(".html") if page and page.startswith("recipes/") else ""
    return UnsavedFile(
        changed.file, _DEEDS[changed.action], page, recipe, told, changed.action in ("changed", "deleted")
    )


def saved_page(paper: DeskPaper, proposal: Proposal, heard: Sequence[str]) -> Page:
    """What was saved.

    Args:
        paper: The page, of the book as it is now.
        proposal: What was saved.
        heard: What there was to say about it.
    """
    numbered = [(each, _versions_before(paper, each)) for each in proposal.told if each.step == "number"]
    return paper.page(
        "desk_saved.html", "Saved", message=proposal.message, lines=[*heard, *proposal.kept_words], numbered=numbered
    )


def _versions_before(paper: DeskPaper, told: Told) -> int | None:
    """The number before the one that was saved; None where it is the first."""
    versions = paper.view.versions(told.address)
    older = [row.number for row in versions.rows if row.number < told.version] if versions else []
    return older[-1] if older else None


def undo_page(
    paper: DeskPaper,
    last: str,
    *,
    undoing: tuple[Sequence[str], Sequence[Notice]],
    back: tuple[Sequence[str], Sequence[Notice]],
    unsaved: Sequence[ChangedFile],
    chosen: Collection[str],
) -> Page:
    """What the last save was and what taking it back would do, and which unsaved changes can be put back.

    Args:
        paper: The page.
        last: By what the last save is known again; empty where there is none.
        undoing: What taking it back would do, and what keeps it from being done.
        back: The same for what is not saved.
        unsaved: The files that can be put back.
        chosen: Those that are chosen already.
    """
    return paper.page("desk_undo.html", "Undo", last=last, undoing=undoing, back=back, unsaved=unsaved, chosen=chosen)


def undone_page(paper: DeskPaper, lines: Sequence[str]) -> Page:
    """What was taken back."""
    return paper.page("desk_undone.html", "Taken back", lines=lines)
