"""The server for the artist's own phone: who may in, what is read, what is kept, and what it says to everybody else."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

import pytest
import segno

from campaigns.many import through
from mothermold.cli.main import main
from mothermold.desk.founding import found_book
from mothermold.ground.errors import CannotRunError
from mothermold.publish.watching import traces
from mothermold.serve import inbox as inbox_module
from mothermold.serve import reach
from mothermold.serve import server as server_module
from mothermold.serve.doors import FREE_GUESSES, Doors
from mothermold.serve.inbox import Inbox
from mothermold.serve.page_door import News
from mothermold.serve.rooms import Holdings
from mothermold.serve.serving import farewell, introduction, open_server
from mothermold.serve.square import square
from serve.callers import RUN, TOKEN, Caller, Laid, at_work
from strand import Strand, cable

ROOT = Path(__file__).resolve().parents[2]
SCAN = "Scan the square on the computer's screen again."


def holdings(book: Path) -> Holdings:
    return Holdings(Laid(book), News(), Inbox(book))


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Caller]:
    with at_work(tmp_path) as at:
        yield at


@pytest.fixture(scope="module")
def steady(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Caller]:
    """One server for the tests that leave nothing behind."""
    with at_work(tmp_path_factory.mktemp("steady")) as at:
        yield at


# Who may in


@pytest.mark.parametrize("path", ["/", "/recipes/cast/cheek.html", "/nothing.html", "/inbox", "/a.js"])
@pytest.mark.parametrize("cookie", [None, "mothermold_1=x", "mothermold_{port}=", "mothermold_{port}=wrong", "é=ü"])
def test_without_the_cookie_nothing_is_told_about_the_book(steady: Caller, path: str, cookie: str | None) -> None:
    headers = {} if cookie is None else {"Cookie": cookie.format(port=steady.doors.port)}
    status, told, body = steady.ask("GET", path, headers)
    assert status == 403
    assert SCAN in body.decode()
    assert b"heek" not in body
    assert "etag" not in told
    assert "set-cookie" not in told


def test_the_right_token_is_traded_for_a_cookie_and_leaves_the_address(steady: Caller) -> None:
    status, told, body = steady.ask("GET", f"/?token={TOKEN}")
    assert status == 303
    assert TOKEN not in told["location"]
    assert TOKEN.encode() not in body
    assert told["referrer-policy"] == "no-referrer"
    cookie, *rules = told["set-cookie"].split("; ")
    assert sorted(rules) == ["HttpOnly", "Path=/", "SameSite=Strict"]
    assert str(steady.doors.port) in cookie.partition("=")[0]
    # The page in between needs no cookie and tells nothing; it leads on from an address of this server.
    status, _, between = steady.ask("GET", told["location"])
    assert (status, b"url=/" in between, b"heek" in between) == (200, True, False)
    assert steady.ask("GET", "/", {"Cookie": cookie})[2].startswith(b"<!doctype html><title>Cheek book")


@pytest.mark.parametrize(
    "query", ["token=", "token=wrong", f"token={TOKEN}x", f"token={TOKEN}&token=x", "token=%C3%BC"]
)
def test_a_wrong_token_opens_nothing(steady: Caller, query: str) -> None:
    status, told, body = steady.ask("GET", f"/?{query}")
    assert (status, SCAN in body.decode(), "set-cookie" in told) == (403, True, False)


def test_wrong_tokens_in_a_row_have_to_wait_longer_and_longer_and_the_right_one_never(phone: Caller) -> None:
    for _ in range(FREE_GUESSES):
        phone.ask("GET", "/?token=guess")
    assert phone.waited == []
    for _ in range(12):
        phone.ask("GET", "/?token=guess")
    assert phone.waited == sorted(phone.waited)
    assert (phone.waited[0], phone.waited[-1]) == (0.5, 4.0)
    assert phone.ask("GET", f"/?token={TOKEN}")[0] == 303
    assert len(phone.waited) == 12
    phone.ask("GET", "/?token=guess")
    assert len(phone.waited) == 12


def test_each_start_has_a_token_of_its_own_which_lies_in_no_file(tmp_path: Path) -> None:
    with (
        open_server("127.0.0.1", None, holdings(tmp_path), print) as one,
        open_server("127.0.0.1", None, holdings(tmp_path), print) as other,
    ):
        tokens = {server.rooms.doors.token for server in (one, other)}
        ports = {server.rooms.doors.port for server in (one, other)}
    assert len(tokens) == len(ports) == 2
    assert all(len(token) == 32 for token in tokens)
    assert list(tmp_path.rglob("*")) == []


@pytest.mark.parametrize(
    "host",
    ["127.0.0.1", "127.0.0.1:1", "localhost:{port}", "book.test:{port}", "127.0.0.1.:{port}", "127.1:{port}", "", " "],
)
def test_only_the_address_as_bound_is_answered(steady: Caller, host: str) -> None:
    named = host.format(port=steady.doors.port)
    for path, cookie in (("/", steady.cookie), (f"/?token={TOKEN}", {})):
        status, told, body = steady.ask("GET", path, {"Host": named, **cookie})
        assert (status, "set-cookie" in told, b"heek" in body) == (421, False, False)


@pytest.mark.parametrize(
    "head",
    [
        b"GET / HTTP/1.1\r\n",
        b"GET / HTTP/1.0\r\n",
        b"GET /\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nHost: HERE\r\n",
        b"GET http://HERE/ HTTP/1.1\r\nHost: HERE\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nContent-Length: 3\r\n",
        b"GET / HTTP/1.1\r\nHost: HERE\r\nTransfer-Encoding: chunked\r\n",
        b"GET / HTTP/3.0\r\nHost: HERE\r\n",
        b"nonsense\r\nHost: HERE\r\n",
        b"\x16\x03\x01\x02\r\n",
    ],
)
def test_a_request_without_one_host_or_with_something_odd_is_refused(steady: Caller, head: bytes) -> None:
    cookie = f"Cookie: {steady.cookie['Cookie']}\r\n\r\n".encode()
    heard = steady.raw(head.replace(b"HERE", steady.host.encode()) + cookie)
    assert b"heek book" not in heard
    assert b"<h1>" in heard
    assert b"Python" not in heard
    if heard.startswith(b"HTTP/"):
        assert heard.split()[1] in (b"400", b"421", b"505")


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "PROPFIND", "get"])
@pytest.mark.parametrize("path", ["/", "/inbox"])
def test_other_methods_are_refused(steady: Caller, method: str, path: str) -> None:
    status, told, _ = steady.ask(method, path, steady.cookie)
    assert (status, told["allow"]) == (405, "GET, HEAD, POST")


def test_a_page_cannot_be_written_to(steady: Caller) -> None:
    assert steady.ask("POST", "/index.html", {**steady.cookie, "X-Mothermold": "run", "Content-Length": "0"})[0] == 405


# What is read


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/index.html?print", "text/html; charset=utf-8"),
        ("/versions/cast/cheek@2.html", "text/html; charset=utf-8"),
        ("/versions/cast/cheek%402.html", "text/html; charset=utf-8"),
        ("/a.js", "text/javascript; charset=utf-8"),
        ("/assets/square.woff2", "font/woff2"),
        ("/photos/p.webp", "image/webp"),
        ("/drawings/x.svg", "image/svg+xml"),
    ],
)
def test_a_page_of_the_edition_is_handed_out_with_what_it_is(steady: Caller, path: str, kind: str) -> None:
    status, told, body = steady.get(path)
    assert (status, told["content-type"], told["content-length"]) == (200, kind, str(len(body)))
    assert told["x-content-type-options"] == "nosniff"
    assert told["referrer-policy"] == "no-referrer"
    assert told["cache-control"] == "no-cache"
    assert "server" not in told
    status, head, nothing = steady.ask("HEAD", path, steady.cookie)
    assert (status, head, nothing) == (200, told, b"")


@through(
    "path",
    [
        "/../secret.txt", "/../../secret.txt", "/recipes/../../../secret.txt", "/%2e%2e/%2e%2e/secret.txt",
        "/..%2f..%2fsecret.txt", "/%2e%2e%2f%2e%2e%2fsecret.txt", "/%252e%252e/%252e%252e/secret.txt",
        "/..%5c..%5csecret.txt", "/..\\..\\secret.txt", "/....//....//secret.txt", "/.%2e/.%2e/secret.txt",
        "/%c0%ae%c0%ae/%c0%ae%c0%ae/secret.txt", "/index.html/../../../secret.txt",
        "//etc/passwd", "///etc/passwd", "/%2fetc%2fpasswd", "/C:/Windows/win.ini", "/C:%5cWindows%5cwin.ini",
        "/./index.html", "/recipes//cast/cheek.html", "/recipes/cast/../../index.html", "/..;/..;/secret.txt",
        "/../private/own.html", "/%2e%2e/private/own.html", "/own.html", "/.hidden.html",
        "/.mothermold-pages.json", "/%2emothermold-pages.json", "/recipes", "/recipes/", "/recipes/cast/", "/.",
        "/..", "/index.html/", "/INDEX.html", "/index.html::$DATA", "/index.html%20", "/index.html.",
    ],
)  # fmt: skip
def test_only_what_the_edition_has_can_be_read(steady: Caller, path: str) -> None:
    status, _, body = steady.get(path)
    assert status == 404
    assert body == steady.get("/no-such-page.html")[2]
    heard = steady.raw(f"GET {path} HTTP/1.1\r\nHost: {steady.host}\r\n{cookie_line(steady)}\r\n".encode())
    assert heard.startswith(b"HTTP/1.1 404")


def cookie_line(phone: Caller) -> str:
    return f"Cookie: {phone.cookie['Cookie']}\r\n"


def test_a_page_that_did_not_change_is_not_sent_again(phone: Caller) -> None:
    mark = phone.get("/")[1]["etag"]
    for known in (mark, f'"x", {mark}', f"W/{mark}"):
        status, told, body = phone.get("/", If_None_Match=known)
        assert (status, told["etag"], body) == (304, mark, b"")
    assert phone.get("/", If_None_Match='"x"')[0] == 200
    (phone.book / "site/public/index.html").write_text("new", encoding="utf-8")
    assert phone.get("/", If_None_Match=mark)[2] == b"new"


def test_one_connection_answers_many_requests(steady: Caller) -> None:
    caller = http.client.HTTPConnection("127.0.0.1", steady.doors.port, timeout=5)
    for path, known in (("/", None), ("/a.js", None), ("/", "*"), ("/a.js", None)):
        caller.request("GET", path, headers={**steady.cookie, **({"If-None-Match": known} if known else {})})
        assert caller.getresponse().read()
        assert caller.sock is not None
    caller.close()


# The inbox


def test_a_page_can_find_out_that_there_is_an_inbox(steady: Caller) -> None:
    status, told, body = steady.get("/inbox")
    assert (status, told["content-type"], json.loads(body)) == (200, "application/json; charset=utf-8", {"inbox": True})


def test_a_run_is_kept_once_however_often_it_comes_and_another_of_its_name_beside_it(phone: Caller) -> None:
    first = "r-2026-04-02-cheek-2.yaml"
    assert phone.send() == (201, {"kept": first})
    assert phone.send() == (200, {"kept": first})
    assert phone.send(RUN + "outcome: good\n") == (201, {"kept": "r-2026-04-02-cheek-2-2.yaml"})
    assert phone.send(RUN + "outcome: good\n") == (200, {"kept": "r-2026-04-02-cheek-2-2.yaml"})
    assert (phone.book / "inbox" / first).read_bytes() == RUN.encode()
    assert phone.runs == ["r-2026-04-02-cheek-2-2.yaml", first]
    assert phone.said == [
        f"A run came in: {first}, from 127.0.0.1.",
        "A run came in: r-2026-04-02-cheek-2-2.yaml, from 127.0.0.1.",
    ]
    # What nobody has looked at yet stays out of the book's history.
    assert (phone.book / "inbox/.gitignore").read_text() == "*\n"


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ('id: "r-1"\r\nkind: run\r\n', "r-1.yaml"),
        ("# a note\nid: r-1   # mine\n", "r-1.yaml"),
        ("kind: run\n", "run.yaml"),
        ("id: ../../escape\n", "run.yaml"),
        ("id: /etc/passwd\n", "run.yaml"),
        ("id: con\n", "run.yaml"),
        ("id: .hidden\n", "run.yaml"),
        ("id: R-1\n", "run.yaml"),
        ("note:\n  id: r-9\n", "run.yaml"),
        (f"id: {'a' * 300}\n", "run.yaml"),
        ("id: ä\n", "run.yaml"),
    ],
)
def test_a_run_is_named_by_its_id_where_that_is_a_plain_name(phone: Caller, text: str, name: str) -> None:
    assert phone.send(text) == (201, {"kept": name})
    assert (phone.book / "inbox" / name).read_bytes() == text.encode()
    outside = [path for path in phone.book.iterdir() if path.name not in ("inbox", "site", "secret.txt")]
    assert outside == []


def test_who_still_speaks_after_nonsense_hears_the_refusal(steady: Caller) -> None:
    with socket.create_connection((steady.doors.host, steady.doors.port), timeout=5) as line:
        line.sendall(f"POST /inbox HTTP/1.1\r\nHost: {steady.host}\r\nContent-Length: 12x\r\n\r\n".encode())
        for _piece in range(8):
            time.sleep(0.02)  # the refusal is on its way; a caller who sends on does not know yet
            line.sendall(b"x" * 4096)
        heard = b""
        while piece := line.recv(65536):
            heard += piece
    assert heard.startswith(b"HTTP/1.1 400 ")
    assert b"does not understand that request" in heard


@through(
    ("status", "without", "other"),
    [
        (403, ("Cookie",), {}),
        (403, (), {"Cookie": "mothermold_1=x"}),
        (403, ("X-Mothermold",), {}),
        (403, (), {"X_Mothermold": "yes"}),
        (403, (), {"Origin": "http://elsewhere.test"}),
        (403, (), {"Origin": "null"}),
        (403, (), {"Origin": "http://127.0.0.1"}),
        (403, (), {"Origin": "https://127.0.0.1:{port}"}),
        (415, ("Content-Type",), {}),
        (415, (), {"Content_Type": "text/plain"}),
        (415, (), {"Content_Type": "application/x-www-form-urlencoded"}),
        (415, (), {"Content_Type": "text/yaml; charset=latin-1"}),
        (411, ("Content-Length",), {}),
        (400, (), {"Transfer_Encoding": "chunked"}),
        (411, ("Content-Length",), {"Transfer_Encoding": "chunked"}),
        (400, (), {"Content_Length": "-1"}),
        (400, (), {"Content_Length": "12x"}),
        (400, (), {"Content_Length": "²"}),
        (413, (), {"Content_Length": "9999999999999"}),
        (413, (), {"Content_Length": "262145"}),
        (408, (), {"Content_Length": "5000"}),
    ],
)
def test_what_is_not_sent_by_a_page_of_this_book_or_not_as_it_should_is_refused(
    steady: Caller, status: int, without: tuple[str, ...], other: dict[str, str]
) -> None:
    named = {key: value.format(port=steady.doors.port) for key, value in other.items()}
    answer = steady.send(RUN, without, **named)
    assert answer[0] == status
    assert list(answer[1]) == ["message"]
    assert steady.runs == []


def test_a_run_may_be_sent_by_a_browser_that_names_no_origin(phone: Caller) -> None:
    assert phone.send(RUN, ("Origin",), Content_Type='application/yaml; charset="UTF-8"')[0] == 201


def test_a_run_of_the_largest_size_is_kept_and_a_larger_one_not(phone: Caller) -> None:
    text = "id: long\nnote: "
    assert phone.send(text + "x" * (256 * 1024 - len(text)))[0] == 201
    assert phone.send(text + "x" * (256 * 1024 + 1 - len(text)))[0] == 413
    assert phone.runs == ["long.yaml"]


def test_a_run_that_is_too_large_hears_why_although_it_is_still_speaking(phone: Caller) -> None:
    head = f"POST /inbox HTTP/1.1\r\nHost: {phone.host}\r\n{cookie_line(phone)}X-Mothermold: run\r\n"
    with socket.create_connection(("127.0.0.1", phone.doors.port), timeout=5) as line:
        line.sendall(f"{head}Content-Type: text/yaml\r\nContent-Length: 900000\r\n\r\n".encode())
        for _ in range(3):
            time.sleep(0.05)
            line.sendall(b"x" * 100_000)
        assert line.recv(12) == b"HTTP/1.1 413"


@pytest.mark.parametrize("body", [b"", b"  \n", b"id: r-1\nnote: \xff\n", b"id: r-1\nnote: \0\n"])
def test_what_is_no_text_is_not_kept(steady: Caller, body: bytes) -> None:
    assert steady.send(body)[0] == 400
    assert steady.runs == []


def test_what_follows_a_run_that_says_it_is_shorter_is_never_read_as_a_request(phone: Caller) -> None:
    hidden = f"GET /a.js HTTP/1.1\r\nHost: {phone.host}\r\n{cookie_line(phone)}\r\n"
    head = (
        f"POST /inbox HTTP/1.1\r\nHost: {phone.host}\r\n{cookie_line(phone)}X-Mothermold: run\r\n"
        f"Content-Type: text/yaml\r\nContent-Length: {len(RUN)}\r\n\r\n"
    )
    heard = phone.raw((head + RUN + hidden).encode())
    assert heard.count(b"HTTP/1.1") == 1
    assert heard.startswith(b"HTTP/1.1 201")
    assert b"\r\nconnection: close\r\n" in heard.lower()


def test_a_full_inbox_says_so_and_still_knows_what_it_has(phone: Caller, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(inbox_module, "MOST_FILES", 2)
    assert phone.send("id: r-1\n")[0] == phone.send("id: r-2\n")[0] == 201
    status, told = phone.send("id: r-3\n")
    assert status == 507
    assert "mothermold bring" in str(told["message"])
    assert phone.send("id: r-1\n") == (200, {"kept": "r-1.yaml"})
    monkeypatch.setattr(inbox_module, "MOST_FILES", 500)
    monkeypatch.setattr(inbox_module, "MOST_ALTOGETHER", 20)
    assert phone.send("id: r-4\n")[0] == 507
    assert phone.runs == ["r-1.yaml", "r-2.yaml"]


def test_an_inbox_that_leads_elsewhere_is_not_written_through(phone: Caller, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (phone.book / "inbox").symlink_to(elsewhere, target_is_directory=True)
    assert phone.send()[0] == 500
    assert "is not a folder of this book" in phone.said[0]
    assert list(elsewhere.iterdir()) == []


def test_many_runs_at_once_are_all_kept(phone: Caller) -> None:
    texts = [f"id: same\nnote: {number}\n" for number in range(12)] * 2
    threads = [threading.Thread(target=phone.send, args=(text,)) for text in texts[:12]]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = {path.read_text() for path in (phone.book / "inbox").glob("same*.yaml")}
    assert kept == set(texts)
    assert len(phone.runs) == 12


# Patience


def test_a_caller_that_dribbles_is_hung_up_on(phone: Caller) -> None:
    begun = time.monotonic()
    with socket.create_connection(("127.0.0.1", phone.doors.port), timeout=5) as line, suppress(OSError):
        for letter in b"GET / HTTP/1.1\r\nX-Long: " + b"x" * 400:
            line.sendall(bytes([letter]))
            time.sleep(0.02)
    assert time.monotonic() - begun < 3


def test_one_caller_cannot_take_every_place(phone: Caller, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server_module, "MOST_FROM_ONE", 3)
    # So patient that only a place refused can end the fourth.
    phone.server.rooms.patience = 30
    lines = [socket.create_connection(("127.0.0.1", phone.doors.port), timeout=3) for _ in range(4)]
    assert lines[3].recv(10) == b""
    for line in lines:
        line.close()
    deadline = time.monotonic() + 3
    while time.monotonic() < deadline and phone.server.seats.taken.total():
        time.sleep(0.02)
    assert phone.get("/")[0] == 200


# The terminal


def test_the_square_says_the_address_whichever_way_the_terminal_is_colored() -> None:
    plain = square("http://192.168.1.20:8000/?token=abc", colors=False)
    lines = plain.split("\n")
    assert len({len(line) for line in lines}) == 1
    # The light margin, four fields of it on every side.
    assert set(lines[0]) == set(lines[1]) == {"█"}
    assert all(line.startswith("████") and line.endswith("████") for line in lines)
    upper, lower = "█▀", "█▄"
    drawn = [[letter not in half for letter in line] for line in lines for half in (upper, lower)]
    code = segno.make("http://192.168.1.20:8000/?token=abc", error="l", micro=False)
    wanted = [[bool(field) for field in row] for row in code.matrix_iter(border=4)]
    assert drawn[: len(wanted)] == wanted
    colored = square("http://192.168.1.20:8000/?token=abc", colors=True)
    assert re.sub(r"\x1b\[[0-9;]*m", "", colored) == plain
    assert all("231" in line and line.endswith("\x1b[0m") for line in colored.split("\n"))


def test_the_terminal_says_what_this_is_before_anyone_scans() -> None:
    said = introduction("private", Doors("192.168.1.20", 8000, "abc"), ["192.168.1.20", "10.0.0.7"], colors=False)
    assert "http://192.168.1.20:8000/?token=abc" in said
    for words in ("can read the whole edition", "not encrypted", "you trust", "10.0.0.7", "Ctrl+C", "--one-file"):
        assert words in said


def test_at_the_end_what_waits_is_counted() -> None:
    assert farewell(0) == "Stopped. The inbox is empty."
    assert "1 file lies" in farewell(1)
    assert "3 files lie" in farewell(3)
    assert "mothermold bring" in farewell(3)


def test_a_saved_document_shows_in_the_traces_and_a_built_page_does_not(tmp_path: Path) -> None:
    (tmp_path / "recipes/cast").mkdir(parents=True)
    before = traces(tmp_path)
    (tmp_path / "site").mkdir()
    (tmp_path / "site/index.html").write_text("page")
    assert traces(tmp_path) == before
    (tmp_path / "recipes/cast/cheek.yaml").write_text("title: Cheek\n")
    assert traces(tmp_path) != before


# Where it stands


@pytest.mark.parametrize("wanted", ["0.0.0.0", "8.8.8.8", "224.0.0.1", "localhost", "::", "::1", "192.168.1", "x", ""])
def test_it_stands_at_one_address_of_a_local_network_only(wanted: str) -> None:
    with pytest.raises(CannotRunError, match="--host"):
        reach.chosen_address(wanted)


def test_a_computer_in_no_network_says_so_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reach, "local_addresses", list)
    with pytest.raises(CannotRunError, match="is not on a local network"):
        reach.chosen_address(None)


def test_loopback_and_addresses_of_the_open_internet_are_not_offered(monkeypatch: pytest.MonkeyPatch) -> None:
    found = ["127.0.0.1", "169.254.3.4", "8.8.8.8", "192.168.1.20", "0.0.0.0"]
    monkeypatch.setattr(reach, "_by_route", lambda: iter(found))
    monkeypatch.setattr(reach, "_by_interface", lambda: iter(["10.0.0.7", "192.168.1.20"]))
    assert reach.local_addresses() == ["192.168.1.20", "10.0.0.7", "169.254.3.4"]


def test_a_port_that_is_taken_is_told_in_one_message(phone: Caller) -> None:
    with pytest.raises(CannotRunError, match="Nothing could be opened at"):
        open_server("127.0.0.1", phone.doors.port, holdings(phone.book), print)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--port", "8000"), "go with `serve --phone`"),
        (("--host", "192.168.1.20"), "go with `serve --phone`"),
        (("--phone", "--port", "80"), "from 1024 to 65535"),
        (("--phone", "--port", "many"), "from 1024 to 65535"),
        (("--phone", "--host", "0.0.0.0"), "not the address of one computer"),
    ],
)
def test_what_cannot_be_opened_ends_with_2_before_anything_is_built(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], told: str
) -> None:
    found_book(tmp_path / "book")
    assert main(["-C", str(tmp_path / "book"), "serve", *words]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert told in err
    assert not (tmp_path / "book/site").exists()


# The whole way


@contextmanager
def command(book: Path, *words: str) -> Iterator[subprocess.Popen[str]]:
    running = subprocess.Popen(
        [sys.executable, "-m", "mothermold", "-C", str(book), "serve", "--phone", *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
        env={**os.environ, "PYTHONPATH": str(ROOT / "tools")},
    )  # fmt: skip
    try:
        yield running
    finally:
        running.kill()
        running.communicate()


def heard_until(running: subprocess.Popen[str], words: str) -> str:
    assert running.stdout is not None
    heard = ""
    for line in running.stdout:
        heard += line
        if words in line:
            return heard
    pytest.fail(f"it never said {words}: {heard}")


def test_the_command_opens_follows_the_book_and_ends_with_the_count(tmp_path: Path) -> None:
    book = tmp_path / "book"
    found_book(book)
    with command(book, "--host", "127.0.0.1") as running:
        heard = heard_until(running, "Stop it with")
        match = re.search(r"http://127\.0\.0\.1:(\d+)/\?token=([\w-]{32})", heard)
        assert match is not None
        assert "\x1b" not in heard
        port, token = int(match[1]), match[2]
        cookie = {"Cookie": f"mothermold_{port}={token}"}

        def ask(method: str, path: str, body: str | None = None, **headers: str) -> str:
            with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=10)) as caller:
                caller.request(method, path, body, cookie | {key.replace("_", "-"): it for key, it in headers.items()})
                return caller.getresponse().read().decode()

        assert "My process book" in ask("GET", "/")
        kept = ask("POST", "/inbox", "id: r-1\n", X_Mothermold="run", Content_Type="text/yaml; charset=utf-8")
        assert json.loads(kept) == {"kept": "r-1.yaml"}
        settings = book / "recipes/book.yaml"
        settings.write_text(settings.read_text().replace("My process book", "Book of cheeks"))
        assert "A run came in: r-1.yaml" in heard_until(running, "The book changed")
        assert "Book of cheeks" in ask("GET", "/")
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=20)
        assert (running.returncode, err) == (0, "")
        assert out == "Stopped. 1 file lies in the inbox; `mothermold bring` takes it in.\n"
        assert not [path for path in book.rglob("*") if path.is_file() and token.encode() in path.read_bytes()]


# In another network namespace: what a phone would be


@pytest.fixture
def strand() -> Iterator[Strand]:
    with cable() as laid:
        yield laid


READS = """
import http.cookiejar, sys, urllib.error, urllib.request
browser = urllib.request.build_opener(urllib.request.ProxyHandler({}), urllib.request.HTTPCookieProcessor())
for address in sys.argv[1:]:
    try:
        print(browser.open(address, timeout=10).status, end=" ")
    except urllib.error.HTTPError as refused:
        print(refused.code, end=" ")
    except OSError:
        print("none", end=" ")
"""

LOOKS = """
import shutil, sys
from playwright.sync_api import sync_playwright, expect
found = next((path for name in ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None)
with sync_playwright() as playwright:
    browser = playwright.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu", "--no-proxy-server"])
    page = browser.new_page()
    # The link stands in a message on another page, as when an address is sent instead of scanned.
    page.route("http://message.test/", lambda route: route.fulfill(content_type="text/html", body=f'<a href="{sys.argv[1]}">book</a>'))
    page.goto("http://message.test/")
    page.click("a")
    expect(page).to_have_title("Cheek book", timeout=10000)
    expect(page.locator("#b")).to_have_text("r-from-a-phone.yaml", timeout=10000)
    print(page.url, page.evaluate("document.cookie + document.referrer"))
    browser.close()
"""


def test_a_phone_in_another_network_reads_and_sends_and_reaches_nothing_else(strand: Strand, tmp_path: Path) -> None:
    with at_work(tmp_path, host=strand.here, patience=10) as phone:
        home = f"http://{phone.host}"
        told = strand.run(READS, f"{home}/", f"{home}/?token={TOKEN}", f"{home}/a.js", f"{home}/secret.txt")
        assert told.split() == ["403", "200", "200", "404"]
        with pytest.raises(OSError, match="refused"):
            socket.create_connection(("127.0.0.1", phone.doors.port), timeout=2)


def test_a_browser_in_another_network_comes_in_by_a_link_and_sends_a_run(strand: Strand, tmp_path: Path) -> None:
    with at_work(tmp_path, host=strand.here, patience=10) as phone:
        told = strand.run(LOOKS, phone.doors.invitation)
        # Neither the address nor a script sees the token; what a script sees says only that there is an inbox.
        assert told.split() == [f"http://{phone.host}/", f"mothermold-inbox={phone.doors.port}"]
        assert phone.runs == ["r-from-a-phone.yaml"]
