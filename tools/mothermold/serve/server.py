"""The server a phone on the local network reads an edition from and sends runs to.

Owns the protocol: what a request must look like, how long it may take, and how many may come at once. Who may in,
what is read, what is kept stand in ``doors``, ``shelf`` and ``inbox``.
"""

from __future__ import annotations

import io
import socket
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from socketserver import TCPServer
from typing import Any, Final

from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.serve.doors import Doors, Guesses
from mothermold.serve.inbox import MOST_BYTES, Inbox, InboxFullError
from mothermold.serve.replies import ALWAYS, COME_IN, SCAN, Reply, come_in, data, plain, threshold
from mothermold.serve.shelf import Shelf

INBOX: Final = "/inbox"
ALLOWED: Final = (("Allow", "GET, HEAD, POST"),)
MOST_CALLERS: Final = 32
MOST_FROM_ONE: Final = 16
"""Connections one address may hold, so that one device cannot shut the others out; a browser opens six."""
PATIENCE: Final = 10.0
"""Seconds a request may take to arrive, its head and its body each."""
_PIECE: Final = 64 * 1024
_KINDS: Final = ("text/yaml", "application/yaml")


class PhoneServer(ThreadingHTTPServer):
    """Serves one edition at one address."""

    daemon_threads = True
    block_on_close = False
    request_queue_size = MOST_CALLERS
    # On Windows this would let another program take the port over.
    allow_reuse_address = sys.platform != "win32"

    def __init__(
        self,
        place: tuple[str, int],
        shelf: Shelf,
        inbox: Inbox,
        token: str,
        *,
        say: Callable[[str], None],
        patience: float = PATIENCE,
        wait: Callable[[float], None] = time.sleep,
    ) -> None:
        """Binds the server.

        Args:
            place: The address and the port; 0 takes any that is free.
            shelf: What may be read.
            inbox: Where runs go.
            token: What opens the door.
            say: Tells the person at the computer something.
            patience: Seconds a request may take to arrive.
            wait: Waits before a wrong token is answered.

        Raises:
            OSError: The address is not this computer's, or the port is taken.
        """
        super().__init__(place, _Caller)
        self.doors = Doors(place[0], int(self.server_address[1]), token)
        self.shelf, self.inbox, self.say = shelf, inbox, say
        self.patience, self.wait = patience, wait
        self.guesses = Guesses()
        # Why the pages could not be made again after a change; empty where they could.
        self.trouble = ""
        self._seats: Counter[str] = Counter()
        self._seats_lock = threading.Lock()

    def server_bind(self) -> None:
        """Binds without asking the network for this computer's name."""
        TCPServer.server_bind(self)

    def process_request(self, request: Any, client_address: Any) -> None:
        """Takes a connection where there is room for one more, else hangs up."""
        caller = client_address[0]
        with self._seats_lock:
            room = self._seats.total() < MOST_CALLERS and self._seats[caller] < MOST_FROM_ONE
            if room:
                self._seats[caller] += 1
        if not room:
            self.shutdown_request(request)
            return
        try:
            super().process_request(request, client_address)
        except RuntimeError:
            self._stand_up(caller)
            raise

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """Answers a connection until it ends, then makes room again."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._stand_up(client_address[0])

    def _stand_up(self, caller: str) -> None:
        with self._seats_lock:
            self._seats[caller] -= 1
            if not self._seats[caller]:
                del self._seats[caller]

    def handle_error(self, request: Any, client_address: Any) -> None:  # noqa: ARG002 - the library names them
        """Says what went wrong in one line; a caller who hung up is no news."""
        problem = sys.exception()
        if not isinstance(problem, OSError):
            self.say(f"A request could not be answered ({type(problem).__name__}).")


class _PatientStream(io.RawIOBase):
    """Reads from a connection until a point in time, however little comes at once."""

    def __init__(self, connection: socket.socket) -> None:
        self._connection = connection
        self.until = 0.0

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        left = self.until - time.monotonic()
        if left <= 0:
            raise TimeoutError
        self._connection.settimeout(left)
        return self._connection.recv_into(buffer)


class _Caller(BaseHTTPRequestHandler):
    """Answers the requests of one connection."""

    server: PhoneServer
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True
    command: str = ""

    def setup(self) -> None:
        super().setup()
        self._stream = _PatientStream(self.connection)
        self.rfile = io.BufferedReader(self._stream)

    def handle_one_request(self) -> None:
        self._hurry(self.server.patience)
        super().handle_one_request()

    def _hurry(self, seconds: float) -> None:
        self._stream.until = time.monotonic() + seconds

    def do_GET(self) -> None:
        """Answers who wants to read."""
        self._send(self._meet() or self._read())

    def do_HEAD(self) -> None:
        """The same without the bytes."""
        self.do_GET()

    def do_POST(self) -> None:
        """Answers who wants to send a run."""
        self._send(self._meet() or self._take())

    def _meet(self) -> Reply | None:
        """Whether the request means this server, and its browser was let in; what it hears else."""
        doors, caller = self.server.doors, self.client_address[0]
        if not doors.is_here(self.headers.get_all("Host", [])):
            return plain(HTTPStatus.MISDIRECTED_REQUEST, "This server is known by another address.")
        if not self.path.startswith("/"):
            return plain(HTTPStatus.BAD_REQUEST, "That is not an address of this server.")
        path, _, query = self.path.partition("?")
        if self.command != "POST":
            if self.headers.get_all("Transfer-Encoding") or self.headers.get("Content-Length", "0") != "0":
                return plain(HTTPStatus.BAD_REQUEST, "Reading a page sends nothing along.")
            if tokens := doors.tokens_in(query):
                return self._judge(tokens) or come_in(doors.mark, doors.cookie)
            if path == COME_IN:
                return threshold()
        cookies = doors.cookies_in(self.headers.get_all("Cookie", []))
        if doors.opens(cookies):
            self.server.guesses.right(caller)
            return None
        return self._judge(cookies) if cookies else self._turn_away()

    def _judge(self, shown: list[str]) -> Reply | None:
        caller = self.client_address[0]
        if self.server.doors.opens(shown):
            self.server.guesses.right(caller)
            return None
        if seconds := self.server.guesses.wrong(caller):
            self.server.wait(seconds)
        return self._turn_away()

    def _turn_away(self) -> Reply:
        if self.path.partition("?")[0] == INBOX:
            return data(HTTPStatus.FORBIDDEN, {"message": SCAN})
        return plain(HTTPStatus.FORBIDDEN, SCAN)

    def _read(self) -> Reply:
        path = self.path.partition("?")[0]
        if path == INBOX:
            return data(HTTPStatus.OK, {"inbox": True})
        return self.server.shelf.reply(path, self.headers.get("If-None-Match"), self.server.trouble)

    def _take(self) -> Reply:
        if self.path != INBOX:
            return plain(HTTPStatus.METHOD_NOT_ALLOWED, "Here you can only read.", extra=(("Allow", "GET, HEAD"),))
        if not self.server.doors.is_own(self.headers.get_all("Origin", [])):
            return data(HTTPStatus.FORBIDDEN, {"message": "Only a page of this book can send runs here."})
        if self.headers.get_all("X-Mothermold") != ["run"]:
            return data(HTTPStatus.FORBIDDEN, {"message": "Only the bench view can send runs here."})
        if not _is_yaml(self.headers.get_all("Content-Type", [])):
            return data(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, {"message": "A run is sent as YAML text in UTF-8."})
        lengths = self.headers.get_all("Content-Length", [])
        if self.headers.get_all("Transfer-Encoding") or not lengths:
            return data(HTTPStatus.LENGTH_REQUIRED, {"message": "A run is sent in one piece, with its length."})
        if len(lengths) > 1 or not (lengths[0].isascii() and lengths[0].isdigit()) or len(lengths[0]) > 12:
            return data(HTTPStatus.BAD_REQUEST, {"message": "The length of what was sent is not a number."})
        if (length := int(lengths[0])) > MOST_BYTES:
            told = f"A run may have {MOST_BYTES // 1024} KB; this one has {length // 1024}."
            return data(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, {"message": told})
        self._hurry(self.server.patience)
        try:
            body = self.rfile.read(length)
        except TimeoutError:
            return data(HTTPStatus.REQUEST_TIMEOUT, {"message": "The run did not arrive in time; send it again."})
        return self._keep(body, length)

    def _keep(self, body: bytes, length: int) -> Reply:
        try:
            text = body.decode("utf-8")
        except UnicodeDecodeError:
            text = ""
        if len(body) != length or not text.strip() or "\0" in text:
            return data(HTTPStatus.BAD_REQUEST, {"message": "The run did not arrive whole; send it again."})
        try:
            kept = self.server.inbox.keep(text)
        except InboxFullError as full:
            return data(HTTPStatus.INSUFFICIENT_STORAGE, {"message": str(full)})
        except (CannotRunError, RefusedError, OSError) as problem:
            self.server.say(f"A run that came in could not be kept: {problem}")
            told = "The computer could not keep the run; its screen says why."
            return data(HTTPStatus.INTERNAL_SERVER_ERROR, {"message": told})
        if kept.new:
            self.server.say(f"A run came in: {kept.name}, from {self.client_address[0]}.")
        return data(HTTPStatus.CREATED if kept.new else HTTPStatus.OK, {"kept": kept.name})

    def _send(self, reply: Reply) -> None:
        # After a refusal, or a body, nothing on this connection can be trusted to be where a request begins.
        self.close_connection |= reply.status >= HTTPStatus.BAD_REQUEST or self.command not in ("GET", "HEAD")
        self.send_response_only(reply.status)
        for name, value in (*ALWAYS, *reply.headers):
            self.send_header(name, value)
        if reply.status != HTTPStatus.NOT_MODIFIED:
            self.send_header("Content-Type", reply.kind)
            self.send_header("Content-Length", str(len(reply.body)))
        if self.close_connection:
            self.send_header("Connection", "close")
        self.connection.settimeout(self.server.patience)
        self.end_headers()
        if self.command != "HEAD":
            for start in range(0, len(reply.body), _PIECE):
                self.connection.settimeout(self.server.patience)
                self.wfile.write(reply.body[start : start + _PIECE])
        if self.command not in ("GET", "HEAD"):
            self._hear_out()

    def _hear_out(self) -> None:
        # Hanging up on somebody who still speaks would lose them our answer.
        self._hurry(min(2.0, self.server.patience))
        with suppress(OSError):
            self.connection.shutdown(socket.SHUT_WR)
            left = 4 * MOST_BYTES
            while left > 0 and (piece := self.rfile.read1(_PIECE)):
                left -= len(piece)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:  # noqa: ARG002 - the library names them
        """What the library finds wrong with a request, in our words."""
        if code == HTTPStatus.NOT_IMPLEMENTED:
            self._send(plain(HTTPStatus.METHOD_NOT_ALLOWED, "Here you can only read.", extra=ALLOWED))
            return
        self.close_connection = True
        self._send(plain(HTTPStatus(code), "This server does not understand that request."))

    def log_message(self, *words: Any) -> None:
        """Says nothing; only a run that comes in is news."""


def _is_yaml(kinds: list[str]) -> bool:
    if len(kinds) != 1:
        return False
    kind, *settings = (part.strip().lower() for part in kinds[0].split(";"))
    return kind in _KINDS and all(setting.replace('"', "") in ("", "charset=utf-8") for setting in settings)
