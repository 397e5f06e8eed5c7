"""What went wrong with the files of a book themselves: not to be written, two texts in one, a copy beside, other line ends."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

from mothermold.book.files import PICTURES, RECIPES, document_files
from mothermold.book.strays import document_meant, stray_files
from mothermold.desk.founding import ATTRIBUTES
from mothermold.ground.errors import MothermoldError
from mothermold.ground.writing import replace_bytes, write_text
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.mishap import LayAside, Mishap
from mothermold.history.saving import ChangedFile, changes_between, look
from mothermold.history.withdrawing import file_before

_BEGINS: Final = re.compile(rb"(?m)^<{7} .*\n(?s:.*?)^={7}\r?\n(?s:.*?)^>{7} ")
_MARKERS: Final = "`<<<<<<<`, `=======` and `>>>>>>>`"


def find_read_only(root: Path) -> Iterator[Mishap]:
    """Folders and files of the book that nobody may write to."""
    if hasattr(os, "statvfs") and os.statvfs(root).f_flag & os.ST_RDONLY:
        yield Mishap(
            "read-only",
            ".",
            "The disk the book lies on can only be read.",
            "Copy the book to a disk that can be written to.",
        )
        return
    shut = [path for path in _to_be_written(root) if not path.stat().st_mode & stat.S_IWUSR]
    if not shut:
        return
    first = shut[0].relative_to(root).as_posix()
    says = f"`{first}` may only be read" + (f", and so it is with {len(shut) - 1} more." if len(shut) > 1 else ".")
    if os.name == "posix" and os.getuid() not in (0, *{path.stat().st_uid for path in shut}):
        yield Mishap("read-only", first, says, "It belongs to another user of this computer; let them give it to you.")
        return
    yield Mishap("read-only", first, says, "You may write to it again.", lambda _aside: _opened_up(shut))


def _to_be_written(root: Path) -> Iterator[Path]:
    yield root
    own = root / ".git"
    tops = [root / RECIPES, *(own / name for name in ("refs", "logs", "mothermold"))]
    # Git itself shuts the pieces of saves; only their folders must be open.
    yield from (
        path
        for path in (own, own / "objects", *(own / "objects").glob("*"), *own.glob("*"))
        if path.exists() and not path.is_symlink()
    )
    for top in tops:
        if top.is_dir():
            yield top
            yield from (
                path for path in top.rglob("*") if not path.is_symlink() and ".git" not in path.relative_to(top).parts
            )


def _opened_up(shut: list[Path]) -> None:
    for path in shut:
        path.chmod(path.stat().st_mode | (stat.S_IRWXU if path.is_dir() else stat.S_IWUSR))


def find_joined_texts(root: Path) -> Iterator[Mishap]:
    """Documents that hold two texts, as git leaves them where it could not join them."""
    ledger = _ledger(root)
    for file, path in document_files(root):
        if not isinstance(path, Path):
            continue
        with suppress(OSError):
            data = path.read_bytes()
            if found := _BEGINS.search(data):
                line = data.count(b"\n", 0, found.start()) + 1
                yield _joined(root, ledger, file, data, line)


def _joined(root: Path, ledger: Ledger | None, file: str, data: bytes, line: int) -> Mishap:
    says = f"`{file}` holds two texts from line {line} on, which git could not join."
    saved = _saved(ledger, file) if ledger is not None else None
    if saved is None or _BEGINS.search(saved):
        by_hand = f"Keep one of the two in it, and delete the lines that begin with {_MARKERS}."
        return Mishap("two-texts", file, says, by_hand)

    def put_back(aside: LayAside) -> None:
        aside.copy(root / file, file)
        replace_bytes(root / file, saved, replaces=data)

    return Mishap(
        "two-texts",
        file,
        says,
        "It goes back to what was last saved; the file with both is laid aside, to copy from.",
        put_back,
    )


def _saved(ledger: Ledger, file: str) -> bytes | None:
    status, told, _ = ledger.git.ask("cat-file", "blob", f"{ledger.tip}:{ledger.prefix}{file}")
    return None if status else told


def find_copies(root: Path) -> Iterator[Mishap]:
    """Copies of documents that lie beside them, as folders kept alike on two computers make them."""
    documents = {file for file, path in document_files(root) if isinstance(path, Path)}
    for file in sorted({*documents, *stray_files(root)}):
        meant = document_meant(file)
        if (
            file.startswith(f"{PICTURES}/")
            or meant == file
            or meant not in documents
            or "conflict" not in file.casefold()
        ):
            continue
        same = (root / file).read_bytes() == (root / meant).read_bytes()
        told = "says the same" if same else "says something else"
        yield Mishap(
            "copy", file, f"`{file}` is a copy of `{meant}` that some program made, and {told}.",
            "It is laid aside" + ("." if same else "; look there for what the document should say too."),
            lambda aside, file=file: aside.move(root / file, file),  # type: ignore[misc]
        )  # fmt: skip


def find_line_ends(root: Path) -> Iterator[Mishap]:
    """Files of which only the line ends are others than were saved, so that all of them seem changed."""
    ledger = _ledger(root)
    if ledger is None:
        return
    try:
        found = changes_between(ledger, ledger.base, look(ledger).tree, renames=False)
    except MothermoldError:
        return  # what keeps git from looking is a trouble of its own
    texts = ledger.blobs(name for each in found if each.action == "changed" for name in (each.before, each.after))
    turned = [
        each for each in found if each.action == "changed" and _plain(texts[each.before]) == _plain(texts[each.after])
    ]
    if not turned:
        return
    many = "is one file" if len(turned) == 1 else f"are {len(turned)} files"
    yield Mishap(
        "line-ends", turned[0].file, f"There {many} of which only the line ends changed since the last save.",
        "They get the line ends again with which they were saved" + _ATTRIBUTED.get((root / ".gitattributes").exists(), ""),
        lambda _aside: _turned_back(root, ledger, turned),
    )  # fmt: skip


_ATTRIBUTED: Final = {True: ".", False: ", and a file `.gitattributes` that keeps it so on every computer."}


def _turned_back(root: Path, ledger: Ledger, turned: list[ChangedFile]) -> None:
    assert ledger.tip is not None
    if not (root / ".gitattributes").exists():
        write_text(root / ".gitattributes", ATTRIBUTES)
    for each in turned:
        here, saved = (root / each.file).read_bytes(), file_before(ledger, ledger.tip, each)
        if _plain(here) == _plain(saved) and here != saved:
            replace_bytes(root / each.file, saved, replaces=here)


def _plain(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n")


def _ledger(root: Path) -> Ledger | None:
    with suppress(MothermoldError):
        ledger = open_ledger(root)
        return ledger if ledger is not None and ledger.tip else None
    return None
