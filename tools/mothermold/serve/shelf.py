"""Hands out the pages of one edition: of a built folder those its list names, and nothing else on the disk."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol
from urllib.parse import unquote

from mothermold.ground.errors import RefusedError
from mothermold.publish.file_list import listed_before
from mothermold.view.editions import Edition


class Source(Protocol):
    """Where the pages of one edition come from; it is asked from several threads at once."""

    def read(self, path: str) -> tuple[str, bytes] | None:
        """The name and bytes of what an address asks for; None where this edition has no such thing.

        Args:
            path: The address as a browser sent it, without its query; `name_in` makes a name of it.
        """


def name_in(path: str) -> str | None:
    """The file an address asks for, relative to the edition's folder; None where it cannot be one of ours."""
    if not path.startswith("/") or not path.isascii():
        return None
    try:
        name = unquote(path[1:], errors="strict") or "index.html"
    except UnicodeDecodeError:
        return None
    segments = name.split("/")
    if any(not segment or segment.startswith(".") for segment in segments):
        return None
    return name if name.isprintable() and "\\" not in name and ":" not in name else None


@dataclass(frozen=True, slots=True)
class Shelf:
    """The folder an edition was built into.

    Attributes:
        folder: The folder.
        edition: For whom the pages must have been made.
    """

    folder: Path
    edition: Edition

    def read(self, path: str) -> tuple[str, bytes] | None:
        """The name and bytes of the file an address asks for; None where this edition has no such file.

        The list is read anew each time: a folder that meanwhile holds a wider edition has nothing for this one.
        """
        name = name_in(path)
        try:
            if name is None or name not in listed_before(self.folder, self.edition):
                return None
            file = self.folder / name
            # A list someone tampered with, or a link put in a page's place, must not reach outside.
            if file.resolve() != self.folder.resolve() / name:
                return None
            return name, file.read_bytes()
        except (OSError, RefusedError):
            return None
