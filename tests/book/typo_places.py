"""What every place of a good file is: a key, a value that may be damaged, a comment, or text that is left alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from mothermold.book.document import Document
from mothermold.model.expected import keys_of, model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.names import LocalName, MixName, PartName, Reference, StepName, plain_text
from mothermold.model.scalars import Prose

Keys = tuple[str | int, ...]

# What a place on a line is: nothing is ever damaged where a comment or protected text stands.
PLAIN, COMMENT, PROTECTED, _KEY, _VALUE = " #pkv"


@dataclass(frozen=True, slots=True)
class Value:
    """A value that may be damaged, with what its field expects."""

    line: int
    start: int
    end: int
    refers: bool
    words: bool


@dataclass(slots=True)
class Sheet:
    """A good file, and what every place of it is."""

    document: Document
    lines: list[str]
    marks: list[list[str]]
    keys: list[tuple[int, int, int]]
    values: list[Value]
    quotable: list[tuple[int, int, int]]


def make_sheet(document: Document, *, recipe_references: bool) -> Sheet:
    """Marks every place of a good document."""
    lines = document.text.split("\n")
    sheet = Sheet(document, lines, [[PLAIN] * len(line) for line in lines], [], [], [])
    for path, span in document.tree.keys.items():
        owner = type_at(model_of(document), path)
        # A key the author chose, such as a kind of piece, is a name.
        mark = _KEY if owner is not None or path[0] == "hours" else PROTECTED
        _mark(sheet, span.line - 1, span.column - 1, span.end_column - 1, mark)
        if mark == _KEY:
            sheet.keys.append((span.line - 1, span.column - 1, span.end_column - 1))
    for path, text in leaves(document.raw, ()):
        if text is None:
            continue
        span = document.at_value(path)
        one_line = span.line == span.end_line
        value = _value(document, path, span.line - 1, span.column - 1, span.end_column - 1, recipe_references)
        for number in range(span.line - 1, span.end_line):
            start = span.column - 1 if number == span.line - 1 else 0
            end = span.end_column - 1 if number == span.end_line - 1 else len(lines[number])
            _mark(sheet, number, start, end, _VALUE if value else PROTECTED)
        if one_line and path[-1] != "id" and lines[span.line - 1][span.column - 1] not in "|>\"'":
            sheet.quotable.append((span.line - 1, span.column - 1, span.end_column - 1))
        if value and one_line:
            sheet.values.append(value)
    for number, line in enumerate(lines):
        comment = next(
            (
                i
                for i, c in enumerate(line)
                if c == "#" and sheet.marks[number][i] == PLAIN and not line[i - 1 : i].strip()
            ),
            None,
        )
        if comment is not None:
            _mark(sheet, number, comment, len(line), COMMENT)
    return sheet


def _mark(sheet: Sheet, number: int, start: int, end: int, mark: str) -> None:
    sheet.marks[number][start:end] = [mark] * len(sheet.marks[number][start:end])


def _value(document: Document, path: Keys, line: int, start: int, end: int, recipes: bool) -> Value | None:
    target = type_at(model_of(document), path)
    types = list(readers_at(document, path))
    references = [
        each for each in types if isinstance(each, type) and issubclass(each, LocalName | Reference | PartName)
    ]
    last = next(step for step in reversed(path) if isinstance(step, str))
    if target is None and path[0] in ("hours", "yields"):
        return Value(line, start, end, False, False)
    if Prose in types or plain_text in types or target is None or last == "id" or path[0] == "adds":
        return None
    # What a run's recipe must answer for is looked up in the book's history, as recipes are.
    far = any(each.__dict__.get("KIND") == "recipe" for each in references) or (
        document.kind == "run" and any(issubclass(each, StepName | MixName) for each in references)
    )
    if far and not recipes:
        return None
    refers = bool(references)
    words = not refers and not document.text.split("\n")[line][start].isdigit()
    return Value(line, start, end, refers, words)


def leaves(raw: Any, path: Keys = ()) -> Iterator[tuple[Keys, str | None]]:
    """All single values of a raw tree with their paths."""
    if isinstance(raw, dict):
        for key, value in raw.items():
            yield from leaves(value, (*path, key))
    elif isinstance(raw, list):
        for index, value in enumerate(raw):
            yield from leaves(value, (*path, index))
    else:
        yield path, raw


def model_of(document: Document) -> Any:
    """The model of a document's kind."""
    return KINDS[document.kind].model


def readers_at(document: Document, path: Keys) -> Iterator[Any]:
    """All types and readers of the field a path leads to."""
    yield from _types(type_at(model_of(document), path))
    owner = model_in(type_at(model_of(document), path[:-1])) if path[:-1] else model_of(document)
    field_ = keys_of(owner).get(str(path[-1])) if owner is not None else None
    # What a field is read with is taken off its type where it stands outermost.
    yield from (reader.func for reader in (field_.metadata if field_ else ()) if hasattr(reader, "func"))


def _types(target: Any) -> Iterator[Any]:
    """All types and readers an annotation is made of."""
    if target is None:
        return
    yield target
    for option in (*get_args(target), *getattr(target, "__metadata__", ())):
        if get_origin(option) is not None or isinstance(option, type):
            yield from _types(option)
        elif reader := getattr(option, "func", None):
            yield reader
