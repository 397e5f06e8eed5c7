"""What a deed of several files is about, kept in git's own folder from before its first file until after its last."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final, Literal

from mothermold.ground.errors import CannotRunError, MothermoldError
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest
from mothermold.ground.writing import place_bytes
from mothermold.history.plumbing import Plumbing

BegunKind = Literal["undo", "put-back"]
OURS: Final = "mothermold"
"""The folder in git's own that is ours."""
_STOPPED: Final[Mapping[BegunKind, str]] = {
    "undo": "An undo was stopped half way, so some files are taken back and others not yet.",
    "put-back": "Files were being put back to the last save when that was stopped, so some are and others not yet.",
}


@dataclass(frozen=True, slots=True)
class Begun:
    """A deed that was begun.

    Attributes:
        deed: Which one.
        commit: The save that is taken back, or the one that is gone back to.
        files: The files it touches, relative to the book.
        aside: Where their texts of before lie; empty where the history has them.
    """

    deed: BegunKind
    commit: str
    files: tuple[str, ...] = ()
    aside: str = ""


class Journal:
    """The note of one book; a larger history may hold several."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._place: Path | None = None

    def begun(self) -> Begun | None:
        """What was begun and never ended; None where nothing was, or the book has no history."""
        with suppress(MothermoldError):
            return _read(self._file())
        return None

    def begin(self, deed: Begun) -> None:
        """Keeps what is begun, safely, before its first file is touched.

        Raises:
            CannotRunError: The disk refused; then nothing may be begun.
        """
        place_bytes(self._file(), json.dumps(asdict(deed)).encode("ascii"))

    def end(self) -> None:
        """Forgets it: all of it is done, or none of it stands any more.

        Raises:
            CannotRunError: The disk refused.
        """
        try:
            self._file().unlink(missing_ok=True)
        except OSError as problem:
            raise CannotRunError(f"{self._file()} could not be removed: {problem.strerror or problem}.") from problem

    def _file(self) -> Path:
        if self._place is None:
            git = Plumbing(self._root)
            status, told, _ = git.ask("rev-parse", "--show-prefix", "--git-path", OURS)
            if status:
                git.ignore_users_settings()
                told = git.run("rev-parse", "--show-prefix", "--git-path", OURS)
            prefix, place = told.decode("utf-8", "surrogateescape").split("\n")[:2]
            self._place = _note(self._root.absolute() / place, prefix)
        return self._place


def broken_off(ours: Path, prefix: str) -> Iterator[Notice]:
    """Tells of a deed that was begun in a book and never ended, for one look at one file.

    Args:
        ours: Our folder in git's own.
        prefix: The book's place in the repository, with a slash.
    """
    begun = _read(_note(ours, prefix))
    if begun is not None:
        advice = (
            "Type `mothermold mend`: it finishes that, or takes it back where a file was changed since, and says which."
        )
        yield Notice("broken-off", "warning", _STOPPED[begun.deed], advice)


def _note(ours: Path, prefix: str) -> Path:
    return ours / f"begun-{digest(prefix)[:16]}.json"


def _read(note: Path) -> Begun | None:
    with suppress(OSError, ValueError, TypeError, KeyError, RecursionError):
        told = json.loads(note.read_text(encoding="ascii"))
        if told["deed"] in _STOPPED:
            return Begun(told["deed"], told["commit"], tuple(told["files"]), told["aside"])
    return None
