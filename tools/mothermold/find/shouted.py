"""Which kinds of hurt some words call: before any failure note, and not by words that only sound alike.

The script ``hurt.js`` does the same in a page; a test holds the two together. A mold has eyes, lips and fingers as a wearer has,
so a row that is only *likely* stands back where a thing of the bench is spoken of and nobody is named.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from mothermold.find.terms import slips_between
from mothermold.find.thesaurus import Thesaurus, thesaurus
from mothermold.trade.hurt import BODY, Hurt, hurt_words, hurts

_ALONE: Final = 2
_SHORTEST: Final = 4
_ONE_SLIP_FROM: Final = 5
_TWO_SLIPS_FROM: Final = 8
_UNDER: Final = ("under", "underneath", "beneath")
_WORN: Final = ("head", "life", "face")


@dataclass(frozen=True, slots=True)
class Words:
    """The table in stems, as command and page read a query by it.

    Attributes:
        groups: The phrases of each group; a word that is no group is one of its own.
        rows: For each row its alternatives: certain, likely, alone.
        known: Single words that are meant as they stand.
        near: Single words that a slip may have meant, each with its stem: forms of verbs too.
        small: Words that do not count where little is said.
    """

    groups: Mapping[str, frozenset[str]]
    rows: Mapping[str, tuple[tuple[tuple[str, ...], ...], tuple[tuple[str, ...], ...], tuple[str, ...]]]
    known: frozenset[str]
    near: Mapping[str, str]
    small: frozenset[str]

    def carried(self) -> dict[str, Any]:
        """The same as plain data, for a page."""
        return {
            "groups": {name: sorted(words) for name, words in self.groups.items()},
            "rows": self.rows,
            "known": sorted(self.known),
            "near": dict(sorted(self.near.items())),
            "body": sorted(BODY),
        }


@lru_cache(maxsize=1)
def shouted_words() -> Words:
    """The table of ``trade/hurt.yaml``, every word by its stem."""
    common = thesaurus()
    groups = {name: _phrases(words, common) for name, words in hurt_words().items()}
    rows = {}
    for name, hurt in hurts().items():
        asked = hurt.called
        rows[name] = (asked.certain, asked.likely, asked.alone)
        for word in (*(each for way in (*asked.certain, *asked.likely) for each in way), *asked.alone):
            groups.setdefault(word, _phrases([word], common))
    near = {word for name, words in groups.items() if name != "as-typed" for each in words for word in each.split()}
    common_words = {word for phrase in common.meanings for word in phrase.split()} | set(
        common.stems(sorted(common.small))
    )
    forms = dict(zip(common.forms, common.stems(common.forms), strict=True))
    meant = {each: each for each in near} | {form: stem for form, stem in forms.items() if stem in near}
    return Words(groups, rows, frozenset(near | common_words | groups["as-typed"]), meant, common.small)


def _phrases(words: Sequence[str], common: Thesaurus) -> frozenset[str]:
    return frozenset(" ".join(common.stems(common.words(each))) for each in words)


def shouted(query: str) -> list[Hurt]:
    """The kinds of hurt that some words call, what fits most of the words first.

    Args:
        query: Words as they come.
    """
    table, common = shouted_words(), thesaurus()
    typed = common.words(query)
    stems = [_meant(each, table) for each in common.stems(typed)]
    said = _Said(stems, table)
    if said.has("effects") and not said.has("own-harm"):
        return []
    counted = sum(1 for word in typed if word not in common.small)
    found: list[tuple[int, int, str]] = []
    for place, (name, (certain, likely, alone)) in enumerate(table.rows.items()):
        ways = [*certain, *(() if said.of_a_thing else likely)]
        if counted <= _ALONE:
            ways += [(word,) for word in alone] if not said.of_a_thing else []
        fits = [sum(map(_weight, way)) for way in ways if all(said.has(word) for word in way)]
        if fits:
            found.append((-max(fits), place, name))
    return [hurts()[name] for _fit, _place, name in sorted(found)]


def _weight(word: str) -> int:
    """How much a word or group of a way counts: a phrase as many as its words."""
    return word.count(" ") + 1


def _meant(stem: str, table: Words) -> str:
    """A word that is none the table or the trade knows, as the one it may be a slip of; a finger hits the first letter."""
    most = 0 if len(stem) < _ONE_SLIP_FROM else 1 if len(stem) < _TWO_SLIPS_FROM else 2
    if not most or stem in table.known:
        return stem
    near = sorted(
        (slips, each)
        for each in table.near
        if len(each) >= _SHORTEST and each[0] == stem[0] and (slips := slips_between(stem, each, most)) <= most
    )
    return table.near[near[0][1]] if near else stem


class _Said:
    """What a query says, by groups of words."""

    def __init__(self, stems: Sequence[str], table: Words) -> None:
        self._stems, self._table = stems, table
        self._things = [place for place, each in enumerate(stems) if self._is_thing(place, each)]
        self._found: dict[str, bool] = {}

    @property
    def of_a_thing(self) -> bool:
        """Whether a thing of the bench is spoken of and nobody is named."""
        return bool(self._things) and not self._named() and not self._somebodys()

    def has(self, group: str) -> bool:
        """Whether a word or phrase of a group is said; a part of a thing is no part of a body."""
        if group not in self._found:
            self._found[group] = any(
                group not in BODY or end not in self._things for _start, end in self._places(self._table.groups[group])
            )
        return self._found[group]

    def _places(self, phrases: frozenset[str]) -> Iterator[tuple[int, int]]:
        for phrase in phrases:
            length = phrase.count(" ") + 1
            for start in range(len(self._stems) - length + 1):
                if " ".join(self._stems[start : start + length]) == phrase:
                    yield start, start + length

    def _is_thing(self, place: int, stem: str) -> bool:
        if stem not in self._table.groups["things"]:
            return False
        before = self._stems[max(place - 2, 0) : place]
        # Under a piece and in a head cast is somebody.
        return not (before and (before[-1] in _WORN or any(each in _UNDER for each in before)))

    def _named(self) -> bool:
        """Whether somebody is named, and not as whose a thing is: ``the actor``, not ``the actor's nose piece``."""
        places = self._places(self._table.groups["people"])
        return any(not {end, end + 1} & set(self._things) for _start, end in places)

    def _somebodys(self) -> bool:
        """Whether a part of the body is said to be somebody's: ``my hand``, ``her left eye``."""
        whose = {end for _start, end in self._places(self._table.groups["whose"])}
        parts = {
            start for group in BODY for start, end in self._places(self._table.groups[group]) if end not in self._things
        }
        return any(end in parts or end + 1 in parts for end in whose)
