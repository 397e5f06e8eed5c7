"""Where each entry of a text stands: its lines, its column, and the comments that belong to it.

A comment belongs to the entry in whose line it stands, or to the one right below it, unless it stands deeper than
that one: then it belongs to the entry above. What an empty line sets apart on both sides belongs to no entry, and
what stands above the first entry belongs to the whole document.
"""

from __future__ import annotations

from itertools import accumulate, takewhile
from typing import Final

from mothermold.book.empties import close_ranks, find_empty
from mothermold.book.tree import Raw, read_tree
from mothermold.model.walk import KeyPath

_OPENING: Final = ("{", "[")


class Standing:
    """The places of one text. Lines and columns count from 0."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = text.split("\n")
        self.tree = read_tree(text)
        close_ranks(self.tree, find_empty(self.tree.raw))
        self._starts = [0, *accumulate(len(line) + 1 for line in self.lines)]

    def raw(self, path: KeyPath) -> Raw:
        """What stands at a path; raises a LookupError or TypeError where nothing does."""
        value = self.tree.raw
        for step in path:
            value = value[step]
        return value

    def offset(self, line: int, column: int = 0) -> int:
        """A place as a position in the text."""
        return self._starts[line] + column

    def line_end(self, line: int) -> int:
        """The position behind the last character of a line."""
        return self._starts[line] + len(self.lines[line])

    def value_start(self, path: KeyPath) -> int:
        """The position at which a value begins."""
        span = self.tree.values[path]
        return self.offset(span.line - 1, span.column - 1)

    def value_end(self, path: KeyPath) -> int:
        """The position behind a value that is no block of keys or entries."""
        span = self.tree.values[path]
        return self.offset(span.end_line - 1, span.end_column - 1)

    def key_start(self, path: KeyPath) -> int:
        """The position at which an entry begins: its key, or in brackets the value itself."""
        span = self.tree.keys.get(path) or self.tree.values[path]
        return self.offset(span.line - 1, span.column - 1)

    def behind_mark(self, path: KeyPath) -> int:
        """The position behind the colon of a key, or behind the dash of a list's entry."""
        if isinstance(path[-1], int):
            return self.offset(self.line(path), self.column(path) + 1)
        span = self.tree.keys[path]
        return self.text.index(":", self.offset(span.end_line - 1, span.end_column - 1)) + 1

    def is_group(self, path: KeyPath) -> bool:
        """Whether keys or entries stand below, in whichever way they are written."""
        return isinstance(self.raw(path), dict | list)

    def is_braced(self, path: KeyPath) -> bool:
        """Whether keys or entries stand there in braces or brackets."""
        return self.is_group(path) and self.text[self.value_start(path) :][:1] in _OPENING

    def inside_braces(self, path: KeyPath) -> bool:
        """Whether an entry stands inside braces or brackets."""
        return any(self.is_braced(path[:length]) for length in range(len(path)))

    def below(self, path: KeyPath) -> list[KeyPath]:
        """The entries of a group, in order."""
        group = self.raw(path)
        return [(*path, step) for step in (group if isinstance(group, dict) else range(len(group)))]

    def column(self, path: KeyPath) -> int:
        """The column of an entry: of its key, or of its dash."""
        if isinstance(path[-1], int):
            return self.tree.values[path[:-1]].column - 1
        return self.tree.keys[path].column - 1

    def line(self, path: KeyPath) -> int:
        """The line an entry begins on."""
        if not isinstance(path[-1], int):
            return self.tree.keys[path].line - 1
        column, line = self.column(path), self.tree.values[path].line - 1
        top = self.tree.values[path[:-1]].line - 1
        while line > top and not self._has_dash(line, column):
            line -= 1
        return line

    def _has_dash(self, line: int, column: int) -> bool:
        text = self.lines[line]
        return text[column : column + 1] == "-" and not text[:column].strip(" -")

    def last_line(self, path: KeyPath) -> int:
        """The last line on which anything of an entry stands, its comments left aside."""
        if self.is_group(path) and self.raw(path) and not self.is_braced(path):
            return max(self.last_line(each) for each in self.below(path))
        return self.tree.values[path].end_line - 1

    def first_own_line(self, path: KeyPath) -> int:
        """The first line that belongs to an entry: that of the comments right above it, or its own."""
        line = self.line(path)
        return line - self._leading(line)

    def last_own_line(self, path: KeyPath) -> int:
        """The last line that belongs to an entry, with the comments behind it that belong to no other."""
        last = self.last_line(path)
        column = self.column(path)
        after = list(takewhile(self._is_comment, range(last + 1, len(self.lines))))
        following = last + 1 + len(after)
        if following < len(self.lines) and self.lines[following].strip():
            after = after[: len(after) - self._leading(following)]
        return last + len(list(takewhile(lambda line: self._indent(line) >= column, after)))

    def ends_open(self, line: int) -> bool:
        """Whether the last text above a line holds the line end behind it."""
        above = [path for path, span in self.tree.values.items() if span.end_line <= line and not self.is_group(path)]
        last = max(above, key=lambda path: self.tree.values[path].end_line, default=None)
        return last is not None and self.text[self.value_start(last)] in "|>" and str(self.raw(last)).endswith("\n")

    def _leading(self, line: int) -> int:
        """How many comment lines right above a line belong to what stands on it."""
        column = self._indent(line)
        above = list(
            takewhile(lambda each: self._is_comment(each) and self._indent(each) <= column, range(line - 1, -1, -1))
        )
        top = line - len(above)
        is_head = not any(text.strip() and not text.lstrip().startswith("#") for text in self.lines[:top])
        return 0 if is_head else len(above)

    def _is_comment(self, line: int) -> bool:
        return self.lines[line].lstrip(" ").startswith("#")

    def _indent(self, line: int) -> int:
        return len(self.lines[line]) - len(self.lines[line].lstrip(" "))
