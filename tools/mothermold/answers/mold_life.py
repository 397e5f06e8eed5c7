"""What a mold has given so far, how its rim grew, and when to make the next: from what its like gave before they ended.

Nothing is foretold: how many castings a mold of the same kind gave before it broke or was retired, and how many this one has
given. Of one or two such molds it is said that they are one or two.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from mothermold.answers.molds import GONE
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run
from mothermold.view.view import View

_RIM: Final = re.compile(r"(?<![a-z])(?:flash\w*|rim)(?![a-z])")
_FEW: Final = 3


@dataclass(frozen=True, slots=True)
class EndedMold:
    """A mold of the same kind that gives nothing any more.

    Attributes:
        name: Its name.
        title: Its title.
        state: Whether it broke, or was retired.
        castings: How many castings of it are on record.
    """

    name: str
    title: str
    state: str
    castings: int


@dataclass(frozen=True, slots=True)
class RimRow:
    """What was measured of the flashing or the rim of one casting.

    Attributes:
        casting: Its number among those of the mold, from 1.
        run: The run.
        values: By what was measured, as the runs say it, the value as written.
    """

    casting: int
    run: Run
    values: Mapping[str, str]


def ended_molds(view: View, name: str, mold: Mold) -> list[EndedMold]:
    """The molds made by the same recipe that are broken or retired, and in which something was cast, oldest first.

    Args:
        view: The edition; what it does not hold is not counted.
        name: The mold.
        mold: What it says.
    """
    made_by = _made_by(view, mold)
    if not made_by:
        return []
    found = []
    for other, each in view.models(Mold).items():
        castings = view.evidence.lineage.in_mold(other)
        if other != name and each.state in GONE and castings and _made_by(view, each) == made_by:
            found.append((castings[0].started, EndedMold(other, str(each.title), str(each.state), len(castings))))
    return [each for _since, each in sorted(found, key=lambda each: (each[0], each[1].name))]


def _made_by(view: View, mold: Mold) -> str:
    """The recipe a mold was made by, by the address it has today; empty where nobody knows."""
    run = view.models(Run).get(str(mold.made)) if isinstance(mold.made, RunRef) else None
    return view.today(run.recipe.address) if run is not None and run.recipe is not None else ""


def next_mold_words(given: int, ended: Sequence[EndedMold]) -> str:
    """When to make the next mold, as far as what ended before it tells; empty where nothing did.

    Args:
        given: How many castings this one has given.
        ended: The molds of its kind that ended.
    """
    if not ended:
        return ""
    counts = sorted(each.castings for each in ended)
    fewest, most = counts[0], counts[-1]
    told = f"{fewest}" if fewest == most else f"{fewest} to {most}"
    one = len(ended) == 1
    before = f"{'One mold' if one else f'{len(ended)} molds'} made by the same recipe gave {told} casting{'' if most == 1 else 's'} before {'it' if one else 'they'} ended"
    few = f" ({'one mold says' if one else f'{len(ended)} molds say'} little)" if len(ended) < _FEW else ""
    if given >= fewest:
        return f"{before}{few}; this one has given {given}: make the next one now, while this one still casts."
    left = fewest - given
    return f"{before}{few}; this one has given {given}. Have the next one ready before {'one more casting' if left == 1 else f'{left} more castings'}."


def rims_of(castings: Sequence[Run]) -> list[RimRow]:
    """What was measured of flashing and rim over the castings of a mold, so that one sees it grow: what was so more than once.

    Args:
        castings: The castings of the mold, oldest first.
    """
    rows = [
        RimRow(
            number, run, {_same(each.what): str(each.value) for each in run.measured if _RIM.search(_same(each.what))}
        )
        for number, run in enumerate(castings, start=1)
    ]
    counted = Counter(what for row in rows for what in row.values)
    again = {what for what, count in counted.items() if count > 1}
    kept = [replace(row, values={what: value for what, value in row.values.items() if what in again}) for row in rows]
    return [row for row in kept if row.values]


def _same(what: object) -> str:
    return " ".join(str(what).casefold().split())
