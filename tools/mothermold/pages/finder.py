"""The index a page finds with, and the page of the fix finder: the same index and the same order as the command."""

from __future__ import annotations

import json
from typing import Any, Final

from mothermold.answers.findable import Findable, findable
from mothermold.answers.troubles import ANSWER_WORDS, ANSWERS, HARMS, troubles
from mothermold.find.index import SAID, TEXT, TITLE, Entry, Index
from mothermold.pages.addresses import FINDER, page_of
from mothermold.pages.page import Page, render
from mothermold.trade.vocabulary import family_words
from mothermold.view.view import View

FILE: Final = "assets/find-index.js"
LINES_FILE: Final = "assets/find-lines.js"
"""Fetched only once somebody searches: it is as long as the book."""
_WEIGHTS: Final = {TITLE: "T", SAID: "S", TEXT: "X"}
_DIGITS: Final = "0123456789abcdefghijklmnopqrstuvwxyz"


def find_index(view: View) -> str:
    """A script that lays an edition's index down, so that it loads from a folder; ``find.js`` reads it."""
    return carried_script(findable(view))


def find_lines(view: View) -> str:
    """A script that lays down what every entry says, line by line, so that a page can tell by which one it was found."""
    return _script("Lines", ["\n".join(entry.lines) for entry in findable(view).index.entries])


def carried_script(book: Findable) -> str:
    """The script of an index; a string that is parsed is ready sooner than the same as a script (tests/bench/finder.py)."""
    return _script("", _carried(book))


def _script(name: str, data: Any) -> str:
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    # `</` must not end the script element a page might put this into.
    return f"window.mothermoldFind{name} = JSON.parse({json.dumps(text, ensure_ascii=False)});\n".replace("</", "<\\/")


def _carried(book: Findable) -> dict[str, Any]:
    """The index as plain data.

    ``entries``: page, title, kind, id, stage, families, harm, answer, place among what keeps going wrong, what to do now, what
    not to do; what is empty at the end is left out. ``sizes``: how many words each holds.
    ``words``: every word of the index in a line of its own; ``places``: for each, its entries (each as the distance to the one
    before, base 36) with what it weighs there. ``meanings``: the rows a phrase stands in.
    """
    index = book.index
    entries = []
    for entry in index.entries:
        side = book.sides_of(entry)
        sides: list[Any] = [
            side.stage,
            list(side.families),
            side.harm,
            side.answer,
            side.pressing,
            list(side.now),
            list(side.do_not),
        ]
        while sides and not sides[-1]:
            sides.pop()
        entries.append([_page(entry), entry.title, entry.kind, entry.id, *sides])
    words = sorted(index.words)
    return {
        "entries": entries,
        "words": "\n".join(words),
        "places": [_places(index, word) for word in words],
        "meanings": {phrase: list(rows) for phrase, rows in index.words_of.meanings.items()},
        "longest": index.words_of.longest,
        "sizes": list(index.sizes),
        "apart": sorted({entry.kind for entry in index.entries if entry.leads is not None}),
        "spellings": dict(index.words_of.spellings),
        "forms": dict(index.words_of.forms),
        "answers": dict(ANSWER_WORDS),
        "negations": sorted(index.words_of.negations),
        "helpers": sorted(index.words_of.helpers),
        "small": sorted(index.words_of.small),
    }


def _page(entry: Entry) -> str:
    """Where an entry is read: its own page, its place on a page of the tool's own, or the document it stands in."""
    kind, name = entry.leads or (entry.kind, entry.id)
    return f"{name}.html#{entry.id}" if kind == "page" else page_of(kind, name)


def _places(index: Index, word: str) -> str:
    told, before = [], 0
    for place, weight in sorted(index.words[word].items()):
        told.append(_base36(place - before) + _WEIGHTS[weight])
        before = place
    return "".join(told)


def _base36(number: int) -> str:
    digits = _DIGITS[number % 36]
    while number := number // 36:
        digits = _DIGITS[number % 36] + digits
    return digits


def finder(view: View) -> Page:
    """The fix finder: a box, the sides to narrow down by, and without scripts all failures by what they are called."""
    sides = findable(view).sides
    failures = [side for (kind, _id), side in sides.items() if kind == "failure"]
    choices = [
        ("stage", "Stage", [word for word in view.words.stages if any(side.stage == word for side in sides.values())]),
        ("family", "Material", sorted({word for side in sides.values() for word in side.families}, key=family_words)),
        ("harm", "Worst harm", [word for word in reversed(HARMS) if any(side.harm == word for side in failures)]),
        ("answer", "Did the fix hold?", [word for word in ANSWERS if any(side.answer == word for side in failures)]),
    ]
    return render(view, "finder.html", FINDER[0], FINDER[1], choices=choices, failures=_by_title(view))


def _by_title(view: View) -> list[tuple[str, str]]:
    titles = {each.name: each.title for each in troubles(view)}
    listed = [(name, titles.get(name) or name) for name in view.on("failure")]
    return sorted(listed, key=lambda each: (each[1].casefold(), each[0]))
