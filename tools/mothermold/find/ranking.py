"""Ranks what answers to a query: failures first, rare words before common ones, titles before symptoms before the rest.

The script ``find.js`` ranks by the same rule in a page, in whole numbers so that both come out alike; tests hold them together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.find.index import TEXT, Entry, Index, meaning_word
from mothermold.find.stems import tokens

SAME: Final = 8
BEGINNING: Final = 6
MEANING: Final = 5
TYPO: Final = 4
"""How well a word of the query fits: the same, its beginning, another word for it, a slip in typing."""
_SHORTEST_BEGINNING: Final = 3
_ONE_SLIP_FROM: Final = 4
_TWO_SLIPS_FROM: Final = 7


@dataclass(frozen=True, slots=True)
class Found:
    """An entry that answers, with how well."""

    entry: Entry
    score: int


def ranked(query: str, index: Index) -> list[Found]:
    """The entries that answer to a query, best first within their kinds.

    All words must match that are found anywhere. Where nothing of the first kind has them all in its title or among the words
    one would shout, what has a third of them or more, by weight, answers too: a trouble told in other words must not be hidden
    by a long text that happens to hold them. Where nothing at all has them all, that goes for every kind. Among its kind a title
    or a name typed in full comes first, then what has all words in its title or among those one would shout.

    Args:
        query: Words as they come.
        index: What can be found.
    """
    terms = [term for term in (_term(word, index) for word in _asked(query, index)) if term.values]
    if not terms:
        return []
    whole = _in_full(query)
    kinds = {kind: place for place, kind in reversed(list(enumerate(entry.kind for entry in index.entries)))}
    scores = {place: sum(term.values.get(place, 0) for term in terms) for place in _hits(terms, index)}

    def order(place: int) -> tuple[int, bool, bool, int, int]:
        entry = index.entries[place]
        shouted = all(place in term.shouted for term in terms)
        return kinds[entry.kind], not _named(entry, whole), not shouted, -scores[place], place

    return [Found(index.entries[place], scores[place]) for place in sorted(scores, key=order)]


@dataclass(frozen=True, slots=True)
class _Term:
    """A word or phrase of the query.

    Attributes:
        rarity: How much it weighs: more when found in few.
        values: What it adds to each entry it is found in.
        shouted: The entries that have it in their title or among the words one would shout.
    """

    rarity: int
    values: Mapping[int, int]
    shouted: frozenset[int]


def _asked(query: str, index: Index) -> list[str]:
    """The words and phrases that count, a phrase as one; small words only where there are no others."""
    known, words = index.words_of, index.words_of.words(query)
    stems = known.stems(words)
    longest: dict[int, int] = {}
    for start, end in known.phrases(stems):
        longest[start] = max(longest.get(start, 0), end)
    asked: list[str] = []
    small: list[str] = []
    place = 0
    while place < len(stems):
        end = longest.get(place, place + 1)
        (small if end == place + 1 and words[place] in known.small else asked).append(" ".join(stems[place:end]))
        place = end
    return list(dict.fromkeys(asked or small))


def _hits(terms: Sequence[_Term], index: Index) -> set[int]:
    every = set.intersection(*(set(term.values) for term in terms))
    first = index.entries[0].kind
    if any(index.entries[place].kind == first for place in frozenset.intersection(*(term.shouted for term in terms))):
        return every
    enough = sum(term.rarity for term in terms)
    many = {
        place
        for place in set().union(*(term.values for term in terms))
        if 3 * sum(term.rarity for term in terms if place in term.values) >= enough
    }
    return every | {place for place in many if not every or index.entries[place].kind == first}


def _in_full(text: str) -> str:
    return " ".join(tokens(text))


def _named(entry: Entry, query: str) -> bool:
    return query in (_in_full(entry.title), _in_full(entry.id))


def _term(word: str, index: Index) -> _Term:
    fits = {meaning_word(row): MEANING for row in index.words_of.meanings.get(word, ())} | _fits(word, index)
    if not any(each in index.words for each in fits):
        fits = _slips(word, index)
    best: dict[int, int] = {}
    shouted: set[int] = set()
    for each, fit in fits.items():
        for entry, weight in index.words.get(each, {}).items():
            best[entry] = max(best.get(entry, 0), fit * weight)
            if weight > TEXT:
                shouted.add(entry)
    rarity = (len(index.entries) // len(best)).bit_length() if best else 0
    return _Term(rarity, {entry: value * rarity for entry, value in best.items()}, frozenset(shouted))


def _fits(word: str, index: Index) -> dict[str, int]:
    found = {word: SAME} if word in index.words else {}
    if len(word) >= _SHORTEST_BEGINNING:
        found |= {each: BEGINNING for each in index.words if each != word and each.startswith(word)}
    return found


def _slips(word: str, index: Index) -> dict[str, int]:
    """The words that may be meant by one that fits nothing: as few slips as any needs, one or, in a long word, two."""
    most = 0 if len(word) < _ONE_SLIP_FROM else 1 if len(word) < _TWO_SLIPS_FROM else 2
    meanings = index.words_of.meanings
    near = {
        each: slips
        for each in {*index.words, *meanings}
        if each[0] != "~" and " " not in each and (slips := slips_between(word, each, most)) <= most
    }
    least = min(near.values(), default=0)
    found: dict[str, int] = {}
    for each in (each for each, slips in near.items() if slips == least):
        found |= {each: TYPO} if each in index.words else {}
        found |= {meaning_word(row): TYPO - 1 for row in meanings.get(each, ())}
    return found


def slips_between(one: str, other: str, most: int) -> int:
    """How many letters are wrong, missing, too many or swapped with their neighbor; more than ``most`` is not counted out."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before_last: list[int] = []
    last = list(range(len(other) + 1))
    for row, letter in enumerate(one, start=1):
        here = [row]
        for column, against in enumerate(other, start=1):
            cost = min(last[column] + 1, here[-1] + 1, last[column - 1] + (letter != against))
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == against:
                cost = min(cost, before_last[column - 2] + 1)
            here.append(cost)
        if min(here) > most:
            return most + 1
        before_last, last = last, here
    return last[-1]
