"""Words of the trade lead to their meaning: once on a page, quietly, where an author tells and nowhere else."""

from __future__ import annotations

import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

import pytest
from markupsafe import Markup

from campaigns.seeds import short
from history.repositories import FIRST, empty_book, start_repository
from mothermold.answers.find import find_documents
from mothermold.pages.addresses import Links, chapter_page
from mothermold.pages.all_pages import page_at
from mothermold.pages.glossary import CHAPTER, marking, trade_words
from mothermold.pages.guide import guide_page
from mothermold.publish.carried.links import CarriedLinks
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view

Open = Callable[[Edition], View]
WORD: Final = re.compile(
    r'<a class="word" href="\.\./(?:\.\./)?guide/words-of-the-trade\.html#([\w-]+)" title="[^"]+">([^<]+)</a>'
)


class Within(HTMLParser):
    """What stands round each word that leads to its meaning."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.round: list[list[str]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if ("class", "word") in attrs:
            self.round.append(list(self.open))
        if tag not in ("img", "br", "path", "hr", "input", "link", "meta", "rect", "circle", "wbr", "image"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass


@pytest.fixture
def mark(sample_view: Open) -> Callable[[str], str]:
    view = sample_view("private")
    marked = marking(view, Links(view, "recipes/cast/face-piece.html"))
    return lambda html: str(marked(Markup(html)))


def found(html: str) -> list[str]:
    return [word for _, word in WORD.findall(html)]


def test_a_word_leads_where_it_first_occurs_and_only_there(mark: Callable[[str], str]) -> None:
    html = mark("<p>Seat the core; the core, slowly.</p>")
    assert html.startswith("<p>Seat the <a ")
    assert found(html) == ["core"]
    assert html.endswith("</a>; the core, slowly.</p>")
    assert mark("<p>Another core.</p>") == "<p>Another core.</p>"


@pytest.mark.parametrize(
    "html",
    [
        '<p>See <a href="x.html">the core</a>.</p>',
        "<p><code>core</code></p>",
        "<pre>core\nnegative</pre>",
        "<h4>The core</h4>",
        '<p title="core">x</p>',
        "<p>Corer, encore, score.</p>",
        "<p>A roll of plastic film under it.</p>",
        "<p>Pry the slot; cutting the edge.</p>",
        "<p>cutting <em>edge</em></p>",
        "<p>Lift it on a brush handle, look at the lot.</p>",
    ],
)
def test_links_code_headings_other_words_and_everyday_ones_stay_as_they_are(
    html: str, mark: Callable[[str], str]
) -> None:
    assert mark(html) == html


@pytest.mark.parametrize(
    ("html", "words"),
    [
        ("<p>Past the cutting\nedge, cutting edges.</p>", ["cutting\nedge"]),
        ("<p>Four pry slots and a key.</p>", ["pry slots", "key"]),
        ("<p>Undercuts &amp; <strong>flashing</strong></p>", ["Undercuts", "flashing"]),
        ("<p>a film of encapsulant on the flat mold</p>", ["film", "encapsulant", "flat mold"]),
    ],
)
def test_a_word_is_known_in_the_plural_at_a_line_end_and_in_capitals(
    html: str, words: list[str], mark: Callable[[str], str]
) -> None:
    assert found(mark(html)) == words


def test_every_word_has_its_place_in_the_chapter(sample_view: Open) -> None:
    body = guide_page(sample_view("public"), CHAPTER).body
    places = re.findall(r'<tr id="([\w-]+)"', body)
    assert len(set(places)) == len(places)
    assert {word.place for word in trade_words()} <= set(places)
    assert len(trade_words()) > 25


@pytest.mark.parametrize("edition", short(["private", "public"], 1))
def test_in_recipes_and_failure_notes_each_word_leads_once_and_stands_in_prose(
    edition: Edition, built_sample: Callable[[Edition], Path]
) -> None:
    site, led = built_sample(edition), 0
    for path in (path for folder in ("failures", "recipes") for path in (site / folder).rglob("*.html")):
        body = path.read_text("utf-8")
        places = [place for place, _ in WORD.findall(body)]
        assert len(places) == body.count('class="word"')
        assert len(set(places)) == len(places), path
        for around in Within(body).round:
            assert not {"a", "code", "summary", "button", "h1", "h2", "h3", "h4", "label"} & set(around), path
        led += len(places)
    assert led > 60


@pytest.mark.parametrize(
    "address", ["materials/deadener.html", "runs/r-2026-04-14-face-3.html", "bench/cast/face-piece@5.html"]
)
def test_other_pages_and_the_bench_stay_without(address: str, sample_view: Open) -> None:
    page = page_at(sample_view("private"), address)
    assert page is None or 'class="word"' not in page.body


def test_a_book_carried_as_one_file_has_no_chapter_and_no_words_that_lead_there(sample_view: Open) -> None:
    view = sample_view("private")
    links = CarriedLinks(
        view, "recipes/cast/face-piece.html", {"recipes/cast/face-piece.html": "recipe/cast/face-piece"}
    )
    assert marking(view, links)(Markup("<p>core</p>")) == "<p>core</p>"


# What a book adds.

OWN: Final = """\
title: Own
adds:
  words:
    - {word: rim wax, means: soft wax & "rope" that seals a mold, called: Randwachs}
    - {word: core, means: what this workshop calls the inside}
    - {word: Öl, means: oil}
"""
NOTE: Final = """\
title: It leaked
seen_at: cast
symptoms: [the rim wax let go of the core]
now: [Press the rim wax down, no Öl on it.]
visibility: public
"""


@pytest.fixture
def own(tmp_path: Path) -> Path:
    repository = start_repository(tmp_path)
    files = {**empty_book(), "recipes/book.yaml": OWN, "recipes/failures/leaked.yaml": NOTE}
    repository.save(FIRST, files)
    return repository.folder


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_word_of_the_book_stands_in_every_edition_with_what_the_class_calls_it(own: Path, edition: Edition) -> None:
    view = open_view(own, edition)
    assert [each.code for each in view.notices if each.file == "recipes/book.yaml"] == []
    body = guide_page(view, CHAPTER).body
    _, heading, rows = body.partition('<h2 id="words-of-this-book">')
    assert heading
    assert "<td>rim wax</td><td>soft wax &amp; &#34;rope&#34; that seals a mold</td><td>Randwachs</td>" in rows
    page = page_at(view, "failures/leaked.html")
    assert page is not None
    # The book's meaning of a word comes before the guide's.
    assert [(place, word) for place, word in WORD.findall(page.body)] == [
        ("own-word-1", "rim wax"),
        ("own-word-3", "Öl"),
        ("own-word-2", "core"),
    ]
    assert 'title="soft wax &amp; &#34;rope&#34; that seals a mold"' in page.body


def test_what_the_class_calls_a_word_finds_it(own: Path) -> None:
    found = find_documents(open_view(own, "class"), ["Randwachs"])
    assert [each["id"] for each in found.data["results"]][:1] == ["leaked"]


def test_a_book_without_words_of_its_own_has_no_such_heading(sample_view: Open) -> None:
    assert "words-of-this-book" not in guide_page(sample_view("private"), CHAPTER).body
    assert chapter_page(CHAPTER) == "guide/words-of-the-trade.html"
