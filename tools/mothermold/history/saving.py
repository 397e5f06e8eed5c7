"""Saves a book's folder into its history: looks what changed, and moves the history on in one step.

Only the book's own folder is looked at and saved, whatever lies or was prepared beside it. What is saved is what
was looked at: a file that changes meanwhile stays a change for the next save.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final, Literal

from mothermold.book.files import RECIPES, document_files
from mothermold.history.ledger import Ledger
from mothermold.history.left_out import nested_histories, not_laid_out
from mothermold.history.moving import moved_on
from mothermold.history.plumbing import LITTER, NOBODY, named

FileAction = Literal["new", "changed", "deleted", "renamed"]

_ACTIONS: Final[dict[str, FileAction]] = {"A": "new", "D": "deleted", "R": "renamed"}
_LINK: Final = "160000"
_FILE: Final = "100"


@dataclass(frozen=True, slots=True)
class ChangedFile:
    """A file that changed.

    Attributes:
        action: new, changed, deleted or renamed.
        file: Its path relative to the book; of a deleted one its last.
        earlier: Its path before, where it was renamed; else the same.
        before: The blob of its old text; zeros where it is new.
        after: The blob of its new text; zeros where it is deleted.
        modes: How it is kept, before and after, as git writes it.
    """

    action: FileAction
    file: str
    earlier: str
    before: str
    after: str
    modes: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The book's folder as it lay there at one moment.

    Attributes:
        tree: All files of the history's next state.
        changes: What differs from the newest save, by file.
    """

    tree: str
    changes: tuple[ChangedFile, ...]


def look(ledger: Ledger) -> Snapshot:
    """Looks at the book's folder; ignored files, histories within it and what is not laid out are left as they were."""
    return _snapshot(ledger, ledger.base, [ledger.scope])


def look_again(ledger: Ledger, earlier: Snapshot, files: Iterable[str]) -> Snapshot:
    """The same look with these files, relative to the book, as they are now."""
    return _snapshot(ledger, earlier.tree, [f"{ledger.prefix}{file}" for file in files])


def changes_between(ledger: Ledger, old: str, new: str, *, renames: bool = True) -> tuple[ChangedFile, ...]:
    """What differs in the book's folder between two trees or commits."""
    how = ("--find-renames=60%", "-l2000") if renames else ("--no-renames",)
    out = ledger.git.run("diff-tree", "-r", "-z", "--raw", "--no-abbrev", *how, old, new, "--", ledger.scope)
    return tuple(_entries(out, ledger.prefix))


def tree_with(ledger: Ledger, base: str, entries: Iterable[tuple[str, str, str]]) -> str:
    """A tree with some files, relative to the book, set or, with the mode 0, taken out.

    Args:
        ledger: The history.
        base: The tree to begin with.
        entries: Of each file its mode, blob and path.
    """
    with tempfile.TemporaryDirectory() as scratch:
        index = Path(scratch) / "index"
        ledger.git.run("read-tree", base, index=index)
        _set(ledger, index, ((mode, blob, f"{ledger.prefix}{file}") for mode, blob, file in entries))
        return ledger.git.word("write-tree", index=index)


def save(ledger: Ledger, tree: str, message: str, moment: datetime) -> str:
    """Moves the history on to a tree, in one step or not at all; returns the new commit.

    Raises:
        RefusedError: ``changed-meanwhile`` where something else was saved since the ledger was opened, ``history-busy``
            where another program is at work on it.
        CannotRunError: git failed; the history is as it was, or nobody can say so now, which it tells.
    """
    git = ledger.git
    stamp = moment.isoformat(timespec="seconds")
    identity = {**NOBODY, "GIT_AUTHOR_DATE": stamp, "GIT_COMMITTER_DATE": stamp}
    parents = ("-p", ledger.tip) if ledger.tip else ()
    told = message.encode("utf-8", "replace")
    commit = git.run("commit-tree", tree, *parents, "-F", "-", given=told, settings=identity).decode().strip()
    moved_on(ledger, commit, identity)
    return commit


def _snapshot(ledger: Ledger, base: str, scopes: list[str]) -> Snapshot:
    git = ledger.git
    with tempfile.TemporaryDirectory() as scratch:
        index = Path(scratch) / "index"
        git.run("read-tree", base, index=index)
        _add(ledger, scopes, index)
        touched = changes_between(ledger, base, git.word("write-tree", index=index), renames=False)
        _set(ledger, index, _mended(ledger, touched))
        tree = git.word("write-tree", index=index)
    return Snapshot(tree, changes_between(ledger, ledger.base, tree))


def _add(ledger: Ledger, scopes: list[str], index: Path) -> None:
    """Lists what lies there, whatever part of the book git was told to lay out; not what has a history of its own."""
    book = ledger.git.folder / ledger.prefix
    nested = set(nested_histories(book, (file for file, _found in document_files(book))).values())
    which = [f":(literal){scope}" for scope in scopes]
    which += [f":(exclude,literal){ledger.prefix}{folder}" for folder in sorted(nested)]
    litter = index.with_name("litter")
    litter.write_text("\n".join((*LITTER, "")), encoding="utf-8")
    ledger.git.run(
        *("-c", f"core.excludesFile={litter}", "-c", "core.sparseCheckout=false", "add", "--all", "--", *which),
        index=index,
        settings={"GIT_LITERAL_PATHSPECS": "0"},
    )


def _mended(ledger: Ledger, touched: Iterable[ChangedFile]) -> Iterator[tuple[str, str, str]]:
    """What must be kept otherwise than git would: another history as it was, what is not laid out, a document as it is read."""
    touched = list(touched)
    documents = [each for each in touched if _is_document(each) and each.modes[1].startswith(_FILE)]
    kept = ledger.blobs(each.after for each in documents)
    gone = [f"{ledger.prefix}{each.file}" for each in touched if each.action == "deleted"]
    elsewhere = not_laid_out(ledger.git.ask, ledger.scope, gone)
    for each in touched:
        if f"{ledger.prefix}{each.file}" in elsewhere:
            yield each.modes[0], each.before, f"{ledger.prefix}{each.file}"
        if _LINK in each.modes:
            mode = each.modes[0] if each.modes[0] == _LINK else "0"
            yield mode, each.before, f"{ledger.prefix}{each.file}"
    for each in documents:
        data = (ledger.git.folder / f"{ledger.prefix}{each.file}").read_bytes()
        if _plain(data) != _plain(kept[each.after]):
            # A setting of the user's rewrites files on their way into the history.
            blob = ledger.git.word("hash-object", "-w", "--no-filters", "--stdin", given=data)
            yield each.modes[1], blob, f"{ledger.prefix}{each.file}"


def _is_document(changed: ChangedFile) -> bool:
    return changed.file.startswith(f"{RECIPES}/") and changed.file.endswith((".yaml", ".yml"))


def _plain(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n")


def _set(ledger: Ledger, index: Path, entries: Iterable[tuple[str, str, str]]) -> None:
    # What goes is said first, so that a file can take the place of a folder.
    ordered = sorted(entries, key=lambda entry: entry[0] != "0")
    lines = b"".join(f"{mode} {blob}\t".encode() + named(path) + b"\0" for mode, blob, path in ordered)
    if lines:
        ledger.git.run("update-index", "-z", "--index-info", given=lines, index=index)


def _entries(out: bytes, prefix: str) -> Iterator[ChangedFile]:
    fields = iter(out.decode("utf-8", "surrogateescape").split("\0"))
    for entry in fields:
        if not entry.startswith(":"):
            continue
        old_mode, new_mode, before, after, letter = entry[1:].split(" ")
        action = _ACTIONS.get(letter[0], "changed")
        earlier = next(fields)
        file = next(fields) if action == "renamed" else earlier
        yield ChangedFile(action, file[len(prefix) :], earlier[len(prefix) :], before, after, (old_mode, new_mode))
