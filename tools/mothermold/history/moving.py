"""Moves a book's history on by one save, in an order in which whatever stops it takes nothing back.

Git's own list of files comes first, the history after it. Stopped between the two, the list says what would be saved, so that
a `git commit` typed by hand saves it; the other way round it would take the save back. Whatever git answers, the save stands
if the history is there, and only then.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError, MothermoldError, refused
from mothermold.history.ledger import Ledger, busy
from mothermold.history.own_locks import clear_beside
from mothermold.history.plumbing import IF_IT_STAYS, last_line

_TRIES: Final = 3


def moved_on(ledger: Ledger, commit: str, identity: Mapping[str, str]) -> None:
    """Makes a commit the newest of the book's history.

    Args:
        ledger: The history, as it was opened.
        commit: The commit; its parent is the ledger's tip.
        identity: Who moves it on, as variables of git.

    Raises:
        RefusedError: ``changed-meanwhile`` or ``history-busy``.
        CannotRunError: git failed; nothing was saved, or nobody can say whether it was, which it tells.
    """
    _list_anew(ledger, commit)
    step = ("update-ref", "-m", "save", ledger.branch, commit, ledger.tip or "")
    try:
        status, _, complaint = ledger.git.ask(*step, settings=identity)
        stopped: BaseException | None = None
    except (MothermoldError, KeyboardInterrupt) as problem:
        status, complaint, stopped = 1, "", problem
    if status == 0 or _stands(ledger, commit):
        # Where git fails after the history moved, as when its diary finds the disk full, the save is made all the same.
        return
    with contextlib.suppress(MothermoldError):
        _list_anew(ledger, "HEAD" if _tip_now(ledger) else None)
    if stopped is not None:
        raise stopped
    if "but expected" in complaint or "already exists" in complaint:
        raise refused(
            "changed-meanwhile",
            "Something else was saved into the book's history meanwhile.",
            "Look at it, then save again; nothing was saved.",
        )
    raise CannotRunError(f"The book's history could not be written: {last_line(complaint)} {IF_IT_STAYS}")


def _stands(ledger: Ledger, commit: str) -> bool:
    now = _tip_now(ledger)
    if now == commit:
        return True
    # Somebody may have saved upon it in the meantime.
    return bool(now) and ledger.git.ask("merge-base", "--is-ancestor", commit, now)[0] == 0


def _tip_now(ledger: Ledger) -> str:
    """The newest commit of the line the ledger moves; empty before the first."""
    try:
        status, out, _ = ledger.git.ask("rev-parse", "--verify", "--quiet", ledger.branch)
        if status in (0, 1):
            return out.decode().strip()
    except (MothermoldError, KeyboardInterrupt):
        pass
    try:
        # Git cannot be asked; the file in which it keeps the place can.
        return ledger.places["branch"].read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        raise CannotRunError(
            "Git broke off, and whether the save was made cannot be seen now. Type `mothermold save` again: "
            "it says that nothing changed if it was, and makes it if it was not."
        ) from None


def _list_anew(ledger: Ledger, state: str | None) -> None:
    """Lets git's list of files say of the book's folder what a commit holds; of all else what it said before.

    It is made beside and put in place under git's own lock. That is one file with two names, so that what is left of it
    when we are stopped is known for ours (``own_locks``).

    Raises:
        RefusedError: Another program is at work on it.
        CannotRunError: git failed.
    """
    listed, beside = ledger.places["index"], ledger.places["mothermold"] / f"index-{os.getpid()}"
    lock = listed.with_name(f"{listed.name}.lock")
    try:
        beside.parent.mkdir(exist_ok=True)
        clear_beside(beside.parent)
        for _ in range(_TRIES):
            before = _signs(listed)
            _made_beside(ledger, listed, beside, state)
            os.link(beside, lock)
            try:
                if _signs(listed) == before:
                    lock.replace(listed)
                    return
            finally:
                lock.unlink(missing_ok=True)
    except FileExistsError:
        raise busy(lock) from None
    except OSError as problem:
        if beside.exists() and not lock.exists():
            # This disk knows no links; git does it under a lock of its own.
            _reset(ledger, state, None)
            return
        raise CannotRunError(f"Git's list of files could not be written: {problem.strerror or problem}.") from problem
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
    raise busy(lock)


def _made_beside(ledger: Ledger, listed: Path, beside: Path, state: str | None) -> None:
    beside.unlink(missing_ok=True)
    if listed.exists():
        shutil.copyfile(listed, beside)
    elif ledger.tip:
        ledger.git.run("read-tree", ledger.tip, index=beside)
    _reset(ledger, state, beside)


def _reset(ledger: Ledger, state: str | None, index: Path | None) -> None:
    ledger.git.run("reset", "--quiet", *([state] if state else []), "--", ledger.scope, index=index)


def _signs(path: Path) -> tuple[int, int, int] | None:
    with contextlib.suppress(OSError):
        looked = path.stat()
        return looked.st_ino, looked.st_size, looked.st_mtime_ns
    return None
