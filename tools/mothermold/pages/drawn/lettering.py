"""How wide words are in the book's own typeface, and how they are broken into lines that fit. Pure.

A picture is made before any browser sees it, so the room its words take is reckoned from the widths of the letters.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

# The letters from the space to the tilde in thousandths of their size, at the widest of weights 400 to 600 of the
# vendored typeface. Measured in a browser; `tests/pages/drawn` measures again.
_WIDTHS: Final = (
    303, 298, 362, 730, 604, 953, 731, 195, 324, 324, 485, 606, 252, 369, 253, 424, 656, 430, 569, 592, 621, 602,
    617, 529, 621, 595, 253, 253, 564, 628, 564, 526, 780, 662, 634, 654, 683, 589, 562, 711, 699, 415, 546, 654,
    548, 848, 710, 737, 617, 747, 639, 604, 592, 690, 628, 877, 666, 627, 615, 333, 424, 344, 573, 391, 274, 544,
    587, 502, 586, 555, 349, 582, 565, 285, 255, 536, 301, 870, 565, 567, 587, 591, 368, 497, 360, 559, 509, 723,
    522, 499, 492, 370, 249, 370, 555,
)  # fmt: skip
_OTHERS: Final = {"…": 750, "–": 505, "—": 835, "‘": 260, "’": 260, "“": 460, "”": 460, "·": 280, "°": 385, "×": 540}
_UNKNOWN: Final = 1300
"""A letter the typeface lacks comes from another, of which nothing is known; wider than this none is."""
_BREAKS: Final = re.compile(r"\S+?(?:[-/](?=\w)|(?=\s)|$)")


def width(text: str, size: float) -> float:
    """How wide a text is at most, in the unit of its size."""
    return sum(map(_letter, unicodedata.normalize("NFD", text))) * size / 1000


def _letter(letter: str) -> int:
    place = ord(letter) - 32
    if 0 <= place < len(_WIDTHS):
        return _WIDTHS[place]
    return 0 if unicodedata.combining(letter) else _OTHERS.get(letter, _UNKNOWN)


def shortened(text: str, size: float, room: float) -> str:
    """A text that fits into a room: itself, or as much of it as goes before three dots."""
    if width(text, size) <= room:
        return text
    kept = text
    while kept and width(f"{kept.rstrip()}…", size) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def lines(text: str, size: float, room: float, most: int) -> tuple[str, ...]:
    """A text broken into lines at its spaces, hyphens and strokes.

    Args:
        text: The text; what is between two words counts as one space.
        size: How large its letters are.
        room: How wide a line may be, in the same unit.
        most: How many lines there may be; what is left over ends in three dots.
    """
    text = " ".join(text.split())
    found: list[str] = []
    while text and len(found) < most - 1 and width(text, size) > room:
        ends = [piece.end() for piece in _BREAKS.finditer(text) if width(text[: piece.end()], size) <= room]
        # A word longer than a line is cut where the line ends.
        end = ends[-1] if ends else max(1, *(each for each in range(len(text)) if width(text[:each], size) <= room))
        found.append(text[:end].rstrip())
        text = text[end:].lstrip()
    return (*found, shortened(text, size, room)) if text else tuple(found)
