"""Where the pages of an edition come from, and which file an address asks for."""

from __future__ import annotations

from typing import Protocol
from urllib.parse import unquote


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
