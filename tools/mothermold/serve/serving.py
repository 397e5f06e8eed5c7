"""Serves an edition to this computer alone or to the artist's own phone: opens the door, and follows the book."""

from __future__ import annotations

import os
import secrets
import socket
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError
from mothermold.handouts.printing import with_prints
from mothermold.pages.desk.paper import SEND
from mothermold.pages.desk.write_here import AT_DESK, TO_SEND, Writing
from mothermold.pages.page import Page
from mothermold.publish.carried.away import with_away
from mothermold.publish.watching import watch
from mothermold.serve.away_door import AwayDoor
from mothermold.serve.desk_rooms.table import DeskRooms
from mothermold.serve.doors import Doors
from mothermold.serve.inbox import Inbox
from mothermold.serve.living import LivingPages, Say
from mothermold.serve.print_door import PrintDoor
from mothermold.serve.reach import chosen_address, local_addresses
from mothermold.serve.rooms import Holdings, Rooms
from mothermold.serve.send_rooms.table import send_rooms
from mothermold.serve.server import MOST_CALLERS, Server
from mothermold.serve.square import square
from mothermold.view.editions import Edition
from mothermold.view.view import View

ALONE: Final = "127.0.0.1"
FIRST_PORT: Final = 8000
_PORTS_TRIED: Final = 50
_LOOKS_ON: Final = 20.0
"""Seconds in which a look under way may end when the server is stopped."""


def serve_here(book: Path, edition: Edition, say: Say, *, read_only: bool = False) -> None:
    """Serves an edition to this computer alone until it is stopped.

    Args:
        book: The book's folder.
        edition: The edition.
        say: Tells the person at the computer something.
        read_only: Whether nothing of the book can be written from its pages; only its private edition, which is the owner's,
            is written from them.

    Raises:
        CannotRunError: No port is free, or nothing could be made of the book.
    """
    say(f"Opening the {edition} edition ...")
    writes = AT_DESK if edition == "private" and not read_only else None
    with _opened(book, edition, say, writes=writes) as pages:
        holdings = Holdings(
            pages,
            pages.news,
            prints=PrintDoor(pages.view),
            away=AwayDoor(edition, pages.edition),
            desk=DeskRooms(pages.view, pages.hang_form) if writes else None,
        )
        with open_server(ALONE, None, holdings, say, alone=True) as server:
            say(
                f"The {edition} edition is at {server.rooms.doors.invitation}\n"
                "for this computer alone. Stop it with Ctrl+C."
            )
            _serve(pages, server)
    say("Stopped.")


def serve_phone(book: Path, edition: Edition, say: Say, *, host: str | None = None, port: int | None = None) -> None:
    """Serves an edition on the local network until it is stopped.

    Args:
        book: The book's folder.
        edition: The edition.
        say: Tells the person at the computer something.
        host: The address to serve at; the likeliest unless given.
        port: The port; the first free one from 8000 unless given.

    Raises:
        CannotRunError: There is no local network, the address is not this computer's, or nothing could be made of the book.
    """
    inbox = Inbox(book)
    inbox.check()
    address = chosen_address(host)
    say(f"Opening the {edition} edition ...")
    with _opened(book, edition, say, writes=TO_SEND) as pages:
        sends = DeskRooms(pages.view, pages.hang_form, send_rooms(inbox, say), SEND)
        holdings = Holdings(
            pages,
            pages.news,
            inbox,
            sends=sends,
            prints=PrintDoor(pages.view),
            away=AwayDoor(edition, pages.edition),
        )
        with open_server(address, port, holdings, say) as server:
            say(introduction(edition, server.rooms.doors, [] if host else local_addresses(), colors=_has_colors()))
            _serve(pages, server)
    say(farewell(inbox.waiting()))


def open_server(address: str, port: int | None, holdings: Holdings, say: Say, *, alone: bool = False) -> Server:
    """Binds the server, with a token nobody has seen yet, at the port asked for or the first free one.

    Args:
        address: The address, in figures.
        port: The port; the first free one from 8000 unless given.
        holdings: What is opened.
        say: Tells the person at the computer something.
        alone: Whether the address is one only this computer can reach, so that whoever comes is its owner.

    Raises:
        CannotRunError: None is free, or the address is not this computer's.
    """
    ports = range(FIRST_PORT, FIRST_PORT + _PORTS_TRIED) if port is None else (port,)
    problem: OSError | None = None
    for each in ports:
        try:
            sockets = [socket.create_server((address, each), backlog=MOST_CALLERS)]
        except OSError as fault:
            problem = fault
            continue
        bound = sockets[0].getsockname()[1]
        if alone:
            with suppress(OSError):
                sockets.append(socket.create_server(("::1", bound), family=socket.AF_INET6, backlog=MOST_CALLERS))
        doors = Doors(address, bound, secrets.token_urlsafe(24), alone)
        return Server(Rooms(doors, holdings, say=say), sockets)
    asked = f"port {port}" if port is not None else f"a port from {FIRST_PORT} to {FIRST_PORT + _PORTS_TRIED - 1}"
    reason = problem.strerror if problem is not None else ""
    raise CannotRunError(
        f"Nothing could be opened at {address}, {asked} ({reason}).\n"
        f"Addresses of this computer: {', '.join(local_addresses()) or 'none on a local network'}."
    ) from problem


@contextmanager
def _opened(book: Path, edition: Edition, say: Say, *, writes: Writing | None = None) -> Iterator[LivingPages]:
    """The pages of an edition, whose errors are told; what stands around them is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="mothermold-served-", ignore_cleanup_errors=True) as folder:
        pages = LivingPages(book, edition, Path(folder), say, writes=writes, dress=_dressed)
        if told := pages.told():
            say(told)
        yield pages


def _dressed(view: View, page: Page) -> Page:
    """A page with what can be printed and taken away from there above it."""
    return with_prints(view, with_away(view, page))


def _serve(pages: LivingPages, server: Server) -> None:
    """Serves until the server is stopped; what changes meanwhile is told, whether or not anybody asks for a page."""
    stop = threading.Event()
    watcher = threading.Thread(target=watch, args=(pages.look, stop), daemon=True)
    watcher.start()
    try:
        server.serve()
    finally:
        stop.set()
        watcher.join(_LOOKS_ON)


def introduction(edition: Edition, doors: Doors, addresses: list[str], *, colors: bool) -> str:
    """What the terminal says when the door is open.

    Args:
        edition: What is served.
        doors: The server's own address and token.
        addresses: All addresses of this computer, where none was named.
        colors: Whether the terminal understands color marks.
    """
    others = [each for each in addresses if each != doors.host]
    more = f"If the phone finds nothing there: this computer is also {', '.join(others)}; see `--host`.\n"
    return (
        f"The {edition} edition is open to a phone on this network. Point its camera at the square:\n\n"
        f"{square(doors.invitation, colors=colors)}\n\n"
        f"or type {doors.invitation}\n{more if others else ''}\n"
        "Whoever has this square or address can read the whole edition and send runs, failure notes, lots and photos to\n"
        "the inbox, as long as this runs; the next start makes a new one. The connection is not encrypted: use it on a\n"
        "network you trust, never on a guest or public one. Over it a phone keeps no pages for later and cannot keep its\n"
        f"screen on; for that, carry the book as one file: `mothermold build --for {edition} --one-file`.\n"
        "Stop it with Ctrl+C."
    )


def farewell(waiting: int) -> str:
    """What the terminal says at the end."""
    if not waiting:
        return "Stopped. The inbox is empty."
    files, them = ("1 file lies", "it") if waiting == 1 else (f"{waiting} files lie", "them")
    return f"Stopped. {files} in the inbox; `mothermold bring` takes {them} in."


def _has_colors() -> bool:
    plain = "NO_COLOR" in os.environ or os.environ.get("TERM", "") == "dumb"
    understands = sys.platform != "win32" or "WT_SESSION" in os.environ
    return sys.stdout.isatty() and understands and not plain
