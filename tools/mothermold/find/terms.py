"""What a query asks for, word by word: which words of the texts fit it, in which entries, and which are found nowhere.

The script ``find.js`` does the same in a page, in whole numbers so that both come out alike; tests hold them together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.find.index import TEXT, Index, meaning_word
from mothermold.find.thesaurus import is_near

SAME: Final = 8
BEGINNING: Final = 6
MEANING: Final = 5
TYPO: Final = 4
NEAR: Final = 3
"""How well a word of the query fits: the same, its beginning, another word for it, a slip in typing, a word of everyday speech that
may mean as much."""
_SHORTEST_BEGINNING: Final = 3
_SHORTEST_PART: Final = 3
_LONG_PART: Final = 4
_SHORTEST_RUN_TOGETHER: Final = 7
"""Shorter words seem to be made of two by chance: ``zipper``, ``corset``."""
_ENDINGS: Final = (
    "ation",
    "ness",
    "ment",
    "abl",
    "ag",
    "ur",
    "ion",
    "ish",
    "iv",
    "ful",
    "en",
    "er",
    "or",
    "ly",
    "al",
    "y",
)
_ONE_SLIP_FROM: Final = 4
_TWO_SLIPS_FROM: Final = 8


@dataclass(frozen=True, slots=True)
class Term:
    """A word or phrase of the query.

    Attributes:
        typed: As it was typed, folded.
        small: Whether it is a small word: it finds only itself.
        fits: The words, phrases and meanings of the texts that fit it, and how well each does.
        rarity: How much it weighs: more when found in few.
        values: What it adds to each entry it is found in: more for the very word, where few have it, than for others.
        held: How well it fits in each entry, twice as well where it is shouted.
        shouted: The entries that have it in their title or among the words one would shout.
        answered: How many words of each entry fit.
    """

    typed: str
    small: bool
    fits: Mapping[str, int]
    rarity: int
    values: Mapping[int, int]
    held: Mapping[int, int]
    shouted: frozenset[int]
    answered: Mapping[int, int]


def terms_of(query: str, index: Index) -> list[Term]:
    """The words and phrases that count, a phrase as one; small words only where there are no others.

    A word that is none is read as the two it is made of, as ``hairlace``; two that stand in a row as one too, as ``pin hole``.

    Args:
        query: Words as they come.
        index: What can be found.
    """
    known = index.words_of
    words = [part for word in known.words(query) for part in _apart(word, index)]
    stems = known.stems(words)
    longest: dict[int, int] = {}
    for start, end in known.phrases(stems):
        longest[start] = max(longest.get(start, 0), end)
    asked: dict[str, Term] = {}
    small: dict[str, Term] = {}
    place = 0
    while place < len(stems):
        end = longest.get(place, place + 1)
        is_small = end == place + 1 and words[place] in known.small
        stem, into = " ".join(stems[place:end]), small if is_small else asked
        if stem not in into:
            wholes, last = _wholes(words, stems, place, end, index), end == len(stems)
            fits = _fits(stem, index, is_small=is_small, is_last=last, wholes=wholes)
            into[stem] = _term(" ".join(words[place:end]), fits, index, is_small=is_small)
        place = end
    return list((asked or small).values())


def _apart(word: str, index: Index) -> Sequence[str]:
    """A word found nowhere as the two it is made of, a phrase before others; else as it is."""
    known = index.words_of
    (stem,) = known.stems([word])
    if word in known.small or index.knows(stem) or len(word) < _SHORTEST_RUN_TOGETHER or _begins(stem, index):
        return [word]
    ways: list[tuple[bool, int, int]] = []
    for cut in range(_SHORTEST_PART, len(word) - _SHORTEST_PART + 1):
        parts = [word[:cut], word[cut:]]
        left, right = known.stems(parts)
        phrase = f"{left} {right}" in known.meanings
        # Underbaked is baked: a long small word in front is left out.
        first = min(map(len, parts)) >= _LONG_PART if word[:cut] in known.small else index.knows(left)
        if phrase or (first and index.knows(right) and word[cut:] not in known.small):
            ways.append((not phrase, -min(cut, len(word) - cut), cut))
    if not ways:
        return [word]
    cut = min(ways)[2]
    return [word[:cut], word[cut:]]


def _begins(stem: str, index: Index) -> bool:
    return any(each.startswith(stem) for each in index.words)


def _wholes(words: Sequence[str], stems: Sequence[str], start: int, end: int, index: Index) -> Iterator[str]:
    """The words of the texts that the first or last of some words makes with its neighbor."""
    known = index.words_of
    for left, right in ((start - 1, start), (end - 1, end)):
        if left >= 0 and right < len(words) and known.may_join(words[left], words[right]):
            whole = words[left] + stems[right]
            if index.knows(whole):
                yield whole


def _fits(word: str, index: Index, *, is_small: bool, is_last: bool, wholes: Iterator[str]) -> dict[str, int]:
    found = {word: SAME} if word in index.words else {}
    if is_small:
        return found
    rows = list(index.words_of.meanings.get(word, ()))
    for whole in wholes:
        found |= {whole: SAME} if whole in index.words else {}
        rows += index.words_of.meanings.get(whole, ())
    # Only the last word may still be being typed: a car in front of others is no carver.
    if len(word) >= _SHORTEST_BEGINNING + (not is_last):
        found = {each: BEGINNING for each in index.words if each.startswith(word)} | found
    found |= {meaning_word(row): NEAR if is_near(row) else MEANING for row in rows}
    return found or _derived(word, index) or _slips(word, index)


def _derived(word: str, index: Index) -> dict[str, int]:
    """What fits a word that fits nothing, without an ending that makes a thing or a kind of a deed: blurry, injector, leakage."""
    for ending in _ENDINGS:
        rest = word.removesuffix(ending)
        if rest != word and len(rest) >= _SHORTEST_PART:
            for stem in dict.fromkeys((rest, rest[:-1] if rest[-2:-1] == rest[-1] else rest)):
                found = {stem: TYPO} if stem in index.words else {}
                found |= {
                    meaning_word(row): (NEAR if is_near(row) else TYPO) - 1
                    for row in index.words_of.meanings.get(stem, ())
                }
                if found:
                    return found
    return {}


def _term(typed: str, fits: Mapping[str, int], index: Index, *, is_small: bool) -> Term:
    values: dict[int, int] = {}
    held: dict[int, int] = {}
    answered: dict[int, int] = {}
    shouted: set[int] = set()
    found = [(fit, index.words[each]) for each, fit in fits.items() if each in index.words]
    rarity = _rarity(set().union(*(holders for _fit, holders in found)), index) if found else 0
    for fit, holders in found:
        # The word itself, where few have it, comes before what only means as much.
        rare = min(_rarity(holders, index), rarity + 1)
        for entry, weight in holders.items():
            values[entry] = max(values.get(entry, 0), fit * weight * rare)
            held[entry] = max(held.get(entry, 0), min(fit, BEGINNING) * (2 if weight > TEXT else 1))
            answered[entry] = answered.get(entry, 0) + 1
            if weight > TEXT:
                shouted.add(entry)
    return Term(typed, is_small, fits, rarity, values, held, frozenset(shouted), answered)


def _rarity(places: Iterable[int], index: Index) -> int:
    """How few documents hold a word; rules, sums and labels do not count, or a table of them would outweigh the book."""
    holders = sum(1 for place in places if index.entries[place].leads is None)
    return max((index.documents // max(holders, 1)).bit_length(), 1)


def _slips(word: str, index: Index) -> dict[str, int]:
    """The words that may be meant by one that fits nothing: as few slips as any needs, one or, in a long word, two."""
    most = 0 if len(word) < _ONE_SLIP_FROM else 1 if len(word) < _TWO_SLIPS_FROM else 2
    known = index.words_of
    meant = {each: each for each in {*index.words, *known.meanings} if each[0] != "~" and " " not in each}
    forms = zip(known.forms, known.stems(known.forms), strict=True)
    meant |= {form: stem for form, stem in forms if index.knows(stem)}
    near = {
        each: slips
        for each in meant
        if _may_be_meant(word, each) and (slips := slips_between(word, each, most)) <= most
    }
    least = min(near.values(), default=0)
    found: dict[str, int] = {}
    for stem in (meant[each] for each, slips in near.items() if slips == least):
        found |= {stem: TYPO} if stem in index.words else {}
        found |= {meaning_word(row): (NEAR if is_near(row) else TYPO) - 1 for row in known.meanings.get(stem, ())}
    return found


def _may_be_meant(word: str, meant: str) -> bool:
    """Whether a slip is likely: fingers hit the first letter, and of four letters one was left out or two are swapped."""
    return word[0] == meant[0] and (
        len(word) > _ONE_SLIP_FROM or len(meant) > len(word) or sorted(word) == sorted(meant)
    )


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
