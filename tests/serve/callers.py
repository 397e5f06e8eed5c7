"""A server at work in a test, and a caller that says to it exactly what it is told to say."""

from __future__ import annotations

import http.client
import json
import re
import socket
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from playwright.sync_api import Browser

from browser import Watched, watched
from mothermold.serve.desk_door import Desk
from mothermold.serve.doors import Doors
from mothermold.serve.inbox import Inbox
from mothermold.serve.page_door import News
from mothermold.serve.rooms import Holdings, Rooms
from mothermold.serve.server import Server
from mothermold.serve.serving import open_server
from mothermold.serve.source import name_in

TOKEN = "a-token-of-these-tests-only-4567"
RUN = "id: r-2026-04-02-cheek-2\nkind: run\nrecipe: cast/cheek@2\n"
SECRET = "what only the owner may read"


@dataclass(frozen=True)
class Laid:
    """Files laid out in a folder for reading, and no others."""

    folder: Path

    def read(self, path: str) -> tuple[str, bytes] | None:
        name = name_in(path)
        file = self.folder / (name or "")
        return (name, file.read_bytes()) if name and file.is_file() else None


@dataclass
class Caller:
    """A server at work, and a caller that says exactly what it is told to say."""

    server: Server
    book: Path
    said: list[str]
    waited: list[float]
    news: News
    doors: Doors = field(init=False)
    host: str = field(init=False)

    def __post_init__(self) -> None:
        self.doors = self.server.rooms.doors
        self.host = self.doors.place
        self.cookie = {"Cookie": f"mothermold_{self.doors.port}={TOKEN}"}

    def ask(
        self, method: str, path: str, headers: dict[str, str] | None = None, body: bytes | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        caller = http.client.HTTPConnection(self.doors.host, self.doors.port, timeout=5)
        caller.putrequest(method, path, skip_host="Host" in (headers or {}), skip_accept_encoding=True)
        for name, value in (headers or {}).items():
            caller.putheader(name, value)
        caller.endheaders(body)
        answer = caller.getresponse()
        told = (answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read())
        caller.close()
        return told

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        return self.ask("GET", path, {**self.cookie, **{key.replace("_", "-"): text for key, text in headers.items()}})

    def send(
        self, text: str | bytes = RUN, without: tuple[str, ...] = (), **other: str
    ) -> tuple[int, dict[str, object]]:
        body = text if isinstance(text, bytes) else text.encode()
        headers = {
            **self.cookie,
            "Origin": f"http://{self.host}",
            "X-Mothermold": "run",
            "Content-Type": "text/yaml; charset=utf-8",
            "Content-Length": str(len(body)),
        }
        headers |= {key.replace("_", "-"): value for key, value in other.items()}
        status, _, answer = self.ask(
            "POST", "/inbox", {key: value for key, value in headers.items() if key not in without}, body
        )
        # What the protocol itself refuses hears a page, whoever asks.
        sentence = re.search(rb"<h1>(.*)</h1>", answer)
        return status, {"message": sentence[1].decode()} if sentence else json.loads(answer)

    def raw(self, text: bytes) -> bytes:
        with socket.create_connection((self.doors.host, self.doors.port), timeout=5) as line:
            line.sendall(text)
            heard = b""
            while piece := line.recv(65536):
                heard += piece
            return heard

    @property
    def runs(self) -> list[str]:
        return sorted(path.name for path in (self.book / "inbox").glob("[!.]*"))


@contextmanager
def running(server: Server) -> Iterator[Server]:
    """Lets a server serve while it lasts."""
    thread = threading.Thread(target=server.serve)
    thread.start()
    try:
        yield server
    finally:
        server.stop()
        thread.join()


@contextmanager
def come_in(chromium: Browser, holdings: Holdings, *, alone: bool = False, **how: Any) -> Iterator[Watched]:
    """Opens a server and a browser that came in by its printed address.

    Args:
        chromium: The browser.
        holdings: What the server opens.
        alone: Whether it is for this computer alone.
        how: How the browser's window is, as `watched` takes it.
    """
    with open_server("127.0.0.1", None, holdings, lambda _said: None, alone=alone) as server, running(server):
        home = f"{server.rooms.doors.origin}/"
        with watched(chromium, home, **how) as seen:
            seen.page.goto(server.rooms.doors.invitation)
            seen.page.wait_for_url(home)
            yield seen


@contextmanager
def at_work(
    book: Path,
    *,
    host: str = "127.0.0.1",
    patience: float = 0.4,
    alone: bool = False,
    desk: Desk | None = None,
    sends: Callable[[Inbox, Callable[[str], None]], Desk] | None = None,
    more: Mapping[str, bytes] = MappingProxyType({}),
) -> Iterator[Caller]:
    files = {
        "index.html": '<!doctype html><title>Cheek book</title><script src="a.js"></script><p id="b">waiting</p>',
        "a.js": (
            'fetch("inbox").then((a) => a.json()).then((told) => fetch("inbox", {method: "POST", headers: '
            '{"X-Mothermold": "run", "Content-Type": "text/yaml; charset=utf-8"}, body: "id: r-from-a-phone\\n"}))'
            '.then((a) => a.json()).then((told) => { document.getElementById("b").textContent = told.kept; });'
        ),
        "recipes/cast/cheek.html": "<p>Cheek</p>",
        "versions/cast/cheek@2.html": "<p>Cheek 2</p>",
        "assets/square.woff2": "wOF2",
        "photos/p.webp": "RIFF",
        "drawings/x.svg": "<svg/>",
    }
    site = book / "site" / "public"
    for name, text in files.items():
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_text(text, encoding="utf-8")
    for name, data in more.items():
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_bytes(data)
    # What lies about and no page leads to.
    (site / ".hidden.html").write_text(SECRET, encoding="utf-8")
    (book / "site" / "private").mkdir(exist_ok=True)
    (book / "site" / "private" / "own.html").write_text(SECRET, encoding="utf-8")
    (book / "secret.txt").write_text(SECRET, encoding="utf-8")
    said: list[str] = []
    waited: list[float] = []
    news = News()

    async def wait(seconds: float) -> None:
        waited.append(seconds)

    sock = socket.create_server((host, 0))
    doors = Doors(host, sock.getsockname()[1], TOKEN, alone)
    inbox = Inbox(book)
    sending = sends(inbox, said.append) if sends is not None else None
    holdings = Holdings(Laid(site), news, None if alone else inbox, desk, sending)
    rooms = Rooms(doors, holdings, say=said.append, patience=patience, wait=wait)
    with Server(rooms, [sock]) as server, running(server):
        yield Caller(server, book, said, waited, news)
