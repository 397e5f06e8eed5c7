"""An index of texts by the stems of their words and by what the words mean: small enough to be carried in a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.find.thesaurus import Thesaurus, thesaurus

TITLE: Final = 4
SAID: Final = 3
TEXT: Final = 1
"""What a word weighs in a title, among the words one would shout, and anywhere else."""


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that can be found.

    Attributes:
        id: What others call it.
        kind: failure, recipe, run, ...
        title: Its title.
        said: The words one would shout: symptoms, and its name.
        text: All it says.
    """

    id: str
    kind: str
    title: str
    said: str
    text: str


@dataclass(frozen=True, slots=True)
class Index:
    """What can be found, and where each word stands.

    Attributes:
        entries: In the order of their kinds, then of their ids: where all else is equal, that decides.
        words: By stem, by phrase, and by meaning: the places of the entries that hold it, each with what the
            word weighs there.
        words_of: What else a word may be typed as.
    """

    entries: Sequence[Entry]
    words: Mapping[str, Mapping[int, int]]
    words_of: Thesaurus


def meaning_word(row: int) -> str:
    """Under which word the index holds what means the same as a row of words."""
    return f"~{row}"


def build_index(entries: Iterable[Entry], kinds: Sequence[str], words_of: Thesaurus | None = None) -> Index:
    """Indexes entries.

    Args:
        entries: What can be found.
        kinds: The kinds in the order they are listed.
        words_of: What else a word may be typed as; the tool's own words unless given.
    """
    known = words_of or thesaurus()
    order = {kind: place for place, kind in enumerate(kinds)}
    listed = sorted(entries, key=lambda each: (order.get(each.kind, len(order)), each.id))
    words: dict[str, dict[int, int]] = {}
    for place, entry in enumerate(listed):
        for text, weight in ((entry.title, TITLE), (entry.said, SAID), (entry.text, TEXT)):
            stems = known.stems(known.words(text))
            said = {*stems, *(" ".join(stems[start:end]) for start, end in known.phrases(stems))}
            for word in said | {meaning_word(row) for each in said for row in known.meanings.get(each, ())}:
                holders = words.setdefault(word, {})
                holders[place] = max(holders.get(place, 0), weight)
    # A row of words of which no text has any finds nothing; a phrase of it is then no phrase.
    meanings = {
        phrase: there
        for phrase, rows in known.meanings.items()
        if (there := tuple(row for row in rows if meaning_word(row) in words))
    }
    return Index(tuple(listed), words, known.meaning(meanings))
