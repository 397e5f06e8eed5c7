"""How often a failure happened by what a run noted: the room, the lots, the mold, how many hands. Counts, and nothing more.

No test of significance stands beside them: with so many ways to split a few runs, one split looks telling by chance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.model.run import Run
from mothermold.reckon.proportions import Tally

NOT_NOTED: Final = "not noted"
BANDS: Final[tuple[tuple[str, Fraction | None, bool], ...]] = (
    ("below 18 degC", Fraction(18), False),
    ("18 to below 21 degC", Fraction(21), False),
    ("21 to 25 degC", Fraction(25), True),
    ("above 25 degC", None, False),
)
"""Rooms, coldest first: what a band is called, where it ends, and whether its end belongs to it."""


@dataclass(frozen=True, slots=True)
class AtCondition:
    """How often it happened where a run noted something.

    Attributes:
        what: room, lot, mold or hands.
        value: What was noted; `NOT_NOTED` where nothing was.
        tally: The runs.
    """

    what: str
    value: str
    tally: Tally


def by_condition(runs: Sequence[tuple[Run, bool]]) -> tuple[AtCondition, ...]:
    """The runs where a failure can be noticed, split by each condition; a run with two lots stands with both.

    Args:
        runs: Each with whether it happened.
    """
    return tuple(
        AtCondition(what, value, Tally(failed, count))
        for what, values in _conditions(runs)
        for value in values
        for failed, count in [_counted(runs, what, value)]
        if count
    )


def _conditions(runs: Sequence[tuple[Run, bool]]) -> Iterator[tuple[str, list[str]]]:
    """Every condition with the values that occur, in their order; what nobody noted comes last."""
    yield "room", [*(name for name, _end, _belongs in BANDS), NOT_NOTED]
    for what in ("mold", "lot", "hands"):
        found = {value for run, _failed in runs for value in _values(run, what)} - {NOT_NOTED}
        yield (
            what,
            [*sorted(found, key=lambda value: (len(value), value) if what == "hands" else (0, value)), NOT_NOTED],
        )


def _counted(runs: Sequence[tuple[Run, bool]], what: str, value: str) -> tuple[int, int]:
    here = [failed for run, failed in runs if value in _values(run, what)]
    return sum(here), len(here)


def _values(run: Run, what: str) -> frozenset[str]:
    if what == "room":
        room = run.conditions.room if run.conditions is not None else None
        noted = [_band(room.value)] if room is not None else []
    elif what == "mold":
        noted = [str(run.mold)] if run.mold is not None else []
    elif what == "lot":
        noted = [f"{used.material} {used.lot}" for used in run.lots]
    else:
        noted = [f"{len(run.who)} {'person' if len(run.who) == 1 else 'people'}"] if run.who else []
    return frozenset(noted or [NOT_NOTED])


def _band(room: Fraction) -> str:
    return next(name for name, end, belongs in BANDS if end is None or room < end or (belongs and room == end))
