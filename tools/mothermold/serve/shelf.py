"""Hands out the files of one edition: those its list of pages names, and nothing else on the disk."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path, PurePosixPath
from typing import Final
from urllib.parse import unquote

from mothermold.ground.errors import RefusedError
from mothermold.publish.file_list import listed_before
from mothermold.publish.watching import with_trouble
from mothermold.serve.replies import HTML, Reply, plain
from mothermold.view.editions import Edition

KINDS: Final = {
    ".html": HTML,
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".map": "application/json; charset=utf-8",
    ".webmanifest": "application/manifest+json; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".ics": "text/calendar; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".gif": "image/gif",
    ".webp": "image/webp",
    ".ico": "image/x-icon",
    ".woff": "font/woff",
    ".woff2": "font/woff2",
    ".pdf": "application/pdf",
}
"""What a file is told to be, by its ending; anything else is a file to keep, never a page."""


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

    def reply(self, path: str, known: str | None, trouble: str = "") -> Reply:
        """Answers with a file.

        Args:
            path: The address without its query.
            known: The marks of what the browser still has (`If-None-Match`).
            trouble: Why the pages are old ones; empty where they are not.
        """
        if (found := self.read(path)) is None:
            return plain(HTTPStatus.NOT_FOUND, "There is no such page.")
        name, body = found
        if trouble and name.endswith(".html"):
            body = with_trouble(body, trouble)
        mark = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
        headers = (("ETag", mark), ("Cache-Control", "no-cache"))
        kind = KINDS.get(PurePosixPath(name).suffix.lower(), "application/octet-stream")
        if known is not None and mark in {each.strip().removeprefix("W/") for each in known.split(",")}:
            return Reply(HTTPStatus.NOT_MODIFIED, b"", kind, headers)
        return Reply(HTTPStatus.OK, body, kind, headers)
