"""The last save of a book, and how to go back behind it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.book.files import RECIPES, SETTINGS_FILE
from mothermold.ground.errors import RefusedError, refused
from mothermold.history.ledger import Ledger
from mothermold.history.saving import ChangedFile, Snapshot, changes_between, tree_with

_GONE: Final = "0"


@dataclass(frozen=True, slots=True)
class LastSave:
    """The last save that changed the book's folder.

    Attributes:
        commit: Its full name.
        before: The commit before it.
        message: Its message.
        changes: What it changed, renames as a file that goes and one that comes.
    """

    commit: str
    before: str
    message: str
    changes: tuple[ChangedFile, ...]

    @property
    def title(self) -> str:
        """The first line of its message."""
        return self.message.strip().split("\n")[0]


def last_save(ledger: Ledger) -> LastSave:
    """The last save that changed the book's folder.

    Raises:
        RefusedError: ``nothing-to-undo`` or ``cannot-undo``.
    """
    git = ledger.git
    found = git.word("rev-list", "-1", "--first-parent", "HEAD", "--", ledger.scope) if ledger.tip else ""
    if not found:
        raise _nothing("Nothing has been saved in this book yet.")
    told = git.run("cat-file", "commit", found).decode("utf-8", "replace")
    head, _, message = told.partition("\n\n")
    parents = [line.split()[1] for line in head.split("\n") if line.startswith("parent ")]
    if len(parents) > 1:
        raise refused(
            "cannot-undo",
            "The last save joined two lines of the book's history, and what it brought cannot be told apart.",
            "Change the files themselves to what they should say, then save; nothing was changed.",
        )
    if not parents or git.ask("cat-file", "-e", f"{parents[0]}:{ledger.prefix}{SETTINGS_FILE}")[0]:
        raise _nothing("The last save is the first of this book, and nothing lies before it.")
    changes = changes_between(ledger, parents[0], found, renames=False)
    return LastSave(found, parents[0], message, changes)


def unsaved_among(ledger: Ledger, book: Path, last: LastSave, now: Snapshot) -> list[str]:
    """The files of the last save that say neither what it saved nor what stood there before."""
    changed = {each.file: each for each in changes_between(ledger, ledger.base, now.tree, renames=False)}
    found = []
    for each in last.changes:
        here = changed.get(each.file)
        if here is None:
            # Where the save took a file away, an ignored one or a folder may have taken its place.
            if each.action == "deleted" and (book / each.file).exists():
                found.append(each.file)
        elif here.after != each.before:
            # An undo that was broken off has put some files back already; those are no changes of the artist's.
            found.append(each.file)
    return found


def tree_before(ledger: Ledger, last: LastSave) -> str:
    """The newest state of everything, with what the last save changed as it was before."""
    entries = [(_GONE if each.action == "new" else each.modes[0], each.before, each.file) for each in last.changes]
    return tree_with(ledger, ledger.base, entries)


def file_before(ledger: Ledger, commit: str, changed: ChangedFile) -> bytes:
    """The bytes a changed file had in the book's folder at the commit it is compared with."""
    kept = ledger.blobs([changed.before])[changed.before]
    place = f"{commit}:{ledger.prefix}{changed.file}"
    status, told, _ = ledger.git.ask("cat-file", "--filters", place)
    if status or (
        changed.file.startswith(f"{RECIPES}/") and told.replace(b"\r\n", b"\n") != kept.replace(b"\r\n", b"\n")
    ):
        # A setting of the user's rewrites files on their way out; a document comes back as it was read.
        return kept
    return told


def _nothing(message: str) -> RefusedError:
    return refused("nothing-to-undo", message, "There is nothing to take back.")
