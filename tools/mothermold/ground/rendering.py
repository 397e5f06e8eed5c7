"""Notices as text for people and as plain data for JSON. Renderers only read; they decide nothing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from mothermold.ground.notices import Notice, count

_SHOWN: Final = 200
"""How many characters of a line are shown at most."""


def as_data(notice: Notice) -> dict[str, Any]:
    """The notice as it stands in every JSON answer."""
    return {
        "code": notice.code,
        "severity": notice.severity,
        "file": notice.file,
        "line": notice.line,
        "column": notice.column,
        "message": notice.message,
        "help": notice.help,
    }


def as_text(notice: Notice) -> str:
    """The notice for a reader at a terminal: place first, so that an editor can jump there."""
    place = ":".join(str(part) for part in (notice.file, notice.line, notice.column) if part is not None)
    lines = [f"{place}: {notice.severity}: {notice.message}" if place else f"{notice.severity}: {notice.message}"]
    if notice.excerpt and notice.line is not None:
        margin = f"{notice.line:>5} | "
        shown, column = around(notice.excerpt, notice.column)
        lines.append(margin + shown)
        if column is not None and column <= len(shown) + 1:
            lines.append(" " * (len(margin) - 2) + "| " + " " * (column - 1) + "^")
    lines.append(f"      {notice.help}  ({notice.code})")
    return "\n".join(lines)


def around(line: str, column: int | None) -> tuple[str, int | None]:
    """A line cut to what stands around a column, and the column in what is left; a short line stays whole."""
    if len(line) <= _SHOWN:
        return line, column
    start = max(0, min((column or 1) - 1 - _SHOWN // 2, len(line) - _SHOWN))
    before, behind = "... " if start else "", " ..." if start + _SHOWN < len(line) else ""
    moved = None if column is None else column - start + len(before)
    return f"{before}{line[start : start + _SHOWN]}{behind}", moved


def verdict(notices: Iterable[Notice]) -> str:
    """One line that counts errors, warnings and advice."""
    listed = list(notices)
    parts = []
    for severity, one, many in (("error", "error", "errors"), ("warning", "warning", "warnings")):
        number = count(listed, severity)  # type: ignore[arg-type]
        parts.append(f"{number} {one if number == 1 else many}")
    advice = count(listed, "advice")
    if advice:
        parts.append(f"{advice} {'piece' if advice == 1 else 'pieces'} of advice")
    return ", ".join(parts)
