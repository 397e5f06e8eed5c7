"""Words that find each other: spellings, and rows of words of the trade with one meaning, from ``words.yaml`` and a book."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Final

from mothermold.find.stems import stem, tokens
from mothermold.ground.reading import read_table

_FILE: Final = Path(__file__).with_name("words.yaml")
_NOT: Final = "not"
_LONG_ENOUGH: Final = 5
_SHORTEST_PART: Final = 3
_NUMBER: Final = re.compile(r"[0-9]{1,4}[a-z]?")


@dataclass(frozen=True, slots=True)
class Thesaurus:
    """What else a word may be typed as.

    Attributes:
        spellings: What is kept in place of a stem, as ``mold`` for ``mould``; a long one also at either end of a longer word.
        forms: The forms of verbs that follow no rule, each with the verb: ``tore`` and ``torn`` are ``tear``.
        negations: Words read as ``not``.
        helpers: Words left out before ``not``.
        small: Words that find nothing by themselves.
        meanings: The rows a phrase stands in, by its stems with a space between; see ``is_near``.
        beginnings: The first words of phrases; most words of a text are none.
        longest: How many words the longest phrase has.
    """

    spellings: Mapping[str, str]
    forms: Mapping[str, str]
    negations: frozenset[str]
    helpers: frozenset[str]
    small: frozenset[str]
    meanings: Mapping[str, tuple[int, ...]]
    beginnings: frozenset[str] = frozenset()
    longest: int = 1
    _read: dict[str, str] = field(default_factory=dict, init=False, repr=False, compare=False)

    def meaning(self, meanings: Mapping[str, tuple[int, ...]]) -> Thesaurus:
        """The same with other rows."""
        beginnings = frozenset(phrase.partition(" ")[0] for phrase in meanings if " " in phrase)
        longest = max((phrase.count(" ") + 1 for phrase in meanings), default=1)
        return replace(self, meanings=meanings, beginnings=beginnings, longest=longest)

    def words(self, text: str) -> list[str]:
        """The words of a text, folded, every no said as ``not``: ``won't open`` and ``does not open`` are ``not open``."""
        found: list[str] = []
        for word in tokens(text):
            if word == _NOT or word in self.negations:
                while found and (found[-1] in self.helpers or found[-1] == _NOT):
                    found.pop()
                word = _NOT  # noqa: PLW2901 - the word as it is read
            found.append(word)
        return found

    def stems(self, words: Iterable[str]) -> list[str]:
        """The stems of folded words, in the one spelling that is kept; every form of a verb has the stem of the verb."""
        return [self._read.get(word) or self._stem(word) for word in words]

    def may_join(self, one: str, other: str) -> bool:
        """Whether two words in a row may be one, as ``pin hole``; short ones only where the other is a number, as ``F 04``."""
        if _NOT in (one, other):
            return False
        return min(len(one), len(other)) >= _SHORTEST_PART or (one.isalpha() and _NUMBER.fullmatch(other) is not None)

    def _stem(self, word: str) -> str:
        # A book says the same words over and over, and there are many spellings to look through.
        return self._read.setdefault(word, self._spelled(stem(self.forms.get(word, word))))

    def _spelled(self, word: str) -> str:
        for other, kept in self.spellings.items():
            inside = len(other) >= _LONG_ENOUGH
            if word == other:
                word = kept
            elif inside and word.startswith(other):
                word = kept + word.removeprefix(other)
            elif inside and word.endswith(other):
                word = word.removesuffix(other) + kept
        return word

    def phrases_of(self, row: Iterable[object]) -> list[str]:
        """The words and phrases of a row, each by its stems."""
        return [" ".join(self.stems(self.words(str(phrase)))) for phrase in row]

    def phrases(self, stems: Sequence[str]) -> Iterator[tuple[int, int]]:
        """The places of phrases of two words and more that stand in a row: first, and after the last; they may overlap."""
        for start in (place for place, each in enumerate(stems) if each in self.beginnings):
            for end in range(start + 2, min(start + self.longest, len(stems)) + 1):
                if " ".join(stems[start:end]) in self.meanings:
                    yield start, end


def is_near(row: int) -> bool:
    """Whether the words of a row only may mean the same: those of everyday speech, which count for less."""
    return row < 0


@lru_cache(maxsize=8)
def thesaurus(own: tuple[tuple[str, ...], ...] = ()) -> Thesaurus:
    """The tool's words and those a book adds: a row of its own that shares a word with another joins it.

    Args:
        own: The book's rows of words that mean the same.
    """
    told = read_table(_FILE)
    spellings = {stem(other): stem(kept) for other, kept in told["spellings"].items()}
    forms = {form: verb for verb, each in told["forms"].items() for form in each}
    no, before, small = (frozenset(told[key]) for key in ("not", "before_not", "small"))
    plain = Thesaurus(spellings, forms, no, before, small, meanings={})
    common = len(told["same"])
    rows: dict[str, list[int]] = {}
    for number, row in enumerate((*told["same"], *own)):
        phrases = plain.phrases_of(row)
        joined = [other for phrase in phrases for other in rows.get(phrase, ())] if number >= common else []
        for phrase in phrases:
            there = rows.setdefault(phrase, [])
            there += [other for other in dict.fromkeys((number, *joined)) if other not in there]
    for number, row in enumerate(told["near"], start=1):
        for phrase in plain.phrases_of(row):
            there = rows.setdefault(phrase, [])
            there += [] if -number in there else [-number]
    return plain.meaning({phrase: tuple(each) for phrase, each in rows.items() if phrase})
