"""What was typed into a form written into the text itself: lists first, from the outside in, then every field that changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mothermold.book.document import Document, read_document
from mothermold.book.tree import value_at
from mothermold.desk.editing import Arranged, Changes, Value, edited
from mothermold.desk.forms.layouts import may_be_empty
from mothermold.desk.forms.shapes import FieldShape
from mothermold.desk.forms.trees import (
    Grown,
    Listed,
    Stiff,
    Token,
    counts,
    entry_to_raw,
    is_blank,
    origin,
    to_raw,
)
from mothermold.desk.new_text import in_order
from mothermold.ground.errors import RefusedError
from mothermold.model.expected import model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath


def rewritten(document: Document, original: str, inner: Mapping[str, FieldShape], old: Any, new: Any) -> str:
    """The text with all that differs between two trees of a form, and every other line as it was.

    Args:
        document: As it was read.
        original: Its text with its own line ends.
        inner: What its kind may say.
        old: What the text says.
        new: What it is to say.

    Raises:
        RefusedError: ``not-edited`` where that cannot be done without touching more.
    """
    desk = _Rewriting(document, original)
    desk.group(inner, old, new, ())
    desk.cut(desk.changes)
    return desk.text


def real_path(tree: Mapping[str, Any], raw: Any, path: KeyPath) -> KeyPath:
    """Where in a text a field of a form stands, from the tree it says."""
    found: KeyPath = ()
    node: Any = tree
    for step in path:
        if isinstance(node, Listed) and step in node:
            # One entry may stand where a list may.
            found = found if isinstance(value_at(raw, found), dict) else (*found, list(node).index(step))
        else:
            found = (*found, step)
        node = node.get(step) if isinstance(node, dict | Listed) else None
    return found


def form_path(tree: Mapping[str, Any], path: KeyPath) -> KeyPath:
    """The field of a form for a place in the text; the way back from ``real_path``."""
    found: KeyPath = ()
    node: Any = tree
    for step in path:
        if isinstance(node, Listed):
            tokens: list[Token] = list(node)
            place = step if isinstance(step, int) else 0
            if place >= len(tokens):
                break
            found, node = (*found, tokens[place]), node[tokens[place]]
            if isinstance(step, int):
                continue
        if not isinstance(node, dict) or step not in node:
            break
        found, node = (*found, step), node[step]
    return found


class _Rewriting:
    def __init__(self, document: Document, original: str) -> None:
        self.document, self.text = document, original
        self.changes: dict[KeyPath, Value] = {}

    def cut(self, changes: Changes) -> None:
        """Makes changes in the text and reads it again."""
        if changes:
            self.text = edited(self.document, changes, original=self.text)
            same = self.document
            self.document = read_document(same.kind, same.address, same.file, self.text.encode())

    def group(self, inner: Mapping[str, FieldShape], old: Any, new: Any, at: KeyPath) -> None:
        for key, shape in inner.items():
            if old[key] != new[key]:
                self._differs(shape, old[key], new[key], (*at, key))

    def _differs(self, shape: FieldShape, old: Grown, new: Grown, at: KeyPath) -> None:
        if isinstance(old, Stiff) or isinstance(new, Stiff):
            return
        said = value_at(self.document.tree.raw, at)
        match new:
            case str():
                self.changes[at] = (counts(new) if shape.pairs else new) or None
            case tuple():
                self.changes[at] = self._texts(shape, new, said)
            case Listed():
                self._rows(shape, old, new, at, said)
            case dict() if isinstance(said, dict) and said and not is_blank(new):
                self.group(shape.inner, old, new, at)
            case dict():
                told = in_order(self._model(at), to_raw(shape, new) or {})
                self.changes[at] = (
                    told[shape.short] if list(told) == [shape.short] and not isinstance(said, dict) else told or None
                )

    def _texts(self, shape: FieldShape, new: tuple[str, ...], said: Any) -> Value:
        if not new:
            return [] if may_be_empty(self.document.kind, shape) else None
        return new[0] if isinstance(said, str) and len(new) == 1 else list(new)

    def _rows(self, shape: FieldShape, old: Any, new: Listed, at: KeyPath, said: Any) -> None:
        tokens = list(new)
        if tokens != list(old):
            if not tokens:
                self.changes[at] = [] if may_be_empty(self.document.kind, shape) else None
                return
            if not isinstance(said, list) or not said:
                self._instead(shape, new, at)
                return
            self.cut({at: Arranged(tuple(self._entry(shape, token, new, at) for token in tokens))})
        for place, token in enumerate(tokens):
            if (before := origin(token)) is None or old[before] == new[token]:
                continue
            here = (*at, place) if isinstance(said, list) else at
            if isinstance(new[token], dict):
                self.group(shape.inner, old[before], new[token], here)
            else:
                self._differs(shape, old[before], new[token], here)

    def _entry(self, shape: FieldShape, token: Token, new: Listed, at: KeyPath) -> Any:
        place = origin(token)
        return in_order(self._model(at), entry_to_raw(shape, new[token])) if place is None else place

    def _instead(self, shape: FieldShape, new: Listed, at: KeyPath) -> None:
        """A whole list where none stands, or where one entry stands alone."""
        before = self.text
        entries = in_order(self._model(at), to_raw(shape, new))
        self.cut({at: entries})
        if self.text.count("#") < before.count("#"):
            raise RefusedError(
                self.document.notice(
                    "not-edited",
                    f"`{at[-1]}` could not be changed here without losing what is said beside it.",
                    "Change it by hand in the file; nothing was written.",
                    at,
                )
            )

    def _model(self, at: KeyPath) -> Any:
        return model_in(type_at(KINDS[self.document.kind].model, at))
