"""Every family against every other (``pairs.yaml``): which rules speak of a meeting, why it is fine, or that it is not known.

Two families can meet where they share a place of work, one used there and the other lying there, or where a rule speaks of
them. What goes into a mix together is no meeting, nor are gloves, nor what evaporates near.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from pathlib import Path
from typing import Any, Final, Literal, get_args

from mothermold.ground.reading import read_table
from mothermold.trade.rules import rules

_FILE: Final = Path(__file__).with_name("pairs.yaml")

Pair = tuple[str, str]
"""A family used, and one that lies on the surface."""


TouchVerdict = Literal["never", "can hurt", "stops the job", "damages the result", "is a nuisance", "not known", "fine"]
VERDICTS: Final[tuple[TouchVerdict, ...]] = get_args(TouchVerdict)
"""What can be said of a meeting, worst first; that nothing is known is worse than that it is fine."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """A row: whatever of ``used`` comes on whatever of ``met``.

    Attributes:
        used: Families used.
        met: Families that lie there, ``skin`` and ``hair`` too.
        rules: The rules that speak of it.
        fine: Why it is fine where no rule speaks; empty otherwise.
        not_known: What is not known of it; empty otherwise.
    """

    used: tuple[str, ...]
    met: tuple[str, ...]
    rules: tuple[str, ...] = ()
    fine: str = ""
    not_known: str = ""

    @property
    def verdict(self) -> TouchVerdict:
        """The worst that is said of it: what the worst of its rules weighs, else whether it is fine or not known."""
        told = [rules()[each] for each in self.rules]
        if any(each.severe for each in told):
            return "never"
        weights: list[TouchVerdict] = [each.weighs for each in told]
        return min(weights, key=VERDICTS.index, default="not known" if self.not_known else "fine")

    @property
    def pairs(self) -> list[Pair]:
        """Its pairs, one by one."""
        return list(product(self.used, self.met))


@lru_cache(maxsize=1)
def meetings() -> tuple[Meeting, ...]:
    """All rows in the order of the file."""
    told, groups = _told()
    return tuple(
        Meeting(
            _listed(row["use"], groups),
            _listed(row["meets"], groups),
            tuple(row.get("rules", ())),
            row.get("fine", ""),
            row.get("not_known", ""),
        )
        for row in told["pairs"]
    )


@lru_cache(maxsize=1)
def can_meet() -> frozenset[Pair]:
    """Every pair that shares a place of work, or of which a rule speaks."""
    told, groups = _told()
    places = told["places"].values()
    at_work = {
        pair for place in places for pair in product(_listed(place["used"], groups), _listed(place["lies"], groups))
    }
    return spoken_of() | at_work


def spoken_of() -> frozenset[Pair]:
    """Every pair of which a rule speaks, in whichever role and state."""
    return frozenset(
        pair
        for rule in rules().values()
        if rule.met is not None
        for pair in product(rule.used.families, rule.met.families | rule.met.traces)
    )


@lru_cache(maxsize=1)
def _told() -> tuple[Mapping[str, Any], Mapping[str, Sequence[str]]]:
    told = read_table(_FILE)
    return told, told["groups"]


def _listed(names: Iterable[str], groups: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    return tuple(family for name in names for family in groups.get(name, (name,)))
