"""Serves an edition to the artist's own phone: builds it, opens the door, builds again after an edit."""

from __future__ import annotations

import os
import secrets
import sys
import threading
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError
from mothermold.publish.building import build_site
from mothermold.publish.watching import slips, traces, trouble, watch
from mothermold.serve.doors import Doors
from mothermold.serve.inbox import Inbox
from mothermold.serve.reach import chosen_address, local_addresses
from mothermold.serve.server import PhoneServer
from mothermold.serve.shelf import Shelf
from mothermold.serve.square import square
from mothermold.view.editions import Edition

FIRST_PORT: Final = 8000
_PORTS_TRIED: Final = 50
Say = Callable[[str], None]


def serve_phone(book: Path, edition: Edition, say: Say, *, host: str | None = None, port: int | None = None) -> None:
    """Serves an edition on the local network until it is stopped.

    Args:
        book: The book's folder.
        edition: The edition.
        say: Tells the person at the computer something.
        host: The address to serve at; the likeliest unless given.
        port: The port; the first free one from 8000 unless given.

    Raises:
        RefusedError: The edition's folder holds a wider edition, or files that are not ours.
        CannotRunError: There is no local network, the address is not this computer's, or it could not be built.
    """
    inbox = Inbox(book)
    inbox.check()
    address = chosen_address(host)
    before = traces(book)
    say(build_site(book, edition, None).said)
    shelf = Shelf(book / "site" / edition, edition)
    stop = threading.Event()
    with open_server(address, port, shelf, inbox, say) as server:
        again = partial(_again, book, edition, server, say)
        watcher = threading.Thread(target=watch, args=(book, before, again, stop), daemon=True)
        try:
            say(introduction(edition, server.doors, [] if host else local_addresses(), colors=_has_colors()))
            watcher.start()
            server.serve_forever()
        except KeyboardInterrupt:
            stop.set()
    say(farewell(inbox.waiting()))


def open_server(address: str, port: int | None, shelf: Shelf, inbox: Inbox, say: Say) -> PhoneServer:
    """Binds the server, with a token nobody has seen yet, at the port asked for or the first free one.

    Raises:
        CannotRunError: None is free, or the address is not this computer's.
    """
    ports = range(FIRST_PORT, FIRST_PORT + _PORTS_TRIED) if port is None else (port,)
    problem: OSError | None = None
    for each in ports:
        try:
            return PhoneServer((address, each), shelf, inbox, secrets.token_urlsafe(24), say=say)
        except OSError as fault:
            problem = fault
    asked = f"port {port}" if port is not None else f"a port from {FIRST_PORT} to {FIRST_PORT + _PORTS_TRIED - 1}"
    reason = problem.strerror if problem is not None else ""
    raise CannotRunError(
        f"Nothing could be opened at {address}, {asked} ({reason}).\n"
        f"Addresses of this computer: {', '.join(local_addresses()) or 'none on a local network'}."
    ) from problem


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
        "Whoever has this square or address can read the whole edition and send runs to the inbox, as long as this\n"
        "runs; the next start makes a new one. The connection is not encrypted: use it on a network you trust, never\n"
        "on a guest or public one. Over it a phone keeps no pages for later and cannot keep its screen on; for\n"
        f"that, carry the book as one file: `mothermold build --for {edition} --one-file`.\n"
        "Stop it with Ctrl+C."
    )


def farewell(waiting: int) -> str:
    """What the terminal says at the end."""
    if not waiting:
        return "Stopped. The inbox is empty."
    runs, them = ("1 run lies", "it") if waiting == 1 else (f"{waiting} runs lie", "them")
    return f"Stopped. {runs} in the inbox; `mothermold bring` takes {them} in."


def _again(book: Path, edition: Edition, server: PhoneServer, say: Say) -> None:
    """Builds again after a change; where that cannot be done the old pages stay, and terminal and page say so."""
    try:
        built = build_site(book, edition, None)
    except Exception as problem:  # whatever state the book is in, the phone is served on
        server.trouble = trouble(problem)
        say(server.trouble)
    else:
        server.trouble = ""
        say("\n".join(filter(None, ("Built again: something changed.", slips(built.view.notices)))))


def _has_colors() -> bool:
    plain = "NO_COLOR" in os.environ or os.environ.get("TERM", "") == "dumb"
    understands = sys.platform != "win32" or "WT_SESSION" in os.environ
    return sys.stdout.isatty() and understands and not plain
