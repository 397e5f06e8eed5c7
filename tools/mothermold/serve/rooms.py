"""The rooms of the server: a table of addresses with who answers there, and whom a request has to pass before.

An ASGI application: it knows requests and answers, and neither sockets nor files. Who may in is decided by ``doors``.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any, Final

from mothermold.serve.asked import Asked, Received
from mothermold.serve.away_door import AWAY_PATH, AwayDoor
from mothermold.serve.desk_door import PREFIX, Desk, DeskDoor
from mothermold.serve.doors import Doors, Guesses
from mothermold.serve.inbox import MOST_BYTES, Inbox
from mothermold.serve.inbox_door import INBOX, InboxDoor
from mothermold.serve.page_door import FOLLOW, FOLLOW_SCRIPT, News, PageDoor
from mothermold.serve.print_door import PRINT, PrintDoor
from mothermold.serve.replies import ALWAYS, COME_IN, Reply, led_to, message, plain, threshold
from mothermold.serve.source import Source

PATIENCE: Final = 10.0
"""Seconds a request may take to arrive, its head and its body each, and a piece of an answer to be fetched."""
SENDS: Final = "/send/"
"""Where a phone's own forms are."""
LONGEST_HEAD: Final = 32 * 1024
_PIECE: Final = 64 * 1024
_NO_LETTER: Final = re.compile(r"%(?:[01][0-9a-f]|7f|(?![0-9a-f]{2}))", re.IGNORECASE)
Answers = Callable[[Asked], Awaitable[Reply]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]


@dataclass(frozen=True, slots=True)
class Holdings:
    """What a server opens to whoever may come in.

    Attributes:
        source: The pages.
        news: How they stand.
        inbox: Where a phone's runs go; None where nobody may send any.
        desk: What writes the book; None where nobody may. Only who serves this computer alone has one.
        sends: What takes what is written on a phone's pages, for the inbox; None where nobody may send any.
        prints: What makes handouts; None where nobody gets any.
        away: What makes files to take away; None where nobody gets any.
    """

    source: Source
    news: News
    inbox: Inbox | None = None
    desk: Desk | None = None
    sends: Desk | None = None
    prints: PrintDoor | None = None
    away: AwayDoor | None = None


@dataclass(frozen=True, slots=True)
class Route:
    """An address and who answers there.

    Attributes:
        path: The address; where it ends in a stroke, all below it too.
        read: Who answers who wants to read.
        take: Who answers who sends something; None where it can only be read.
        refuse: How a refusal is said there.
    """

    path: str
    read: Answers
    take: Answers | None = None
    refuse: Callable[[HTTPStatus, str], Reply] = plain


class Rooms:
    """Answers the requests of one server."""

    def __init__(
        self,
        doors: Doors,
        holdings: Holdings,
        *,
        say: Callable[[str], None],
        patience: float = PATIENCE,
        wait: Callable[[float], Awaitable[None]] = asyncio.sleep,
    ) -> None:
        """Opens the rooms.

        Args:
            doors: Who may come in.
            holdings: What there is.
            say: Tells the person at the computer something.
            patience: Seconds a request may take to arrive.
            wait: Waits before a wrong token is answered.
        """
        self.doors, self.say, self.patience, self.wait = doors, say, patience, wait
        self.guesses = Guesses()
        pages = PageDoor(holdings.source, holdings.news, doors.alone)
        rooms = []
        if doors.alone:
            rooms += [Route(FOLLOW, pages.turn, refuse=message), Route(FOLLOW_SCRIPT, pages.script)]
            if holdings.desk is not None:
                desk = DeskDoor(holdings.desk, doors.token, say)
                rooms.append(Route(PREFIX, desk.read, desk.take))
        elif holdings.inbox is not None:
            inbox = InboxDoor(holdings.inbox, say)
            rooms.append(Route(INBOX, inbox.read, inbox.take, message))
            if holdings.sends is not None:
                sends = DeskDoor(holdings.sends, doors.token, say, prefix=SENDS, most=MOST_BYTES)
                rooms.append(Route(SENDS, sends.read, sends.take))
        if holdings.prints is not None:
            rooms.append(Route(PRINT, holdings.prints.read))
        if holdings.away is not None:
            rooms.append(Route(AWAY_PATH, holdings.away.read))
        self.table = (*rooms, Route("/", pages.read))
        self._cookies = (doors.cookie,) if doors.alone else (doors.mark, doors.cookie)

    async def __call__(self, scope: MutableMapping[str, Any], receive: Received, send: Send) -> None:
        """Answers one request."""
        asked = Asked(scope, receive, self.patience)
        try:
            reply = await self._answer(asked)
        except Exception as problem:  # the next request is answered all the same
            self.say(f"A request could not be answered ({type(problem).__name__}).")
            reply = plain(HTTPStatus.INTERNAL_SERVER_ERROR, "The computer could not answer that.")
        await _send(asked, reply, send)

    async def _answer(self, asked: Asked) -> Reply:
        if (refusal := self._odd(asked)) is not None:
            return refusal
        if asked.reads:
            if tokens := self.doors.tokens_in(asked.query):
                return await self._judged(asked, tokens, plain) or led_to(COME_IN, *self._cookies)
            if asked.path == COME_IN:
                return threshold()
        room = self._room(asked.path)
        if (refusal := await self._judged(asked, self.doors.cookies_in(asked.all("Cookie")), room.refuse)) is not None:
            return refusal
        if self.doors.is_pulled(asked.all("Sec-Fetch-Site"), asked.all("Sec-Fetch-Mode")):
            return room.refuse(HTTPStatus.FORBIDDEN, "Only a page of this book can have that.")
        if asked.reads:
            return await room.read(asked)
        if room.take is None:
            return plain(HTTPStatus.METHOD_NOT_ALLOWED, "Here you can only read.", extra=(("Allow", "GET, HEAD"),))
        return await room.take(asked)

    def _odd(self, asked: Asked) -> Reply | None:
        """What a request hears that no page of ours and no browser in its senses would make."""
        if not self.doors.is_here(asked.all("Host")):
            return plain(HTTPStatus.MISDIRECTED_REQUEST, "This server is known by another address.")
        doubled = asked.all("Transfer-Encoding") and asked.all("Content-Length")
        if doubled or asked.version not in ("1.0", "1.1") or asked.length > LONGEST_HEAD:
            return plain(HTTPStatus.BAD_REQUEST, "This server does not understand that request.")
        if not asked.path.startswith("/") or _NO_LETTER.search(asked.path):
            return plain(HTTPStatus.BAD_REQUEST, "That is not an address of this server.")
        if not asked.reads and asked.method != "POST":
            allowed = (("Allow", "GET, HEAD, POST"),)
            return plain(HTTPStatus.METHOD_NOT_ALLOWED, "Here you can only read.", extra=allowed)
        if asked.reads and asked.carries():
            return plain(HTTPStatus.BAD_REQUEST, "Reading a page sends nothing along.")
        return None

    def _room(self, path: str) -> Route:
        return next(
            room for room in self.table if path == room.path or (room.path[-1] == "/" and path.startswith(room.path))
        )

    async def _judged(self, asked: Asked, shown: list[str], refuse: Callable[[HTTPStatus, str], Reply]) -> Reply | None:
        """What somebody hears who does not show the token; who shows a wrong one again and again hears it later."""
        if self.doors.opens(shown):
            self.guesses.right(asked.caller)
            return None
        if shown and (seconds := self.guesses.wrong(asked.caller)):
            await self.wait(seconds)
        return refuse(HTTPStatus.FORBIDDEN, self.doors.advice)


async def _send(asked: Asked, reply: Reply, send: Send) -> None:
    own = {name for name, _ in reply.headers}
    headers = [*((name, value) for name, value in ALWAYS if name not in own), *reply.headers]
    if reply.status != HTTPStatus.NOT_MODIFIED:
        headers += [("Content-Type", reply.kind), ("Content-Length", str(len(reply.body)))]
    # After a refusal, or a body, nothing on this connection can be trusted to be where a request begins.
    if reply.status >= HTTPStatus.BAD_REQUEST or not asked.reads:
        headers.append(("Connection", "close"))
    await send(
        {
            "type": "http.response.start",
            "status": int(reply.status),
            "headers": [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in headers],
        }
    )
    for start in range(0, len(reply.body), _PIECE):
        piece = reply.body[start : start + _PIECE]
        await send({"type": "http.response.body", "body": piece, "more_body": True})
    if not asked.reads:
        await asked.hear_out()
    await send({"type": "http.response.body", "body": b""})
