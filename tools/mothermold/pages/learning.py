"""What the runs of a recipe say of its own numbers, as its page shows it: never more than so few runs can say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from mothermold.answers.castings_needed import came_good
from mothermold.history.versions import Versions
from mothermold.model.recipe import Recipe
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.learned import FEWEST_FOR_BAND, Observed, median
from mothermold.reckon.proportions import wilson
from mothermold.view.learning import amount_words, learned_of, otherwise_words, spread_words
from mothermold.view.view import View

FEWEST_SHOWN: Final = 3
"""A number noted less often is counted, and not shown."""


@dataclass(frozen=True, slots=True)
class LearnedRow:
    """One number: what it is, what the recipe says, what the runs found, how many there were and what these are good for."""

    what: str
    written: str
    found: str
    count: str


@dataclass(frozen=True, slots=True)
class LearnedShown:
    """What a page shows of it.

    Attributes:
        rows: The numbers that were noted often enough.
        rest: How many were noted less often.
        otherwise: Where runs say otherwise, each with the newest of them.
        rooms: How long pieces stayed in the mold, in sentences.
        good: How many castings came out good, in a sentence; empty where none is on record.
    """

    rows: tuple[LearnedRow, ...]
    rest: int
    otherwise: tuple[tuple[str, str], ...]
    rooms: tuple[str, ...]
    good: str


def learned_shown(view: View, versions: Versions, recipe: Recipe) -> LearnedShown | None:
    """What the runs an edition holds say of a version; None where they say nothing of it."""
    told = learned_of(view, versions.address, recipe)
    good = _good(view, versions.address, recipe)
    if told is None and not good:
        return None
    observed = told.observed if told is not None else []
    shown = [each for each in observed if len(each.values) >= FEWEST_SHOWN]
    titles = {str(step.id): str(step.title) for step in recipe.steps}
    titles |= {str(mix.id): str(mix.title or mix.id) for mix in recipe.mixes}
    rooms = told.rooms if told is not None else {}
    otherwise = tuple((otherwise_words(each), each.runs[-1]) for each in shown if each.disagrees)
    rows = tuple(_row(each, titles) for each in shown)
    in_rooms = tuple(
        f"{titles[step]}: "
        + "; ".join(
            f"at {room} °C {minutes_in_words(median(times))}" + (f" ({len(times)} runs)" if len(times) > 1 else "")
            for room, times in each
        )
        for step, each in rooms.items()
        if sum(len(times) for _room, times in each) >= FEWEST_SHOWN
    )
    if not (rows or in_rooms or good):
        return None
    return LearnedShown(rows, len(observed) - len(shown), otherwise, in_rooms, good)


def _row(each: Observed, titles: dict[str, str]) -> LearnedRow:
    title = titles.get(each.of, each.of)
    what = {
        "hands-on": f"{title}: hands on",
        "waiting": f"{title}: waiting",
        "piece": f"Piece with flashing, {f'out of {each.mold}' if each.mold else title}",
        "cups": f"{title}: mixed and not in the piece (cups, overflow)",
    }[each.what]
    written = amount_words(each, each.written) if each.written is not None else ""
    if each.mold and written:
        written = f"{written} by its record"
    count = f"{len(each.values)} runs"
    more = f"; {each.more_needed} more for a band" if each.more_needed else "; 8 of 10 fall in between"
    return LearnedRow(what, written, spread_words(each), count + more)


def _good(view: View, address: str, recipe: Recipe) -> str:
    record, castings = came_good(view, address, int(recipe.version), recipe)
    if recipe.stage != "cast" or not castings:
        return ""
    low, high = wilson(record)
    good, pieces = record.runs - record.failed, "piece" if record.runs == 1 else "pieces"
    return (
        f"{good} of {record.runs} {pieces} of this version came out good or usable. As far as so few can say, the rate of good ones lies "
        f"between {100 * (1 - high):.0f} and {100 * (1 - low):.0f} % (Wilson's interval, 95 %)."
    )


ABOUT_BANDS: Final = (
    f"The first figure is the middle one. From {FEWEST_FOR_BAND} runs on the two behind it are a band by order statistics, in which the next "
    "one falls 8 times of 10; under that they are the least and the most so far. Runs of other versions count where the step or the mix said the same."
)
