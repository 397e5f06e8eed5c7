"""Writes what was sent, unless the file says something else by now: then what was opened, what is there and what was typed, by field."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, TypeAlias

from mothermold.desk.forms.form import Form
from mothermold.desk.forms.layouts import label_of
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.sending import Sent
from mothermold.desk.forms.shapes import FieldShape, shapes
from mothermold.desk.forms.trees import NEW, Listed, Pairs, Token
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.writing import write_text
from mothermold.model.walk import KeyPath
from mothermold.view.view import View, open_view

FieldText: TypeAlias = "str | tuple[str, ...]"


@dataclass(frozen=True, slots=True)
class FieldConflict:
    """A field of which one of the three texts says something else than the others.

    Attributes:
        path: The field in the form of the file as it is now; a list where only the order of its entries differs.
        label: What it is called, with the entries it stands in.
        opened: What the file said when the form was made.
        there: What it says now.
        typed: What was typed.
    """

    path: KeyPath
    label: str
    opened: FieldText
    there: FieldText
    typed: FieldText

    @property
    def both(self) -> bool:
        """Whether it was changed on both sides."""
        return self.opened not in (self.there, self.typed)


@dataclass(frozen=True, slots=True)
class Conflict:
    """A file that was changed meanwhile. Nothing was written.

    Attributes:
        rows: The fields that differ.
        now: The form of the file as it is now; None where it is gone or cannot be read.
    """

    rows: tuple[FieldConflict, ...]
    now: Form | None

    def pairs(self, mine: Collection[KeyPath] | None = None) -> Pairs:
        """What to send to the form as it is now.

        Args:
            mine: The fields that are to say what was typed; without it those nobody else changed.
        """
        found: list[tuple[KeyPath, str]] = []
        for row in self.rows:
            if row.path in mine if mine is not None else row.opened == row.there:
                found += [
                    (row.path, each) for each in (("", *row.typed) if isinstance(row.typed, tuple) else (row.typed,))
                ]
        return found


def keep(view: View, form: Form, found: Sent) -> Conflict | None:
    """Writes the new text of a form that was sent; None where it stands in the file now.

    Args:
        view: The owner's book.
        form: The form as it was made.
        found: What became of it.

    Raises:
        RefusedError: There is no text that can stand, or the name of a new document was taken meanwhile.
        CannotRunError: The disk refused.
    """
    if found.text is None:
        raise RefusedError(*(each for held in found.notices.values() for each in held))
    if found.text == found.was:
        return None
    try:
        write_text(view.root / found.file, found.text, replaces=found.was)
    except RefusedError:
        if found.was is None:
            raise
        return _conflict(view, form, found)
    return None


def _conflict(view: View, form: Form, found: Sent) -> Conflict:
    try:
        now = form_of(open_view(view.root, "private"), form.kind, form.address)
    except (RefusedError, CannotRunError):
        return Conflict((), None)
    if not now.sections:
        return Conflict((), None)
    inner = shapes(form.kind)
    return Conflict(tuple(_rows(form.kind, inner, (form.tree, now.tree, found.tree))), now)


_Known = dict[str, tuple[Any, Any]]
_Three = tuple[Any, Any, Any]
"""The same place in what was opened, in what is there and in what was typed; None where it is not."""


def _rows(
    kind: str, inner: Mapping[str, FieldShape], three: _Three, at: KeyPath = (), label: str = ""
) -> Iterator[FieldConflict]:
    for key, shape in inner.items():
        sides: Any = tuple(each.get(key) if isinstance(each, dict) else None for each in three)
        if not (sides[0] == sides[1] == sides[2]):
            yield from _differing(kind, shape, sides, (*at, key), label)


def _differing(kind: str, shape: FieldShape, three: _Three, at: KeyPath, before: str) -> Iterator[FieldConflict]:
    label = ", ".join(filter(None, [before, label_of(kind, shape)]))
    if any(isinstance(each, Listed) for each in three):
        yield from _entries(kind, shape, three, at, label)
    elif any(isinstance(each, dict) for each in three):
        yield from _rows(kind, shape.inner, three, at, label)
    elif all(each is None or isinstance(each, str | tuple) for each in three):
        nothing: FieldText = () if shape.sort != "field" else ""
        was, there, typed = (nothing if each is None else each for each in three)
        if was != there or there != typed:
            yield FieldConflict(at, label, was, there, typed)


def _entries(kind: str, shape: FieldShape, three: _Three, at: KeyPath, label: str) -> Iterator[FieldConflict]:
    """Entries go by what they were known by when the form was made, wherever they stand."""
    was, there = (_known(each) if isinstance(each, Listed) else {} for each in three[:2])
    there = _as_before(was, there)
    known = [was, there, _as_typed(was, three[2]) if isinstance(three[2], Listed) else {}]
    for number, name in enumerate(dict.fromkeys([*known[1], *known[2], *known[0]]), start=1):
        token = there[name][0] if name in there else f"{NEW}{number}"
        sides: Any = tuple(each[name][1] if name in each else None for each in known)
        if not (sides[0] == sides[1] == sides[2]) and not (sides[0] and not sides[1] and not sides[2]):
            if shape.inner:
                yield from _rows(kind, shape.inner, sides, (*at, token), f"{label}, {name}")
            else:
                yield FieldConflict((*at, token), f"{label}, {name}", *(each or () for each in sides))
    orders = [tuple(str(there[name][0]) for name in each if name in there) for each in known]
    if len({frozenset(each) for each in known}) == 1 and orders[2] != orders[0]:
        yield FieldConflict(at, f"{label}, their order", *orders)


def _as_before(was: _Known, side: _Known) -> _Known:
    """The entries of one side under the names they had before: as many new names as there are old ones gone are theirs."""
    gone, come = [name for name in was if name not in side], [name for name in side if name not in was]
    names = dict(zip(come, gone, strict=True)) if len(gone) == len(come) else {}
    return {names.get(name, name): entry for name, entry in side.items()}


def _as_typed(was: _Known, rows: Listed) -> _Known:
    """The entries of a form that was sent: each knows which it was."""
    names = {token: name for name, (token, _entry) in was.items()}
    return _known(rows, names)


def _known(rows: Listed, names: Mapping[Token, str] = MappingProxyType({})) -> _Known:
    found: _Known = {}
    for token, entry in rows.items():
        first = next((each for each in _texts(entry) if each), "")
        name, number = names.get(token, first), 2
        while token not in names and (name in found or name in names.values()):
            name, number = f"{first} {number}", number + 1
        found[name] = (token, entry)
    return found


def _texts(entry: Any) -> Iterator[str]:
    if isinstance(entry, tuple):
        yield ", ".join(entry)
    elif isinstance(entry, dict):
        yield from (each for each in entry.values() if isinstance(each, str))
