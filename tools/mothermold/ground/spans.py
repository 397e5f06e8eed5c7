"""Where something stands in a file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """The place of a key or a value; lines and columns count from 1, the end lies behind the last character."""

    line: int
    column: int
    end_line: int
    end_column: int
