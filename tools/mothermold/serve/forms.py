"""What every form of the desk holds beside what is typed: the token of this start, and a name good for one sending."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
from collections.abc import Sequence
from http import HTTPStatus
from typing import Final

MOST_OPEN: Final = 4096
"""Forms handed out and not yet sent; of more the oldest are to be looked at again before they are sent."""
_START: Final = "-start"
_ONCE: Final = "-once"
_LOOK: Final = ["look"]
"""What a form is sent with, under ``_do``, that is only looked at: in no room it writes anything, so it may be sent again."""
_STRANGE: Final = "This form is not one of this start of `mothermold serve`, so nothing was written."
_SENT: Final = "This form was sent before, or is a very old one, so nothing was written now."
_BELOW: Final = "What was typed stands below. Look whether the book has it already; if not, send it again."
Pairs = tuple[tuple[str, str], ...]


class Forms:
    """The forms of one start of the server.

    Attributes:
        token: What each of them holds; nothing of the owner's cookie can be told from it.
    """

    def __init__(self, key: str) -> None:
        self.token = hmac.new(key.encode(), b"forms of the desk", hashlib.sha256).hexdigest()
        self._open: dict[str, None] = {}
        self._lock = threading.Lock()

    def seal(self) -> str:
        """The hidden fields of one form on a page; another form on it needs its own."""
        once = secrets.token_hex(16)
        with self._lock:
            self._open[once] = None
            while len(self._open) > MOST_OPEN:
                del self._open[next(iter(self._open))]
        fields = ((_START, self.token), (_ONCE, once))
        return "".join(f'<input type="hidden" name="{name}" value="{value}">' for name, value in fields)

    def judge(self, pairs: Sequence[tuple[str, str]]) -> tuple[HTTPStatus, str] | None:
        """Why a form may not be taken, as a status and a sentence; None where it may, and then only this once.

        What is only looked at (`_do` is `look`, and nothing else) may be looked at as often as somebody likes.
        """
        tokens = [text for name, text in pairs if name == _START]
        names = [text for name, text in pairs if name == _ONCE]
        if len(tokens) != 1 or not hmac.compare_digest(tokens[0].encode(), self.token.encode()):
            return HTTPStatus.FORBIDDEN, f"{_STRANGE} {_BELOW}"
        with self._lock:
            if len(names) != 1 or names[0] not in self._open:
                return HTTPStatus.CONFLICT, f"{_SENT} {_BELOW}"
            if [text for name, text in pairs if name == "_do"] != _LOOK:
                del self._open[names[0]]
        return None


def typed(pairs: Sequence[tuple[str, str]]) -> Pairs:
    """What somebody typed, in the order of the form; a browser sends the end of a line its own way."""
    return tuple((name, text.replace("\r\n", "\n")) for name, text in pairs if name not in (_START, _ONCE))
