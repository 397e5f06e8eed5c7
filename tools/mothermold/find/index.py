"""An index of texts by the stems of their words and by what the words mean: small enough to be carried in a page."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from mothermold.find.thesaurus import Thesaurus, thesaurus

TITLE: Final = 3
SAID: Final = 2
TEXT: Final = 1
"""What a word weighs in a title, among the words one would shout, and anywhere else."""


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that can be found.

    Attributes:
        id: What others call it.
        kind: failure, recipe, run, ...
        title: Its title.
        said: The words one would shout, a line each: symptoms, and its name.
        text: All it says, a line each.
        leads: The kind and id of the document it stands in, where it is none itself; ``page`` is a page of the tool's own.
    """

    id: str
    kind: str
    title: str
    said: str
    text: str
    leads: tuple[str, str] | None = None

    @property
    def lines(self) -> list[str]:
        """What it says, line by line, without its title and its name."""
        lines = (*self.said.split("\n"), *self.text.split("\n"))
        return [line for line in dict.fromkeys(lines) if line and line not in (self.id, self.title)]


@dataclass(frozen=True, slots=True)
class Index:
    """What can be found, and where each word stands.

    Attributes:
        entries: In the order of their kinds, then of their ids: where all else is equal, that decides.
        words: By stem, by phrase, and by meaning: the places of the entries that hold it, each with what the
            word weighs there.
        words_of: What else a word may be typed as.
        sizes: How many words, phrases and meanings each entry holds.
        documents: How many of the entries are documents of their own.
    """

    entries: Sequence[Entry]
    words: Mapping[str, Mapping[int, int]]
    words_of: Thesaurus
    sizes: Sequence[int]
    documents: int

    def knows(self, stem: str) -> bool:
        """Whether a stem stands in a text or in a row of words."""
        return stem in self.words or stem in self.words_of.meanings


_NEAR: Final = "~-"


def meaning_word(row: int) -> str:
    """Under which word the index holds what means the same as a row of words."""
    return f"~{row}"


def _is_stem(word: str) -> bool:
    return " " not in word and not word.startswith("~")


def means_near(word: str) -> bool:
    """Whether a word of the index stands for a row of everyday words."""
    return word.startswith(_NEAR)


TextWords = tuple[Sequence[str], Sequence[str]]
"""The stems, phrases and meanings in a text, and what every two of its words in a row make where that is a word."""


def text_words(text: str, known: Thesaurus) -> TextWords:
    """What stands in a text by itself, whatever other texts say.

    Args:
        text: What is said.
        known: What else a word may be typed as.
    """
    words = known.words(text)
    stems = known.stems(words)
    said = {*stems, *(" ".join(stems[start:end]) for start, end in known.phrases(stems))}
    return sorted(said | _meanings(said, known)), sorted(set(_pairs(words, stems, known)))


def entry_words(entry: Entry, known: Thesaurus) -> list[TextWords]:
    """The same of what an entry says: its title, what one would shout, all else."""
    return [text_words(text, known) for text in (entry.title, entry.said, entry.text)]


def _meanings(words: Iterable[str], known: Thesaurus) -> set[str]:
    return {meaning_word(row) for each in words for row in known.meanings.get(each, ())}


def _with_joined(told: TextWords, known: Thesaurus, joined: Container[str]) -> set[str]:
    said, pairs = told
    whole = [pair for pair in pairs if pair in joined]
    return {*said, *whole, *_meanings(whole, known)} if whole else set(said)


def words_in(text: str, known: Thesaurus, joined: Container[str] = ()) -> set[str]:
    """The stems, phrases and meanings in a text; two words in a row also as the one they make: ``pin hole`` is ``pinhole``.

    Args:
        text: What is said.
        known: What else a word may be typed as.
        joined: The words that two may make; others are none.
    """
    return _with_joined(text_words(text, known), known, joined)


def _pairs(words: Sequence[str], stems: Sequence[str], known: Thesaurus) -> Iterator[str]:
    for (one, other), end in zip(pairwise(words), stems[1:], strict=True):
        if known.may_join(one, other):
            # Endings are at the end: the stem of the whole, without reading every pair of a book as a word.
            yield one + end


def build_index(
    entries: Iterable[Entry],
    kinds: Sequence[str],
    words_of: Thesaurus | None = None,
    read: Callable[[Entry], Sequence[TextWords]] | None = None,
) -> Index:
    """Indexes entries.

    Args:
        entries: What can be found.
        kinds: The kinds in the order they are listed.
        words_of: What else a word may be typed as; the tool's own words unless given.
        read: Gives the words of an entry, where they may be known already; see `entry_words`.
    """
    known = words_of or thesaurus()
    order = {kind: place for place, kind in enumerate(kinds)}
    listed = sorted(entries, key=lambda each: (order.get(each.kind, len(order)), each.id, each.leads or ()))
    words: dict[str, dict[int, int]] = {}
    texts = [
        (place, told, weight)
        for place, entry in enumerate(listed)
        for told, weight in zip(read(entry) if read else entry_words(entry, known), (TITLE, SAID, TEXT), strict=True)
    ]
    plain = {word for _place, (said, _pairs), _weight in texts for word in said if _is_stem(word)}
    for place, told, weight in texts:
        for word in _with_joined(told, known, plain):
            if means_near(word) and listed[place].kind != kinds[0]:
                # Everyday words tell a trouble; what a recipe says is found by its own words, and the page stays small.
                continue
            holders = words.setdefault(word, {})
            holders[place] = max(holders.get(place, 0), weight)
    # A row of words of which no text has any finds nothing; a phrase of it is then no phrase.
    meanings = {
        phrase: there
        for phrase, rows in known.meanings.items()
        if (there := tuple(row for row in rows if meaning_word(row) in words))
    }
    sizes = [0] * len(listed)
    for holders in words.values():
        for place in holders:
            sizes[place] += 1
    return Index(
        tuple(listed), words, known.meaning(meanings), sizes, sum(1 for entry in listed if entry.leads is None)
    )
