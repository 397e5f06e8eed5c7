"""From the pages of `serve` a PDF is made when somebody asks for it, of the edition that is served; a built site leads to none."""

from __future__ import annotations

import http.client
import re
from collections.abc import Callable
from contextlib import closing, nullcontext
from html import unescape
from http import HTTPStatus
from pathlib import Path

import pytest

from campaigns.seeds import short
from handouts.reading import pdf_of
from mothermold.handouts.command import make_handout
from mothermold.handouts.printing import printed_from, with_prints
from mothermold.pages.all_pages import page_at
from mothermold.serve.living import LivingPages
from mothermold.serve.page_door import News
from mothermold.serve.print_door import PRINT, PrintDoor
from mothermold.serve.rooms import Holdings
from mothermold.serve.serving import open_server
from mothermold.view.editions import Edition
from mothermold.view.view import View
from serve.callers import running

LINK = re.compile(r'href="((?:\.\./)*)print/\?([^"]+)"')


def links_on(view: View, address: str) -> list[tuple[str, str]]:
    page = page_at(view, address)
    assert page is not None
    return [(up, unescape(query)) for up, query in LINK.findall(with_prints(view, page).body)]


@pytest.mark.parametrize(
    ("address", "kinds"),
    [
        ("recipes/cast/face-piece.html", ["student", "teacher", "bench", "risk"]),
        ("versions/cast/face-piece@2.html", ["student", "teacher", "bench", "risk"]),
        ("courses/silicone-pieces-autumn-2026.html", ["student", "teacher", "risk", "buying", "consent"]),
        ("builds/saltpan-keeper.html", ["look", "packing", "day", "labels"]),
        ("hurt.html", ["emergency"]),
        ("materials/deadener.html", []),
        ("index.html", []),
    ],
)
def test_a_page_leads_to_what_can_be_printed_of_it_on_both_papers(view: View, address: str, kinds: list[str]) -> None:
    links = links_on(view, address)
    assert [re.findall(r"kind=(\w+)&paper=(\w+)", query)[0] for _up, query in links] == [
        (kind, paper) for paper in ("a4", "letter") for kind in kinds
    ]
    assert all(up == "../" * address.count("/") for up, _query in links)


@pytest.mark.parametrize("edition", short(["class", "private"], 1))
def test_every_link_of_a_page_gives_the_handout_of_its_edition(
    sample_view: Callable[[Edition], View], edition: Edition
) -> None:
    shown = sample_view(edition)
    door = PrintDoor(lambda: nullcontext(shown))
    for address in ("versions/cast/face-piece@2.html", "builds/saltpan-keeper.html", "hurt.html"):
        for _up, query in links_on(shown, address):
            reply = door.reply(PRINT, query)
            assert (reply.status, reply.kind, reply.body[:5]) == (HTTPStatus.OK, "application/pdf", b"%PDF-")
    reply = door.reply(PRINT, "of=cast/face-piece@2&kind=bench&paper=letter")
    assert reply.body == make_handout(shown, "cast/face-piece@2", "bench", "letter").printed.pdf
    assert ("Content-Disposition", 'inline; filename="cast-face-piece-v2-bench-letter.pdf"') in reply.headers


@pytest.mark.parametrize(
    "query",
    [
        "",
        "of=",
        "of=cast/nobody",
        "of=cast/face-piece&kind=labels",
        "of=cast/face-piece&paper=a5",
        "of=" + "x" * 999,
        "of=%00",
        "kind=bench",
    ],
)
def test_what_cannot_be_printed_is_a_page_that_says_so(view: View, query: str) -> None:
    reply = PrintDoor(lambda: nullcontext(view)).reply(PRINT, query)
    assert reply.status == HTTPStatus.NOT_FOUND
    assert b"<h1>" in reply.body


def test_the_public_edition_offers_no_sheet_for_the_wall(sample_view: Callable[[Edition], View]) -> None:
    assert list(printed_from(sample_view("public"), "hurt.html")) == []


def test_served_pages_lead_there_and_pages_without_a_printer_do_not(good_book: Path, tmp_path: Path) -> None:
    bodies = {}
    for name, dress in (("with", with_prints), ("without", None)):
        (tmp_path / name).mkdir()
        pages = LivingPages(good_book, "private", tmp_path / name, lambda _said: None, dress=dress)
        found = pages.read("/recipes/cast/cheek.html")
        assert found is not None
        bodies[name] = found[1]
    assert b"print/?of=cast%2Fcheek" in bodies["with"]
    assert b"print/?" not in bodies["without"]


def test_a_browser_gets_the_pdf_and_whoever_has_no_token_does_not(good_book: Path, tmp_path: Path) -> None:
    (tmp_path / "around").mkdir()
    pages = LivingPages(good_book, "class", tmp_path / "around", lambda _said: None, dress=with_prints)
    holdings = Holdings(pages, News(), prints=PrintDoor(pages.view))
    before = {path for path in good_book.rglob("*") if ".git" not in path.parts}
    with open_server("127.0.0.1", None, holdings, lambda _said: None, alone=True) as server, running(server):
        doors = server.rooms.doors

        def get(method: str = "GET", **headers: str) -> tuple[int, bytes]:
            caller = http.client.HTTPConnection("127.0.0.1", doors.port, timeout=20)
            caller.request(method, "/print/?of=cast/cheek&kind=student", headers=headers)
            with closing(caller), caller.getresponse() as answer:
                return answer.status, answer.read()

        own = {"Cookie": f"mothermold_{doors.port}={doors.token}"}
        status, body = get(**own)
        with pages.view() as shown:
            assert (status, body) == (200, pdf_of(shown, "cast/cheek"))
        assert get()[0] == 403
        assert get("POST", **own)[0] == 405
    assert {path for path in good_book.rglob("*") if ".git" not in path.parts} == before
