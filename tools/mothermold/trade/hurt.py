"""Somebody is hurt: what to do first, by published first-aid guidance, and the words that call it.

A table (``hurt.yaml``). Each act carries its source; nothing here is a diagnosis, and no number to call is the tool's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from pathlib import Path
from typing import Any, Final

from mothermold.ground.reading import read_table

_FILE: Final = Path(__file__).with_name("hurt.yaml")

BODY: Final = frozenset({"hand", "torso", "eyes", "nose-and-mouth", "face", "skin", "hair", "teeth", "back", "part"})
"""The groups of words that name a part of the body; a mold and a piece have such parts, too."""


@dataclass(frozen=True, slots=True)
class SourcedLine:
    """One line of first aid, and where it is from."""

    words: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TreatmentClock:
    """A treatment that is a time: how many minutes, and of what."""

    minutes: int
    what: str


@dataclass(frozen=True, slots=True)
class Called:
    """By which words a row is called. Each alternative is a set of words or groups, all of which must be said.

    Attributes:
        certain: Whatever else is said.
        likely: Unless a thing of the bench is spoken of and nobody is named.
        alone: Where little else is said.
        otherwise: Where no other row is called, and as ``likely``.
    """

    certain: tuple[tuple[str, ...], ...]
    likely: tuple[tuple[str, ...], ...]
    alone: tuple[str, ...]
    otherwise: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Hurt:
    """What to do for one kind of hurt.

    Attributes:
        id: Its name, as ``burn``.
        title: What one sees, in a few words.
        acts: The first three acts in their order.
        clock: The time that is the treatment, where there is one.
        never: What never to do.
        call: When to call for help, and whom.
        more: What else matters at this bench; None where nothing does.
        called: By which words it is called.
    """

    id: str
    title: str
    acts: tuple[SourcedLine, ...]
    clock: TreatmentClock | None
    never: tuple[SourcedLine, ...]
    call: tuple[SourcedLine, ...]
    more: SourcedLine | None
    called: Called

    @property
    def sources(self) -> tuple[str, ...]:
        """Where its lines are from, each once, the acts' first."""
        lines = [*self.acts, *self.never, *self.call, *([self.more] if self.more else [])]
        return tuple(dict.fromkeys(source for line in lines for source in line.sources))


@lru_cache(maxsize=1)
def hurts() -> dict[str, Hurt]:
    """All kinds of hurt by id, in the order of the table."""
    return read_hurts(_table())


@lru_cache(maxsize=1)
def hurt_words() -> Mapping[str, Sequence[str]]:
    """The groups of words that call them, by name; those that no row asks for are explained in the table."""
    return {name: tuple(_flat(words)) for name, words in _table()["words"].items()}


def _flat(words: Sequence[Any]) -> Iterator[str]:
    """The words of a group; a group may hold others."""
    for each in words:
        yield from _flat(each) if isinstance(each, list) else (str(each),)


@lru_cache(maxsize=1)
def _table() -> Any:
    """The table as plain data, read once for its rows and its words."""
    return read_table(_FILE)


def read_hurts(told: Mapping[str, Any]) -> dict[str, Hurt]:
    """The rows of a table.

    Raises:
        ValueError: A row has not three acts, or a line without a known source.
    """
    sources: Mapping[str, str] = told["sources"]
    return {name: _hurt(name, row, sources) for name, row in told["rows"].items()}


def _hurt(name: str, row: Mapping[str, Any], sources: Mapping[str, str]) -> Hurt:
    acts = _lines(name, row["acts"], "do", sources)
    if len(acts) != 3:
        raise ValueError(f"{name}: the first three acts, not {len(acts)}")
    clock, called = row.get("clock"), row["called"]
    return Hurt(
        name,
        row["title"],
        acts,
        TreatmentClock(clock["minutes"], clock["what"]) if clock else None,
        _lines(name, row.get("never", ()), "not", sources),
        _lines(name, row["call"], "when", sources),
        next(iter(_lines(name, [row["more"]], "words", sources)), None) if "more" in row else None,
        Called(
            _ways(called, "certain"),
            _ways(called, "likely"),
            tuple(map(str, called.get("alone", ()))),
            _ways(called, "otherwise"),
        ),
    )


def _ways(called: Mapping[str, Any], how: str) -> tuple[tuple[str, ...], ...]:
    """The ways of a row; ``|`` parts words or groups one of which is enough."""
    return tuple(way for told in called.get(how, ()) for way in product(*(str(each).split("|") for each in told)))


def _lines(
    name: str, rows: Sequence[Mapping[str, Any]], key: str, sources: Mapping[str, str]
) -> tuple[SourcedLine, ...]:
    if strange := [each for row in rows for each in row["source"] if each not in sources]:
        raise ValueError(f"{name}: no such source: {', '.join(strange)}")
    return tuple(SourcedLine(row[key], tuple(sources[each] for each in row["source"])) for row in rows)
