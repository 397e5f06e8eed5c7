"""Requests damaged at random: each is answered or hung up on, nothing is written by one, and no caller keeps a seat.

Seeded; `tools/test.py --all` runs 40 times 100 of them.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from contextlib import suppress
from http import HTTPStatus

import pytest

from campaigns.seeds import seeds
from mothermold.serve.desk_door import Filled
from mothermold.serve.replies import Reply, plain
from serve.callers import TOKEN, Caller, at_work

PIECES = (
    b"\r\n", b"\n", b"\r", b"\0", b" ", b"\t", b":", b"Content-Length: 5", b"Content-Length: 0", b"Transfer-Encoding: chunked",
    b"Host: x", b"%00", b"%2e%2e/", b"/", b"?", b"#", b"HTTP/1.0", b"HTTP/2.0", b"0\r\n\r\n", b"5\r\nhello\r\n",
    b"Expect: 100-continue", b"Upgrade: websocket", b"Connection: upgrade", b"Connection: close", b"Upgrade: h2c", b"\xff",
    b"GET ", b"POST ", b"CONNECT ", b"If-None-Match: *", b"Sec-Fetch-Site: cross-site", b"a=b", b"Cookie: mothermold_1=x", b"?token=",
)  # fmt: skip


class Closed:
    """A desk that has no pages and takes nothing."""

    def show(self, form: Filled) -> Reply | None:
        return plain(HTTPStatus.OK, form.said) if form.path == "new" else None

    def take(self, form: Filled) -> Reply:
        pytest.fail(f"{form.path} was taken")


@pytest.fixture(scope="module", params=[False, True], ids=["phone", "this computer"])
def at(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Caller]:
    with at_work(tmp_path_factory.mktemp("at"), alone=request.param, patience=0.3, desk=Closed()) as caller:
        yield caller


def damaged(line: bytes, chance: random.Random) -> bytes:
    for _ in range(chance.randint(1, 3)):
        place, way = chance.randrange(len(line) + 1), chance.random()
        if way < 0.5:
            line = line[:place] + chance.choice(PIECES) + line[place:]
        elif way < 0.7:
            line = line[:place] + line[place + chance.randint(1, 9) :]
        elif way < 0.85:
            line += line[place:]
        else:
            line = line[:place] + bytes([chance.randrange(256)]) + line[place + 1 :]
    return line


@pytest.mark.parametrize("seed", seeds(1, 12))
def test_whatever_comes_is_answered_or_hung_up_on(at: Caller, capfd: pytest.CaptureFixture[str], seed: int) -> None:
    chance = random.Random(seed)
    head = f"Host: {at.host}\r\nOrigin: http://{at.host}\r\nCookie: {at.cookie['Cookie']}\r\n"
    whole = [
        f"GET / HTTP/1.1\r\n{head}Connection: close\r\n\r\n".encode(),
        f"GET /?token={TOKEN} HTTP/1.1\r\nHost: {at.host}\r\nConnection: close\r\n\r\n".encode(),
        f"POST /inbox HTTP/1.1\r\n{head}Content-Type: text/yaml\r\nContent-Length: 8\r\n\r\nid: r-1\n".encode(),
        f"POST /desk/new HTTP/1.1\r\n{head}Content-Type: application/x-www-form-urlencoded\r\n"
        "Content-Length: 3\r\n\r\na=b".encode(),
    ]  # fmt: skip
    for _ in range(100):
        said, heard = damaged(chance.choice(whole), chance), b""
        with suppress(ConnectionError):  # hung up on while it was still speaking
            heard = at.raw(said)
        assert heard == b"" or heard.startswith((b"HTTP/1.1 1", b"HTTP/1.1 2", b"HTTP/1.1 3", b"HTTP/1.1 4")), said
    assert (at.said, at.runs, capfd.readouterr()) == ([], [], ("", ""))
    deadline = time.monotonic() + 4
    while at.server.seats.taken and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not at.server.seats.taken
    assert at.get("/")[0] == 200
