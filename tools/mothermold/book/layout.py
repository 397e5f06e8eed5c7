"""Finds the line that made a file unreadable, and says so in words of the page, not of the parser.

The parser notices a slip where it can go no further, often a line or more below it. Here the lines are read
again, one by one, the way an author sees them. A line is blamed only where the parser stumbles by then, too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

import yaml

from mothermold.book.lines import BLOCK_TEXT, Line, take_apart
from mothermold.ground.notices import Notice

_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_TIGHT_KEY: Final = re.compile(r"([A-Za-z_]\w*):(\S.*)$")
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
    suspects = 0
    for notice, number in _Reading(lines).faults():
        suspects += 1
        if number > last + 1 or suspects > _MOST_SUSPECTS:
            break
        if number >= last - 1 or _stumbles("\n".join(lines[: number + 1])):
            return notice
    last = min(last, len(lines))
    while last > 1 and not lines[last - 1].strip():
        last -= 1
    column = len(lines[last - 1]) - len(lines[last - 1].lstrip()) + 1
    return _say(last, column, "This line does not fit the lines above it.",
                "Check its indentation, its colon and its quotes against the line above.")  # fmt: skip


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


class _Reading:
    """Goes down the lines and remembers what is open: levels, brackets, quotes and block texts."""

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        # The columns, from 0, where keys and dashes may stand, each with the line that opened it.
        self.levels: list[tuple[int, Line | None]] = [(0, None)]
        self.previous: Line | None = None
        self.may_go_deeper = False

    def faults(self) -> Iterator[tuple[Notice, int]]:
        """Lines that look damaged, from the top, each with the number of the line where that shows."""
        number = 0
        while number < len(self.lines):
            number += 1
            raw = self.lines[number - 1]
            if not raw.strip() or raw.lstrip().startswith("#"):
                continue
            line = take_apart(number, raw)
            if notice := self._indentation_fault(line) or _line_fault(line, self.previous):
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

    def _indentation_fault(self, line: Line) -> Notice | None:
        above, deeper = self.levels[-1][0], self.may_go_deeper or self.previous is None
        starts_entry = line.has_key or line.text.startswith("- ") or line.text == "-"
        if line.indent > above and not deeper and starts_entry:
            return _say(line.number, line.indent + 1, "This line stands deeper than the line above allows.",
                        f"Type {above} spaces before it, as many as before the line above.")  # fmt: skip
        left: list[tuple[int, Line | None]] = []
        while len(self.levels) > 1 and line.indent < self.levels[-1][0]:
            left.append(self.levels.pop())
        level = self.levels[-1][0]
        if line.indent != level:
            fault = starts_entry and line.indent < above
            if fault and (opener := self._opener_astray([*left[-1:], self.levels[-1]], line)):
                return opener
            if fault:
                near = min((above, level), key=lambda known: abs(known - line.indent))
                return _say(line.number, line.indent + 1, "This line starts at a column where no line above starts.",
                            f"Type {near} spaces before it, or as many as before its neighbors.")  # fmt: skip
            if starts_entry:
                self.levels.append((line.indent, line))
        if line.column - 1 > line.indent:
            self.levels.append((line.column - 1, line))
        return None

    def _opener_astray(self, near: list[tuple[int, Line | None]], line: Line) -> Notice | None:
        """The line that opened the group, where that one and not this one left the others' column."""
        for column, opener in near:
            shift = line.indent - column
            if opener is None or abs(shift) > 1 or opener.indent + shift < 0:
                continue
            # People indent by even numbers; where both may be right, the line that agrees with more others is.
            if opener.indent % 2 == 1 and line.indent % 2 == 0:
                return _say(opener.number, opener.indent + 1, "This line and those that belong to it do not line up.",
                            f"Type {opener.indent + shift} spaces before it.")  # fmt: skip
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
            line.number, line.indent + line.quote + 1, "The quote opened here is not closed on this line.",
            f"Type {written}{quote} with the quote at the end." if line.depth == 0
            else f"Type {quote} where the text ends.",
        )  # fmt: skip

    def _block_text(self, line: Line) -> tuple[int, Notice | None]:
        """The last line of a text below `|` or `>`."""
        inner: int | None = None
        number = line.number
        while number < len(self.lines):
            raw = self.lines[number]
            indent = len(raw) - len(raw.lstrip(" "))
            if raw.strip():
                if indent <= line.home:
                    break
                inner = indent if inner is None else inner
                if indent < inner:
                    return number, _say(number + 1, indent + 1, "This line stands left of the text it belongs to.",
                                        f"Type {inner} spaces before it, as many as before the line above.")  # fmt: skip
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
            return line.number, _unclosed(line)
        return number, _too_many_closed(following) if depth < 0 else None


def _line_fault(line: Line, previous: Line | None) -> Notice | None:
    value = line.value
    if value[:1] in ("%", "@", "`"):
        turned = re.fullmatch(r"%\s*(\d+(?:\.\d+)?)", value)
        advice = f"Type `{turned[1]} %`." if turned else f'Type "{value}" in quotes.'
        return _say(line.number, line.value_column, f"A text may not begin with `{value[:1]}`.", advice)
    if value[:1] in ("*", "&"):
        return Notice("anchor", "error", f"A text beginning with `{value[:1]}` would not be read as text.",
                      f'Type "{value}" in quotes.', line=line.number, column=line.value_column)  # fmt: skip
    if value[:1] in ("}", "]") or line.depth < 0:
        return _too_many_closed(line)
    if line.rest is not None and line.quote is None:
        return _say(line.number, line.indent + line.rest + 1, "Behind what was closed here something else stands.",
                    f"Delete `{line.text[line.rest :]}`, or put all of the text in quotes.")  # fmt: skip
    if not line.has_key:
        return _keyless_fault(line, previous)
    if value[:1] not in ('"', "'", "{", "[", "|", ">") and re.search(r":\s", value):
        return _say(line.number, line.value_column, "A colon and a space inside a text end it.",
                    f'Put the text in quotes: "{value}".')  # fmt: skip
    return None


def _keyless_fault(line: Line, previous: Line | None) -> Notice | None:
    listed = line.text.startswith("- ") or line.text == "-"
    if tight := _TIGHT_KEY.match(line.content):
        return _say(line.number, line.column, "A space is missing behind the colon.",
                    f"Type `{tight[1]}: {tight[2]}`.")  # fmt: skip
    if re.match(r"-\S", line.content) and not listed:
        return _say(line.number, line.column, "A space is missing behind the dash.",
                    f"Type `- {line.content[1:]}`.")  # fmt: skip
    if listed or line.content[:1] in ("{", "[", '"', "'"):
        return None
    if previous is not None and line.indent > previous.home:
        return None  # the text above goes on here
    first, _, rest = line.content.partition(" ")
    advice = f"Type `{first.rstrip(';,.=')}: {rest.lstrip('=:;, ')}`." if rest else f"Type `{first}:`."
    return _say(line.number, line.column, "This line has no key with a colon and a space behind it.", advice)


def _unclosed(line: Line) -> Notice:
    bracket = "{" if "{" in line.text and line.text.count("{") > line.text.count("}") else "["
    column = line.indent + line.text.index(bracket) + 1 if bracket in line.text else line.value_column
    closing = "}" if bracket == "{" else "]"
    return _say(line.number, column, f"The `{bracket}` opened on this line is not closed.",
                f"Type `{closing}` where it ends.")  # fmt: skip


def _too_many_closed(line: Line) -> Notice:
    return _say(line.number, line.column, "A bracket is closed here that was not opened.",
                "Delete it, or type the opening `{` or `[` that is missing.")  # fmt: skip
