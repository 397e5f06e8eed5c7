"""Ranks texts by the words one would shout at the bench: failures first, titles before symptoms before the rest."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

_TITLE: Final = 4
_SAID: Final = 3
_TEXT: Final = 1
_WHOLE: Final = 10


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
class Found:
    """An entry that answers, with how well."""

    entry: Entry
    score: int


def folded(text: str) -> str:
    """Small letters without accents."""
    plain = unicodedata.normalize("NFD", text.casefold())
    return "".join(letter for letter in plain if not unicodedata.combining(letter))


def ranked(query: str, entries: Iterable[Entry], kinds: Sequence[str]) -> list[Found]:
    """The entries that answer to a query, in order.

    Args:
        query: Words; all must match, unless that finds nothing: then any.
        entries: What can be found.
        kinds: The kinds in the order they are listed; within a kind the better score comes first, then the id.
    """
    words = [_one(word) for word in folded(query).split()]
    if not words:
        return []
    place = {kind: index for index, kind in enumerate(kinds)}
    scored = [(entry, _scores(words, entry), _exact(query, entry)) for entry in entries]
    hits = [each for each in scored if all(each[1])] or [each for each in scored if any(each[1])]
    found = [Found(entry, sum(scores) + whole) for entry, scores, whole in hits]
    return sorted(found, key=lambda hit: (place.get(hit.entry.kind, len(place)), -hit.score, hit.entry.id))


def _one(word: str) -> str:
    """A word without the s of many, so that it is found in the texts that speak of one."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _scores(words: Sequence[str], entry: Entry) -> list[int]:
    title, said, text = folded(entry.title), folded(entry.said), folded(entry.text)
    return [_TITLE if word in title else _SAID if word in said else _TEXT if word in text else 0 for word in words]


def _exact(query: str, entry: Entry) -> int:
    return _WHOLE if folded(query).strip() in (folded(entry.title), folded(entry.id)) else 0
