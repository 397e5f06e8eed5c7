"""From text to a tree of lists, groups of keys and raw texts, with the place of every key and value.

PyYAML's C parser gives the events; nothing is interpreted, so that a lot number, a ratio or the word `no`
arrives as it was typed. What the language allows and a bench never needs is refused here with advice.

A usual document comes in by another door, `book.quick`, and is read here only when somebody asks where something stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final, NamedTuple

import yaml

from mothermold.book.layout import find_layout_fault
from mothermold.book.plain import Plain, find_cut, find_swallowed, judge_stray
from mothermold.book.quick import LOADER
from mothermold.ground.notices import Notice
from mothermold.ground.spans import Span
from mothermold.model.walk import KeyPath

DEEPEST: Final = 30
_SIGN: Final = re.compile(r"[^ ]")

Raw = Any
"""A raw tree: dict, list, the text of a scalar, or None where a value is empty."""


class Places(NamedTuple):
    """Where everything stands: each key and each value, by path."""

    keys: dict[KeyPath, Span]
    values: dict[KeyPath, Span]


@dataclass
class Tree:
    """A read file.

    Attributes:
        raw: The tree; None where the file could not be read at all.
        find: Works out where everything stands; asked once, and only when somebody wants to know.
        notices: What is wrong, without a file name.
        doubted: Paths whose value is already complained about; later checks keep silent there.
        usual: Whether there is nothing to be said of it, and no value is empty.
    """

    raw: Raw = None
    find: Callable[[], Places] = field(default=lambda: Places({}, {}), compare=False)
    notices: list[Notice] = field(default_factory=list)
    doubted: set[KeyPath] = field(default_factory=set)
    usual: bool = False

    @cached_property
    def places(self) -> Places:
        """Where everything stands."""
        return self.find()

    @property
    def keys(self) -> dict[KeyPath, Span]:
        """The place of each key, by path."""
        return self.places.keys

    @property
    def values(self) -> dict[KeyPath, Span]:
        """The place of each value, by path."""
        return self.places.values


class _StopReadingError(Exception):
    """The rest of the file cannot be trusted."""


def read_tree(text: str) -> Tree:
    """Reads the text of one document with all its places; a fault that spoils the rest leaves ``raw`` None."""
    builder = _Builder(text)
    try:
        builder.run()
    except _StopReadingError:
        builder.tree.raw = None
    except yaml.YAMLError as problem:
        builder.tree.raw = None
        builder.tree.notices.append(find_layout_fault(text, problem))
    return builder.tree


class _Builder:
    """Consumes the parser's events; one instance reads one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = text.split("\n")
        self.tree = Tree()
        self.places = self.tree.places
        self.loader = LOADER(text)
        self.brackets = 0

    def run(self) -> None:
        try:
            self._next()  # stream start
            if isinstance(self._peek(), yaml.StreamEndEvent):
                return
            self._next()  # document start
            self.tree.raw = self._value((), 0)
            self._next()  # document end
            if not isinstance(self._peek(), yaml.StreamEndEvent):
                self._stop(
                    "second-document",
                    "A second document begins in this file.",
                    "Delete the line `---` and keep one document in a file.",
                    self._peek().start_mark,
                )
        finally:
            self.loader.dispose()

    def _peek(self) -> Any:
        return self.loader.peek_event()

    def _next(self) -> Any:
        return self.loader.get_event()

    def _value(self, path: KeyPath, depth: int) -> Raw:
        event = self._next()
        self._refuse_extras(event)
        if depth > DEEPEST:
            self._stop(
                "too-deep",
                f"Lists and groups are more than {DEEPEST} levels deep here.",
                f"Write the document flatter; {DEEPEST} levels are the most that is read.",
                event.start_mark,
            )
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, path)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(event, path, depth)
        return self._group(event, path, depth)

    def _scalar(self, event: Any, path: KeyPath) -> str | None:
        plain = event.style not in ("'", '"', "|", ">")
        self.places.values[path] = self._span(event.start_mark, event.end_mark)
        if plain:
            self._look_at(event, path)
            if not event.value:
                return None
        return str(event.value)

    def _look_at(self, event: Any, path: KeyPath) -> None:
        start, end = event.start_mark, event.end_mark
        plain = Plain(self.lines, event.value, start.line, start.column, end.line, end.column, self.brackets > 0)
        if cut := find_cut(plain):
            # Where nothing is left of the value, its key is all there is to point at.
            place = self.places.values[path] if event.value else self.places.keys.get(path, self.places.values[path])
            self._note("cut-by-hash", *cut, place.line - 1, place.column)
        elif swallowed := find_swallowed(plain):
            self.tree.notices.append(swallowed)
        else:
            return
        self.tree.doubted.add(path)

    def _list(self, event: Any, path: KeyPath, depth: int) -> list[Raw]:
        found: list[Raw] = []
        self.brackets += bool(event.flow_style)
        while not isinstance(self._peek(), yaml.SequenceEndEvent):
            found.append(self._value((*path, len(found)), depth + 1))
        self.brackets -= bool(event.flow_style)
        self.places.values[path] = self._span(event.start_mark, self._next().end_mark)
        return found

    def _group(self, event: Any, path: KeyPath, depth: int) -> dict[str, Raw]:
        found: dict[str, Raw] = {}
        repeated = False
        self.brackets += bool(event.flow_style)
        while not isinstance(self._peek(), yaml.MappingEndEvent):
            key = self._next()
            self._refuse_extras(key)
            if not isinstance(key, yaml.ScalarEvent):
                self._stop(
                    "broken-layout",
                    "A list or a group of keys is where a key belongs.",
                    "Type a key, a colon and a space, then the value.",
                    key.start_mark,
                )
            if key.value == "<<":
                self._refuse_anchor(key.start_mark)
            if self._is_stray(event, key):
                self._stray(found, key, path)
                self._next()
                continue
            here = (*path, key.value)
            span = self._span(key.start_mark, key.end_mark)
            if key.value in found:
                # One slip of the indentation repeats a whole group of keys: the first says it all.
                if not repeated:
                    self._repeated(key, here, span)
                    repeated = True
                self._value((*here, "repeated"), depth + 1)
                continue
            self.places.keys[here] = span
            found[key.value] = self._value(here, depth + 1)
        self.brackets -= bool(event.flow_style)
        self.places.values[path] = self._span(event.start_mark, self._next().end_mark)
        return found

    def _is_stray(self, group: Any, key: Any) -> bool:
        if not group.flow_style:
            return False
        return self._next_sign(key.end_mark) in (",", "}")

    def _next_sign(self, mark: Any) -> str:
        """The first character that follows a place, spaces and line ends left aside."""
        line, column = mark.line, mark.column
        while line < len(self.lines):
            if found := _SIGN.search(self.lines[line], column):
                return found[0]
            line, column = line + 1, 0
        return ""

    def _stray(self, found: dict[str, Raw], key: Any, path: KeyPath) -> None:
        before = next(reversed(found), None)
        place = self.places.values.get((*path, before)) if before is not None else None
        at = self._span(key.start_mark, key.end_mark)
        self.tree.doubted.add(path)
        code, message, advice, on_value = judge_stray(before, found.get(before or ""), key.value)
        spot = place if on_value and place is not None else at
        self._note(code, message, advice, spot.line - 1, spot.column)

    def _repeated(self, key: Any, here: KeyPath, span: Span) -> None:
        first = self.places.keys[here]
        item = isinstance(here[-2], int) if len(here) > 1 else False
        advice = (
            f"Keep one `{key.value}` (the other is on line {first.line}), or type `- ` before it if a new entry begins."
            if item
            else f"Keep one `{key.value}`; the other is on line {first.line}."
        )
        self._note("duplicate-key", f"`{key.value}` is here a second time.", advice, span.line - 1, span.column)
        self.tree.doubted.add(here[:-1])

    def _refuse_extras(self, event: Any) -> None:
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            self._refuse_anchor(event.start_mark)
        if getattr(event, "tag", None):
            self._stop(
                "tag",
                "A text beginning with `!` must be in quotes.",
                f'Type `"{self._from(event.start_mark)}"`.',
                event.start_mark,
            )

    def _refuse_anchor(self, mark: Any) -> None:
        written = self._from(mark)
        advice = (
            "Write the entries out where they are needed."
            if written.startswith("<<")
            else f'Type `"{written}"` in quotes if it is text, or write the entries out where they are needed.'
        )
        self._stop("anchor", f"A text beginning with `{written[:1]}` would not be read as text.", advice, mark)

    def _from(self, mark: Any) -> str:
        return str(self.lines[mark.line][mark.column :]).strip()

    def _span(self, start: Any, end: Any) -> Span:
        end_line, end_column = end.line, end.column
        if end_line == start.line:
            return Span(end_line + 1, start.column + 1, end_line + 1, end_column + 1)
        # The end of a group in block style falls on the line after it.
        while end_line > start.line and not "".join(self.lines[end_line : end_line + 1])[:end_column].strip():
            end_line -= 1
            end_column = len(self.lines[end_line])
        return Span(start.line + 1, start.column + 1, end_line + 1, end_column + 1)

    def _note(self, code: str, message: str, advice: str, line: int, column: int) -> None:
        self.tree.notices.append(Notice(code, "error", message, advice, line=line + 1, column=column))

    def _stop(self, code: str, message: str, advice: str, mark: Any) -> None:
        self._note(code, message, advice, mark.line, mark.column + 1)
        raise _StopReadingError


def value_at(raw: Any, path: KeyPath) -> Any:
    """What stands at a path of raw text; nothing where the path leads nowhere."""
    for step in path:
        try:
            raw = raw[step]
        except (KeyError, IndexError, TypeError):
            return None
    return raw
