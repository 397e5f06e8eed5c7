"""The inbox of a book: what comes from a phone, each a file of its own, for `mothermold bring` to look at.

Nothing here reads it for more than its name.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from types import MappingProxyType
from typing import Final

from mothermold.ground.errors import CannotRunError, MothermoldError
from mothermold.ground.writing import place_bytes, write_text
from mothermold.model.names import name_fault

FOLDER: Final = "inbox"
MOST_BYTES: Final = 256 * 1024
"""The longest run; a long evening with notes is a fortieth of it."""
MOST_FILES: Final = 1000
MOST_ALTOGETHER: Final = 200 * 1024 * 1024
"""Bytes; some hundred photos as the book keeps them."""
_ID: Final = re.compile(r"^id:[ \t]*([\"']?)(?P<name>[a-z0-9-]{1,60})\1[ \t]*(?:#.*)?\r?$", re.MULTILINE)


class InboxFullError(MothermoldError):
    """No room is left for more until the computer took some in."""


@dataclass(frozen=True, slots=True)
class KeptRun:
    """What became of what came in.

    Attributes:
        name: Its file in the inbox.
        new: Whether it was written now; the same text twice makes one file.
    """

    name: str
    new: bool


@dataclass(frozen=True, slots=True)
class Inbox:
    """The inbox of one book."""

    book: Path
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def folder(self) -> Path:
        """Where all of it lies."""
        return self.book / FOLDER

    def check(self) -> None:
        """Makes sure something can be kept here.

        Raises:
            CannotRunError: Something else than a folder of the book stands in the inbox's place.
        """
        if self.folder.is_symlink() or (self.folder.exists() and not self.folder.is_dir()):
            raise CannotRunError(
                f"{self.folder} is not a folder of this book, so no run can be kept there; move it away and start again."
            )

    def waiting(self) -> int:
        """How many files of it wait there."""
        return sum(1 for path in self._files() if path.suffix == ".yaml")

    def keep(
        self, text: str, name: str = "", what: str = "run", photos: Mapping[str, bytes] = MappingProxyType({})
    ) -> KeptRun:
        """Writes a run, a failure note, a lot or what is said of photos into a file of its own; never over another.

        Args:
            text: What came, as it came.
            name: What its file is called, without its ending; for a run its id unless given.
            what: What it is called where there is no room for it.
            photos: The photos the text names, rebuilt, by their names; another text has other names.

        Raises:
            InboxFullError: Too many files, or too much in them.
            CannotRunError: It could not be written.
        """
        with self._lock:
            self.check()
            data = text.encode("utf-8")
            for file in _names(text, name):
                path = self.folder / file
                if not path.is_symlink() and path.is_file() and path.read_bytes() == data:
                    return KeptRun(file, new=False)
                if not path.is_symlink() and not path.exists():
                    break
            self._refuse_full(len(data) + sum(map(len, photos.values())), 1 + len(photos), what)
            self._lay_out()
            # The text is last: it names no photo that is not there.
            for photo, picture in photos.items():
                place_bytes(self.folder / photo, picture)
            write_text(path, text)
            return KeptRun(file, new=True)

    def _lay_out(self) -> None:
        # What nobody has looked at yet is not part of the book, so it does not enter its history with the next save.
        if not (self.folder / ".gitignore").exists():
            write_text(self.folder / ".gitignore", "*\n")

    def _refuse_full(self, more: int, files: int, what: str) -> None:
        sizes = [path.stat().st_size for path in self._files()]
        if len(sizes) + files > MOST_FILES or sum(sizes) + more > MOST_ALTOGETHER:
            raise InboxFullError(
                f"The inbox on the computer is full. Type `mothermold bring` there, then send this {what} again."
            )

    def _files(self) -> Iterator[Path]:
        if self.folder.is_dir():
            yield from (path for path in self.folder.iterdir() if path.is_file() and not path.name.startswith("."))


def _names(text: str, name: str) -> Iterator[str]:
    """The file names it may get, best first: the one given, a run's own, else a plain one; then numbered."""
    match = _ID.search(text)
    own = name or (match["name"] if match is not None and name_fault(match["name"]) is None else "run")
    yield f"{own}.yaml"
    yield from (f"{own}-{number}.yaml" for number in count(2))
