"""The one server, for this computer alone and for a phone in the same room: uvicorn, with an end to all waiting.

Why not waitress: it takes a body whole before anyone may refuse it, has no time by which a request must be there, no
bound for one caller, and refuses in its own words. uvicorn lets all of that be said in one small class, and is kept.
Starlette stays out: its router and its forms would do less than the table in ``rooms`` and its guards.
"""

from __future__ import annotations

import asyncio
import socket
from collections import Counter
from contextlib import suppress
from http import HTTPStatus
from types import TracebackType
from typing import Any, Final, cast

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from mothermold.serve.asked import HEAR_OUT
from mothermold.serve.heads import Heads
from mothermold.serve.replies import ALWAYS, plain
from mothermold.serve.rooms import LONGEST_HEAD, Rooms

MOST_CALLERS: Final = 32
MOST_FROM_ONE: Final = 16
"""Connections one address may hold, so that one device cannot shut the others out; a browser opens six."""
_FAREWELL: Final = 2
"""Seconds an answer under way still has when the server is stopped."""


class Seats:
    """Who holds how many connections."""

    def __init__(self) -> None:
        self.taken: Counter[str] = Counter()

    def take(self, caller: str) -> bool:
        """Whether there was room for one more of a caller."""
        room = self.taken.total() < MOST_CALLERS and self.taken[caller] < MOST_FROM_ONE
        self.taken[caller] += room
        return room

    def leave(self, caller: str) -> None:
        """Makes room again."""
        self.taken -= Counter([caller])


class Server:
    """Serves some rooms at some sockets."""

    def __init__(self, rooms: Rooms, sockets: list[socket.socket]) -> None:
        self.rooms, self.seats = rooms, Seats()
        self._sockets = sockets
        self._uvicorn = uvicorn.Server(
            uvicorn.Config(
                rooms,
                loop="asyncio",
                http=cast("Any", lambda **given: _Caller(self, **given)),
                ws="none",
                lifespan="off",
                interface="asgi3",
                log_config=None,
                log_level="critical",
                access_log=False,
                # Nobody stands between us and the caller who could say truly whom he speaks for.
                proxy_headers=False,
                server_header=False,
                date_header=False,
                backlog=MOST_CALLERS,
                timeout_graceful_shutdown=_FAREWELL,
                h11_max_incomplete_event_size=LONGEST_HEAD,
            )
        )

    def serve(self) -> None:
        """Answers until it is stopped, by Ctrl+C too."""
        with suppress(KeyboardInterrupt):
            self._uvicorn.run(self._sockets)

    def stop(self) -> None:
        """Ends it from another thread."""
        self._uvicorn.should_exit = True

    def __enter__(self) -> Server:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        for each in self._sockets:
            each.close()


class _Caller(H11Protocol):
    """One connection: it has a seat or is hung up on, and a time by which its next request must be there."""

    def __init__(self, house: Server, **given: Any) -> None:
        super().__init__(**given)
        self._house = house
        self._end: asyncio.TimerHandle | None = None
        self._seat: str | None = None
        self._refused = False
        self._heads = Heads()

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        caller = self.client[0] if self.client else ""
        if not self._house.seats.take(caller):
            transport.abort()
            return
        self._seat = caller
        self._hurry()

    def connection_lost(self, exc: Exception | None) -> None:
        self._calm()
        if self._seat is not None:
            self._house.seats.leave(self._seat)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        if self._refused:
            return
        if self._heads.is_odd(data):
            self.send_400_response("")
        else:
            super().data_received(data)

    def handle_events(self) -> None:
        before = self.cycle
        super().handle_events()
        if self.cycle is not before:
            self._calm()

    def on_response_complete(self) -> None:
        self._hurry()
        super().on_response_complete()

    def pause_writing(self) -> None:
        self._hurry()
        super().pause_writing()

    def resume_writing(self) -> None:
        if self.cycle is not None and not self.cycle.response_complete:
            self._calm()
        super().resume_writing()

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002 - uvicorn names it; we have words of our own
        reply = plain(HTTPStatus.BAD_REQUEST, "This server does not understand that request.")
        headers = [*ALWAYS, *reply.headers, ("Content-Type", reply.kind), ("Connection", "close")]
        if self.cycle is not None:
            # Whoever was about to answer what came before the nonsense need not any more.
            self.cycle.disconnected = True
            self.cycle.message_event.set()
        with suppress(h11.LocalProtocolError):  # an answer is under way already
            head = h11.Response(status_code=reply.status, headers=headers, reason=reply.status.phrase.encode())
            for event in (head, h11.Data(data=reply.body), h11.EndOfMessage()):
                self.transport.write(self.conn.send(event) or b"")
        # Hanging up on somebody who still speaks would lose them our answer: what comes now is heard, and not listened to.
        self._refused = True
        self.transport.write_eof()
        self._hurry(min(HEAR_OUT, self._house.rooms.patience))

    def _hurry(self, seconds: float | None = None) -> None:
        self._calm()
        self._end = self.loop.call_later(seconds or self._house.rooms.patience, self.transport.abort)

    def _calm(self) -> None:
        if self._end is not None:
            self._end.cancel()
            self._end = None
