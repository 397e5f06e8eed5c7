"""The guide: in every book and every edition, each page in reach, nothing in it that leads where an edition does not go."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from crawl import read_page
from history.repositories import FIRST, empty_book, start_repository
from mothermold.pages.addresses import FIRST_EVENING, GUIDE, chapter_page
from mothermold.pages.guide import chapters, guide_page
from mothermold.pages.hubs import home
from mothermold.pages.page import Page
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view

TEXTS: Final = Path(__file__).resolve().parents[2] / "tools" / "mothermold" / "guide"

Open = Callable[[Edition], View]


def _pages(view: View) -> list[Page]:
    return [guide_page(view, name) for name in ("the-guide", *chapters())]


def test_every_text_of_the_guide_is_a_page_and_its_first_page_leads_to_each() -> None:
    assert {f"{name}.md" for name in (*chapters(), "the-guide")} == {path.name for path in TEXTS.iterdir()}


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_edition_has_the_same_guide_but_for_what_only_the_owner_has(edition: Edition, sample_view: Open) -> None:
    pages = _pages(sample_view(edition))
    assert [page.address for page in pages] == [GUIDE[0], *map(chapter_page, chapters())]
    first = next(page for page in pages if page.address == GUIDE[0])
    led = f'<a href="./{FIRST_EVENING[0]}">Your first evening</a>' in first.body
    assert led == (edition == "private")
    assert "Your first evening" in first.body
    assert not [page.address for page in pages if "first-evening" in page.body and edition != "private"]


def test_an_empty_book_has_the_guide_and_its_owner_is_led_there_from_the_first_page(tmp_path: Path) -> None:
    repository = start_repository(tmp_path)
    repository.save(FIRST, empty_book())
    view = open_view(repository.folder, "private")
    assert f'href="./{GUIDE[0]}"' in home(view).body
    assert len(_pages(view)) == len(chapters()) + 1
    assert f'href="./{GUIDE[0]}"' not in home(open_view(repository.folder, "class")).body


def test_one_turns_from_page_to_page_through_the_whole_guide(sample_view: Open) -> None:
    pages = {page.address: page for page in _pages(sample_view("public"))}
    at, walked = GUIDE[0], []
    while found := re.search(r'href="(?:\./|\.\./)([^"]+)" rel="next"', pages[at].body):
        at = found[1]
        walked.append(at)
    assert walked == [*map(chapter_page, chapters())]


def test_what_is_typed_stands_apart_from_what_is_printed_and_has_no_sign_before_it(sample_view: Open) -> None:
    (page,) = [page for page in _pages(sample_view("public")) if "when-something" in page.address]
    assert "<kbd>mothermold evidence stiff-rim-at-the-jaw</kbd>\n  mold/face-mold@3: fix held" in page.body
    assert not [page.address for page in _pages(sample_view("public")) if "<kbd>$" in page.body or "\n$ " in page.body]


def test_every_part_of_a_page_can_be_linked_to(sample_view: Open) -> None:
    for page in _pages(sample_view("public")):
        read = read_page(page.body)
        parts = [given for tag, given in read.elements if tag == "h2"]
        assert parts, page.address
        assert all(given.get("id") for given in parts), page.address
