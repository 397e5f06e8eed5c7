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


EntryWords = Sequence[Mapping[str, int]]
"""What a word weighs in an entry: the stems, phrases and meanings; and what two words in a row make, where that is a word."""


def entry_words(entry: Entry, known: Thesaurus, *, near: bool) -> EntryWords:
    """What stands in an entry, whatever other entries say.

    Args:
        entry: The entry.
        known: What else a word may be typed as.
        near: Whether everyday words mean something there: they tell a trouble; what a recipe says is found by its own words.
    """
    words: dict[str, int] = {}
    joined: dict[str, int] = {}
    for text, weight in ((entry.text, TEXT), (entry.said, SAID), (entry.title, TITLE)):
        said, pairs = _words_of(text, known)
        words |= {word: weight for word in sorted(said) if near or not means_near(word)}
        joined |= dict.fromkeys(sorted(pairs), weight)
    return words, joined


def _words_of(text: str, known: Thesaurus) -> tuple[set[str], set[str]]:
    words = known.words(text)
    stems = known.stems(words)
    said = {*stems, *(" ".join(stems[start:end]) for start, end in known.phrases(stems))}
    return said | _meanings(said, known), set(_pairs(words, stems, known))


def _meanings(words: Iterable[str], known: Thesaurus) -> set[str]:
    return {meaning_word(row) for each in words for row in known.meanings.get(each, ())}


def words_in(text: str, known: Thesaurus, joined: Container[str] = ()) -> set[str]:
    """The stems, phrases and meanings in a text; two words in a row also as the one they make: ``pin hole`` is ``pinhole``.

    Args:
        text: What is said.
        known: What else a word may be typed as.
        joined: The words that two may make; others are none.
    """
    said, pairs = _words_of(text, known)
    whole = {pair for pair in pairs if pair in joined}
    return said | whole | _meanings(whole, known)


def _pairs(words: Sequence[str], stems: Sequence[str], known: Thesaurus) -> Iterator[str]:
    for (one, other), end in zip(pairwise(words), stems[1:], strict=True):
        if known.may_join(one, other):
            # Endings are at the end: the stem of the whole, without reading every pair of a book as a word.
            yield one + end


def build_index(
    entries: Iterable[Entry],
    kinds: Sequence[str],
    words_of: Thesaurus | None = None,
    read: Callable[[Entry], EntryWords | None] = lambda _entry: None,
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
    near = [entry.kind == kinds[0] for entry in listed]
    told = [read(entry) or entry_words(entry, known, near=near[place]) for place, entry in enumerate(listed)]
    words: dict[str, dict[int, int]] = {}
    for place, (mine, _joined) in enumerate(told):
        for word, weight in mine.items():
            words.setdefault(word, {})[place] = weight
    plain = {word for word in words if _is_stem(word)}
    for place, (_mine, joined) in enumerate(told):
        for pair in joined.keys() & plain:
            for word in (pair, *_meanings([pair], known)):
                if near[place] or not means_near(word):
                    holders = words.setdefault(word, {})
                    holders[place] = max(holders.get(place, 0), joined[pair])
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
