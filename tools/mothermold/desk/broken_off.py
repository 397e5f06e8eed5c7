"""Puts in order what a deed left that was stopped half way, before the next one begins: a kill, a power cut, a full disk."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from mothermold.desk.asking import Asking
from mothermold.desk.putting_back import finish_put_back
from mothermold.desk.undoing import finish_undo
from mothermold.ground.errors import RefusedError
from mothermold.ground.writing import broken_off
from mothermold.history.journal import BegunKind, Journal


def finish_broken_off(root: Path, asking: Asking) -> BegunKind | None:
    """Finishes or takes back what was stopped, and clears away what was half written.

    Args:
        root: The book's folder.
        asking: Whom to tell.

    Returns:
        The deed that was in the journal; None where none was, or where it cannot be finished now: what needs the history says why.

    Raises:
        CannotRunError: A file cannot be written.
    """
    for path in broken_off(root):
        with suppress(OSError):
            path.unlink()
    journal = Journal(root)
    begun = journal.begun()
    if begun is None:
        return None
    finish = finish_undo if begun.deed == "undo" else finish_put_back
    with suppress(RefusedError):
        finish(root, journal, begun, asking)
        return begun.deed
    return None
