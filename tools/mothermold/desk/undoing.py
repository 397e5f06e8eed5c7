"""Withdraws the last save of a book by a new save that brings back the files as they were before it.

Between its first file and its save it stands in the journal: whatever stops it there, the next command finishes it, or puts
the files back to the last save where one of them was changed by hand since.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path, PurePosixPath
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.desk.asking import Asking, StoppedError
from mothermold.desk.founding import FOLDERS
from mothermold.desk.saving import TellsTime, now
from mothermold.ground.errors import CannotRunError, MothermoldError, RefusedError, refused
from mothermold.ground.reading import read_bytes
from mothermold.ground.writing import remove, replace_bytes
from mothermold.history.journal import Begun, Journal
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.saving import ChangedFile, FileAction, changes_between, look, save
from mothermold.history.withdrawing import LastSave, file_before, last_save, tree_before, unsaved_among
from mothermold.view.view import open_view

_WITHDRAW: Final = "Withdraw: "
_BRING_BACK: Final = "Bring back: "
_LINK: Final = "120000"
_PROGRAM: Final = "100755"
_MOST: Final = 20
_DEEDS: Final[dict[str, str]] = {"new": "goes away again", "deleted": "comes back"}


def undo_save(root: Path, asking: Asking, *, asks: bool, clock: TellsTime = now) -> None:
    """Withdraws the last save and tells what it did.

    Args:
        root: The book's folder.
        asking: Whom to tell, and to ask where that may be done.
        asks: Whether the deed has to be agreed to.
        clock: When the save is made.

    Raises:
        RefusedError: There is nothing to take back, or files were changed since.
        StoppedError: It was not agreed to.
        CannotRunError: git is missing or fails, or a file cannot be written.
    """
    journal = Journal(root)
    if (begun := journal.begun()) is not None and begun.deed == "undo":
        finish_undo(root, journal, begun, asking, clock=clock)
        return
    ledger = open_ledger(root)
    if ledger is None:
        raise refused("nothing-to-undo", "This book has no history yet.", "There is nothing to take back.")
    last = last_save(ledger)
    here = {each.file: _bytes(root / each.file) for each in last.changes}
    _refuse_changed(unsaved_among(ledger, root, last, look(ledger)))
    title = _title(last.title)
    asking.say(f"The last save was: {last.title}")
    for changed in last.changes[:_MOST]:
        asking.say(f"  - {changed.file}: {_deed(changed, title)}")
    if len(last.changes) > _MOST:
        asking.say(f"  - and {len(last.changes) - _MOST} more files")
    if asks and not asking.agree("Bring these files back to what they were before it?", default=True):
        raise StoppedError
    _refuse_links(last)
    journal.begin(Begun("undo", last.commit))
    try:
        _bring_back(root, ledger, last.before, last.changes, here)
    except RefusedError:
        _put_back(root, ledger, last)
        journal.end()
        raise
    except CannotRunError as problem:
        raise CannotRunError(f"{problem}\n{_HALF_WAY}") from problem
    _saved(root, ledger, last, asking, clock)
    journal.end()


_HALF_WAY: Final = (
    "The undo is half done; when that is mended, the next command finishes it, or type `mothermold mend`."
)


def finish_undo(root: Path, journal: Journal, begun: Begun, asking: Asking, *, clock: TellsTime = now) -> None:
    """Finishes an undo that was stopped half way, or takes it back where a file was changed by hand since.

    Args:
        root: The book's folder.
        journal: Where it stands.
        begun: What stands there.
        asking: Whom to tell.
        clock: When the save is made.

    Raises:
        RefusedError: The history cannot be written now.
        CannotRunError: git fails, or a file cannot be written.
    """
    ledger = open_ledger(root)
    last = last_save(ledger) if ledger is not None and ledger.tip else None
    if ledger is None or last is None or last.commit != begun.commit:
        # Its own save stands, or somebody saved since what they wanted to.
        journal.end()
        return
    here = {each.file: _bytes(root / each.file) for each in last.changes}
    if theirs := unsaved_among(ledger, root, last, look(ledger)):
        _put_back(root, ledger, last)
        journal.end()
        asking.say(
            f"An undo was stopped half way, and {', '.join(theirs[:8])} was changed since, so it is taken back: "
            "all other files are as they were last saved."
        )
        return
    asking.say("An undo was stopped half way; it is finished now.")
    _bring_back(root, ledger, last.before, last.changes, here)
    _saved(root, ledger, last, asking, clock)
    journal.end()


def _saved(root: Path, ledger: Ledger, last: LastSave, asking: Asking, clock: TellsTime) -> None:
    title = _title(last.title)
    words = f"{title}\n\n" + "".join(f"- {changed.file}: {_deed(changed, title)}\n" for changed in last.changes)
    try:
        save(ledger, tree_before(ledger, last), words, clock(open_view(root, "private")))
    except MothermoldError as problem:
        raise CannotRunError(
            f"{problem}\nThe files are as they were before the last save, but that is not saved yet. "
            "Type `mothermold undo` again when it is mended."
        ) from problem
    asking.say(f"Saved: {title}")
    if title.startswith(_BRING_BACK):
        asking.say("What had been withdrawn is back.")
    else:
        asking.say("It stays in the book's history; `mothermold undo` once more brings it back.")
    for address in _recipes(last.changes)[:3]:
        asking.say(f"Look at it with `mothermold versions {address}`.")


def _title(before: str) -> str:
    if before.startswith(_WITHDRAW):
        return f"{_BRING_BACK}{before.removeprefix(_WITHDRAW)}"
    return f"{_WITHDRAW}{before.removeprefix(_BRING_BACK)}"


def _deed(changed: ChangedFile, title: str) -> str:
    if changed.action in _DEEDS:
        return _DEEDS[changed.action]
    return "comes back as it was saved" if title.startswith(_BRING_BACK) else "as it was before"


def _refuse_changed(files: list[str]) -> None:
    if files:
        listed = ", ".join(f"`{file}`" for file in files[:8]) + (" and more" if len(files) > 8 else "")
        raise refused(
            "changed-since-save",
            f"Changed since the last save, and not saved: {listed}.",
            "Type `mothermold save` to keep what was changed, or `mothermold undo --unsaved` to take it back; "
            "nothing was changed.",
        )


def _refuse_links(last: LastSave) -> None:
    if any(_LINK in each.modes for each in last.changes):
        raise refused(
            "cannot-undo",
            "The last save changed a file that only points to another place, which cannot be brought back.",
            "Change the files themselves to what they should say, then save; nothing was changed.",
        )


def _bring_back(
    root: Path, ledger: Ledger, before: str, changes: Iterable[ChangedFile], here: Mapping[str, bytes | None]
) -> None:
    """Puts changed files to what they were at a commit, as long as each still says what it said when it was looked at."""
    changes = list(changes)
    texts = {each.file: file_before(ledger, before, each) for each in changes if each.action != "new"}
    # What goes makes room first: a file may stand where a folder stood.
    for each in changes:
        if each.action == "new":
            _remove(root, each.file, here[each.file])
    for file, data in texts.items():
        if here[file] != data:
            replace_bytes(root / file, data, replaces=here[file])
    for each in changes:
        if each.modes[0] == _PROGRAM and os.name == "posix":
            (root / each.file).chmod(0o755)


def _put_back(root: Path, ledger: Ledger, last: LastSave) -> None:
    """Takes back what an undo did to files: those that say what they said before the last save say again what it saved."""
    undone = {each.file: each for each in last.changes}
    back: list[ChangedFile] = []
    here: dict[str, bytes | None] = {}
    for each in changes_between(ledger, last.before, last.commit, renames=False):
        texts = None if each.action == "new" else file_before(ledger, last.before, undone[each.file])
        here[each.file] = _bytes(root / each.file)
        if here[each.file] == texts:
            back.append(_turned(each))
    _bring_back(root, ledger, last.commit, back, here)


def _turned(changed: ChangedFile) -> ChangedFile:
    """The same change the other way round."""
    action: FileAction = {"new": "deleted", "deleted": "new"}.get(changed.action, "changed")  # type: ignore[assignment]
    return replace(
        changed, action=action, before=changed.after, after=changed.before, modes=(changed.modes[1], changed.modes[0])
    )


def _bytes(path: Path) -> bytes | None:
    return read_bytes(path) if path.is_file() else None


def _remove(root: Path, file: str, holds: bytes | None) -> None:
    path = root / file
    # What `init` lays out stays, though nothing lies in it: the artist's next document goes there.
    laid_out = {root / RECIPES / name for name in FOLDERS}
    if holds is not None:
        remove(path, holds=holds)
    try:
        for folder in path.parents:
            if folder == root or folder in laid_out or (folder.exists() and any(folder.iterdir())):
                break
            if folder.exists():
                folder.rmdir()
    except OSError as problem:
        raise CannotRunError(f"{path} could not be removed: {problem.strerror or problem}.") from problem


def _recipes(changes: Iterable[ChangedFile]) -> list[str]:
    """The addresses of the recipes that were changed."""
    files = [PurePosixPath(each.file) for each in changes if each.file.startswith(f"{RECIPES}/")]
    other = {"materials", "failures", "runs", "molds", "builds", "courses"}
    inner = [file.relative_to(RECIPES) for file in files if file.suffix == ".yaml"]
    return [file.with_suffix("").as_posix() for file in inner if len(file.parts) > 1 and file.parts[0] not in other]
