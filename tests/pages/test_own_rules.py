"""The rules a book adds stand on the page of the rules, on the step where they bite, and among the meanings, as text."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mothermold.pages.all_pages import all_pages
from mothermold.view.editions import EDITIONS
from mothermold.view.view import open_view
from view.own_rule import ADDS, RULE, add, lay_out


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "book")


def pages(root: Path, edition: str) -> dict[str, str]:
    return {page.address: page.body for page in all_pages(open_view(root, edition))}  # type: ignore[arg-type]


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_rule_stands_under_a_heading_of_its_own_and_its_finding_at_the_step(book: Path, edition: str) -> None:
    found = pages(book, edition)
    _tools, heading, own = found["rules.html"].partition("<h2>Added by this book</h2>")
    assert heading
    assert f'<tr id="{RULE}"><th scope="row">Bio gel on latex <span class="quiet">(damages the result)</span>' in own
    for text in (">It stays tacky where they touch.<", ">Use a cap of another material.<", "Source: this book."):
        assert text in own
    recipe = found["recipes/finish/cap.html"]
    before, _, step = recipe.partition('id="step-edge"')
    ruling = "<strong>Bio gel on latex:</strong> it stays tacky where they touch. Use a cap of another material."
    assert (ruling in before, ruling in step) == (False, True)
    assert f'rules.html#{RULE}">Bio gel on latex</a>' in recipe


def test_its_meaning_stands_among_those_of_the_notices(book: Path) -> None:
    about = pages(book, "private")["about.html"]
    assert about.count(f'id="{RULE}"') == 1
    assert "Its starter is stopped by latex." in about


def test_a_book_without_rules_of_its_own_has_no_such_heading(book: Path) -> None:
    add(book, "")
    assert "Added by this book" not in pages(book, "private")["rules.html"]


def test_what_it_says_is_text_and_nothing_else(book: Path) -> None:
    nasty = "<script>alert(1)</script>"
    add(
        book, re.sub(r"(title|happens|instead|because): [^\n]+", rf'\1: "{nasty}"', ADDS) + f'      source: "{nasty}"\n'
    )
    for address, body in pages(book, "private").items():
        assert nasty not in body, address
