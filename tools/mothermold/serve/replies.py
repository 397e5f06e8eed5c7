"""What the server answers with: a status, a type, bytes, and the headers every answer carries."""

from __future__ import annotations

import html
import json
from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any, Final

HTML: Final = "text/html; charset=utf-8"
ALWAYS: Final = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("X-Frame-Options", "DENY"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
)
"""Goes with every answer; the pages of a book carry their own policy of what they may load."""
# A page of ours outside the book needs nothing at all, and is never kept.
_BARE: Final = (("Content-Security-Policy", "default-src 'none'"), ("Cache-Control", "no-store"))
COME_IN: Final = "/come-in"
"""Where the browser lands with its new cookie. A cookie this strict is not sent on while the first page follows from
elsewhere, such as a link in a message; from a page of this server it is."""


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer to a request.

    Attributes:
        status: The status.
        body: What follows the headers.
        kind: The content type.
        headers: What goes with this answer beside what goes with all.
    """

    status: HTTPStatus
    body: bytes = b""
    kind: str = HTML
    headers: tuple[tuple[str, str], ...] = ()


def plain(status: HTTPStatus, sentence: str, *, extra: tuple[tuple[str, str], ...] = (), head: str = "") -> Reply:
    """A page of one sentence that tells nothing about the book.

    Args:
        status: The status.
        sentence: The sentence.
        extra: More headers.
        head: Markup of ours for the head of the page.
    """
    page = (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="color-scheme" content="light dark">\n{head}<title>On the computer</title>\n</head>\n'
        f"<body>\n<main><h1>{html.escape(sentence, quote=False)}</h1></main>\n</body>\n</html>\n"
    )
    return Reply(status, page.encode(), HTML, (*_BARE, *extra))


def data(status: HTTPStatus, told: Mapping[str, Any]) -> Reply:
    """An answer to a script."""
    body = json.dumps(told, ensure_ascii=False).encode() + b"\n"
    return Reply(status, body, "application/json; charset=utf-8", _BARE)


def message(status: HTTPStatus, sentence: str) -> Reply:
    """A sentence for a script, which shows it to whoever pressed the button."""
    return data(status, {"message": sentence})


def led_to(address: str, *cookies: str) -> Reply:
    """Leads on to another address of this server, with cookies to bring along."""
    given = tuple(("Set-Cookie", cookie) for cookie in cookies)
    return plain(HTTPStatus.SEE_OTHER, "It goes on from here.", extra=(("Location", address), *given))


def threshold() -> Reply:
    """The page that leads on to the book, for whoever brought the cookie along."""
    return plain(HTTPStatus.OK, "Come in.", head='<meta http-equiv="refresh" content="0; url=/">\n')
