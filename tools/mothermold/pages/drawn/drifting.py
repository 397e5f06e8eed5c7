"""Swatches as dots over the approved color, one after the other: the higher the farther from it. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.pages.drawn.lettering import width

_TEXT: Final = 12.5
_LEFT: Final = 34.0
_APART: Final = 30.0
"""How far apart dots are: room for a finger."""
_TALL: Final = 120.0
_TOP: Final = 12.0
_FOOT: Final = 26.0
_LEAST: Final = 2.0
"""The picture is at least so high, so that swatches close to the approved one lie close to its line."""


@dataclass(frozen=True, slots=True)
class SwatchDot:
    """A swatch in its place: by its middle, what it is of, and whether something makes its figure doubtful."""

    x: float
    y: float
    run: str
    words: str
    is_doubtful: bool


@dataclass(frozen=True, slots=True)
class DriftPicture:
    """Where everything of the picture stands.

    Attributes:
        wide: How wide it is.
        tall: How tall.
        dots: The swatches.
        lines: The heights that are labeled, each with its figure; the lowest is the approved color.
        first: The day of the first swatch; it stands at the left.
        last: The day of the last, with its place.
    """

    wide: float
    tall: float
    dots: tuple[SwatchDot, ...]
    lines: tuple[tuple[float, str], ...]
    first: str
    last: tuple[float, str]


def drift_picture(swatches: Sequence[tuple[str, str, float, bool]]) -> DriftPicture | None:
    """The picture of some swatches; None of fewer than two, which a line says better.

    Args:
        swatches: Of each its run, its day, how far it is from the approved color, and whether that is doubtful; oldest first.
    """
    if len(swatches) < 2:
        return None
    most = max(_LEAST, *(math.ceil(figure) for _run, _day, figure, _doubt in swatches))
    step = max(1, math.ceil(most / 4))

    def at(figure: float) -> float:
        return round(_TOP + _TALL * (1 - figure / most), 1)

    dots = tuple(
        SwatchDot(_LEFT + _APART * (place + 0.5), at(figure), run, f"{day}: {figure:.1f}", doubt)
        for place, (run, day, figure, doubt) in enumerate(swatches)
    )
    lines = tuple((at(figure), str(figure)) for figure in range(0, int(most) + 1, step))
    first, last = swatches[0][1], swatches[-1][1]
    # Both days stand below the line, one at either end.
    wide = max(_LEFT + _APART * len(swatches), _LEFT + width(first, _TEXT) + width(last, _TEXT) + 16)
    return DriftPicture(wide, _TOP + _TALL + _FOOT, dots, lines, first, (wide - width(last, _TEXT), last))
