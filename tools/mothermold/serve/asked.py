"""A request as the rooms of the server see it: what it names, what its browser says of itself, what it sends along."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from contextlib import suppress
from http import HTTPStatus
from typing import Any, Final

READS: Final = ("GET", "HEAD")
HEAR_OUT: Final = 2.0
"""Seconds, and below it bytes, somebody may go on speaking who was already answered."""
_HEAR_OUT_BYTES: Final = 128 * 1024 * 1024
Received = Callable[[], Awaitable[MutableMapping[str, Any]]]


class NotTakenError(Exception):
    """What was sent along is not taken: the status and the sentence that say so."""

    def __init__(self, status: HTTPStatus, sentence: str) -> None:
        self.status, self.sentence = status, sentence
        super().__init__(sentence)


class Asked:
    """A request whose head has arrived.

    Attributes:
        method: `GET`, `HEAD`, `POST` or what else was said.
        path: The address as it was sent, without its query.
        query: What stood behind the question mark.
        version: The version of HTTP.
        caller: The address it comes from.
        patience: Seconds what it sends along may take.
    """

    def __init__(self, scope: Mapping[str, Any], receive: Received, patience: float) -> None:
        self.method: str = scope["method"]
        self.path: str = scope["raw_path"].decode("ascii")
        self.query: str = scope["query_string"].decode("ascii")
        self.version: str = scope["http_version"]
        self.caller: str = (scope["client"] or ("",))[0]
        self.patience = patience
        self._headers: list[tuple[bytes, bytes]] = scope["headers"]
        self._receive = receive
        self._more = True

    @property
    def reads(self) -> bool:
        """Whether it only wants to read."""
        return self.method in READS

    def all(self, name: str) -> list[str]:
        """Every value of a header."""
        wanted = name.lower().encode()
        return [value.decode("latin-1") for key, value in self._headers if key == wanted]

    @property
    def length(self) -> int:
        """Bytes of its head, about."""
        return len(self.path) + len(self.query) + sum(len(name) + len(value) + 4 for name, value in self._headers)

    def carries(self) -> bool:
        """Whether it sends something along."""
        return bool(self.all("Transfer-Encoding")) or self.all("Content-Length") not in ([], ["0"])

    async def text(self, what: str, most: int) -> str:
        """What it sends along, in one piece.

        Args:
            what: What it is, for the sentences: `run`, `form`.
            most: Bytes it may have.

        Raises:
            NotTakenError: It is too long, too slow, or no text in UTF-8.
        """
        body = await self.body(what, most)
        try:
            text = body.decode("utf-8")
        except UnicodeDecodeError:
            text = ""
        if not text.strip() or "\0" in text:
            raise _not_whole(what)
        return text

    async def body(self, what: str, most: int, *, pace: int = 0) -> bytearray:
        """The bytes it sends along, in one piece.

        Args:
            what: What it is, for the sentences: `run`, `form`.
            most: Bytes it may have; of more not one is heard.
            pace: Bytes a second at which it may take longer than a request does; no piece of it may all the same.

        Raises:
            NotTakenError: It is too long or too slow, or not all of it came.
        """
        lengths = self.all("Content-Length")
        if self.all("Transfer-Encoding") or not lengths:
            raise NotTakenError(HTTPStatus.LENGTH_REQUIRED, f"A {what} is sent in one piece, with its length.")
        if (length := int(lengths[0])) > most:  # the protocol takes nothing but a number
            unit, size = ("MB", 1024 * 1024) if most > 10 * 1024 * 1024 else ("KB", 1024)
            told = f"A {what} may have {most // size} {unit}; this one has {length // size}."
            raise NotTakenError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, told)
        body = bytearray()
        try:
            async with asyncio.timeout(self.patience + (length / pace if pace else 0)):
                while self._more:
                    async with asyncio.timeout(self.patience):
                        body += await self._piece()
        except TimeoutError:
            told = f"The {what} did not arrive in time; send it again."
            raise NotTakenError(HTTPStatus.REQUEST_TIMEOUT, told) from None
        if len(body) != length:
            raise _not_whole(what)
        return body

    async def hear_out(self) -> None:
        """Listens on for a moment: hanging up on somebody who still speaks would lose them our answer."""
        left = _HEAR_OUT_BYTES
        with suppress(TimeoutError):
            async with asyncio.timeout(min(HEAR_OUT, self.patience)):
                while self._more and left > 0:
                    left -= len(await self._piece())

    async def _piece(self) -> bytes:
        message = await self._receive()
        self._more = message["type"] == "http.request" and message.get("more_body", False)
        piece: bytes = message.get("body", b"")
        return piece


def _not_whole(what: str) -> NotTakenError:
    return NotTakenError(HTTPStatus.BAD_REQUEST, f"The {what} did not arrive whole; send it again.")
