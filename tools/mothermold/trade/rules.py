"""The rules of what must not touch what: rows of a table (``rules.yaml``), read once and never changed.

A row says what is used and in which role, what it meets, what happens then, and what keeps it right. It carries its source,
or says that it is common practice without one. What a book adds to them is ``own_rules``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from mothermold.ground.notices import Severity
from mothermold.ground.reading import read_table

if TYPE_CHECKING:
    # `about` tells the rules and needs no document.
    from mothermold.model.additions import Gravity

_FILE: Final = Path(__file__).with_name("rules.yaml")

WEIGHTS: Final[Mapping[str, Severity]] = {
    "can hurt": "error",
    "stops the job": "warning",
    "damages the result": "warning",
    "is a nuisance": "advice",
}
"""What a rule weighs, worst first, and how loud its notice is."""

BODIES: Final = frozenset({"cast", "coat", "build", "back", "fill", "lay"})
"""Roles that leave something of its own thickness; what lies beneath is no longer touched."""


@dataclass(frozen=True, slots=True)
class Used:
    """What a rule asks of a use.

    Attributes:
        families: It holds one of these; without any, the rule asks a whole step and what stands in it.
        by: Done with one of these: the step's equipment, or a word of how the use is done.
        beside: It holds one of these too, in the same mix.
        roles: It is used as one of these.
        stages: In a recipe of one of these stages; any unless named.
        colder_than: In a step at less than so many degrees Celsius.
        above: So many percent, of these families, that ``beside`` must exceed.
    """

    families: frozenset[str] = frozenset()
    beside: frozenset[str] = frozenset()
    roles: frozenset[str] = BODIES
    stages: frozenset[str] = frozenset()
    colder_than: int | None = None
    above: int | None = None
    by: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Met:
    """What a rule asks of what the use meets.

    Attributes:
        families: A layer of one of these.
        roles: Laid in one of these roles; any unless named.
        traces: Or something left of these.
        state: Only while it is ``damp``, ``dry``, ``uncured``, or still holds ``solvent``.
        older_than: Only when so many minutes have certainly passed since it was laid.
        set_after: Not when it was laid in the same work, at most so many minutes before.
        through: Layers of these families do not shield it.
        worn: Instead of a layer, gloves of these families.
        near: Instead of a layer, what evaporates in the same work: of these families, or with a vapor in its file.
    """

    families: frozenset[str] = frozenset()
    roles: frozenset[str] = frozenset()
    traces: frozenset[str] = frozenset()
    state: str = ""
    older_than: int | None = None
    set_after: int | None = None
    through: frozenset[str] = frozenset()
    worn: frozenset[str] = frozenset()
    near: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Remedy:
    """One thing that keeps a rule.

    Attributes:
        kind: ``layer`` between the two; ``done`` to the surface since; ``earlier`` anywhere before; ``waited``, ``dried``,
            ``cured``, ``warmed``, ``heated`` since; ``gloves`` changed since.
        families: By one of these; any unless named.
        roles: In one of these roles; any unless named.
        minutes: At least so long.
    """

    kind: str
    families: frozenset[str] = frozenset()
    roles: frozenset[str] = frozenset()
    minutes: int | Fraction = 0

    def fits(self, families: frozenset[str], role: str) -> bool:
        """Whether something of these families in this role is it."""
        return (not self.families or bool(self.families & families)) and (not self.roles or role in self.roles)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes:
        id: Its name; also the code of its notice.
        title: What must not be, in a few words.
        weighs: How bad it is.
        severe: Whether somebody can be hurt so badly that it cannot be accepted, and no test excuses it.
        used: What is used.
        met: What it meets; None where the use itself is the matter.
        kept_by: Ways to keep it; each asks for all it lists.
        happens: The consequence, to follow a colon.
        instead: What to do, a sentence.
        because: The mechanism, a sentence.
        source: Where it is from.
        tried: Whether a test that passed keeps it, where it is not severe.
    """

    id: str
    title: str
    weighs: Gravity
    severe: bool
    used: Used
    met: Met | None
    kept_by: tuple[tuple[Remedy, ...], ...]
    happens: str
    instead: str
    because: str
    source: str
    tried: bool = True

    @property
    def severity(self) -> Severity:
        """How loud its notice is."""
        return WEIGHTS[self.weighs]


@lru_cache(maxsize=1)
def rules() -> dict[str, Rule]:
    """All rules of the tool by id."""
    told = read_table(_FILE)
    return {name: _rule(name, row, told["groups"]) for name, row in told["rules"].items()}


def _rule(name: str, row: Mapping[str, Any], groups: Mapping[str, Sequence[str]]) -> Rule:
    use, on = row["use"], row.get("meets")
    return Rule(
        name,
        row["title"],
        row["weighs"],
        row.get("severe", False),
        Used(
            _words(use.get("families"), groups),
            _words(use.get("beside"), groups),
            _words(use.get("as"), groups) or BODIES,
            _words(use.get("stages"), groups),
            use.get("colder_than"),
            use.get("above"),
            _words(use.get("by"), groups),
        ),
        None
        if on is None
        else Met(
            _words(on.get("families"), groups),
            _words(on.get("as"), groups),
            _words(on.get("traces"), groups),
            on.get("state", ""),
            on.get("older_than"),
            on.get("set_after"),
            _words(on.get("through"), groups),
            _words(on.get("worn"), groups),
            _words(on.get("near"), groups),
        ),
        tuple(tuple(_remedy(each, groups) for each in way) for way in row.get("kept_by", ())),
        row["happens"],
        row["instead"],
        row["because"],
        row["source"],
        row.get("tried", True),
    )


def _remedy(told: Mapping[str, Any], groups: Mapping[str, Sequence[str]]) -> Remedy:
    ((kind, more),) = told.items()
    if isinstance(more, int):
        return Remedy(kind, minutes=int(more))
    return Remedy(kind, _words(more.get("families"), groups), _words(more.get("as"), groups))


def _words(told: str | Sequence[str] | None, groups: Mapping[str, Sequence[str]]) -> frozenset[str]:
    """Names, where one may stand alone and a group stands for its members."""
    listed = [told] if isinstance(told, str) else told or ()
    return frozenset(word for each in listed for word in groups.get(each, (each,)))
