"""Finds the line that made a file unreadable, and says so in words of the page, not of the parser.

The parser notices a slip where it can go no further, often a line or more below it. Here the lines are read
again, one by one, the way an author sees them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from mothermold.ground.notices import Notice

_KEY: Final = re.compile(r"""("[^"]*"|'[^']*'|[A-Za-z_][\w/ -]*?)\s*:(\s|$)""")
_TIGHT_KEY: Final = re.compile(r"([A-Za-z_]\w*):(\S.*)$")
_BLOCK_TEXT: Final = re.compile(r"[|>][+-]?\d?[+-]?\s*(?:#.*)?$")
_LAST_LINE: Final = 10**9


@dataclass(slots=True)
class _Line:
    number: int
    indent: int
    text: str
    """Without indentation, dashes kept."""
    content: str
    """Without dashes either."""
    column: int
    """Where the content starts, from 1."""


@dataclass(frozen=True, slots=True)
class _Opened:
    """A brace or bracket that waits to be closed."""

    line: int
    indent: int
    column: int
    bracket: str


def find_layout_fault(text: str, problem: Any) -> Notice:
    """The most likely damaged line for a parser's complaint.

    Args:
        text: The whole text.
        problem: The parser's error, of which only the place is used.
    """
    mark = getattr(problem, "problem_mark", None) or getattr(problem, "context_mark", None)
    last = mark.line + 1 if mark else _LAST_LINE
    lines = text.split("\n")
    for notice in _faults(lines):
        if (notice.line or 0) <= last + 1:
            return notice
        break
    last = min(last, len(lines))
    while last > 1 and not lines[last - 1].strip():
        last -= 1
    column = len(lines[last - 1]) - len(lines[last - 1].lstrip()) + 1
    return _say(last, column, "This line does not fit the lines above it.",
                "Check its indentation, its colon and its quotes against the line above.")  # fmt: skip


def _say(line: int, column: int, message: str, advice: str) -> Notice:
    return Notice("broken-layout", "error", message, advice, line=line, column=column)


def _faults(lines: list[str]) -> Iterator[Notice]:
    levels: list[int] = [0]
    previous: _Line | None = None
    open_flow: _Opened | None = None
    depth = 0
    block: int | None = None
    for number, raw in enumerate(lines, start=1):
        bare = raw.lstrip(" ")
        indent = len(raw) - len(bare)
        if not bare or bare.startswith("#"):
            continue
        if block is not None:
            if indent > block:
                continue
            block = None
        line = _take_apart(number, indent, bare)
        if depth > 0:
            assert open_flow is not None
            if _KEY.match(line.content) and indent <= open_flow.indent:
                yield _unclosed(open_flow)
                return
            depth += _balance(bare)
            if depth < 0:
                yield _too_many_closed(line)
                return
            previous = line
            continue
        if notice := _indentation_fault(line, levels, previous):
            yield notice
            return
        if notice := _line_fault(line, previous):
            yield notice
            return
        value = _value_of(line.content)
        if _BLOCK_TEXT.match(value):
            block = _block_level(line)
        elif value[:1] in ("{", "["):
            depth = _balance(value)
            open_flow = _Opened(number, line.indent, line.column + line.content.index(value), value[:1])
            if depth < 0:
                yield _too_many_closed(line)
                return
        previous = line
    if depth > 0 and open_flow is not None:
        yield _unclosed(open_flow)


def _take_apart(number: int, indent: int, bare: str) -> _Line:
    dashes = re.match(r"(?:- +)*", bare)
    assert dashes is not None
    content = bare[len(dashes[0]) :]
    return _Line(number, indent, bare.rstrip(), content.rstrip(), indent + len(dashes[0]) + 1)


def _block_level(line: _Line) -> int:
    # The text of `- |` or `key: |` is whatever stands deeper than the dash or the key.
    return line.column - 1 if _KEY.match(line.content) else line.indent


def _value_of(content: str) -> str:
    match = _KEY.match(content)
    return content[match.end() :].strip() if match else content


def _balance(text: str) -> int:
    plain = re.sub(r""""(?:[^"\\]|\\.)*"|'[^']*'|(?:^|\s)#.*$""", "", text)
    return sum(plain.count(opening) for opening in "{[") - sum(plain.count(closing) for closing in "}]")


def _indentation_fault(line: _Line, levels: list[int], previous: _Line | None) -> Notice | None:
    if previous is not None and line.indent > levels[-1]:
        opens = _opens_group(previous)
        if not opens and (_KEY.match(line.content) or line.text.startswith("- ")):
            return _say(line.number, line.indent + 1, "This line stands deeper than the line above allows.",
                        f"Type {levels[-1]} spaces before it, as many as before the line above.")  # fmt: skip
    while len(levels) > 1 and line.indent < levels[-1]:
        levels.pop()
    if line.indent not in (levels[-1],):
        if line.indent < levels[-1] or (previous is not None and not _opens_group(previous) and _KEY.match(line.content)):
            return _say(line.number, line.indent + 1, "This line starts at a column where no line above starts.",
                        f"Type {levels[-1]} spaces before it, or as many as before its neighbors.")  # fmt: skip
        levels.append(line.indent)
    if line.column - 1 > line.indent:
        levels.append(line.column - 1)
    return None


def _opens_group(line: _Line) -> bool:
    match = _KEY.match(line.content)
    if match is None:
        return line.text.rstrip() == "-"
    value = re.sub(r"(?:^|\s)#.*$", "", line.content[match.end() :]).strip()
    return not value or bool(_BLOCK_TEXT.match(value))


def _line_fault(line: _Line, previous: _Line | None) -> Notice | None:
    content, number = line.content, line.number
    match = _KEY.match(content)
    value = _value_of(content)
    value_column = line.column + (len(content) - len(content[match.end() :].lstrip()) if match else 0)
    if value[:1] in ("%", "@", "`"):
        turned = re.fullmatch(r"%\s*(\d+(?:\.\d+)?)", value)
        advice = f"Type `{turned[1]} %`." if turned else f'Type "{value}" in quotes.'
        return _say(number, value_column, f"A text may not begin with `{value[:1]}`.", advice)
    if value[:1] in ("*", "&"):
        return Notice("anchor", "error", f"A text beginning with `{value[:1]}` would not be read as text.",
                      f'Type "{value}" in quotes.', line=number, column=value_column)  # fmt: skip
    for quote in ('"', "'"):
        if value.startswith(quote) and not _closes(value, quote):
            return _say(number, value_column, "The quote opened here is not closed on this line.",
                        f"Type {value}{quote} with the quote at the end.")  # fmt: skip
    if match is None:
        return _keyless_fault(line, previous)
    if value[:1] not in ('"', "'", "{", "[", "|", ">", "#") and (inner := re.search(r":\s", value)):
        return _say(number, value_column, "A colon and a space inside a text end it.",
                    f'Put the text in quotes: "{value}".')  # fmt: skip
    if value[:1] in ("}", "]"):
        return _too_many_closed(line)
    return None


def _keyless_fault(line: _Line, previous: _Line | None) -> Notice | None:
    listed = line.text.startswith("- ") or line.text == "-"
    if tight := _TIGHT_KEY.match(line.content):
        return _say(line.number, line.column, "A space is missing behind the colon.",
                    f"Type `{tight[1]}: {tight[2]}`.")  # fmt: skip
    if re.match(r"-\S", line.content) and not listed:
        return _say(line.number, line.column, "A space is missing behind the dash.", f"Type `- {line.content[1:]}`.")
    if listed or line.content[:1] in ("{", "[", '"', "'"):
        return None
    continues = previous is not None and line.indent > previous.column - 1
    if continues:
        return None
    first, _, rest = line.content.partition(" ")
    advice = f"Type `{first.rstrip(';,.=')}: {rest.lstrip('=:;, ')}`." if rest else f"Type `{first}:`."
    return _say(line.number, line.column, "This line has no key with a colon and a space behind it.", advice)


def _closes(value: str, quote: str) -> bool:
    pattern = r'"(?:[^"\\]|\\.)*"' if quote == '"' else r"'(?:[^']|'')*'"
    match = re.match(pattern, value)
    return bool(match) and bool(re.fullmatch(r"\s*(?:#.*)?", value[match.end() :]))


def _unclosed(opened: _Opened) -> Notice:
    closing = "}" if opened.bracket == "{" else "]"
    return _say(opened.line, opened.column, f"The `{opened.bracket}` opened on this line is not closed.",
                f"Type `{closing}` where it ends.")  # fmt: skip


def _too_many_closed(line: _Line) -> Notice:
    return _say(line.number, line.column, "A bracket is closed here that was not opened.",
                "Delete it, or type the opening `{` or `[` that is missing.")  # fmt: skip
