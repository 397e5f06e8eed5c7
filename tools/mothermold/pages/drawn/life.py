"""The life of a recipe as lines: its versions, the runs under each, the failures above, tied to the version that answers them. Pure.

Many versions and many runs stay legible: a version with too many runs for its room says how many ended how.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.pages.drawn.lettering import shortened, width
from mothermold.pages.drawn.marks import SHAPES, RunMark
from mothermold.pages.drawn.weeks import TEXT, MarkAt, TextAt

FRAME: Final = 760.0
"""How wide it may be before versions fold."""
_LEAST: Final = 344.0
"""How wide it is at least: names of failures take room."""
KNOT: Final = 32.0
"""How wide the place of a version on the line is; it is as tall as a finger needs."""
KNOT_TALL: Final = 26.0
_MARK: Final = 25.0
_ROWS: Final = 5
_COUNT: Final = 20.0
_COUNTED: Final = 50.0
"""How wide a version is whose runs are counted."""
_APART: Final = 10.0
_LINE: Final = 36.0
"""How tall the row of a failure is: its name, then its line."""
MOST_FAILURES: Final = 6


@dataclass(frozen=True, slots=True)
class LifeVersion:
    """A version: its number, what it is, its day in a few letters, and its runs."""

    number: int
    state: str
    day: str
    marks: tuple[RunMark, ...]


@dataclass(frozen=True, slots=True)
class LifeFailure:
    """A failure.

    Attributes:
        name: Its name.
        title: What it is called.
        happened: In how many runs of each version it happened, or of what was made by it.
        answered: The versions that answer it.
        elsewhere: Versions of other recipes that answer it, as they are called.
    """

    name: str
    title: str
    happened: dict[int, int]
    answered: tuple[int, ...]
    elsewhere: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KnotAt:
    """A version in its place, by the middle of it on the line, and how wide its column is."""

    x: float
    wide: float
    version: LifeVersion


@dataclass(frozen=True, slots=True)
class CountAt:
    """So many runs of one shape, by the middle of the shape and where the number stands."""

    x: float
    y: float
    outline: str
    went_wrong: bool
    text: str


@dataclass(frozen=True, slots=True)
class FailureAt:
    """A failure in its row.

    Attributes:
        failure: The failure.
        y: The height of its line.
        label: Its name, where it stands.
        start: Where its line begins.
        end: Where it ends.
        is_open: Whether nothing answers it, or it happened again after the last answer here.
        happened: Where it happened, and how often where more than once.
        answered: Where a version answers it.
    """

    failure: LifeFailure
    y: float
    label: TextAt
    start: float
    end: float
    is_open: bool
    happened: tuple[tuple[float, str], ...]
    answered: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Life:
    """Where everything of it stands.

    Attributes:
        wide: How wide it is.
        tall: How tall.
        line: The height of the line of versions.
        knots: The versions.
        days: Their days, below.
        marks: The runs.
        counts: Where there are too many, how many ended how.
        failures: The failures, each in a row of its own.
        left_out: How many more there are.
    """

    wide: float
    tall: float
    line: float
    knots: tuple[KnotAt, ...]
    days: tuple[TextAt, ...]
    marks: tuple[MarkAt, ...]
    counts: tuple[CountAt, ...]
    failures: tuple[FailureAt, ...]
    left_out: int


def life(versions: Sequence[LifeVersion], failures: Sequence[LifeFailure]) -> Life:
    """The life of a recipe.

    Args:
        versions: Its versions, the oldest first; at least one.
        failures: Its failures by weight, the weightiest first.
    """
    most = next((each for each in (15, 10) if sum(_wide(version, each) for version in versions) <= FRAME), _ROWS)
    shown = failures[:MOST_FAILURES]
    line = len(shown) * _LINE + KNOT_TALL / 2 + 6
    top = line + KNOT_TALL / 2 + 22
    more = max(0.0, _LEAST - sum(_wide(each, most) for each in versions)) / len(versions)
    knots, days, marks, counts, x = list[KnotAt](), list[TextAt](), list[MarkAt](), list[CountAt](), 0.0
    for version in versions:
        wide = _wide(version, most) + more
        middle = x + wide / 2
        knots.append(KnotAt(middle, wide, version))
        days.append(TextAt(middle - width(version.day, TEXT) / 2, line + KNOT_TALL / 2 + 15, version.day))
        if len(version.marks) <= most:
            columns = -(-len(version.marks) // _ROWS)
            for number, mark in enumerate(version.marks):
                across = middle + (number // _ROWS - (columns - 1) / 2) * _MARK
                marks.append(MarkAt(across, top + (number % _ROWS + 0.5) * _MARK, mark))
        else:
            counts += _counted(version, middle, top)
        x += wide
    foot = max([*(each.y + _MARK / 2 for each in marks), *(each.y + _COUNT / 2 for each in counts), top - 4])
    places = {each.version.number: each.x for each in knots}
    rows = tuple(_failure(each, place, places, x) for place, each in enumerate(shown))
    return Life(
        x, foot + 4, line, tuple(knots), tuple(days), tuple(marks), tuple(counts), rows, len(failures) - len(shown)
    )


def _wide(version: LifeVersion, most: int) -> float:
    """How wide the column of a version is."""
    columns = -(-len(version.marks) // _ROWS)
    runs = columns * _MARK if len(version.marks) <= most else _COUNTED
    return _APART + max(KNOT, runs, width(version.day, TEXT))


def _counted(version: LifeVersion, middle: float, top: float) -> list[CountAt]:
    """How many runs of a version ended how: first those in which nothing went wrong, then the others."""
    told = Counter((mark.went_wrong, mark.shape) for mark in version.marks)
    order = sorted(told, key=lambda each: (each[0], list(SHAPES).index(each[1])))
    return [
        CountAt(middle - 14, top + (row + 0.5) * _COUNT, SHAPES[shape], wrong, str(told[wrong, shape]))
        for row, (wrong, shape) in enumerate(order)
    ]


def _failure(failure: LifeFailure, place: int, places: dict[int, float], wide: float) -> FailureAt:
    y = place * _LINE + 26
    happened = {number: count for number, count in failure.happened.items() if number in places}
    answered = sorted(number for number in failure.answered if number in places)
    met = [*happened, *answered]
    start = places[min(met)]
    is_open = max(happened, default=0) >= max(answered) if answered else not failure.elsewhere
    end = max(places.values()) + KNOT / 2 if is_open else places[max(met)]
    answers = " and ".join([*(f"v{number}" for number in answered[-2:]), *failure.elsewhere[-1:]])
    told = f", answered in {answers}" if answers else ", not answered yet"
    title = shortened(failure.title, TEXT, wide - 4 - width(told, TEXT)) + told
    label = TextAt(max(0.0, min(start - 8, wide - width(title, TEXT) - 2)), y - 12, title)
    dots = tuple((places[number], str(count) if count > 1 else "") for number, count in sorted(happened.items()))
    return FailureAt(failure, y, label, start, end, is_open, dots, tuple(places[number] for number in answered))
