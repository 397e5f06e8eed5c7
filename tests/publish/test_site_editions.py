"""Canaries: books made at random become pages in every edition, and no page says what its edition does not hold.

What the owner wrote is looked for as well: the private edition loses nothing a document says but `format`.
"""

from __future__ import annotations

import multiprocessing
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from html import unescape
from pathlib import Path
from typing import Any, Final

import pytest

from campaigns.seeds import parts, short
from crawl import crawl, files_below
from history.repositories import start_repository
from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.pages.addresses import OFFLINE, page_of, version_page
from mothermold.pages.all_pages import addresses, all_pages
from mothermold.pages.finder import find_index
from mothermold.pages.wording import spoken
from mothermold.publish.building import build_site
from mothermold.trade.vocabulary import family_words
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from view.books import GeneratedBook, make_book
from view.reading import open_editions
from view.saved import save_book

BOOKS: Final = parts(6, 100)
BUILT: Final = short((4, 10, 22), 1)

HIDDEN: Final = {
    "private": re.compile(r"zq[- ]?(comment|author|message)[\w-]*", re.IGNORECASE),
    "class": re.compile(r"zq[- ]?(private|comment|author|message)[\w-]*", re.IGNORECASE),
    "public": re.compile(r"zq[- ]?(private|class|comment|author|message)[\w-]*", re.IGNORECASE),
}
_MARKER: Final = re.compile(r"zq-?(?:private|class|public)[\w-]*")
_COMMENT: Final = re.compile(r"(?m)(^|\s)# .*$")
_BEHIND_LINK: Final = re.compile(
    r"""run:[^\s)>]*>?(\s+(["'])[^"']*\2)?|\[[^\]]*\](?=:\s)|(?<=\])\[[^\]]*\]""", re.IGNORECASE
)
# Said in other words than written.
_TOLD: Final = {
    "chosen": {"yes": "chosen", "no": "not chosen"},
    "worn": {"yes": "worn", "no": "not worn"},
    "made": {"unknown": "at a time nobody knows"},
    "may_pause": {"yes": "may be left here", "no": "must not be left here"},
    "holds": {"person": "somebody's time"},
    "how": {"reckoned": "worked out, not measured"},
    "of": {"the-rest": "the rest", "total": "the total"},
}


class Findings:
    """What was found to be wrong, by claim, and how much was looked at."""

    def __init__(self) -> None:
        self.books = 0
        self.wrong: dict[str, list[str]] = defaultdict(list)
        self.seen: Counter[str] = Counter()

    def say(self, claim: str, detail: str) -> None:
        self.seen[f"wrong: {claim}"] += 1
        if len(self.wrong[claim]) < 30:
            self.wrong[claim].append(detail)


@pytest.fixture(scope="module", params=BOOKS)
def findings(request: pytest.FixtureRequest) -> Findings:
    # In two processes, for speed; a seed makes the same book in either.
    books: range = request.param
    with ProcessPoolExecutor(2, multiprocessing.get_context("fork")) as pool:
        one, other = pool.map(look_at_all, (books[::2], books[1::2]))
    one.books = len(books)
    for name, details in other.wrong.items():
        one.wrong[name] += details
    one.seen.update(other.seen)
    return one


def look_at_all(seeds: range) -> Findings:
    found = Findings()
    for seed in seeds:
        look_at(seed, make_book(seed), found)
    return found


def look_at(seed: int, book: GeneratedBook, found: Findings) -> None:
    for edition, view in open_editions(book).items():
        pages = {page.address: page for page in all_pages(view)}
        said = {name: f"{page.address}\n{page.title}\n{page.body}" for name, page in pages.items()}
        said["the index of the find box"] = find_index(view)
        found.seen[f"{edition} pages"] += len(pages)
        for name, text in said.items():
            for leak in {match[0] for match in HIDDEN[edition].finditer(text + "\n" + unescape(text))}:
                found.say("hidden", f"book {seed}, {edition}, {name}: {leak}")
        if pages.keys() != addresses(view):
            found.say("addresses", f"book {seed}, {edition}: {pages.keys() ^ addresses(view)}")
        if edition == "private":
            for detail in not_shown(book, view, {name: page.title + page.body for name, page in pages.items()}):
                found.say("lost", f"book {seed}: {detail}")
            found.seen["documents"] += len(book.files)


def not_shown(book: GeneratedBook, view: View, pages: dict[str, str]) -> Iterator[str]:
    """Words, names and values of the owner's that no page says, or that a document's own page does not say."""
    plain = {name: _plain(text) for name, text in pages.items()}
    everything = "\n".join([*plain, *plain.values()])
    for file, text in book.files.items():
        said = _BEHIND_LINK.sub("", _COMMENT.sub("", text).replace('\\"', "'"))
        shown = set(_MARKER.findall(everything))
        lost = {name for name in _MARKER.findall(said) if name not in shown and spoken(name) not in everything}
        if lost and "-lost" not in file:
            yield f"{file}: {sorted(lost)[:4]}"
        if _spaced(file) not in everything:
            yield f"{file} is not named"
    for kind, documents in view.documents.by_kind().items():
        for address, document in documents.items():
            page = "notices.html" if kind == "book" else page_of(kind, address)
            own = plain[page]
            if kind == "recipe" and (listed := view.versions(address)):  # a draft stands on its own page
                own += "".join(plain[version_page(address, row.number)] for row in listed.rows)
            for what in values_not_in(document, own, view):
                yield f"{page}: {what}"
    for address in view.recipes:
        listed = view.versions(address)
        assert listed is not None
        for row in listed.rows:
            texts = [row.document, *(each for _moment, each in row.amendments), *([row.clash] if row.clash else [])]
            for document in texts:
                for what in values_not_in(document, plain[version_page(address, row.number)], view):
                    yield f"{version_page(address, row.number)}: {what}"


def values_not_in(document: Document, page: str, view: View) -> Iterator[str]:
    for path, value in leaves(document.raw):
        # What became of a version says more than the status it was saved with.
        if path[0] == "format" or (path == ("status",) and re.search("deleted|withdrawn", page)):
            continue
        if "run:" in value.lower():
            # Prose with a link in it becomes a link: its words stay, where it leads and its hover text are no words.
            if missing := set(_MARKER.findall(_BEHIND_LINK.sub("", value))) - set(_MARKER.findall(page)):
                yield f"{path}: {sorted(missing)} of {value!r}"
            continue
        name = next((str(key) for key in reversed(path) if isinstance(key, str)), "")
        told = _TOLD.get(name, {}).get(value, value)
        told = _inside(value, document, view) if name == "of" else family_words(value) if name == "families" else told
        if not any(_spaced(words) in page for words in (told, value, spoken(value))) and not linked(value, page, view):
            yield f"{path}: {value!r}"


def _inside(of: str, document: Document, view: View) -> str:
    """What a percent is of, as a page says it: a material inside a premix by both their titles."""
    premix, slash, material = of.partition("/")
    if not slash:
        return _TOLD["of"].get(of, of)
    mixes = [mix for mix in document.raw.get("mixes", []) if isinstance(mix, dict) and mix.get("id") == premix]
    mix = next((str(mix["title"]) for mix in mixes if mix.get("title")), spoken(premix))
    return f"{title_words(view).get(material, material)} in {mix}"


def linked(value: str, page: str, view: View) -> bool:
    """Whether a recipe named with version and step is a link to just that, said by its title."""
    match = re.fullmatch(r"([\w-]+(?:/[\w-]+)+)(@\d+)?(?:#([\w-]+))?", value)
    if match is None:
        return False
    address, version, step = match.groups()
    versions = view.versions(address)
    address = versions.address if versions else address
    target = f"{'versions' if version else 'recipes'}/{address}{version or ''}.html".lower()
    return target in page and (step is None or f"#step-{step}".lower() in page or f": {step}".lower() in page)


def leaves(said: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if isinstance(said, dict):
        for key, inner in said.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(said, list):
        for index, inner in enumerate(said):
            yield from leaves(inner, (*path, index))
    elif isinstance(said, str):
        yield path, said


def _plain(html: str) -> str:
    """A page as words: once without its tags, once with them, for what stands in links and ids."""
    # Temperatures are shown with the degree sign that is awkward to type.
    typed = html.replace("°C", "degC").replace("°F", "degF")
    return _spaced(unescape(re.sub(r"<[^>]*>", "", typed) + " " + typed))


def _spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip().lower()


def claim(findings: Findings, name: str) -> None:
    wrong = findings.wrong[name]
    assert not wrong, "\n".join(["", f"{findings.seen[f'wrong: {name}']} in all", *wrong])


def test_no_page_says_anything_its_edition_does_not_hold_and_none_says_comments(findings: Findings) -> None:
    claim(findings, "hidden")
    assert findings.seen["public pages"] > findings.books * 5
    assert findings.seen["class pages"] > findings.seen["public pages"]


def test_the_private_edition_loses_nothing_a_document_says(findings: Findings) -> None:
    claim(findings, "lost")
    assert findings.seen["documents"] > findings.books * 15


def test_every_book_has_exactly_the_pages_it_must_have(findings: Findings) -> None:
    claim(findings, "addresses")


def test_the_canaries_can_sing() -> None:
    book = make_book(4)
    views = open_editions(book)
    private = "".join(page.body for page in all_pages(views["private"]))
    assert HIDDEN["public"].search(private)
    assert HIDDEN["class"].search(private)
    pages = {page.address: page.title + page.body for page in all_pages(views["private"])}
    address = next(name for name in pages if name.startswith("failures/"))
    assert list(not_shown(book, views["private"], pages)) == []
    assert list(not_shown(book, views["private"], pages | {address: "nothing"})) != []


@pytest.mark.parametrize("seed", BUILT)
def test_no_file_of_a_built_site_says_anything_its_edition_does_not_hold(seed: int, tmp_path: Path) -> None:
    book = make_book(seed)
    save_book(book, start_repository(tmp_path / "book"))
    for edition in EDITIONS:
        build_site(tmp_path / "book", edition, tmp_path / edition)
        files = files_below(tmp_path / edition)
        leaks = []
        for name, data in files.items():
            text = f"{name}\n{data.decode(errors='replace')}"
            leaks += [f"{name}: {match[0]}" for match in HIDDEN[edition].finditer(text + "\n" + unescape(text))]
        assert leaks == []
        found = crawl(files)
        assert found.dead + found.outside == []
        assert {name for name in files if name.endswith(".html")} - found.reached == {"404.html", OFFLINE[0]}
        if edition == "private":
            view = open_view(tmp_path / "book", "private")
            pages = {name: data.decode() for name, data in files.items() if name.endswith(".html")}
            assert list(not_shown(book, view, pages)) == []
