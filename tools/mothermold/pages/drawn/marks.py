"""The marks that stand for runs in every picture: the shape says how it ended, the filling whether anything went wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from mothermold.pages.runs import RunEntry

ACROSS: Final = 16
"""How wide and how tall a mark is at most."""

SHAPES: Final = {
    "good": "M-6.5 0a6.5 6.5 0 1 0 13 0a6.5 6.5 0 1 0 -13 0z",
    "usable": "M0 -7.5L7.5 6H-7.5z",
    "scrapped": "M-6.5 -6.5H6.5V6.5H-6.5z",
    "test": "M0 -7.5L7.5 0L0 7.5L-7.5 0z",
    "under way": "M-6.5 0a6.5 6.5 0 0 1 13 0z",
}
"""The outline of each, around its middle."""
_TESTS: Final = ("tested", "failed")


@dataclass(frozen=True, slots=True)
class RunMark:
    """A run as a mark.

    Attributes:
        shape: One of ``SHAPES``.
        went_wrong: Whether anything is written down that went wrong in it.
        day: When it began.
        run: Its name.
        words: What it says: the day, what was done, how it ended.
        version: The version it did; None where none is named.
    """

    shape: str
    went_wrong: bool
    day: date
    run: str
    words: str
    version: int | None

    @property
    def outline(self) -> str:
        """Its shape as a path around its middle."""
        return SHAPES[self.shape]


def mark_of(entry: RunEntry) -> RunMark:
    """The mark of a run as it stands in a list."""
    wrong = entry.went_wrong or entry.ending in ("scrapped", "failed")
    told = f"; went wrong: {'; '.join(entry.troubles)}" if entry.troubles else ""
    shape = "test" if entry.ending in _TESTS else entry.ending
    words = f"{entry.day}, {entry.title}: {entry.ending}{told}"
    return RunMark(shape, wrong, date.fromisoformat(entry.day), entry.id, words, int(entry.version or 0) or None)


def key_of(marks: Sequence[RunMark]) -> list[tuple[str, str]]:
    """The marks a reader meets, each shape with what it means, in the order of ``SHAPES``."""
    met = {mark.shape for mark in marks}
    return [(shape, outline) for shape, outline in SHAPES.items() if shape in met]
