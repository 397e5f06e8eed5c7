"""Puts the changed files of a book back to what was last saved, after laying their texts of now aside."""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Final

from mothermold.desk.aside import Aside
from mothermold.desk.asking import Asking, StoppedError
from mothermold.desk.saving import TellsTime, now
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.reading import read_bytes
from mothermold.ground.writing import replace_bytes
from mothermold.history.journal import Begun, Journal
from mothermold.history.ledger import open_ledger
from mothermold.history.saving import ChangedFile, changes_between, look
from mothermold.history.withdrawing import file_before
from mothermold.view.view import open_view

_FILE: Final = "100"
_PROGRAM: Final = "100755"


def put_back(root: Path, asking: Asking, *, asks: bool, only: Collection[str] = (), clock: TellsTime = now) -> None:
    """Takes back what was changed since the last save; files that were never saved stay as they are.

    Args:
        root: The book's folder.
        asking: Whom to tell, and to ask where that may be done.
        asks: Whether the deed has to be agreed to.
        only: The files that are meant, relative to the book; all of them unless given.
        clock: When it is done, which names the folder.

    Raises:
        RefusedError: Nothing was saved yet, or something stands in the place of a file.
        StoppedError: It was not agreed to.
        CannotRunError: git is missing or fails, or a file cannot be read or written.
    """
    journal = Journal(root)
    if (begun := journal.begun()) is not None and begun.deed == "put-back":
        finish_put_back(root, journal, begun, asking)
        return
    ledger = open_ledger(root)
    if ledger is None or ledger.tip is None:
        raise refused("nothing-to-undo", "Nothing has been saved in this book yet.", "There is nothing to go back to.")
    found = changes_between(ledger, ledger.base, look(ledger).tree, renames=False)
    changed = [each for each in found if each.action != "new" and (not only or each.file in only)]
    if not changed:
        asking.say("Nothing that was saved has changed since; there is nothing to take back.")
        return
    _refuse_blocked(root, changed)
    saved = {each.file: file_before(ledger, ledger.tip, each) for each in changed}
    here = {each.file: data for each in changed if (data := _bytes(root / each.file)) is not None}
    aside = Aside(root, clock(open_view(root, "private")))
    where = aside.where
    asking.say("Changed since the last save:")
    for each in changed:
        asking.say(f"  - {each.file}{'' if each.file in here else ', which is gone'}")
    if any(each.action == "new" for each in found):
        asking.say("Files that were never saved stay as they are.")
    if here:
        asking.say(f"What they say now is laid aside in {where} first.")
    if asks and not asking.agree("Take this back, so that they are as they were last saved?", default=True):
        raise StoppedError
    # First everything lies aside, then the first file is written over.
    for file, data in here.items():
        aside.keep(file, data)
    journal.begin(Begun("put-back", ledger.tip, tuple(each.file for each in changed), where))
    theirs: list[str] = []
    for each in changed:
        try:
            _put(root / each.file, here.get(each.file), saved[each.file], each)
            asking.say(f"{each.file} is as it was last saved.")
        except RefusedError:
            theirs.append(each.file)
    journal.end()
    if here:
        asking.say(f"What they said before lies in {where}, which no save takes in.")
    if theirs:
        raise refused(
            "changed-meanwhile",
            f"Changed while it was being put back, and left as it is now: {', '.join(theirs)}.",
            "Look at it, then do it again.",
        )


def finish_put_back(root: Path, journal: Journal, begun: Begun, asking: Asking) -> None:
    """Finishes what was stopped while files were put back; one that was changed by hand since stays as it is.

    Args:
        root: The book's folder.
        journal: Where it stands.
        begun: What stands there.
        asking: Whom to tell.

    Raises:
        RefusedError: The history cannot be read now.
        CannotRunError: git fails, or a file cannot be written.
    """
    ledger = open_ledger(root)
    if ledger is not None and ledger.tip == begun.commit:
        asking.say("Files were being put back to the last save when that was stopped; it is finished now.")
        for each in changes_between(ledger, ledger.base, look(ledger).tree, renames=False):
            if each.file not in begun.files:
                continue
            here = _bytes(root / each.file)
            if here == _bytes(root / begun.aside / each.file):
                _put(root / each.file, here, file_before(ledger, begun.commit, each), each)
                asking.say(f"{each.file} is as it was last saved.")
            else:
                asking.say(f"{each.file} was changed since and stays as it is.")
        asking.say(f"What they said before lies in {begun.aside}, which no save takes in.")
    journal.end()


def _refuse_blocked(root: Path, changed: Sequence[ChangedFile]) -> None:
    for each in changed:
        path = root / each.file
        above = [folder for folder in path.parents if folder.is_relative_to(root) and folder != root]
        plain = all(mode.startswith(_FILE) or not mode.strip("0") for mode in each.modes)
        if not plain or path.is_symlink() or path.is_dir() or any(one.is_file() or one.is_symlink() for one in above):
            raise refused(
                "cannot-undo",
                f"Something else is in the place of {each.file}.",
                "Move that away, then type `mothermold undo --unsaved` again; nothing was changed.",
            )


def _put(path: Path, here: bytes | None, saved: bytes, changed: ChangedFile) -> None:
    if here != saved:
        replace_bytes(path, saved, replaces=here)
    if os.name == "posix" and _PROGRAM in changed.modes:
        path.chmod(0o755 if changed.modes[0] == _PROGRAM else 0o644)


def _bytes(path: Path) -> bytes | None:
    return read_bytes(path) if path.exists() else None
