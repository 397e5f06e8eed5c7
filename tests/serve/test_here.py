"""The server for this computer alone: who may read the private edition, and that a page open in the browser follows the book."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from http.cookiejar import CookieJar
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser import watched
from mothermold.cli.main import main
from mothermold.desk.founding import found_book
from mothermold.publish.offline import WORKER, forgetting_worker
from mothermold.serve import server as server_module
from mothermold.serve.heads import Heads
from serve.callers import TOKEN, Caller, at_work

ROOT = Path(__file__).resolve().parents[2]
OPEN = "Open the address that stands in the terminal"


@pytest.fixture
def here(tmp_path: Path) -> Iterator[Caller]:
    with at_work(tmp_path, alone=True) as at:
        yield at


@pytest.fixture(scope="module")
def steady(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Caller]:
    """One server for the tests that leave nothing behind."""
    with at_work(tmp_path_factory.mktemp("steady"), alone=True) as at:
        yield at


# Who may in


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost", "[::1]"])
def test_what_a_computer_calls_itself_is_answered(steady: Caller, name: str) -> None:
    status, _, body = steady.ask("GET", "/", {**steady.cookie, "Host": f"{name}:{steady.doors.port}"})
    assert (status, b"Cheek book" in body) == (200, True)


@pytest.mark.parametrize(
    "host",
    [
        "rebound.test:{port}", "rebound.test", "localhost", "127.0.0.1", "[::1]", "127.0.0.1:1", "localhost:80", "::1:{port}",
        "localhost.:{port}", "localhost.rebound.test:{port}", "127.0.0.2:{port}", "0.0.0.0:{port}", "[::]:{port}",
        "127.1:{port}", "LOCALHOST:{port}", "a@127.0.0.1:{port}", "127.0.0.1:{port}, rebound.test", "127.0.0.1:0{port}", "",
    ],
)  # fmt: skip
def test_a_page_of_another_name_that_was_made_to_point_here_reads_nothing(steady: Caller, host: str) -> None:
    named = host.format(port=steady.doors.port)
    for path, cookie in (("/", steady.cookie), (f"/?token={TOKEN}", {}), ("/follow", steady.cookie)):
        status, told, body = steady.ask("GET", path, {"Host": named, **cookie})
        assert (status, "set-cookie" in told, b"heek" in body) == (421, False, False)


@pytest.mark.parametrize("path", ["/", "/recipes/cast/cheek.html", "/follow", "/follow.js", "/a.js", "/nothing.html"])
@pytest.mark.parametrize("cookie", [None, "mothermold_{port}=", "mothermold_{port}=wrong"])
def test_without_the_owners_cookie_nothing_is_told_about_the_book(
    steady: Caller, path: str, cookie: str | None
) -> None:
    headers = {} if cookie is None else {"Cookie": cookie.format(port=steady.doors.port)}
    status, told, body = steady.ask("GET", path, headers)
    assert (status, OPEN in body.decode(), "etag" in told, b"heek" in body) == (403, True, False, False)


def test_the_address_in_the_terminal_is_traded_for_the_owners_cookie_and_left(steady: Caller) -> None:
    status, told, body = steady.ask("GET", f"/?token={TOKEN}")
    assert (status, TOKEN in told["location"], TOKEN.encode() in body) == (303, False, False)
    # One cookie and no other: no page may take this server for one with an inbox.
    assert told["set-cookie"] == f"mothermold_{steady.doors.port}={TOKEN}; HttpOnly; SameSite=Strict; Path=/"
    assert steady.ask("GET", told["location"])[0] == 200


@pytest.mark.parametrize("path", ["/", "/a.js", "/photos/p.webp", "/follow", "/follow.js", "/nothing.html", "/come-in"])
def test_nothing_of_the_book_is_kept_by_the_browser_or_shown_within_another_page(steady: Caller, path: str) -> None:
    _, told, _ = steady.get(path)
    assert told["cache-control"] == "no-store"
    assert told["x-frame-options"] == "DENY"
    assert told["cross-origin-resource-policy"] == "same-origin"
    assert told["x-content-type-options"] == "nosniff"
    assert "access-control-allow-origin" not in told


@pytest.mark.parametrize(
    ("site", "mode", "status"),
    [
        ("none", "navigate", 200), ("same-origin", "cors", 200), ("same-origin", "no-cors", 200), ("same-site", "navigate", 200),
        ("same-site", "no-cors", 403), ("same-site", "cors", 403), ("cross-site", "no-cors", 403), ("cross-site", "cors", 403),
        ("cross-site", "websocket", 403), ("cross-site", "", 403),
    ],
)  # fmt: skip
def test_a_page_of_another_server_on_this_computer_pulls_nothing_into_itself(
    steady: Caller, site: str, mode: str, status: int
) -> None:
    answer = steady.get("/a.js", Sec_Fetch_Site=site, Sec_Fetch_Mode=mode)
    assert (answer[0], b"inbox" in answer[2]) == (status, status == 200)


def test_there_is_no_inbox_and_no_desk_unless_one_is_opened(here: Caller) -> None:
    for path in ("/inbox", "/desk/", "/desk/new"):
        assert here.get(path)[0] == 404
        assert here.ask("POST", path, {**here.cookie, "Origin": here.doors.origin, "Content-Length": "0"})[0] == 405
    assert here.runs == []


# What nobody in his senses sends


@pytest.mark.parametrize(
    "head",
    [
        b"GET /%00 HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /index.html%00 HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /%00/../../secret.txt HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /index.html%0d%0aX:1 HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /%7f HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /%zz HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /%1 HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /% HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /\x00 HTTP/1.1\r\nHost: HERE\r\n",
        b"GET /\xff HTTP/1.1\r\nHost: HERE\r\n",
        b"GET http://HERE/ HTTP/1.1\r\nHost: HERE\r\n",
        b"GET https://rebound.test/ HTTP/1.1\r\nHost: HERE\r\n",
        b"GET HERE HTTP/1.1\r\nHost: HERE\r\n",
        b"GET * HTTP/1.1\r\nHost: HERE\r\n",
        b"GET  / HTTP/1.1\r\nHost: HERE\r\n",
        b"GET / HTTP/1.1 more\r\nHost: HERE\r\n",
        b"GET / HTTP/2.0\r\nHost: HERE\r\n",
        b"GET / HTTP/0.9\r\nHost: HERE\r\n",
        b"PRI * HTTP/2.0\r\nHost: HERE\r\n",
        b"GET /" + b"a" * 70_000 + b" HTTP/1.1\r\nHost: HERE\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nX: " + b"a" * 70_000 + b"\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\n" + b"X: y\r\n" * 12_000,
        b"GET / HTTP/1.1\r\nHost: HERE\r\nno colon\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nspace before : colon\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\n X: folded\r\nX\x00Y: z\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nHost: rebound.test\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 5\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nX: folded\r\n into two lines\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nX: folded\r\n\tinto two lines\r\n",
        b"GET / HTTP/1.1\nHost: HERE\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\nX: y\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nX: y\n\nGET /a.js HTTP/1.1\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nX: y\rContent-Length: 5\r\n",
        # Shapes that two servers in a row would read as different requests.
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\nContent-Length: 5\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 5\r\nContent-Length: 6\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 5, 6\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: +5\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 0x5\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nContent-Length: -1\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: xchunked\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked, identity\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\nhello\r\n0\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\n\r\n-5\r\nhello\r\n0\r\n",
        b"POST / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nhello!!\r\n0\r\n",
    ],
)  # fmt: skip
def test_nonsense_is_answered_with_400_and_a_plain_page(
    steady: Caller, capfd: pytest.CaptureFixture[str], head: bytes
) -> None:
    cookie = f"Cookie: {steady.cookie['Cookie']}\r\n".encode()
    # What a second server would take for a request of its own stands behind it.
    heard = steady.raw(
        head.replace(b"HERE", steady.host.encode()).replace(b"\r\n", b"\r\n" + cookie, 1)
        + b"\r\nGET /a.js HTTP/1.1\r\nHost: " + steady.host.encode() + b"\r\n" + cookie + b"\r\n"
    )  # fmt: skip
    assert heard.startswith(b"HTTP/1.1 400 ")
    assert heard.count(b"HTTP/1.1 ") == 1
    assert b"\r\ncontent-security-policy: default-src 'none'\r\n" in heard.lower()
    assert b"<h1>" in heard
    assert b"heek" not in heard
    assert b"fetch(" not in heard
    assert (steady.said, capfd.readouterr()) == ([], ("", ""))
    assert steady.get("/")[0] == 200


def test_two_requests_one_behind_the_other_are_both_answered_in_their_order(steady: Caller) -> None:
    cookie = f"Cookie: {steady.cookie['Cookie']}\r\n"
    one = f"GET /a.js HTTP/1.1\r\nHost: {steady.host}\r\n{cookie}\r\n"
    two = f"GET / HTTP/1.1\r\nHost: {steady.host}\r\n{cookie}Connection: close\r\n\r\n"
    heard = steady.raw((one + two).encode())
    assert heard.count(b"HTTP/1.1 200 OK") == 2
    assert heard.index(b"fetch(") < heard.index(b"Cheek book")


def test_a_drawing_opened_by_itself_may_load_and_run_nothing(steady: Caller) -> None:
    status, told, _ = steady.get("/drawings/x.svg")
    assert (status, told["content-security-policy"]) == (200, "default-src 'none'; style-src 'unsafe-inline'; sandbox")


@pytest.mark.parametrize("size", [1, 7])
def test_the_heads_of_requests_are_looked_at_however_they_arrive(size: int) -> None:
    get, post = (
        b"GET / HTTP/1.1\r\nHost: x\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 9\r\n\r\nid:\n\r\n \n\n",
    )

    def odd(said: bytes) -> bool:
        heads = Heads()
        return any(heads.is_odd(said[at : at + size]) for at in range(0, len(said), size))

    assert not odd(get + b"\r\n" + get + post + post)
    assert odd(get + get.replace(b"\r\nHost", b"\nHost"))
    assert odd(get + post.replace(b"\r\nHost", b"\r\n Host"))


# Slow and many callers


def reads_until_hung_up(line: socket.socket) -> float:
    begun = time.monotonic()
    with suppress(ConnectionError):
        while line.recv(65536):
            pass
    return time.monotonic() - begun


def connected(here: Caller) -> socket.socket:
    return socket.create_connection(("127.0.0.1", here.doors.port), timeout=8)


def empties(here: Caller) -> bool:
    deadline = time.monotonic() + 4
    while time.monotonic() < deadline and here.server.seats.taken.total():
        time.sleep(0.02)
    return not here.server.seats.taken


def test_who_says_nothing_or_too_little_is_hung_up_on(here: Caller) -> None:
    whole = f"GET / HTTP/1.1\r\nHost: {here.host}\r\nCookie: {here.cookie['Cookie']}\r\n\r\n".encode()
    for said in (b"", b"GET / HT", whole[:-2], whole, whole + whole[:-1]):
        with closing(connected(here)) as line:
            line.sendall(said)
            assert reads_until_hung_up(line) < 3
    assert empties(here)


def test_who_dribbles_a_second_request_is_hung_up_on_as_at_the_first(here: Caller) -> None:
    whole = f"GET / HTTP/1.1\r\nHost: {here.host}\r\nCookie: {here.cookie['Cookie']}\r\n\r\n".encode()
    begun = time.monotonic()
    with closing(connected(here)) as line, suppress(OSError):
        line.sendall(whole)
        for letter in whole[:-1] * 3:
            time.sleep(0.02)
            line.sendall(bytes([letter]))
    assert time.monotonic() - begun < 3


def test_who_asks_for_much_and_fetches_none_of_it_is_hung_up_on(here: Caller) -> None:
    big = here.book / "site/public/photos/p.webp"
    big.write_bytes(b"x" * 30_000_000)
    request = f"GET /photos/p.webp HTTP/1.1\r\nHost: {here.host}\r\nCookie: {here.cookie['Cookie']}\r\n\r\n".encode()
    with closing(connected(here)) as line:
        line.sendall(request)
        assert line.recv(10)
        assert empties(here)
    # Who fetches it slowly but steadily gets all of it, however long that takes.
    here.server.rooms.patience = 1
    with closing(connected(here)) as line:
        line.sendall(request.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n"))
        got, begun = 0, time.monotonic()
        while piece := line.recv(400_000):
            got += len(piece)
            time.sleep(0.02)
    assert got > 30_000_000
    assert time.monotonic() - begun > 1


def test_of_many_callers_those_who_find_no_seat_are_hung_up_on_and_the_seats_come_free_again(
    here: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server_module, "MOST_CALLERS", 5)
    here.server.rooms.patience = 30
    lines = [connected(here) for _ in range(5)]
    for _ in range(20):
        with closing(connected(here)) as line:
            assert reads_until_hung_up(line) < 3
    for line in lines:
        line.close()
    assert empties(here)
    assert here.get("/")[0] == 200


# The command


@contextmanager
def serving(book: Path, *words: str) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The command at work, and the address it printed."""
    kept = {name: value for name, value in os.environ.items() if name not in ("TZ", "LC_ALL", "LANG")}
    server = subprocess.Popen(
        [sys.executable, "-m", "mothermold", "-C", str(book), "serve", *words],
        env=kept | {"PYTHONPATH": str(ROOT / "tools")}, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    try:
        assert server.stdout is not None
        match = next(
            found for line in server.stdout if (found := re.search(r"http://127\.0\.0\.1:\d+/\?token=\S+", line))
        )
        yield match[0], server
    finally:
        if server.poll() is None:
            server.kill()
        server.communicate()


def until(ask: Callable[[], bool], seconds: float, what: str) -> None:
    end = time.monotonic() + seconds
    while True:
        with suppress(OSError):
            if ask():
                return
        assert time.monotonic() < end, what
        time.sleep(0.05)


def test_served_the_next_page_shows_an_edit_and_a_broken_document_says_so_until_it_is_mended(
    good_book: Path,
) -> None:
    material = good_book / "recipes" / "materials" / "deadener-fluid.yaml"
    good = material.read_text(encoding="utf-8")
    title = re.search(r"^title: (.*)$", good, re.MULTILINE)
    assert title is not None
    with serving(good_book) as (address, server):
        came = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        # At the first call: the address is said once somebody listens there.
        assert came.open(address, timeout=5).status == 200
        home = address.partition("?")[0]

        def get(name: str) -> str:
            return str(came.open(f"{home}{name}", timeout=5).read().decode())

        page = "materials/deadener-fluid.html"
        assert title[1] in get(page)
        assert "Content-Security-Policy" in get(page)
        # Nothing is kept of what changes all the time, and what an earlier build left on the device goes.
        assert "data-keeps" not in get(page)
        assert get(WORKER) == forgetting_worker()
        assert not (good_book / "site").exists()

        material.write_text(good.replace(title[1], "Softener oil"), encoding="utf-8")
        assert "Softener oil" in get(page)
        material.write_text("titel: Broken\n", encoding="utf-8")
        assert "cannot be read yet" in get(page)
        assert "titel" in get(page)
        assert "<h1" in get("recipes/cast/cheek.html")
        material.write_text(good, encoding="utf-8")
        assert title[1] in get(page)
        (good_book / "recipes" / "materials" / "second.yaml").write_text("title: Second\nfamilies: [wax]\n", "utf-8")
        assert "Second" in get("materials/second.html")

        # Whoever is still there when it ends does not keep it from ending.
        port = int(home.rpartition(":")[2].strip("/"))
        lines = [socket.create_connection(("127.0.0.1", port), timeout=5) for _ in range(3)]
        lines[0].sendall(b"GET / HTTP/1.1\r\n")
        server.send_signal(signal.SIGINT)
        said, _ = server.communicate(timeout=10)
        assert server.returncode == 0
        assert "Traceback" not in said
        assert said.endswith("Stopped.\n")
        for line in lines:
            line.close()


@pytest.mark.parametrize(
    ("words", "told"),
    [(("--phone", "--read-only"), "--read-only is for this computer"), (("--read-only", "--port", "9000"), "go with")],
)
def test_what_does_not_go_together_ends_with_2_before_anything_is_built(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], told: str
) -> None:
    found_book(tmp_path / "book")
    assert main(["-C", str(tmp_path / "book"), "serve", *words]) == 2
    out, err = capsys.readouterr()
    assert (out, told in err, (tmp_path / "book/site").exists()) == ("", True, False)


def test_a_page_open_in_the_browser_follows_the_book_without_being_touched(chromium: Browser, good_book: Path) -> None:
    material = good_book / "recipes" / "materials" / "deadener-fluid.yaml"
    good = material.read_text(encoding="utf-8")
    title = re.search(r"^title: (.*)$", good, re.MULTILINE)
    assert title is not None
    with serving(good_book, "--read-only") as (address, server):
        home = address.partition("?")[0]
        with watched(chromium, home) as seen:
            page = seen.page
            page.goto(address)
            expect(page.locator("h1")).to_be_visible()
            page.wait_for_url(home)
            # No script can get at what opens the door.
            assert page.evaluate("document.cookie + document.referrer") == ""
            page.goto(f"{home}materials/deadener-fluid.html")
            expect(page.locator("h1")).to_contain_text(title[1])
            page.evaluate("window.untouched = true")
            material.write_text(good.replace(title[1], "Softener oil"), encoding="utf-8")
            expect(page.locator("h1")).to_contain_text("Softener oil", timeout=20_000)
            assert page.evaluate("window.untouched") is None
            # A page that is the same as before stays as it is, with all that was typed into it.
            other = page.context.new_page()
            other.goto(f"{home}guide/every-command.html")
            other.evaluate("window.untouched = true")
            material.write_text("titel: [\n", encoding="utf-8")
            expect(page.locator("main")).to_contain_text("cannot be read yet", timeout=20_000)
            other.wait_for_timeout(1500)
            assert other.evaluate("window.untouched") is True
            # The whole book goes away and comes back: the page says why it stays.
            shutil.move(good_book / "recipes", good_book / "elsewhere")
            expect(page.get_by_role("alert").first).to_contain_text("could not be made again", timeout=20_000)
            material = good_book / "elsewhere" / "materials" / "deadener-fluid.yaml"
            material.write_text(good, encoding="utf-8")
            shutil.move(good_book / "elsewhere", good_book / "recipes")
            expect(page.locator("h1")).to_contain_text(title[1], timeout=20_000)
            # A page that is taken away says so and is there again once it is.
            (good_book / "recipes/materials/deadener-fluid.yaml").rename(good_book / "kept.yaml")
            expect(page.locator("h1")).to_contain_text("There is no such page", timeout=20_000)
            (good_book / "kept.yaml").rename(good_book / "recipes/materials/deadener-fluid.yaml")
            expect(page.locator("h1")).to_contain_text(title[1], timeout=20_000)
            # What asks stands at the end of a page.
            page.wait_for_load_state()
            server.send_signal(signal.SIGINT)
            expect(page.get_by_role("status").first).to_contain_text("was stopped", timeout=20_000)
