"""An address as a square code for a terminal, in half blocks: two rows of it in one line of text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import segno

QUIET: Final = 4
"""The light margin a camera needs around the square, in fields, as the standard of the code asks."""
_BLOCKS: Final = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}
# White on black by number, so that the terminal's own colors do not matter.
_COLORS: Final = ("\x1b[38;5;231;48;5;16m", "\x1b[0m")


def square(address: str, *, colors: bool) -> str:
    """The code as lines of text.

    Light fields are drawn and dark ones left out. With colors that reads on any terminal; without, the right way
    round on a dark one, and reversed on a light one, which most cameras read as well.

    Args:
        address: What the code says.
        colors: Whether the terminal understands color marks.
    """
    code = segno.make(address, error="l", micro=False)
    rows = [[bool(field) for field in row] for row in code.matrix_iter(border=QUIET)]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    lines = (_line(rows[at], rows[at + 1]) for at in range(0, len(rows), 2))
    before, after = _COLORS if colors else ("", "")
    return "\n".join(f"{before}{line}{after}" for line in lines)


def _line(upper: Sequence[bool], lower: Sequence[bool]) -> str:
    return "".join(_BLOCKS[pair] for pair in zip(upper, lower, strict=True))
