"""Where something stands in a file."""

from __future__ import annotations

from typing import NamedTuple


class Span(NamedTuple):
    """The place of a key or a value; lines and columns count from 1, the end lies behind the last character."""

    line: int
    column: int
    end_line: int
    end_column: int
