"""The way to the desk: a form is taken once, from a page of this book, and what was typed is never lost by a refusal.

The desk of these tests writes each form down as a line, and its pages give back what they were filled with.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape, unescape
from http import HTTPStatus
from pathlib import Path
from urllib.parse import quote_plus

import pytest
from playwright.sync_api import Browser, expect

from browser import watched
from mothermold.ground.errors import CannotRunError
from mothermold.serve import desk_door, serving
from mothermold.serve import forms as forms_module
from mothermold.serve.forms import Forms
from mothermold.serve.parts import SentFile
from mothermold.serve.replies import Reply, led_to
from mothermold.serve.serving import serve_here
from serve.callers import Caller, at_work
from serve.test_parts import BOUNDARY, written

Pairs = list[tuple[str, str]]


@dataclass
class Echo:
    """A desk that writes down what it is given."""

    book: list[tuple[str, Pairs]] = field(default_factory=list)
    files: list[SentFile] = field(default_factory=list)
    slow: float = 0

    def show(self, form: desk_door.Filled) -> Reply | None:
        if form.path.startswith("nothing"):
            return None
        fields = "".join(
            f'<textarea name="{escape(name)}">\n{escape(text)}</textarea>'
            for name, text in form.typed or (("why", ""),)
        )
        page = (
            f"<!doctype html><title>Desk</title><p id=said>{escape(form.said)}</p>"
            f'<form method="post" action="/desk/{form.path}">{form.seal()}{fields}<button>Send</button></form>'
        )
        return Reply(HTTPStatus.OK, page.encode())

    def take(self, form: desk_door.Filled) -> Reply:
        time.sleep(self.slow)
        if ("why", "fail") in form.typed:
            raise ZeroDivisionError("told to nobody")
        if ("why", "full") in form.typed:
            raise CannotRunError("No room is left on the disk.")
        self.book.append((form.path, list(form.typed)))
        self.files += form.files
        return led_to(f"/desk/{form.path}?done=yes")


@dataclass
class AtDesk:
    """The owner's browser at the desk of a server."""

    at: Caller
    desk: Echo

    def form(self, path: str = "/desk/new") -> Pairs:
        """The hidden fields of a form that was opened."""
        return sealed(self.at.get(path)[2])

    def send(
        self,
        pairs: Pairs,
        path: str = "/desk/new",
        body: bytes | None = None,
        without: tuple[str, ...] = (),
        **other: str,
    ) -> tuple[int, dict[str, str], str]:
        data = body if body is not None else "&".join(f"{quote_plus(a)}={quote_plus(b)}" for a, b in pairs).encode()
        headers = {
            **self.at.cookie,
            "Origin": self.at.doors.origin,
            "Sec-Fetch-Site": "same-origin",
            "Content-Type": "application/x-www-form-urlencoded",
            "Content-Length": str(len(data)),
        } | {key.replace("_", "-"): value for key, value in other.items()}
        headers = {key: value for key, value in headers.items() if key not in without}
        status, told, answer = self.at.ask("POST", path, headers, data)
        return status, told, answer.decode()


def sealed(page: bytes) -> Pairs:
    return re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]+)">', page.decode())


def filled(page: str) -> Pairs:
    return [(a, unescape(b)) for a, b in re.findall(r'<textarea name="([^"]+)">\n(.*?)</textarea>', page, re.DOTALL)]


@pytest.fixture
def owner(tmp_path: Path) -> Iterator[AtDesk]:
    desk = Echo()
    with at_work(tmp_path, alone=True, desk=desk) as at:
        yield AtDesk(at, desk)


TYPED: Pairs = [("title", "Cheek <b>&amp;</b>"), ("steps/1/do", "One\r\nTwo  "), ("steps/1/do", ""), ("é", "ü=&+%41")]


def test_a_form_is_handed_over_as_pairs_of_path_and_text_as_typed_in_their_order(owner: AtDesk) -> None:
    status, told, _ = owner.send([*owner.form(), *TYPED])
    assert (status, told["location"]) == (303, "/desk/new?done=yes")
    kept = [(name, text.replace("\r\n", "\n")) for name, text in TYPED]
    assert owner.desk.book == [("new", kept)]
    # A page is filled from behind the question mark; reading it writes nothing.
    assert filled(owner.at.get("/desk/went-wrong?recipe=cast/cheek&why=")[2].decode()) == [
        ("recipe", "cast/cheek"), ("why", "")
    ]  # fmt: skip
    assert len(owner.desk.book) == 1


def test_a_form_that_is_only_looked_at_may_be_sent_again_and_one_that_says_more_may_not(owner: AtDesk) -> None:
    seals = owner.form()
    for _ in range(3):
        assert owner.send([*seals, ("why", "x"), ("_do", "look")])[0] == 303
    assert owner.send([*seals[:1], ("why", "x"), ("_do", "look")])[0] == 409
    assert owner.send([*seals[1:], ("why", "x"), ("_do", "look")])[0] == 403
    # What looks and writes at once is a writing.
    assert owner.send([*seals, ("_do", "look"), ("_do", "write")])[0] == 303
    assert owner.send([*seals, ("_do", "look")])[0] == 409


def test_a_page_of_the_desk_is_kept_by_nobody_and_sends_its_forms_to_this_server_alone(owner: AtDesk) -> None:
    for path in ("/desk/new", "/desk/nothing"):
        status, told, _ = owner.at.get(path)
        assert (status, told["cache-control"], told["x-frame-options"]) == (
            200 if path[-3:] == "new" else 404,
            "no-store",
            "DENY",
        )
    policy = owner.at.get("/desk/new")[1]["content-security-policy"]
    assert {"default-src 'none'", "form-action 'self'", "frame-ancestors 'none'"} <= set(policy.split("; "))


# From nowhere else


@pytest.mark.parametrize(
    ("without", "other"),
    [
        ((), {"Origin": "http://rebound.test"}),
        ((), {"Origin": "null"}),
        ((), {"Origin": ""}),
        ((), {"Origin": "http://127.0.0.1"}),
        ((), {"Origin": "http://127.0.0.1:1"}),
        ((), {"Origin": "http://localhost:{port}"}),
        ((), {"Origin": "https://127.0.0.1:{port}"}),
        ((), {"Sec_Fetch_Site": "cross-site"}),
        ((), {"Sec_Fetch_Site": "same-site"}),
        ((), {"Sec_Fetch_Site": "same-site", "Sec_Fetch_Mode": "navigate"}),
        ((), {"Sec_Fetch_Site": "none"}),
        (("Origin",), {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "navigate"}),
        (("Origin", "Sec-Fetch-Site"), {}),
        (("Cookie",), {}),
        ((), {"Cookie": "mothermold_{port}=wrong"}),
    ],
)
def test_a_form_of_another_page_is_refused(owner: AtDesk, without: tuple[str, ...], other: dict[str, str]) -> None:
    seal = owner.form()
    named = {key: value.format(port=owner.at.doors.port) for key, value in other.items()}
    status, _, page = owner.send([*seal, *TYPED], without=without, **named)
    assert (status, owner.desk.book, "<textarea" in page) == (403, [], False)
    # The form itself is still good.
    assert owner.send([*seal, *TYPED])[0] == 303


@pytest.mark.parametrize("without", ["Origin", "Sec-Fetch-Site"])
def test_one_word_of_the_browser_on_where_a_form_comes_from_is_enough(owner: AtDesk, without: str) -> None:
    assert owner.send([*owner.form(), *TYPED], without=(without,))[0] == 303


def test_another_name_of_this_computer_is_its_own_origin(owner: AtDesk) -> None:
    place = f"localhost:{owner.at.doors.port}"
    assert owner.send([*owner.form(), *TYPED], Host=place, Origin=f"http://{place}")[0] == 303
    assert owner.send([*owner.form(), *TYPED], Host=f"rebound.test:{owner.at.doors.port}")[0] == 421


@pytest.mark.parametrize("token", [None, "", "wrong", "twice", "of another start"])
def test_a_form_without_the_token_of_this_start_is_refused_and_comes_back_filled(
    owner: AtDesk, token: str | None
) -> None:
    (token_field, right), once = owner.form()
    shown = {
        None: [], "twice": [(token_field, right)] * 2, "of another start": [(token_field, Forms("another").token)],
    }.get(token, [(token_field, str(token))])  # fmt: skip
    status, _, page = owner.send([*shown, once, *TYPED])
    assert (status, owner.desk.book) == (403, [])
    assert "nothing was written" in page
    assert [text.replace("\r\n", "\n") for _, text in TYPED] == [text for _, text in filled(page)]
    # Sent again from that page it is taken.
    assert owner.send([*sealed(page.encode()), *filled(page)])[0] == 303


# Once


def test_a_form_sent_twice_is_taken_once_and_comes_back_filled(owner: AtDesk) -> None:
    seal = owner.form()
    assert owner.send([*seal, *TYPED])[0] == 303
    status, told, page = owner.send([*seal, *TYPED, ("why", "typed since")])
    assert (status, len(owner.desk.book), told["cache-control"]) == (409, 1, "no-store")
    assert "was sent before" in page
    assert filled(page)[-1] == ("why", "typed since")
    # Who means it twice sends it again.
    assert owner.send([*sealed(page.encode()), *filled(page)])[0] == 303
    assert len(owner.desk.book) == 2


@pytest.mark.parametrize("once", [None, "", "0" * 32, "twice"])
def test_a_form_without_a_name_of_its_own_is_refused_and_comes_back_filled(owner: AtDesk, once: str | None) -> None:
    token, (name, right) = owner.form()
    shown = {None: [], "twice": [(name, right)] * 2}.get(once, [(name, str(once))])
    status, _, page = owner.send([token, *shown, ("why", "kept")])
    assert (status, owner.desk.book, filled(page)) == (409, [], [("why", "kept")])


def test_a_button_pressed_many_times_at_once_sends_once(owner: AtDesk) -> None:
    owner.desk.slow = 0.1
    seal, heard = owner.form(), list[int]()
    threads = [threading.Thread(target=lambda: heard.append(owner.send([*seal, *TYPED])[0])) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (sorted(heard), len(owner.desk.book)) == ([303] + [409] * 7, 1)


def test_forms_are_taken_one_after_the_other(owner: AtDesk) -> None:
    owner.desk.slow = 0.1
    threads = [threading.Thread(target=owner.send, args=([*owner.form(), *TYPED],)) for _ in range(4)]
    begun = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(owner.desk.book) == 4
    assert time.monotonic() - begun >= 0.4


def test_each_form_on_a_page_is_its_own_and_the_oldest_of_very_many_is_looked_at_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(forms_module, "MOST_OPEN", 3)
    forms = Forms("key")
    seals = [sealed(forms.seal().encode()) for _ in range(4)]
    assert len({dict(seal)["-once"] for seal in seals}) == 4
    judged = [forms.judge(seal) for seal in seals]
    assert judged[0] is not None
    assert judged[1:] == [None] * 3
    assert "key" not in forms.token


def test_a_desk_that_cannot_take_a_form_gives_it_back_filled_and_says_why(owner: AtDesk) -> None:
    for why, status, told in (("full", 409, "No room is left on the disk."), ("fail", 500, "stands below")):
        answer, _, page = owner.send([*owner.form(), ("title", "Cheek"), ("why", why)])
        assert (answer, told in page, "told to nobody" in page) == (status, True, False)
        assert filled(page) == [("title", "Cheek"), ("why", why)]
        assert owner.send([*sealed(page.encode()), ("why", "good")])[0] == 303
    assert owner.at.said == ["A form could not be taken (ZeroDivisionError)."]


# As it should be sent


@pytest.mark.parametrize(
    ("status", "body", "other"),
    [
        (415, b"a=b", {"Content_Type": "text/plain"}),
        (400, b"a=b", {"Content_Type": "multipart/form-data; boundary=x"}),
        (400, b"--x--\r\n", {"Content_Type": "multipart/form-data"}),
        (415, b"--x--\r\n", {"Content_Type": "multipart/mixed; boundary=x"}),
        (
            400,
            b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n\0\r\n--x--',
            {"Content_Type": "multipart/form-data; boundary=x"},
        ),
        (413, b"--x--", {"Content_Type": "multipart/form-data; boundary=x", "Content_Length": "71303169"}),
        (408, b"--x--", {"Content_Type": "multipart/form-data; boundary=x", "Content_Length": "50"}),
        (
            403,
            b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nb\r\n--x--\r\n',
            {"Content_Type": "multipart/form-data; boundary=x"},
        ),
        (400, b"a=%ff", {}),
        (400, b"a=%00\0", {}),
        (400, b"\xff", {}),
        (400, b"", {}),
        (413, b"a=b", {"Content_Length": "4194305"}),
        (408, b"a=b", {"Content_Length": "50"}),
        (400, b"a=b", {"Transfer_Encoding": "chunked"}),
        (400, b"a=b&" * 10_001, {}),
        (403, b"a=b", {}),
    ],
)
def test_what_is_no_form_is_refused(owner: AtDesk, status: int, body: bytes, other: dict[str, str]) -> None:
    assert (owner.send([], body=body, **other)[0], owner.desk.book) == (status, [])


WITH_FILES = {"Content_Type": f"multipart/form-data; boundary={BOUNDARY.decode()}"}
PHOTO = SentFile("_photo.1", "a.jpg", bytes(range(256)) * 40_000)


def test_a_form_with_photos_is_taken_once_and_only_with_its_token_as_any_other(owner: AtDesk) -> None:
    seal = owner.form()
    typed: Pairs = [("why", "one\r\ntwo")]
    assert owner.send([], body=written([*seal[1:], *typed, PHOTO]), **WITH_FILES)[0] == 403
    assert owner.send([], body=written([*seal, *typed, PHOTO]), **WITH_FILES, Origin="http://rebound.test")[0] == 403
    assert owner.send([], body=written([*seal, *typed, PHOTO]), without=("Cookie",), **WITH_FILES)[0] == 403
    assert owner.desk.files == []
    assert owner.send([], body=written([*seal, *typed, PHOTO, SentFile("_photo.2", "", b"")]), **WITH_FILES)[0] == 303
    assert (owner.desk.book, owner.desk.files) == ([("new", [("why", "one\ntwo")])], [PHOTO])
    status, _, page = owner.send([], body=written([*seal, *typed, PHOTO]), **WITH_FILES)
    assert (status, "was sent before" in page, len(owner.desk.files)) == (409, True, 1)


def test_what_is_typed_beside_photos_is_bounded_as_in_any_form_and_a_photo_in_the_page_is_no_text(
    owner: AtDesk,
) -> None:
    long = "x" * 3_000_000
    assert owner.send([], body=written([*owner.form(), ("a", long), ("_photo.1.kept", long)]), **WITH_FILES)[0] == 303
    status, _, page = owner.send([], body=written([*owner.form(), ("a", long), ("b", long)]), **WITH_FILES)
    assert (status, "photos aside" in page) == (413, True)


def test_more_forms_with_photos_than_are_heard_at_once_are_heard_one_after_the_other(owner: AtDesk) -> None:
    owner.desk.slow = 0.05
    bodies = [written([*owner.form(), ("why", str(number)), PHOTO]) for number in range(6)]
    told: list[int] = []
    callers = [
        threading.Thread(target=lambda body=body: told.append(owner.send([], body=body, **WITH_FILES)[0]))
        for body in bodies
    ]
    for each in callers:
        each.start()
    for each in callers:
        each.join()
    assert told == [303] * 6
    assert len(owner.desk.files) == 6


def test_whoever_sends_a_photo_drop_by_drop_is_not_waited_for(owner: AtDesk) -> None:
    began = time.monotonic()
    head = f"POST /desk/new HTTP/1.1\r\nHost: {owner.at.host}\r\nCookie: {owner.at.cookie['Cookie']}\r\nOrigin: {owner.at.doors.origin}\r\nContent-Type: {WITH_FILES['Content_Type']}\r\nContent-Length: 60000000\r\n\r\n"
    heard = owner.at.raw(head.encode() + b"--x")
    assert b"did not arrive in time" in heard
    assert time.monotonic() - began < 5


def test_a_form_as_long_as_the_longest_file_is_taken(owner: AtDesk) -> None:
    text = "ü" * 500_000
    assert owner.send([*owner.form(), ("text", text)])[0] == 303
    assert owner.desk.book[0][1] == [("text", text)]


# Where it is open


def test_a_phone_has_no_desk_whatever_it_was_given(tmp_path: Path) -> None:
    desk = Echo()
    with at_work(tmp_path, desk=desk) as at:
        assert at.get("/desk/new")[0] == 404
        assert AtDesk(at, desk).send(TYPED)[0] == 405
    assert desk.book == []


@pytest.mark.parametrize(
    ("edition", "read_only", "open_"), [("private", False, True), ("private", True, False), ("class", False, False)]
)
def test_only_who_serves_the_private_edition_to_write_has_one(
    good_book: Path, monkeypatch: pytest.MonkeyPatch, edition: str, read_only: bool, open_: bool
) -> None:
    opened = []
    monkeypatch.setattr(serving, "_serve", lambda _pages, server: opened.append(server))
    serve_here(good_book, edition, lambda _said: None, read_only=read_only)  # type: ignore[arg-type]
    assert [room.take is not None for server in opened for room in server.rooms.table if room.path == "/desk/"] == (
        [True] if open_ else []
    )


def test_a_form_under_way_when_the_server_is_stopped_is_still_answered(tmp_path: Path) -> None:
    desk = Echo(slow=0.5)
    heard: list[int] = []
    with at_work(tmp_path, alone=True, desk=desk) as at:
        owner = AtDesk(at, desk)
        seal = owner.form()
        thread = threading.Thread(target=lambda: heard.append(owner.send([*seal, *TYPED])[0]))
        thread.start()
        time.sleep(0.2)
    thread.join()
    assert (heard, len(desk.book)) == ([303], 1)


# In a browser


def test_in_a_browser_a_form_is_sent_once_and_a_page_of_another_server_cannot_send_one(
    chromium: Browser, owner: AtDesk, tmp_path: Path
) -> None:
    with (
        at_work(tmp_path / "other", alone=True) as other,
        watched(chromium, "http://127.0.0.1", java_script_enabled=False) as seen,
    ):
        page = seen.page
        page.goto(owner.at.doors.invitation)
        page.wait_for_url(f"{owner.at.doors.origin}/")
        page.goto(f"{owner.at.doors.origin}/desk/new")
        page.locator("[name=why]").fill("A <thin> edge\nand a second line")
        page.get_by_role("button").click()
        page.wait_for_url("**/desk/new?done=yes")
        assert owner.desk.book == [("new", [("why", "A <thin> edge\nand a second line")])]
        # The same form once more, as by a button pressed twice.
        page.goto(f"{owner.at.doors.origin}/desk/new")
        assert owner.send(sealed(page.content().encode()))[0] == 303
        page.locator("[name=why]").fill("A <thin> edge\nand a second line")
        page.get_by_role("button").click()
        expect(page.locator("#said")).to_contain_text("was sent before")
        expect(page.locator("[name=why]")).to_have_value("A <thin> edge\nand a second line")
        # Another server on this very computer counts as the same site, so its form comes with the cookie.
        hidden = "".join(f'<input type=hidden name="{a}" value="{b}">' for a, b in owner.form())
        site = other.book / "site/public/index.html"
        site.write_text(
            f'<form method=post action="{owner.at.doors.origin}/desk/new">{hidden}<button>Go</button></form>'
        )
        page.goto(other.doors.invitation)
        page.wait_for_url(f"{other.doors.origin}/")
        page.get_by_role("button").click()
        expect(page.locator("h1")).to_contain_text("Only a page of this book")
        assert len(owner.desk.book) == 2
