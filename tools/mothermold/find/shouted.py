"""Which kinds of hurt some words call: before any failure note, and not by words that only sound alike.

The script ``hurt.js`` does the same in a page; a test holds the two together. A mold has eyes, lips and fingers as a wearer has,
so a row that is only *likely* stands back where a thing of the bench is spoken of, or something is asked, and nobody is named.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
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
_UNDER: Final = ("under", "underneath", "beneath", "where", "after", "since", "wear")
_FOR: Final = "for"
_WORN: Final = ("head", "life", "face", "body")
_THEIRS: Final = "theirs"
_SOMEBODY: Final = "somebody"
_WHO: Final = ("people", "me", "whose", "self", _THEIRS, _SOMEBODY)
_AS_TYPED: Final = ("as-typed", "asked", "effects", "made", "told")
"""Groups whose words nobody may have meant by a slip: what silences first aid is typed as it stands."""
_OF_THINGS: Final = {"things", "made-of", "asked", "effects", "made", "shown", "own-harm", "swallowable"}
"""Groups that are said of what is made as well as of a body."""

Ways = tuple[tuple[str, ...], ...]
"""Alternatives: the groups of each must all be said."""


@dataclass(frozen=True, slots=True)
class HurtWords:
    """The table in stems, as command and page read a query by it.

    Attributes:
        groups: The phrases of each group; a word that is no group is one of its own.
        starts: The same by first word: each phrase with the groups it stands in.
        rows: For each row its alternatives: certain, likely, alone, otherwise.
        known: Single words that are meant as they stand.
        near: Single words that a slip may have meant, each with its stem: forms of verbs too.
        meant: Stems of these and of what is ``told``: what is none of them, not small and no number is strange to first aid.
        small: Words that do not count where little is said.
        loose: Words that may stand between those of a phrase: ``in her left eye`` is ``in eye``.
    """

    groups: Mapping[str, frozenset[str]]
    starts: Mapping[str, Sequence[tuple[list[str], list[str]]]]
    rows: Mapping[str, tuple[Ways, Ways, tuple[str, ...], Ways]]
    known: frozenset[str]
    near: Mapping[str, str]
    meant: frozenset[str]
    small: frozenset[str]
    loose: frozenset[str]

    def carried(self) -> dict[str, Any]:
        """The same as plain data, for a page."""
        return {
            "groups": {name: sorted(words) for name, words in self.groups.items()},
            "rows": self.rows,
            "known": sorted(self.known),
            "near": dict(sorted(self.near.items())),
            "body": sorted(BODY),
            "loose": sorted(self.loose),
        }


@lru_cache(maxsize=1)
def shouted_words() -> HurtWords:
    """The table of ``trade/hurt.yaml``, every word by its stem."""
    common = thesaurus()
    groups = {name: _phrases(words, common) for name, words in hurt_words().items()}
    rows = {}
    for name, hurt in hurts().items():
        asked = hurt.called
        rows[name] = (asked.certain, asked.likely, asked.alone, asked.otherwise)
        ways = (*asked.certain, *asked.likely, *asked.otherwise)
        for word in (*(each for way in ways for each in way), *asked.alone):
            groups.setdefault(word, _phrases([word], common))
    every = {name: {word for phrase in phrases for word in phrase.split()} for name, phrases in groups.items()}
    near = {word for name, words in every.items() if name not in _AS_TYPED for word in words}
    common_words = {word for phrase in common.meanings for word in phrase.split()} | set(
        common.stems(sorted(common.small))
    )
    forms = dict(zip(common.forms, common.stems(common.forms), strict=True))
    meant = {each: each for each in near} | {form: stem for form, stem in forms.items() if stem in near}
    known = frozenset(common_words.union(*every.values()))
    explained = frozenset(every["told"].union(meant.values()))
    return HurtWords(
        groups,
        _by_first_word(groups),
        rows,
        known,
        meant,
        explained,
        common.small,
        groups["loose"],
    )


def _by_first_word(groups: Mapping[str, frozenset[str]]) -> dict[str, list[tuple[list[str], list[str]]]]:
    """Every phrase by its first word, so that only those are compared that begin as a query goes on."""
    names: dict[str, list[str]] = defaultdict(list)
    for name, phrases in groups.items():
        for phrase in phrases:
            names[phrase].append(name)
    starts: dict[str, list[tuple[list[str], list[str]]]] = defaultdict(list)
    for phrase, each in names.items():
        starts[phrase.partition(" ")[0]].append((phrase.split(" "), each))
    return dict(starts)


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
    said = _Query(typed, stems, table)
    if said.for_show and not said.has("own-harm"):
        return []
    counted = sum(1 for word in typed if word not in common.small)
    found: list[tuple[int, int, str]] = []
    last: list[tuple[int, int, str]] = []
    for place, (name, (certain, likely, alone, otherwise)) in enumerate(table.rows.items()):
        ways = [*certain, *(() if said.of_a_thing else likely)]
        if counted <= _ALONE:
            ways += [(word,) for word in alone] if not said.of_a_thing else []
        for fitting, into in ((ways, found), (() if said.of_a_thing else otherwise, last)):
            if fits := [sum(map(_weight, way)) for way in fitting if all(said.has(word) for word in way)]:
                into.append((-max(fits), place, name))
    return [hurts()[name] for _fit, _place, name in sorted(found or last)]


def _weight(word: str) -> int:
    """How much a word or group of a way counts: a phrase as many as its words, and who it is nothing."""
    return 0 if word in _WHO else word.count(" ") + 1


def _meant(stem: str, table: HurtWords) -> str:
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


class _Query:
    """What a query says, by groups of words."""

    def __init__(self, typed: Sequence[str], stems: Sequence[str], table: HurtWords) -> None:
        self._places: dict[str, list[tuple[int, int]]] = defaultdict(list)
        for start, first in enumerate(stems):
            for phrase, names in table.starts.get(first, ()):
                if end := _end(phrase, stems, start, table.loose):
                    for name in names:
                        self._places[name].append((start, end))
        # What ends a part of the body is no thing: a nose hole.
        bodies = [each for group in BODY for each in self._places[group]]
        self._bodies = dict(sorted(bodies))
        inside = {place for start, end in bodies for place in range(start + 1, end)}
        self._things = {
            start for start, _end in self._places["things"] if start not in inside and not _worn(stems[:start])
        }
        # A part of the body made of something is a thing, too: a rubber nose.
        made_of = {end: start for start, end in self._places["made-of"] if end in self._bodies}
        self._things |= {*made_of, *made_of.values()}
        # What ends in a part of a thing is nobody's: in the eye of the mold.
        thing_ends = {end for start, end in bodies if start in made_of or self._of_thing(stems, end)}
        for group in self._places.keys() - _OF_THINGS:
            self._places[group] = [each for each in self._places[group] if each[1] not in thing_ends]
        self._parts = {start for group in BODY for start, _end in self._places[group]}
        theirs, named = self._somebodys(), self._named(stems)
        somebody = named or theirs or bool(self._places["me"])
        # A word of no group, neither small nor a number, is strange to first aid: where nobody is spoken of, so is the rest.
        strange = not somebody and any(
            word not in table.small and stem not in table.meant and not word[0].isdigit()
            for word, stem in zip(typed, stems, strict=True)
        )
        self._found = {_THEIRS: theirs, _SOMEBODY: somebody}
        self.of_a_thing = not (named or theirs) and bool(self._things or self.has("asked") or strange)

    @property
    def for_show(self) -> bool:
        """Whether an effect or a plan is spoken of, or a hurt just before what is made of it: ``blister makeup``."""
        made = {start for start, _end in self._places["made"]}
        if not self.has(_SOMEBODY):
            made |= {start for start, end in self._bodies.items() if end in made}
        return self.has("effects") or any(end in made for _start, end in self._places["shown"])

    def has(self, group: str) -> bool:
        """Whether a word or phrase of a group is said."""
        if group not in self._found:
            self._found[group] = bool(self._places[group])
        return self._found[group]

    def _of_thing(self, stems: Sequence[str], end: int) -> bool:
        """Whether what ends here is a part of a thing and of no body: ``nose tip``, ``mouth of the vent``."""
        near = range(end + 1, end + 5) if stems[end : end + 1] == ["of"] else ()
        return end in self._things or any(place in self._things for place in near)

    def _named(self, stems: Sequence[str]) -> bool:
        """Whether somebody is named, and not as whose a thing is, or for whom: ``the actor``, not ``the actor's nose piece``, ``a dental model``."""
        return any(
            self._bodies.get(end, end) not in self._things
            and _FOR not in stems[max(start - 2, 0) : start]
            and not any(first < start < last for first, last in self._places["things"])
            for start, end in self._places["people"]
        )

    def _somebodys(self) -> bool:
        """Whether a part of the body is said to be somebody's: ``my hand``, ``her left eye``."""
        return any({end, end + 1} & self._parts for _start, end in self._places["whose"])


def _end(phrase: Sequence[str], stems: Sequence[str], start: int, loose: frozenset[str]) -> int:
    """Where a phrase ends that begins at a place, loose words between its own left out; 0 where it does not stand there."""
    place = start + 1
    for word in phrase[1:]:
        while place < len(stems) and stems[place] != word and stems[place] in loose:
            place += 1
        if place == len(stems) or stems[place] != word:
            return 0
        place += 1
    return place


def _worn(before: Sequence[str]) -> bool:
    """Whether what comes after these words is on somebody: under a piece and in a head cast is somebody."""
    return bool(before) and (before[-1] in _WORN or any(each in _UNDER for each in before[-2:]))
