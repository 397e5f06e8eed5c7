"""Common sheets of labels, by their measures in millimeters; the figures are from memory, so one sheet is tried on plain paper first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from mothermold.handouts.sheaf import Paper

_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """How labels lie on a sheet, in millimeters.

    Attributes:
        paper: The paper.
        across: How many stand side by side.
        down: How many below each other.
        width: Of one label.
        height: Of one label.
        left: The margin before the first.
        top: The margin above it.
        gap: Between two side by side; below each other they touch.
    """

    paper: Paper
    across: int
    down: int
    width: float
    height: float
    left: float
    top: float
    gap: float = 0.0


LABEL_SHEETS: Final[Mapping[str, LabelSheet]] = {
    "70x37": LabelSheet("a4", 3, 8, 70, 37, 0, 0.5),
    "63.5x38.1": LabelSheet("a4", 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
    "99.1x57": LabelSheet("a4", 2, 5, 99.1, 57, 4.65, 6, 2.5),
    "2.625x1in": LabelSheet("letter", 3, 10, 2.625 * _INCH, _INCH, 0.1875 * _INCH, 0.5 * _INCH, 0.125 * _INCH),
    "4x2in": LabelSheet("letter", 2, 5, 4 * _INCH, 2 * _INCH, 0.15625 * _INCH, 0.5 * _INCH, 0.1875 * _INCH),
}
"""By what is typed; the first of a paper is the usual one."""


def usual_labels(paper: Paper) -> str:
    """The sheet taken where nobody says which."""
    return next(name for name, sheet in LABEL_SHEETS.items() if sheet.paper == paper)
