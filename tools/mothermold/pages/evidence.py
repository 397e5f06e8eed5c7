"""What the runs say of a failure, as pages show it: each fix with its verdict, a small chart, and where it begins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final, Literal

from mothermold.answers.evidence import fix_data, tally_words
from mothermold.answers.troubles import HOLDS
from mothermold.model.failure import Fix
from mothermold.model.run import Run
from mothermold.pages.wording import spoken
from mothermold.reckon.proportions import Tally, Verdict, wilson
from mothermold.view.evidence import FailureRecord, FixRecord
from mothermold.view.view import View

MOST_DOTS: Final = 40
_DOT: Final = 26
"""Across a run in the chart; all lengths of it are in units of its own."""
_STRIP: Final = 20
_LEAST: Final = 320
"""A recipe's title has room above its strip."""


@dataclass(frozen=True, slots=True)
class FixShown:
    """A fix in words: what was done, in which recipe version, and how it did.

    Attributes:
        do: What was done, in the note's words; empty where a recipe alone says that it fixes it.
        recipe: The recipe version, as ``mold/face-mold@2``; empty where none is named.
        verdict: As the command tells it; empty where no runs can tell, and where somebody was hurt.
        words: The record in words.
        working: The rows behind "show the working".
    """

    do: str
    recipe: str
    verdict: Verdict | Literal[""]
    words: str
    working: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class RateBar:
    """A stretch of runs of one version, in units of the chart."""

    at: int
    across: int
    text: str


@dataclass(frozen=True, slots=True)
class Strip:
    """A recipe's versions along the runs."""

    recipe: str
    at: int
    bands: Sequence[RateBar]


@dataclass(frozen=True, slots=True)
class Chart:
    """Runs in order, oldest first, each a dot, with the versions they were done by below.

    Attributes:
        across: How wide it is, in its own units.
        tall: How tall.
        dots: For each run its place, and whether it failed.
        strips: The versions of the recipe that shows the failure, then of each recipe with a fix.
        first: The day of the first run.
        last: Of the last.
        left_out: How many older runs do not stand in it.
    """

    across: int
    tall: int
    dots: Sequence[tuple[int, bool]]
    strips: Sequence[Strip]
    first: str
    last: str
    left_out: int


def fixes_shown(view: View, record: FailureRecord, said: Sequence[Fix]) -> list[FixShown]:
    """The fixes of a note in its order, then those a recipe alone claims."""
    known = {(fix.recipe, fix.version): fix for fix in record.fixes}
    found = []
    for fix in said:
        place = None
        if fix.in_ is not None and fix.in_.version is not None:
            place = (view.today(fix.in_.address), fix.in_.version)
        found.append(_fix(str(fix.do), str(fix.in_ or ""), known.pop(place, None) if place else None))
    return [*found, *(_fix("", f"{fix.recipe}@{fix.version}", fix) for fix in known.values())]


def _fix(do: str, recipe: str, fix: FixRecord | None) -> FixShown:
    if fix is None:
        return FixShown(do, recipe, "", "", ())
    data = fix_data(fix)
    if fix.is_hurt:
        return FixShown(do, recipe, "", data["words"], ())
    return FixShown(do, recipe, data["verdict"], data["words"], _working(fix, data))


def _working(fix: FixRecord, data: dict[str, Any]) -> list[tuple[str, str]]:
    rows = [
        ("Before", f"{tally_words(fix.before)}{_rate(fix.before)}"),
        ("Since", f"{tally_words(fix.after)}{_rate(fix.after)}"),
    ]
    if data["difference"] is not None:
        low, high = data["low"] * 100, data["high"] * 100
        rows.append(("Change", f"{data['difference'] * 100:+.0f} points, between {low:+.0f} and {high:+.0f}"))
        chance = data["p_worse" if fix.verdict == "worse" else "p_one_sided"]
        rows.append(("One-sided p", f"{chance:.3f}, for {'more' if fix.verdict == 'worse' else 'fewer'} since"))
    if fix.unknown:
        rows.append(("Left out", f"{len(fix.unknown)}: nobody knows which version they were made by"))
    return rows


def _rate(tally: Tally) -> str:
    if not tally.runs:
        return ""
    low, high = wilson(tally)
    return f", {float(tally.rate) * 100:.0f} %, between {low * 100:.0f} and {high * 100:.0f} %"


def watch_records(view: View, address: str, number: int) -> Callable[[str], str]:
    """How often a watch-out happened at a version: ``2 of 5 runs``; nothing where no run counts.

    Where a fix lies in another recipe, a mold's say, it is named: whoever casts in that has it answered.
    """

    def told(failure: str) -> str:
        tally = view.evidence.at(failure, address, number)
        if not tally.runs:
            return ""
        if view.evidence.of(failure).is_hurt:
            return (
                f"in {tally.failed} {'run' if tally.failed == 1 else 'runs'}; somebody was hurt" if tally.failed else ""
            )
        elsewhere = [fix for fix in view.evidence.of(failure).fixes if fix.recipe != address and fix.verdict in HOLDS]
        answered = "".join(f"; answered in {spoken(fix.recipe.rpartition('/')[2])} v{fix.version}" for fix in elsewhere)
        return f"{tally_words(tally)} {'run' if tally.runs == 1 else 'runs'}{answered if tally.failed else ''}"

    return told


def runs_chart(view: View, record: FailureRecord, runs: Sequence[tuple[Run, bool]]) -> Chart | None:
    """The runs that count for a failure, as a chart; None where there are fewer than two."""
    if len(runs) < 2:
        return None
    shown = runs[-MOST_DOTS:]
    lineage = view.evidence.lineage
    recipes = dict.fromkeys([*(each.recipe for each in record.by_version), *(fix.recipe for fix in record.fixes)])
    strips: list[Strip] = []
    for recipe in recipes:
        bands, place = [], 0
        for number, group in groupby(lineage.version_behind(run, recipe) for run, _failed in shown):
            count = len(list(group))
            if number is not None:
                bands.append(RateBar(place * _DOT, count * _DOT, f"v{number}"))
            place += count
        if bands:
            strips.append(Strip(recipe, 48 + len(strips) * 2 * _STRIP, bands))
    dots = [(place * _DOT + _DOT // 2, failed) for place, (_run, failed) in enumerate(shown)]
    across = max(len(shown) * _DOT, _LEAST)
    tall = 48 + len(strips) * 2 * _STRIP
    return Chart(across, tall, dots, strips, _day(shown[0][0]), _day(shown[-1][0]), len(runs) - len(shown))


def _day(run: Run) -> str:
    return run.started.date().isoformat()
