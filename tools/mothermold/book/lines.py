"""One line of a file taken apart as an author sees it: indentation, dashes, key, value, quotes, brackets, comment."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

# What is once taken for the key is not tried shorter again: a line of spaces would be walked once for each of them.
KEY: Final = re.compile(r"""("[^"]*"|'[^']*'|[A-Za-z_][\w/ -]*+)\s*:(\s|$)""")
BLOCK_TEXT: Final = re.compile(r"[|>][+-]?\d?[+-]?\s*$")
_QUOTED: Final = {'"': re.compile(r'"(?:[^"\\]|\\.)*"'), "'": re.compile(r"'(?:[^']|'')*'")}


@dataclass(frozen=True, slots=True)
class Line:
    """A line without its comment.

    Attributes:
        number: From 1.
        indent: How many spaces stand before it.
        text: What stands behind them.
        content: The same without the dashes of list entries.
        column: Where the content starts, from 1.
        quote: The place in the text of a quote that is not closed on this line.
        depth: How many brackets stay open behind it.
        rest: The place in the text of something behind a closed quote or bracket.
    """

    number: int
    indent: int
    text: str
    content: str
    column: int
    quote: int | None
    depth: int
    rest: int | None

    @property
    def value(self) -> str:
        """What stands behind the key, or all of it where there is no key."""
        match = KEY.match(self.content)
        return self.content[match.end() :].strip() if match else self.content

    @property
    def value_column(self) -> int:
        """Where the value starts, from 1."""
        match = KEY.match(self.content)
        return self.column + (len(self.content) - len(self.content[match.end() :].lstrip()) if match else 0)

    @property
    def has_key(self) -> bool:
        """Whether a key with its colon stands here."""
        return KEY.match(self.content) is not None

    @property
    def listed(self) -> bool:
        """Whether an entry of a list begins here."""
        return self.text.startswith("- ") or self.text == "-"

    @property
    def starts_entry(self) -> bool:
        """Whether it must stand at a column of its own, and cannot be the rest of a text above."""
        return self.has_key or self.listed

    @property
    def home(self) -> int:
        """The column, from 0, that all which belongs to this line stands to the right of."""
        return self.column - 1 if self.has_key else self.indent

    @property
    def opens_group(self) -> bool:
        """Whether deeper lines may follow."""
        return not self.value if self.has_key else self.text == "-"


def take_apart(number: int, raw: str, depth: int = 0) -> Line:
    """Takes a line apart.

    Args:
        number: Its number, from 1.
        raw: As it stands in the file.
        depth: How many brackets are open when it begins.
    """
    bare = raw.lstrip(" ")
    indent = len(raw) - len(bare)
    scan = _Scan(bare, depth)
    dashes = re.match(r"(?:- +)*", scan.text)
    assert dashes is not None
    content = scan.text[len(dashes[0]) :]
    return Line(number, indent, scan.text, content, indent + len(dashes[0]) + 1, scan.quote, scan.depth, scan.rest)


class _Scan:
    """One walk along a line: where its comment starts, and what its quotes and brackets leave open."""

    def __init__(self, text: str, depth: int) -> None:
        self.text = text.rstrip()
        self.depth = depth
        self.quote: int | None = None
        self.rest: int | None = None
        at = 0
        # A quote or a bracket counts only where a value can begin: the apostrophe in "maker's" opens nothing.
        begins = True
        while at < len(text):
            character = text[at]
            if character == "#" and not text[:at][-1:].strip():
                self.text = text[:at].rstrip()
                return
            if begins and character in _QUOTED:
                match = _QUOTED[character].match(text, at)
                if match is None:
                    self.quote = at
                    return
                at, begins = match.end(), False
                self._look_behind(at)
                continue
            at += 1
            if character in "{[" and (begins or self.depth > 0):
                self.depth += 1
                begins = True
            elif character in "}]" and (begins or self.depth > 0):
                self.depth -= 1
                begins = False
                self._look_behind(at)
            elif (character == "," and self.depth > 0) or (character == ":" and not text[at : at + 1].strip()):
                begins = True
            elif character == "-":
                begins = begins and not text[at : at + 1].strip()
            elif character != " ":
                begins = False

    def _look_behind(self, at: int) -> None:
        behind = self.text[at:].lstrip(" ")
        if self.depth == 0 and self.rest is None and behind and behind[0] not in "#:}]":
            self.rest = len(self.text) - len(behind)
