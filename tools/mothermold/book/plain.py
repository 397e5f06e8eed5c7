"""Plain texts, without quotes: where something swallowed a part of them, or they swallowed a line.

The language lets a plain text run on over deeper lines. Where such a line looks like an entry of a list, a slip of
the indentation or a lost dash has glued it to the text above, and nothing else would tell.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from mothermold.ground.notices import Notice
from mothermold.quantities.units import UNITS

_HASH: Final = re.compile(r"( *)#(.?)")


@dataclass(frozen=True, slots=True)
class Plain:
    """A plain text in the file; lines and columns count from 0, the end lies behind its last character."""

    lines: list[str]
    text: str
    line: int
    column: int
    end_line: int
    end_column: int
    in_brackets: bool


def find_cut(plain: Plain) -> tuple[str, str] | None:
    """What is wrong and what to type where a `#` cuts the text off."""
    last = plain.lines[plain.end_line] if plain.end_line < len(plain.lines) else ""
    match = _HASH.match(last, plain.end_column)
    if not match or (not plain.text and match[2] in ("", " ")):
        return None
    if len(match[1]) >= 2 and match[2] in ("", " "):
        return None
    written = last[plain.column if plain.text and plain.end_line == plain.line else plain.end_column :].strip()
    return (
        "The `#` here cuts the text off; what follows would be lost.",
        f'Type "{written}" in quotes, or two spaces, `#` and a space if a comment is meant.',
    )


def find_swallowed(plain: Plain) -> Notice | None:
    """A line or bracket that was meant to make a list, and became a part of a text."""
    if plain.in_brackets or not plain.text or plain.line >= len(plain.lines):
        return None
    before = plain.lines[plain.line][: plain.column]
    for opening, closing in ("[]", "{}"):
        if plain.text.endswith(closing) and opening not in plain.text:
            return _say(
                plain.line,
                plain.column,
                f"The `{closing}` at the end closes nothing that was opened.",
                f'Type `{opening}` before the first entry, or "{plain.text}" in quotes.',
            )
    if not before.strip() and re.match(r"-\S", plain.text):
        return _say(
            plain.line,
            plain.column,
            "A space is missing after the dash.",
            f"Type `- {plain.lines[plain.line].strip()[1:]}`.",
        )
    dash = before.rfind("-") if re.fullmatch(r" *(?:- +)+", before) else None
    for number in range(plain.line + 1, plain.end_line + 1):
        bare = plain.lines[number].lstrip(" ")
        indent = len(plain.lines[number]) - len(bare)
        if bare.startswith("- "):
            advice = (
                "Put the whole text in quotes, or type the list alone below the key."
                if dash is None
                else f"Type {dash} spaces before its dash, as many as before the entry above."
            )
            return _say(number, indent, "This entry runs into the text above it.", advice)
        if bare and dash is not None and indent < plain.column:
            return _say(
                number,
                indent,
                "This line comes between the dash and the text of the entry above.",
                f"Type `- ` before it if it is an entry, or {plain.column} spaces if the text goes on.",
            )
    return None


def judge_stray(key: str | None, value: object, stray: str) -> tuple[str, str, str, bool]:
    """What is wrong with an entry in braces that has no colon.

    Args:
        key: The key of the entry before it.
        value: The value of that entry.
        stray: What stands there.

    Returns:
        Code, message and advice, and whether the entry before is the place to point at.
    """
    if tight := re.match(r"([A-Za-z_]\w*):(\S.*)", stray):
        return "broken-layout", "A space is missing after the colon.", f"Type `{tight[1]}: {tight[2]}`.", False
    if key is None or not isinstance(value, str):
        return "cut-by-comma", "This entry has no key.", "Type a key, a colon and a space before it.", False
    if re.fullmatch(r"\d+", value) and stray[:1].isdigit():
        message = f"The comma in `{value},{stray}` is not a decimal point."
        return "decimal-comma", message, f"Type `{key}: {value}.{stray}` with a point.", True
    if value[-1:].isdigit() and stray in UNITS:
        message = f"The comma cuts `{value}` off from its unit."
        return "cut-by-comma", message, f"Type `{key}: {value} {stray}`.", True
    word, _, rest = stray.partition(" ")
    or_else = f", or type `{word}: {rest}` if a key is meant" if rest and re.fullmatch(r"[a-z_]+", word) else ""
    return (
        "cut-by-comma",
        "A comma inside the braces cuts this text off.",
        f'Put the whole text in quotes: `{key}: "{value}, {stray}"`{or_else}.',
        True,
    )


def _say(line: int, column: int, message: str, advice: str) -> Notice:
    return Notice("broken-layout", "error", message, advice, line=line + 1, column=column + 1)
