"""What was worked out once and still holds: answers by the digest of all they were made from, in one file beside the history.

Nothing depends on it. Where the file is missing, locked, damaged, full or may not be written, everything is worked out
anew and nothing is said. Whoever asks names in the key all that an answer was made from; the program itself is part of
every key, so that another version of it finds nothing.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import json
import os
import sqlite3
import sys
import zlib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

_FILE: Final = "answers.sqlite"
_WAIT: Final = 0.05
"""How long another program may hold the file, in seconds; after that it is as if there were none."""

_LARGEST: Final = 40_000_000
"""How many bytes of one answer are kept."""

_FULL: Final = 100_000_000
"""A file of more bytes is begun anew: a book is worked with for years."""

_TABLE: Final = (
    "CREATE TABLE IF NOT EXISTS kept (room TEXT, key TEXT, sum INTEGER, value BLOB, PRIMARY KEY (room, key))"
)
_OLD: Final = (
    "DELETE FROM kept WHERE room = ? AND rowid <= "
    "(SELECT rowid FROM kept WHERE room = ? ORDER BY rowid DESC LIMIT 1 OFFSET ?)"
)


class Store:
    """Answers by room and key.

    Args:
        folder: Where the file lies; None where there is no place for one.

    Attributes:
        folder: As given: what was made and is no answer, as pictures of photos, lies there in files of its own.
    """

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self._open: sqlite3.Connection | None = None

    def get(self, room: str, key: str) -> Any:
        """What was kept under a key, as read from JSON; None where nothing was.

        Args:
            room: What kind of answer it is.
            key: The digest of all it was made from.
        """
        with contextlib.suppress(sqlite3.Error, OSError, ValueError, TypeError):
            if self.folder is None or not (self.folder / _FILE).is_file():
                return None
            named = _named(room, key)
            for told, value in self._file().execute("SELECT sum, value FROM kept WHERE room = ? AND key = ?", named):
                if _sum(named, value) == told:
                    return json.loads(value)
        return None

    def put(self, room: str, key: str, value: Any, *, most: int, plain: bool = False) -> None:
        """Keeps an answer.

        Args:
            room: What kind of answer it is.
            key: The digest of all it was made from.
            value: Kept only where JSON gives it back as it was.
            most: How many of its kind are kept, the newest.
            plain: Whether it is known that JSON gives it back as it was.
        """
        if self.folder is None:
            return
        try:
            data = json.dumps(value, separators=(",", ":")).encode()
        except (TypeError, ValueError):
            return
        if len(data) > _LARGEST or (not plain and json.loads(data) != value):
            return
        with contextlib.suppress(OSError):
            try:
                self._write(room, key, data, most)
            except sqlite3.OperationalError:
                return  # locked, full, or not to be written
            except (sqlite3.DatabaseError, ValueError):  # damaged; even a complaint of it may be no text
                with contextlib.suppress(sqlite3.Error, ValueError):
                    self._begin_anew()
                    self._write(room, key, data, most)

    def _write(self, room: str, key: str, data: bytes, most: int) -> None:
        assert self.folder is not None
        self.folder.mkdir(exist_ok=True)
        if (path := self.folder / _FILE).is_file() and path.stat().st_size > _FULL:
            self._begin_anew()
        file = self._file()
        file.execute(_TABLE)
        named = _named(room, key)
        with file:
            file.execute("INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?)", (*named, _sum(named, data), data))
            file.execute(_OLD, (room, room, most))

    def _file(self) -> sqlite3.Connection:
        assert self.folder is not None
        if self._open is None:
            self._open = sqlite3.connect(self.folder / _FILE, timeout=_WAIT, check_same_thread=False)
            # Nothing beside the file that is read as memory: cut off by somebody, it would end the program without a word.
            self._open.execute("PRAGMA journal_mode = DELETE")
            # What a power cut leaves is known by its sum, and begun anew.
            self._open.execute("PRAGMA synchronous = OFF")
        return self._open

    def _begin_anew(self) -> None:
        assert self.folder is not None
        if self._open is not None:
            self._open.close()
            self._open = None
        for name in (_FILE, f"{_FILE}-journal"):
            (self.folder / name).unlink(missing_ok=True)


NOWHERE: Final = Store(None)
"""Where there is no place to keep anything."""


def digest(*parts: object) -> str:
    """A digest of texts, bytes and numbers in their order; no two orders have the same."""
    made = hashlib.sha1(usedforsecurity=False)
    for part in parts:
        data = part if isinstance(part, bytes) else str(part).encode("utf-8", "surrogateescape")
        made.update(b"%d:" % len(data))
        made.update(data)
    return made.hexdigest()


def _named(room: str, key: str) -> tuple[str, str]:
    return room, f"{_program()} {key}"


def _sum(named: tuple[str, str], data: bytes) -> int:
    """Of an answer and what it answers: in a damaged file one may stand under the name of another."""
    return zlib.crc32(data, zlib.crc32("\0".join(named).encode("utf-8", "surrogateescape")))


@cache
def _program() -> str:
    """What this program is: its files and the libraries that read for it, by size and time."""
    return digest(sys.version, *(part for path in _files() for part in (path, *_state(path))))


def _state(path: str) -> tuple[int, int]:
    found = os.stat(path)  # noqa: PTH116 - asked of several hundred files before every answer
    return found.st_size, found.st_mtime_ns


def _files() -> Iterator[str]:
    for name in ("pydantic", "pydantic_core", "yaml"):
        spec = importlib.util.find_spec(name)
        if spec is not None and spec.origin is not None:
            yield spec.origin
    for folder, folders, names in os.walk(Path(__file__).parents[1]):
        folders[:] = sorted(each for each in folders if each not in ("story", "__pycache__"))
        yield from (f"{folder}/{name}" for name in sorted(names))
