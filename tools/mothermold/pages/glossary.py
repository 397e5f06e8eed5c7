"""The words of the trade, and where they first occur in what a page tells: there they lead to their meaning, quietly.

The words are those of the guide's chapter and those a book adds under ``adds: words``, which every edition holds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Final

from markupsafe import Markup, escape

from mothermold.model.additions import OwnWord
from mothermold.pages.addresses import Links, chapter_page
from mothermold.view.view import View

CHAPTER: Final = "words-of-the-trade"
_TEXT: Final = Path(__file__).parents[1] / "guide" / f"{CHAPTER}.md"
_ROW: Final = re.compile(r"\| (.+?) \| (.+?) \|")
_LEFT_OUT: Final = ("The book",)
"""Parts of the chapter whose words are the tool's, and everyday ones: a build, a run, a rule."""
_EVERYDAY: Final = frozenset({
    "look", "lot", "cleared", "handle", "bolt", "feet", "rim", "bed", "edge", "plate", "positive", "application", "gel", "wearer",
    "part A", "part B",
})  # fmt: skip
"""Words that mostly mean something else where they occur, or need no telling."""
_OTHERWISE: Final = frozenset({("plastic", "film"), ("cling", "film")})
"""Words that are something else after another."""
# A word of the trade is not looked for in links, in what is typed and in headings, nor within a tag.
_PIECES: Final = re.compile(r"<(a|code|pre|h[4-6])\b.*?</\1>|<[^>]*>|&[#\w]+;|[^\W\d_]+(?:-[^\W\d_]+)*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the glossary.

    Attributes:
        forms: How it is written, each way.
        means: What it means, in a few words.
        place: Where it stands in the chapter.
    """

    forms: tuple[str, ...]
    means: str
    place: str


def place_of(word: str) -> str:
    """The id of a word in the chapter, as written there."""
    return "word-" + re.sub(r"[^a-z0-9]+", "-", word.lower()).strip("-")


def own_place(number: int) -> str:
    """The id of a word a book adds, by its number from nought: it may be written in letters no id takes, or twice."""
    return f"own-word-{number + 1}"


@cache
def trade_words() -> tuple[Word, ...]:
    """The words of the chapter that lead there from other pages."""
    found = []
    for part in _TEXT.read_text(encoding="utf-8").split("\n## ")[1:]:
        title, _, rows = part.partition("\n")
        for said, means in _ROW.findall(rows) if title not in _LEFT_OUT else ():
            forms = tuple(form for form in said.split(", ") if form not in _EVERYDAY)
            if forms and set(said) - set("- ") and said != "word":
                found.append(Word(forms, means, place_of(said)))
    return tuple(found)


@dataclass(frozen=True, slots=True, eq=False)
class Glossary:
    """The words that lead to the chapter.

    Attributes:
        words: All of them.
        firsts: By their first part, in small letters, how words are written, the longest first, each with its number.
    """

    words: tuple[Word, ...]
    firsts: Mapping[str, list[tuple[tuple[str, ...], int]]]


def own_words(view: View) -> tuple[OwnWord, ...]:
    """The words a book adds."""
    return view.settings.adds.words if view.settings.adds is not None else ()


@lru_cache(maxsize=8)
def _glossary(added: tuple[OwnWord, ...]) -> Glossary:
    """All words; what a book says of one comes before what the guide says."""
    own = (Word((each.word,), each.means, own_place(number)) for number, each in enumerate(added))
    known = (*own, *trade_words())
    firsts: dict[str, list[tuple[tuple[str, ...], int]]] = {}
    for number, word in enumerate(known):
        for form in word.forms:
            parts = tuple(form.lower().split())
            for first in dict.fromkeys(_forms(parts[0]) if len(parts) == 1 else parts[:1]):
                firsts.setdefault(first, []).append((parts, number))
    for row in firsts.values():
        row.sort(key=lambda each: -len(each[0]))
    return Glossary(known, firsts)


def marking(view: View, links: Links) -> Callable[[Markup], Markup]:
    """What lets each word of the trade lead to its meaning where it first occurs, for one page.

    The pieces of prose are given in the order of the page; one page, one marking. Where the chapter is not held, as in a
    write-up to give away, nothing is marked.
    """
    chapter = chapter_page(CHAPTER)
    if links.to(chapter) is None:
        return lambda html: html
    known, told = _glossary(own_words(view)), set[int]()

    def marked(html: Markup) -> Markup:
        pieces, at = [], 0
        for number, start, end in _found(str(html), known):
            if number in told:
                continue
            told.add(number)
            word = known.words[number]
            where = escape(links.to(f"{chapter}#{word.place}"))
            link = f'<a class="word" href="{where}" title="{escape(word.means)}">'
            pieces += [html[at:start], Markup(link), html[start:end], Markup("</a>")]  # noqa: S704 - made of escaped words
            at = end
        return Markup("").join([*pieces, html[at:]]) if pieces else html

    return marked


# The versions of a recipe say most things in the same words.
@lru_cache(maxsize=20_000)
def _found(html: str, known: Glossary) -> tuple[tuple[int, int, int], ...]:
    """Where words first occur in a piece of HTML: which, from where, to where; none within another."""
    pieces = [match for match in _PIECES.finditer(html) if html[match.start()] not in "<&"]
    found: dict[int, tuple[int, int, int]] = {}
    after = 0
    for at, piece in enumerate(pieces):
        before = pieces[at - 1][0].lower() if at else ""
        if piece.start() < after or (before, piece[0].lower()) in _OTHERWISE:
            continue
        for form, number in known.firsts.get(piece[0].lower(), ()):
            end = _end(html, pieces, at, form)
            if end:
                after = end
                found.setdefault(number, (number, piece.start(), end))
                break
    return tuple(found.values())


def _end(html: str, pieces: list[re.Match[str]], at: int, form: tuple[str, ...]) -> int:
    """Where a word of several ends that begins at a piece; nought where others follow, or something stands between."""
    row = pieces[at : at + len(form)]
    if len(row) < len(form) or any(one[0].lower() != other for one, other in zip(row[:-1], form[:-1], strict=True)):
        return 0
    if row[-1][0].lower() not in _forms(form[-1]):
        return 0
    gaps = (html[one.end() : other.start()] for one, other in pairwise(row))
    return row[-1].end() if all(gap.isspace() for gap in gaps) else 0


def _forms(word: str) -> tuple[str, ...]:
    """A word, one of it and many of it."""
    return (word, f"{word}s", word.removesuffix("s"))
