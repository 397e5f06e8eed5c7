"""A printed handout before it is laid out: leaves of blocks, each naming what it shows, at which version, and where the current one is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from mothermold.handouts.prose import Block
from mothermold.view.view import View

Paper = Literal["a4", "letter"]
PAPERS: Final[Mapping[Paper, str]] = {"a4": "A4", "letter": "Letter"}
"""By what is typed: what each is called."""


@dataclass(frozen=True, slots=True)
class SheetLeaf:
    """What begins on a page of its own.

    Attributes:
        kind: What sort of sheet it is, as ``Student sheet``.
        called: What it shows and at which version; at the foot of each of its pages.
        foot: Further lines there.
        blocks: What it says.
    """

    kind: str
    called: str
    foot: Sequence[str]
    blocks: Sequence[Block]


@dataclass(frozen=True, slots=True)
class Sheaf:
    """A handout.

    Attributes:
        title: What it is called.
        of: What it is made of, as ``cast/face-piece@4``.
        leaves: What it holds, in order.
        files: The pictures it shows, by the names its blocks call them.
        sizes: Sizes of its letters in points, the one wanted first: where ``sides`` is set, the first at which it fits.
        sides: On how many sides it should stand; 0 for as many as it takes.
        margin: In millimeters.
        labels: The labels, where it is a sheet of them instead of leaves; None for a place left empty.
        label_sheet: On which sheet they stand, of ``LABEL_SHEETS``; the usual one of the paper where it names none.
    """

    title: str
    of: str
    leaves: Sequence[SheetLeaf]
    files: Mapping[str, bytes] = field(default_factory=dict)
    sizes: tuple[float, ...] = (10,)
    sides: int = 0
    margin: int = 15
    labels: Sequence[Block | None] = ()
    label_sheet: str = ""


def foot_of(view: View, current: str) -> list[str]:
    """What stands at the foot of every page: where the current one is, from which state of the book, for whom, and the book's own line.

    Args:
        view: The edition.
        current: Where the current one is, as an address of the book's pages.
    """
    day = view.day
    state = f"printed from the book as of {day}" if day else "printed from a book without a save"
    whose = " (not for handing out)" if view.edition == "private" else ""
    lines = [f"Current: {current} in {view.settings.title}", f"{state}; {view.edition} edition{whose}"]
    return [*lines, *([str(view.settings.notice)] if view.settings.notice else [])]
