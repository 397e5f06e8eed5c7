"""What can be wrong with a single line of a file that cannot be read: its colon, dash, quotes, brackets, commas."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from mothermold.book.lines import Line
from mothermold.ground.notices import Notice

_TIGHT_KEY: Final = re.compile(r"([A-Za-z_]\w*):(\S.*)$")
# Inside braces: a key with a value, and behind it a second key that no comma parts from it.
_LOST_COMMA: Final = re.compile(
    r"""[{,]\s*[A-Za-z_]\w*: +((?:[^,:{}\[\]"']|:(?=\S))*?|"[^"]*"|'[^']*'|\[[^\]]*\]) ([A-Za-z_]\w*): """
)


def find_line_fault(line: Line, below: Callable[[], Line | None], *, goes_on: bool) -> Notice | None:
    """What is wrong with one line, read for itself.

    Args:
        line: The line.
        below: Gives the next line that says anything.
        goes_on: Whether a line without a key may go on with the text above.
    """
    value = line.value
    if value[:1] in ("%", "@", "`"):
        turned = re.fullmatch(r"%\s*(\d+(?:\.\d+)?)", value)
        advice = f"Type `{turned[1]} %`." if turned else f'Type "{value}" in quotes.'
        return _say(line, line.value_column, f"A text may not begin with `{value[:1]}`.", advice)
    if value[:1] in ("*", "&"):
        return Notice(
            "anchor",
            "error",
            f"A text beginning with `{value[:1]}` would not be read as text.",
            f'Type "{value}" in quotes.',
            line=line.number,
            column=line.value_column,
        )
    if value[:1] in ("}", "]") or line.depth < 0:
        return too_many_closed(line)
    if line.rest is not None and line.quote is None:
        return _say(
            line,
            line.indent + line.rest + 1,
            "Something else follows what was closed here.",
            f"Delete `{line.text[line.rest :]}`, or put all of the text in quotes.",
        )
    if value[:1] == "{" and (lost := _LOST_COMMA.search(line.text)):
        return _say(
            line,
            line.indent + lost.start(2) + 1,
            f"A comma is missing before `{lost[2]}`.",
            f"Type `{lost[1]}, {lost[2]}:`.",
        )
    if not line.has_key:
        return _keyless(line, below, goes_on=goes_on)
    if value[:1] in ('"', "'", "{", "[", "|", ">") or not re.search(r":\s", value):
        return None
    if value[-1] == "}" and value.count("{") < value.count("}"):
        braced = f"{line.content[: -len(value)]}{{{value}" if line.text == line.content else f"{{{line.content}"
        return _say(line, line.column, "The `}` at the end closes nothing that was opened.", f"Type `{braced}`.")
    return _say(
        line, line.value_column, "A colon and a space inside a text end it.", f'Put the text in quotes: "{value}".'
    )


def _keyless(line: Line, below: Callable[[], Line | None], *, goes_on: bool) -> Notice | None:
    if tight := _TIGHT_KEY.match(line.content):
        return _say(line, line.column, "A space is missing after the colon.", f"Type `{tight[1]}: {tight[2]}`.")
    if re.match(r"-\S", line.content) and not line.listed:
        return _say(line, line.column, "A space is missing after the dash.", f"Type `- {line.content[1:]}`.")
    if line.content[:1] in ("{", "[", '"', "'"):
        following = below() if goes_on and not line.listed else None
        if following is not None and following.listed and following.indent <= line.indent:
            return _say(
                line,
                line.column,
                "This entry has no dash.",
                f"Type {following.indent} spaces, a dash and a space before it.",
            )
        return None
    following = below() if line.listed else None
    heads_entry = following is not None and following.has_key and following.indent == line.column - 1
    if (line.listed or goes_on) and not heads_entry:
        return None
    first, _, rest = line.content.partition(" ")
    advice = f"Type `{first.rstrip(';,.=')}: {rest.lstrip('=:;, ')}`." if rest else f"Type `{first}:`."
    return _say(line, line.column, "This line has no key with a colon and a space after it.", advice)


def unclosed(line: Line) -> Notice:
    """The notice that a brace or bracket of this line is closed nowhere."""
    bracket = "{" if line.text.count("{") > line.text.count("}") else "["
    column = line.indent + line.text.index(bracket) + 1 if bracket in line.text else line.value_column
    closing = "}" if bracket == "{" else "]"
    return _say(line, column, f"The `{bracket}` opened on this line is not closed.", f"Type `{closing}` where it ends.")


def too_many_closed(line: Line) -> Notice:
    """The notice that a brace or bracket is closed on this line that was opened nowhere."""
    return _say(
        line,
        line.column,
        "A bracket is closed here that was not opened.",
        "Delete it, or type the opening `{` or `[` that is missing.",
    )


def _say(line: Line, column: int, message: str, advice: str) -> Notice:
    return Notice("broken-layout", "error", message, advice, line=line.number, column=column)
