"""Answers who wants to read: a page of the edition as a browser takes it, and whether it became another meanwhile."""

from __future__ import annotations

import asyncio
import hashlib
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path, PurePosixPath
from typing import Final

from mothermold.publish.watching import with_trouble
from mothermold.serve.asked import Asked
from mothermold.serve.replies import HTML, Reply, data, plain
from mothermold.serve.source import Source

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
FOLLOW: Final = "/follow"
FOLLOW_SCRIPT: Final = "/follow.js"
_SCRIPT: Final = Path(__file__).with_name("follow.js")
# A drawing opened by itself is a page of its own, which needs nothing from anywhere.
_PICTURE: Final = (("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox"),)
_AGAIN: Final = '<meta http-equiv="refresh" content="2">\n'


@dataclass(slots=True)
class News:
    """How the pages stand; who watches the book writes it, who reads them is told.

    Attributes:
        trouble: Why the pages are old ones; empty where they are not.
        turn: Another number whenever something may be otherwise than before.
    """

    trouble: str = ""
    turn: int = 0


@dataclass(frozen=True, slots=True)
class PageDoor:
    """Hands out the pages of a source.

    Attributes:
        source: Where they come from.
        news: How they stand.
        follows: Whether a page open in the browser follows the book, and nothing of it is kept there.
    """

    source: Source
    news: News
    follows: bool = False

    async def read(self, asked: Asked) -> Reply:
        """A page, or that there is none."""
        return await asyncio.to_thread(self.reply, asked.path, ", ".join(asked.all("If-None-Match")))

    async def turn(self, asked: Asked) -> Reply:  # noqa: ARG002 - every room is asked alike
        """What the script of a page asks every second."""
        return data(HTTPStatus.OK, {"turn": self.news.turn})

    async def script(self, asked: Asked) -> Reply:  # noqa: ARG002 - every room is asked alike
        """The script of a page that follows the book."""
        return Reply(HTTPStatus.OK, _SCRIPT.read_bytes(), KINDS[".js"], (("Cache-Control", "no-store"),))

    def reply(self, path: str, known: str = "") -> Reply:
        """Answers with what stands at an address.

        Args:
            path: The address without its query.
            known: The marks of what the browser still has (`If-None-Match`).
        """
        if (found := self.source.read(path)) is None:
            return plain(HTTPStatus.NOT_FOUND, "There is no such page.", head=_AGAIN if self.follows else "")
        name, body = found
        is_page = name.endswith(".html")
        if self.news.trouble and is_page:
            body = with_trouble(body, self.news.trouble)
        mark = hashlib.sha256(body).hexdigest()[:32]
        if self.follows and is_page:
            tag = f'<script src="{FOLLOW_SCRIPT}" data-mark="{mark}" defer></script>\n</head>'
            body = body.replace(b"</head>", tag.encode(), 1)
        kept = ("Cache-Control", "no-store" if self.follows else "no-cache")
        headers = (("ETag", f'"{mark}"'), kept, *(_PICTURE if name.endswith(".svg") else ()))
        kind = KINDS.get(PurePosixPath(name).suffix.lower(), "application/octet-stream")
        if f'"{mark}"' in {each.strip().removeprefix("W/") for each in known.split(",")}:
            return Reply(HTTPStatus.NOT_MODIFIED, b"", kind, headers)
        return Reply(HTTPStatus.OK, body, kind, headers)
