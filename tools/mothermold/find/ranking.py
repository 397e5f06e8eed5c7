"""Ranks what answers to a query: failures first, rare words before common ones, titles before symptoms before the rest.

The script ``find.js`` ranks by the same rule in a page, in whole numbers so that both come out alike; tests hold them together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.find.index import Entry, Index, build_index, words_in
from mothermold.find.stems import tokens
from mothermold.find.terms import BEGINNING, Term, terms_of

_SHARE: Final = 4
_WHOLLY: Final = 2 * BEGINNING
"""What answers holds at least one part in so many of what was asked, where a word that is shouted is held wholly."""
_UNKNOWN: Final = 5
"""A word found nowhere weighs as much as one that every thirtieth note has, or the one note of a smaller book."""


@dataclass(frozen=True, slots=True)
class Found:
    """An entry that answers, with how well."""

    entry: Entry
    score: int


@dataclass(frozen=True, slots=True)
class Answer:
    """What answers to a query.

    Attributes:
        hits: The entries, best first within their kinds.
        unknown: The words of the query that are found nowhere, folded.
        terms: The words and phrases that are found.
        index: What was searched.
    """

    hits: Sequence[Found]
    unknown: Sequence[str]
    terms: Sequence[Term]
    index: Index

    def line(self, entry: Entry) -> str:
        """The line of an entry that holds most of what was asked, by weight: its title, or the first such line of the rest."""
        return _nearest([entry.title, *entry.lines], self.terms, self.index)


def nearest_line(query: str, lines: Sequence[str]) -> str:
    """The first of some lines that holds most of a query, by weight; the first of all where none holds any."""
    index = build_index([Entry(str(place), "line", line, "", "") for place, line in enumerate(lines)], ("line",))
    return _nearest(lines, [term for term in terms_of(query, index) if term.values], index)


def _nearest(lines: Sequence[str], terms: Sequence[Term], index: Index) -> str:
    def fits(line: str) -> int:
        words = words_in(line, index.words_of, index.words)
        return sum(each.rarity * max((each.fits.get(word, 0) for word in words), default=0) for each in terms)

    return max(lines, key=fits)


def search(query: str, index: Index) -> Answer:
    """What answers to a query, and which of its words are found nowhere.

    What answers holds at least a quarter of what was asked, by weight; words found nowhere were asked too, so that a query about
    another trade finds nothing. Where something has all words that are found anywhere, the kinds behind the first must have half
    of them; of the first a trouble told in other words must not be hidden by a text that happens to hold them. Among its kind a title or a name typed in full comes first, then what has
    all words in its title or among those one would shout; of equals that of which more answers.

    Args:
        query: Words as they come.
        index: What can be found.
    """
    asked = terms_of(query, index)
    unknown = [term.typed for term in asked if not term.values and not term.small]
    terms = [term for term in asked if term.values]
    if not terms:
        return Answer((), unknown, (), index)
    whole = _in_full(query)
    kinds = {kind: place for place, kind in reversed(list(enumerate(entry.kind for entry in index.entries)))}
    scores = {place: sum(term.values.get(place, 0) for term in terms) for place in _hits(terms, len(unknown), index)}

    def order(place: int) -> tuple[int, bool, bool, int, int, int]:
        entry = index.entries[place]
        shouted = all(place in term.shouted for term in terms)
        share = 1000 * sum(term.answered.get(place, 0) for term in terms) // index.sizes[place]
        return kinds[entry.kind], not _named(entry, whole), not shouted, -scores[place], -share, place

    hits = [Found(index.entries[place], scores[place]) for place in sorted(scores, key=order)]
    return Answer(hits, unknown, terms, index)


def _hits(terms: Sequence[Term], unknown: int, index: Index) -> set[int]:
    every = set.intersection(*(set(term.values) for term in terms))
    first = index.entries[0].kind
    enough = sum(term.rarity for term in terms)
    asked = enough + unknown * min(index.documents.bit_length(), _UNKNOWN)

    def answers(place: int) -> bool:
        if _SHARE * sum(term.rarity * term.held.get(place, 0) for term in terms) < _WHOLLY * asked:
            return False
        if not every or index.entries[place].kind == first:
            return True
        return 2 * sum(term.rarity for term in terms if place in term.values) >= enough

    return {place for place in set().union(*(term.values for term in terms)) if answers(place)}


def _in_full(text: str) -> str:
    return " ".join(tokens(text))


def _named(entry: Entry, query: str) -> bool:
    return query in (_in_full(entry.title), _in_full(entry.id))
