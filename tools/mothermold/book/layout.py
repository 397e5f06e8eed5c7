"""Finds the line that made a file unreadable, and says so in words of the page, not of the parser.

The parser notices a slip where it can go no further, often a line or more below it. Here the lines are read
again, one by one, the way an author sees them. A line is blamed only where the parser stumbles by then, too.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any, Final

import yaml

from mothermold.book.line_faults import find_line_fault, too_many_closed, unclosed
from mothermold.book.lines import BLOCK_TEXT, Line, take_apart
from mothermold.ground.notices import Notice

_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_LAST_LINE: Final = 10**9
# Each suspect costs one more reading of the file up to it.
_MOST_SUSPECTS: Final = 20
_MOST_TO_REREAD: Final = 200_000


def find_layout_fault(text: str, problem: Any) -> Notice:
    """The most likely damaged line for a parser's complaint.

    Args:
        text: The whole text.
        problem: The parser's error, of which only the place is used.
    """
    mark = getattr(problem, "problem_mark", None) or getattr(problem, "context_mark", None)
    last = mark.line + 1 if mark else _LAST_LINE
    lines = text.split("\n")
    for notice, number in itertools.islice(_LayoutReading(lines).faults(), _MOST_SUSPECTS):
        if number > last + 1:
            break
        if number >= last - 1 or _stumbles("\n".join(lines[: number + 1])):
            return notice
    last = min(last, len(lines))
    while last > 1 and not lines[last - 1].strip():
        last -= 1
    column = len(lines[last - 1]) - len(lines[last - 1].lstrip()) + 1
    return _say(
        last,
        column,
        "This line does not fit the lines above it.",
        "Check its indentation, its colon and its quotes against the line above.",
    )


def _stumbles(text: str) -> bool:
    if len(text) > _MOST_TO_REREAD:
        return True
    try:
        for _event in yaml.parse(text, Loader=_LOADER):
            pass
    except yaml.YAMLError:
        return True
    return False


def _say(line: int, column: int, message: str, advice: str) -> Notice:
    return Notice("broken-layout", "error", message, advice, line=line, column=column)


@dataclass(frozen=True, slots=True)
class _Level:
    """A column, from 0, where keys or dashes may stand, and the line that opened it."""

    column: int
    opener: Line | None = None
    dashes: bool = False


class _LayoutReading:
    """Goes down the lines and remembers what is open: levels, brackets, quotes and block texts."""

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.levels: list[_Level] = [_Level(0)]
        self.previous: Line | None = None
        self.may_go_deeper = True

    def faults(self) -> Iterator[tuple[Notice, int]]:
        """Lines that look damaged, from the top, each with the number of the line where that shows."""
        number = 0
        while number < len(self.lines):
            number += 1
            raw = self.lines[number - 1]
            if not raw.strip() or raw.lstrip().startswith("#"):
                continue
            line = take_apart(number, raw)
            goes_on = self.previous is not None and line.indent > self.previous.home
            if notice := self._indentation_fault(line) or find_line_fault(
                line, partial(self._below, number), goes_on=goes_on
            ):
                yield notice, number
            self.previous, self.may_go_deeper = line, line.opens_group
            if line.quote is not None:
                number, notice = self._quoted_text(line)
            elif BLOCK_TEXT.match(line.value):
                number, notice = self._block_text(line)
            elif line.depth > 0:
                number, notice = self._brackets(line)
            else:
                continue
            if notice is not None:
                yield notice, notice.line or number

    def _below(self, number: int) -> Line | None:
        below = (raw for raw in self.lines[number : number + 9] if raw.strip() and raw.lstrip()[0] != "#")
        return next((take_apart(number + 1, raw) for raw in below), None)

    def _indentation_fault(self, line: Line) -> Notice | None:
        above = self.levels[-1].column
        if line.starts_entry and line.indent > above and not self.may_go_deeper:
            return self._astray(line, "This line is indented deeper than the line above allows.", self.levels)
        left: list[_Level] = []
        while len(self.levels) > 1 and line.indent < self.levels[-1].column:
            left.append(self.levels.pop())
        if line.indent != self.levels[-1].column and line.starts_entry:
            if line.indent < above:
                near = [*left[-1:], self.levels[-1]]
                message = "This line starts at a column where no line above starts."
                return self._opener_astray(near, line) or self._astray(line, message, [*self.levels, *left])
            self.levels.append(_Level(line.indent, line, line.listed))
        if line.column - 1 > line.indent:
            self.levels.append(_Level(line.column - 1, line))
        return None

    def _astray(self, line: Line, message: str, levels: list[_Level]) -> Notice:
        # A dash lines up with dashes and a key with keys, whatever column is nearer.
        columns = [level.column for level in levels if level.dashes == line.listed] or [levels[-1].column]
        near = min(reversed(columns), key=lambda column: abs(column - line.indent))
        advice = f"Type {near} space{'s' * (near != 1)} before it, as many as before its neighbors"
        if not line.listed and any(level.dashes and level.column == line.indent - 1 for level in levels):
            advice += ", or `- ` if an entry of the list begins here"
        return _say(line.number, line.indent + 1, message, f"{advice}.")

    def _opener_astray(self, near: list[_Level], line: Line) -> Notice | None:
        """The line that opened the group, where that one and not this one left the others' column."""
        for level in near:
            opener, shift = level.opener, line.indent - level.column
            if opener is None or abs(shift) > 1 or opener.indent + shift < 0:
                continue
            # People indent by even numbers; of two lines that do not agree the odd one is astray.
            if opener.indent % 2 == 1 and line.indent % 2 == 0:
                return _say(
                    opener.number,
                    opener.indent + 1,
                    "This line and those that belong to it do not line up.",
                    f"Type {opener.indent + shift} spaces before it.",
                )
        return None

    def _quoted_text(self, line: Line) -> tuple[int, Notice | None]:
        """The line where a quote ends that was opened on this one; a quote may run over several lines."""
        assert line.quote is not None
        quote = line.text[line.quote]
        for number in range(line.number + 1, len(self.lines) + 1):
            raw = self.lines[number - 1]
            if raw.strip() and len(raw) - len(raw.lstrip(" ")) <= line.home:
                break
            if raw.rstrip(" },]").endswith(quote):
                return number, None
        written = line.text[line.quote :]
        return line.number, _say(
            line.number,
            line.indent + line.quote + 1,
            "The quote opened here is not closed on this line.",
            f"Type {written}{quote} with the quote at the end."
            if line.depth == 0
            else f"Type {quote} where the text ends.",
        )

    def _block_text(self, line: Line) -> tuple[int, Notice | None]:
        """The last line of a text below `|` or `>`."""
        inner, first, number = 0, 0, line.number
        while number < len(self.lines):
            raw = self.lines[number]
            indent = len(raw) - len(raw.lstrip(" "))
            if raw.strip():
                if indent <= line.home:
                    break
                if first == 0:
                    inner, first = indent, number + 1
                if indent < inner and inner % 2 == 1 and indent % 2 == 0:
                    return number, _say(
                        first,
                        inner + 1,
                        "This line is to the right of the text it begins.",
                        f"Type {indent} spaces before it, as many as before the line below.",
                    )
                if indent < inner:
                    return number, _say(
                        number + 1,
                        indent + 1,
                        "This line is to the left of the text it belongs to.",
                        f"Type {inner} spaces before it, as many as before the line above.",
                    )
            number += 1
        return number, None

    def _brackets(self, line: Line) -> tuple[int, Notice | None]:
        """The line where a brace or bracket is closed that was opened on this one."""
        depth, number = line.depth, line.number
        while number < len(self.lines) and depth > 0:
            following = take_apart(number + 1, self.lines[number], depth)
            outside = following.indent <= line.home or following.text.startswith("- ")
            if following.text and (outside or following.quote is not None) and following.text[:1] not in "}]":
                break
            depth, number = following.depth, number + 1
        if depth > 0:
            return line.number, unclosed(line)
        return number, too_many_closed(following) if depth < 0 else None
