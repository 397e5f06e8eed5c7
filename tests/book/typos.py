"""Seeded typos in good files: one slip of the fingers each, at a place where it can matter.

A slip hits a key, a quantity, a reference, the indentation or the punctuation. It never hits prose and other free
text, comments, or ids and names that others point to. References to recipes need the book's history to be
checked; they are damaged only where it is asked for.

A slip does not count, and another one is drawn, only where the damaged file

- has the same raw tree as before, or the same model (one text where a list of texts may stand: a dash dropped from
  a list of one), or
- has the same keys and lists as before, and each single value that differs is free text, or is still a valid value
  of its type: accepted by the model and, where it must name something, a name that stands elsewhere in the book.

A stray `#` at the start of a line or behind a space is never drawn: it makes a comment of what follows, which
is no slip but how people take a line out.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from book.typo_places import COMMENT, PLAIN, PROTECTED, Keys, Sheet, leaves, make_sheet, readers_at
from mothermold.book.document import Document, read_document
from mothermold.book.files import Place, document_files, place_of
from mothermold.ground.notices import Notice
from mothermold.model.names import Name, PartName, Reference, plain_text
from mothermold.model.scalars import Prose
from mothermold.model.walk import walk

_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
_STRAY: Final = "aexst15,;:.-_'\"#{}[]()|>&*!%@`~?=/\\+"
_QUANTITY: Final = re.compile(r"(\d+(?:\.\d+)?(?:-\d+(?:\.\d+)?)?)( )([^\d\s]+[23]?)")


@dataclass(frozen=True, slots=True)
class Typo:
    """One slip: where it was made, how the line read before and after, and the whole damaged text."""

    file: str
    kind: str
    line: int
    before: str
    after: str
    text: str = field(repr=False)


Slip = Callable[[Sheet, random.Random], "tuple[int, str] | None"]


def make_typos(
    root: Path, seed: int, count: int, *, recipe_references: bool = False, kinds: Sequence[str] = ()
) -> list[Typo]:
    """The same typos for the same book, seed and count.

    Args:
        root: The book's folder.
        seed: Of all chance in it.
        count: How many.
        recipe_references: Whether references to recipes, and to their steps and mixes in runs, are hit too.
        kinds: Which kinds of slips; all where none is named.
    """
    chance = random.Random(seed)
    sheets = [make_sheet(document, recipe_references=recipe_references) for document in _documents(root)]
    known = {text for sheet in sheets for text in _texts(sheet.document.raw)}
    typos: list[Typo] = []
    while len(typos) < count:
        typos += _draw(chance.choice(kinds or list(SLIPS)), sheets, known, chance)
    return typos


def _draw(kind: str, sheets: list[Sheet], known: set[str], chance: random.Random) -> list[Typo]:
    # Rare places, such as dashes, come as often as common ones; a book without any is left alone in the end.
    for _try in range(1000):
        sheet = chance.choices(sheets, [len(sheet.lines) for sheet in sheets])[0]
        slip = SLIPS[kind](sheet, chance)
        if slip is None:
            continue
        number, line = slip
        before = sheet.lines[number]
        text = "\n".join([*sheet.lines[:number], line, *sheet.lines[number + 1 :]])
        if line != before and _counts(sheet.document, text, known):
            return [Typo(sheet.document.file, kind, number + 1, before, line, text)]
    return []


def judge(typo: Typo, root: Path, read: Callable[[Path], Sequence[Notice]]) -> tuple[bool, Sequence[Notice]]:
    """Puts the typo into the book at ``root``, reads it and mends it again.

    Returns:
        Whether the first notice lies on the damaged line or the next, and all notices.
    """
    path = root / typo.file
    good = path.read_bytes()
    try:
        path.write_text(typo.text, encoding="utf-8")
        notices = read(root)
    finally:
        path.write_bytes(good)
    first = notices[0] if notices else None
    hit = first is not None and first.file == typo.file and first.line in (typo.line, typo.line + 1)
    return hit, notices


def _documents(root: Path) -> Iterator[Document]:
    for file, path in document_files(root):
        place = place_of(file)
        assert isinstance(path, Path)
        assert isinstance(place, Place)
        yield read_document(place.kind, place.address, file, path.read_bytes())


def _texts(raw: Any) -> Iterator[str]:
    return (text for _path, text in leaves(raw, ()) if text is not None)


def _shape(raw: Any) -> Any:
    if isinstance(raw, dict):
        return {key: _shape(value) for key, value in raw.items()}
    if isinstance(raw, list):
        return [_shape(value) for value in raw]
    return "" if raw is not None else None


def _counts(good: Document, text: str, known: set[str]) -> bool:
    bad = read_document(good.kind, good.address, good.file, text.encode("utf-8"))
    raw = bad.tree.raw
    if raw == good.raw or (bad.model is not None and bad.model == good.model):
        return False
    if raw is None or _shape(raw) != _shape(good.raw):
        return True
    changed = [
        path for (path, old), (_path, new) in zip(leaves(good.raw, ()), leaves(raw, ()), strict=True) if old != new
    ]
    return not all(_still_valid(bad, path, known) for path in changed)


def _still_valid(document: Document, path: Keys, known: set[str]) -> bool:
    types = set(readers_at(document, path))
    value: Any = document.tree.raw
    for step in path:
        value = value[step]
    if Prose in types or plain_text in types:
        return True
    if document.model is None:
        return False
    # Some fields take a name or a day: what it was read as decides.
    meant = dict(walk(document.model)).get(path, value)
    names = any(isinstance(each, type) and issubclass(each, Name | Reference | PartName) for each in types)
    return value in known if names and isinstance(meant, str) else True


# -- the slips: each picks a place of its kind on a sheet and returns the line's number and its new text --


def _in_key(damage: Callable[[str, random.Random], str | None]) -> Slip:
    def slip(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
        number, start, end = chance.choice(sheet.keys)
        line = sheet.lines[number]
        key = damage(line[start:end], chance)
        return None if key is None else (number, line[:start] + key + line[end:])

    return slip


def _dropped(word: str, chance: random.Random) -> str | None:
    at = chance.randrange(len(word))
    return word[:at] + word[at + 1 :] if len(word) > 1 else None


def _doubled(word: str, chance: random.Random) -> str | None:
    at = chance.randrange(len(word))
    return word[: at + 1] + word[at:]


def _swapped(word: str, chance: random.Random) -> str | None:
    if len(word) < 2:
        return None
    at = chance.randrange(len(word) - 1)
    return word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def _replaced(word: str, chance: random.Random) -> str | None:
    at = chance.randrange(len(word))
    return word[:at] + chance.choice(_LETTERS) + word[at + 1 :]


def _in_unit(damage: Callable[[str, random.Random], str | None], *, gap: str = " ") -> Slip:
    def slip(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
        found = [
            (value.line, match)
            for value in sheet.values
            for match in _QUANTITY.finditer(sheet.lines[value.line], value.start, value.end)
        ]
        if not found:
            return None
        number, match = chance.choice(found)
        unit = damage(match[3], chance)
        if unit is None:
            return None
        line = sheet.lines[number]
        return number, (line[: match.end(1)] + (gap + unit if unit else "")) + line[match.end() :]

    return slip


def _mistyped(word: str, chance: random.Random) -> str | None:
    return chance.choice((_dropped, _doubled, _swapped, _replaced))(word, chance)


def _digit(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
    found = [
        (value.line, at)
        for value in sheet.values
        if not value.refers and not value.words
        for at in range(value.start, value.end)
        if sheet.lines[value.line][at].isdigit()
    ]
    if not found:
        return None
    number, at = chance.choice(found)
    line = sheet.lines[number]
    near = {"0": "oO", "1": "lI", "5": "sS", "2": "z", "8": "B"}.get(line[at], "")
    return number, line[:at] + chance.choice(near + _LETTERS) + line[at + 1 :]


def _in_value(*, refers: bool) -> Slip:
    def slip(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
        found = [value for value in sheet.values if (value.refers if refers else value.words)]
        if not found:
            return None
        value = chance.choice(found)
        line = sheet.lines[value.line]
        word = _mistyped(line[value.start : value.end], chance)
        return None if word is None else (value.line, line[: value.start] + word + line[value.end :])

    return slip


def _indented(step: int) -> Slip:
    def slip(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
        number = chance.randrange(len(sheet.lines))
        line = sheet.lines[number]
        if not line.strip() or line.lstrip().startswith("#") or (step < 0 and not line.startswith(" ")):
            return None
        return number, line[1:] if step < 0 else f" {line}"

    return slip


def _without(pattern: str) -> Slip:
    """Drops what the pattern's first group matches in the punctuation of a line."""

    def slip(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
        number = chance.randrange(len(sheet.lines))
        line, marks = sheet.lines[number], sheet.marks[number]
        found = [
            match
            for match in re.finditer(pattern, line)
            if all(mark == PLAIN for mark in marks[match.start(1) : match.end(1)])
        ]
        if not found:
            return None
        match = chance.choice(found)
        return number, line[: match.start(1)] + line[match.end(1) :]

    return slip


def _quote(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
    # The good files quote little, so a value is quoted first; that alone changes nothing.
    number, start, end = chance.choice(sheet.quotable)
    line, quote = sheet.lines[number], chance.choice("\"'")
    if quote in line or "\\" in line:
        return None
    opened, closed = chance.choice(((quote, ""), ("", quote)))
    return number, line[:start] + opened + line[start:end] + closed + line[end:]


def _stray(sheet: Sheet, chance: random.Random) -> tuple[int, str] | None:
    number = chance.randrange(len(sheet.lines))
    line, marks = sheet.lines[number], sheet.marks[number]
    at = chance.randrange(len(line) + 1)
    if not line.strip() or any(mark in (COMMENT, PROTECTED) for mark in marks[max(at - 1, 0) : at + 1]):
        return None
    character = chance.choice(_STRAY)
    if character == "#" and not line[:at][-1:].strip():
        return None
    return number, line[:at] + character + line[at:]


SLIPS: Final[dict[str, Slip]] = {
    "key: letter dropped": _in_key(_dropped),
    "key: letter doubled": _in_key(_doubled),
    "key: letters swapped": _in_key(_swapped),
    "key: letter replaced": _in_key(_replaced),
    "unit: mistyped": _in_unit(_mistyped),
    "unit: dropped": _in_unit(lambda _unit, _chance: ""),
    "unit: glued with a comma": _in_unit(lambda unit, _chance: unit, gap=","),
    "digit: a letter instead": _digit,
    "reference: mistyped": _in_value(refers=True),
    "word: mistyped": _in_value(refers=False),
    "indentation: a space removed": _indented(-1),
    "indentation: a space added": _indented(1),
    "colon: dropped": _without(r"(:)(?: |$)"),
    "colon: no space behind": _without(r":( )"),
    "dash: dropped": _without(r"^ *(-) "),
    "dash: no space behind": _without(r"^ *-( )"),
    "bracket: dropped": _without(r"([{}\[\]])"),
    "quote: dropped": _quote,
    "comma: dropped": _without(r"(,)"),
    "stray character": _stray,
}
