"""Every link of every built page is followed: all lead somewhere, none leads out, and no page is out of reach."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest

from campaigns.seeds import short
from crawl import crawl, files_below
from history.repositories import FIRST, RECIPE, empty_book, recipe, start_repository
from mothermold.pages.addresses import OFFLINE
from mothermold.publish.building import build_site
from mothermold.view.editions import EDITIONS, Edition

Built = Callable[[Edition], Path]


@pytest.mark.parametrize(
    ("name", "edition"),
    [*product(["demo"], EDITIONS), *short(product(["top"], reversed(EDITIONS)), 1)],
)
def test_every_link_leads_somewhere_and_every_page_is_reached_from_home(
    name: str, edition: Edition, built_sample: Built, built_top: Built
) -> None:
    files = files_below({"demo": built_sample, "top": built_top}[name](edition))
    found = crawl(files)

    assert found.dead == []
    assert found.outside == []
    pages = {name for name in files if name.endswith(".html")}
    # Shown where nothing else is; nothing leads there.
    assert pages - found.reached == {"404.html", OFFLINE[0]}
    assert found.followed > 500


def test_the_page_for_what_is_not_there_needs_nothing_but_itself(built_sample: Built) -> None:
    page = (built_sample("public") / "404.html").read_text(encoding="utf-8")
    # It is served at any depth: its look and its script are its own, and every link is one the script leads upward.
    assert set(re.findall(r'(?:href|src)="([^"]*)"', page)) >= {
        "./index.html",
        "./recipes.html",
        "./find.html",
        "./hurt.html",
    }
    assert re.findall(r'(?:href|src)="(?!\./[a-z-]+\.html")', page) == []


def test_a_recipe_that_was_deleted_can_still_be_reached(tmp_path: Path) -> None:
    book = start_repository(tmp_path / "book")
    book.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    book.write({RECIPE: None})
    build_site(book.folder, "private", tmp_path / "site")
    found = crawl(files_below(tmp_path / "site"))
    assert {"recipes/cast/cheek.html", "versions/cast/cheek@1.html"} <= found.reached
    assert "cast/cheek" in (tmp_path / "site" / "recipes.html").read_text(encoding="utf-8")


SMALL = {
    "index.html": b'<a href="a/One.html">one</a><a href="#here"></a><p id="here"></p>',
    "a/One.html": b'<a href="../index.html#there">up</a><a href="../../x.html">out</a><img src="one.png">',
    "a/one.PNG": b"",
    "alone.html": b"",
}


def test_the_crawl_finds_dead_ends_wrong_cases_ways_out_and_lonely_pages(tmp_path: Path) -> None:
    found = crawl(SMALL)
    assert found.dead == ["a/One.html: ../index.html#there (no such place)", "a/One.html: one.png"]
    assert found.outside == ["a/One.html: ../../x.html"]
    assert found.reached == {"index.html", "a/One.html"}


def test_the_demo_has_hand_written_pages_only_where_a_book_has_them(built_top: Built, built_sample: Built) -> None:
    assert (built_top("public") / "about-this-book.html").is_file()
    assert not (built_sample("public") / "about-this-book.html").exists()


def test_a_site_does_not_know_the_folder_it_lies_in(built_sample: Built) -> None:
    site = built_sample("class")
    assert [name for name, data in files_below(site).items() if str(site).encode() in data] == []
