"""From the pages of `serve` what goes into other hands is taken away: a zip or a file, of the class's edition first, of no wider one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import unescape
from http import HTTPStatus
from pathlib import Path
from urllib.parse import parse_qs

import pytest

from mothermold.pages.all_pages import page_at
from mothermold.publish.carried.away import editions_of, with_away
from mothermold.publish.carried.course_file import course_file
from mothermold.serve.away_door import AWAY_PATH, AwayDoor
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view

COURSE = "silicone-pieces-autumn-2026"
LINK = re.compile(r'href="((?:\.\./)*)away/\?([^"]+)"')


def links_on(view: View, address: str) -> list[dict[str, str]]:
    page = page_at(view, address)
    assert page is not None
    found = LINK.findall(with_away(view, page).body)
    assert all(up == "../" * address.count("/") for up, _query in found)
    return [{name: values[0] for name, values in parse_qs(unescape(query)).items()} for _up, query in found]


@pytest.fixture
def door(sample_view: Callable[[Edition], View]) -> Callable[[Edition], AwayDoor]:
    @contextmanager
    def lent(edition: Edition) -> Iterator[View]:
        yield sample_view(edition)

    return lambda served: AwayDoor(served, lent)


def test_a_page_offers_what_can_be_taken_of_it_the_class_first(view: View) -> None:
    assert [(each["what"], each["for"]) for each in links_on(view, "index.html")] == [
        (what, edition) for edition in ("class", "public", "private") for what in ("zip", "recipes")
    ]
    # The course is open to the class and no further.
    course = links_on(view, f"courses/{COURSE}.html")
    assert [(each["what"], each["of"], each["for"]) for each in course] == [
        ("course", COURSE, "class"), ("course", COURSE, "private"),
    ]  # fmt: skip
    assert {each["what"] for each in links_on(view, "write-ups/saltpan-keeper.html")} == {"write-up"}
    assert links_on(view, "materials/deadener.html") == []


def test_every_link_gives_the_file_of_its_edition_to_keep(
    view: View, sample_view: Callable[[Edition], View], door: Callable[[Edition], AwayDoor]
) -> None:
    for query in (f"what=course&of={COURSE}", "what=write-up&of=saltpan-keeper&for=public", "what=recipes&for=class"):
        reply = door("private").reply(AWAY_PATH, query)
        assert reply.status == HTTPStatus.OK
        assert dict(reply.headers)["Content-Disposition"].startswith('attachment; filename="')
    reply = door("private").reply(AWAY_PATH, f"what=course&of={COURSE}")
    assert reply.body == course_file(sample_view("class"), COURSE).encode()


@pytest.mark.parametrize("served", ["class", "public"])
def test_no_wider_edition_than_is_served_is_handed_out(served: Edition, door: Callable[[Edition], AwayDoor]) -> None:
    wider = EDITIONS[: EDITIONS.index(served)]
    assert set(editions_of(served)) == set(EDITIONS) - set(wider)
    for edition in wider:
        assert door(served).reply(AWAY_PATH, f"what=recipes&for={edition}").status == HTTPStatus.NOT_FOUND


@pytest.mark.parametrize(
    "query",
    ["", "what=", "what=zip&of=x", "what=course", "what=course&of=../../x", "what=nothing", f"what=course&of={COURSE}&for=public",
     "what=course&of=" + "x" * 999, "what=recipes&for=everybody", "what=%00"],
)  # fmt: skip
def test_what_cannot_be_taken_is_a_page_that_says_so(query: str, door: Callable[[Edition], AwayDoor]) -> None:
    reply = door("private").reply(AWAY_PATH, query)
    assert reply.status == HTTPStatus.NOT_FOUND
    assert b"<h1>" in reply.body


def test_the_zip_is_made_of_the_book_as_it_is_now(good_book: Path) -> None:
    @contextmanager
    def lent(edition: Edition) -> Iterator[View]:
        yield open_view(good_book, edition)

    reply = AwayDoor("private", lent).reply(AWAY_PATH, "what=zip")
    assert (reply.status, reply.kind, reply.body[:4]) == (HTTPStatus.OK, "application/zip", b"PK\x03\x04")
    assert dict(reply.headers)["Content-Disposition"] == 'attachment; filename="class-book.zip"'
