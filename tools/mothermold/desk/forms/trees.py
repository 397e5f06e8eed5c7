"""What a document says as a form holds it: a tree of texts, as the file has it, then with what was typed.

The entries of a list go by tokens, so that a field keeps its name while entries move: the place an entry had in the file (``2``),
a copy of one (``2+1``), a new one (``+1``). What is behind the plus only tells them apart.
"""

from __future__ import annotations

import copy
import re
from collections import UserDict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final, TypeAlias

from mothermold.book.tree import Raw
from mothermold.desk.forms.shapes import FieldShape
from mothermold.model.walk import KeyPath

Token: TypeAlias = int | str
Pairs: TypeAlias = "Sequence[tuple[KeyPath, str]]"
"""What was sent: paths with texts as typed. A path of several texts comes once for each, and once with nothing for none; the
path of a list comes once for each of its entries, in their order, with its token."""
NEW: Final = "+"
_TOKEN: Final = re.compile(r"(\d*)\+\w*")


class Listed(UserDict[Token, Any]):
    """The entries of a list by their tokens; their order counts."""

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Listed) and list(self.items()) == list(other.items())

    __hash__ = None  # type: ignore[assignment]


class Stiff:
    """What stands in the file at a place where a form cannot hold it; it stays as it is."""


Grown: TypeAlias = "str | tuple[str, ...] | dict[str, Any] | Listed | Stiff"


def name_of(path: KeyPath) -> str:
    """The name of a field, as a page carries it: ``steps.2.uses.+1.amount``."""
    return ".".join(map(str, path))


def path_of(name: str) -> KeyPath:
    """The path a name stands for."""
    return tuple(token_of(step) for step in name.split("."))


def token_of(text: str) -> Token:
    """The token or key a text stands for."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 7 else text


def origin(token: Token) -> int | None:
    """The place in the file an entry comes from, a copy too; None for a new one."""
    if isinstance(token, int):
        return token
    match = _TOKEN.fullmatch(token)
    return int(match[1]) if match and match[1] else None


def opened(inner: Mapping[str, FieldShape], raw: Raw) -> dict[str, Any]:
    """What a document or a group of it says."""
    said = raw if isinstance(raw, Mapping) else {}
    beside = {key: Stiff() for key in said if key not in inner}
    return {key: _opened(shape, said.get(key)) for key, shape in inner.items()} | beside


def _opened(shape: FieldShape, raw: Raw) -> Grown:
    match shape.sort:
        case "field":
            if shape.pairs and isinstance(raw, dict) and all(isinstance(each, str) for each in raw.values()):
                return ", ".join(f"{key}: {each}" for key, each in raw.items())
            return "" if raw is None else raw if isinstance(raw, str) else Stiff()
        case "texts":
            listed = [] if raw is None else [raw] if isinstance(raw, str) else raw
            return tuple(listed) if _are_texts(listed) else Stiff()
        case "group":
            if isinstance(raw, str) and shape.short:
                raw = {shape.short: raw}
            return opened(shape.inner, raw) if raw is None or isinstance(raw, dict) else Stiff()
    entries = [] if raw is None else [raw] if isinstance(raw, dict) else raw
    if not isinstance(entries, list):
        return Stiff()
    return Listed({place: entry_opened(shape, each) for place, each in enumerate(entries)})


def entry_opened(shape: FieldShape, raw: Raw) -> Grown:
    """What an entry of a list says; nothing of a new one."""
    if shape.inner:
        return opened(shape.inner, raw) if raw is None or isinstance(raw, dict) else Stiff()
    listed = [] if raw is None else raw
    return tuple(listed) if _are_texts(listed) else Stiff()


def _are_texts(listed: Any) -> bool:
    return isinstance(listed, list) and all(isinstance(each, str) for each in listed)


def with_typed(
    inner: Mapping[str, FieldShape], tree: dict[str, Any], pairs: Pairs, *, blank: bool = False
) -> dict[str, Any]:
    """The tree with what was typed; what nothing was sent for stays, and what is no field is passed over.

    Args:
        inner: What may be said.
        tree: What the file says.
        pairs: What was sent.
        blank: Whether an entry stays in which nothing is said any more, or yet.
    """
    sent: dict[KeyPath, list[str]] = {}
    for path, text in pairs:
        sent.setdefault(path, []).append(text)
    return _Typing(sent, blank=blank).group(inner, tree, ())


class _Typing:
    def __init__(self, sent: Mapping[KeyPath, list[str]], *, blank: bool) -> None:
        self._sent, self._blank = sent, blank
        self._below: dict[KeyPath, list[Token]] = {}
        for path in sent:
            for length in range(len(path)):
                self._below.setdefault(path[:length], []).append(path[length])

    def group(self, inner: Mapping[str, FieldShape], tree: dict[str, Any], at: KeyPath) -> dict[str, Any]:
        return tree | {key: self._at(shape, tree[key], (*at, key)) for key, shape in inner.items()}

    def _at(self, shape: FieldShape, node: Grown, at: KeyPath) -> Grown:
        match node:
            case str():
                return _like(self._sent[at][-1], node, shape) if at in self._sent else node
            case tuple():
                return self._texts(node, at)
            case Listed():
                return self._rows(shape, node, at)
            case dict():
                return self.group(shape.inner, node, at)
        return node

    def _texts(self, node: tuple[str, ...], at: KeyPath) -> tuple[str, ...]:
        if at not in self._sent:
            return node
        # A text that stood there keeps how it ends.
        ends = {each.strip(): each for each in node}
        typed = [_lines(each) for each in self._sent[at] if each.strip()]
        return tuple(ends.get(each.strip(), each.strip()) for each in typed)

    def _rows(self, shape: FieldShape, node: Listed, at: KeyPath) -> Listed:
        found = Listed()
        for token in self._order(node, at):
            place = origin(token)
            if place is not None and place not in node:
                continue
            base = entry_opened(shape, None) if place is None else copy.deepcopy(node[place])
            here = (*at, token)
            entry = self.group(shape.inner, base, here) if isinstance(base, dict) else self._at(shape, base, here)
            if not self._blank and is_blank(entry) and (isinstance(token, str) or not is_blank(base)):
                continue
            found[token] = entry
        return found

    def _order(self, node: Listed, at: KeyPath) -> Iterable[Token]:
        if at in self._sent:
            tokens = [token_of(text.strip()) for text in self._sent[at] if text.strip()]
        else:
            tokens = [*node, *(each for each in self._below.get(at, ()) if isinstance(each, str))]
        return dict.fromkeys(each for each in tokens if isinstance(each, int) or _TOKEN.fullmatch(each))


def is_blank(node: Grown) -> bool:
    """Whether nothing is said there."""
    match node:
        case str() | tuple():
            return not node
        case Listed() | dict():
            return all(map(is_blank, node.values()))
    return False


def _lines(typed: str) -> str:
    return typed.replace("\r\n", "\n").replace("\r", "\n")


def _like(typed: str, before: str, shape: FieldShape) -> str:
    """A text as typed; one that differs in nothing but spaces around it stays, and one that ended with a line end does so."""
    text = _lines(typed).strip() if shape.kind == "text" else " ".join(_lines(typed).split("\n")).strip()
    if text == before.strip() or _lines(typed).strip() == before.strip():
        return before
    ends = len(before) - len(before.rstrip("\n"))
    return text + "\n" * ends if text and shape.kind == "text" else text


def to_raw(shape: FieldShape, node: Grown) -> Raw:
    """What a new group or list says, as a document has it; nothing where it says nothing."""
    match node:
        case str():
            return counts(node) if shape.pairs else node
        case tuple():
            return list(node)
        case Listed():
            return [entry_to_raw(shape, each) for each in node.values()]
        case dict() if not is_blank(node):
            return entry_to_raw(shape, node)
    return None


def entry_to_raw(shape: FieldShape, node: Grown) -> Raw:
    """What a new entry of a list says, or a group."""
    if not isinstance(node, dict):
        return list(node) if isinstance(node, tuple) else None
    said = {key: to_raw(inner, node[key]) for key, inner in shape.inner.items()}
    # An empty list is an answer where a list has to stand.
    return {
        key: each
        for key, each in said.items()
        if each or (each == [] and shape.inner[key].needed and shape.inner[key].sort in ("texts", "list"))
    }


def counts(typed: str) -> Raw:
    """Counts by kind, where such were typed: ``left: 3, right: 3``."""
    pairs = [each.partition(":") for each in typed.split(",")]
    if all(colon and key.strip() and count.strip() for key, colon, count in pairs):
        return {key.strip(): count.strip() for key, _colon, count in pairs}
    return typed


def fields_in(
    inner: Mapping[str, FieldShape], tree: Mapping[str, Any], at: KeyPath = ()
) -> Iterator[tuple[KeyPath, FieldShape, str | tuple[str, ...]]]:
    """Every field a tree holds, with its path and what it says."""
    for key, shape in inner.items():
        yield from _fields(shape, tree[key], (*at, key))


def _fields(shape: FieldShape, node: Grown, at: KeyPath) -> Iterator[tuple[KeyPath, FieldShape, str | tuple[str, ...]]]:
    match node:
        case str() | tuple():
            yield at, shape, node
        case Listed():
            for token, entry in node.items():
                if isinstance(entry, dict):
                    yield from fields_in(shape.inner, entry, (*at, token))
                else:
                    yield from _fields(shape, entry, (*at, token))
        case dict():
            yield from fields_in(shape.inner, node, at)


def orders_in(
    inner: Mapping[str, FieldShape], tree: Mapping[str, Any], at: KeyPath = ()
) -> Iterator[tuple[KeyPath, list[Token]]]:
    """Every list a tree holds, with the tokens of its entries in order."""
    for key, shape in inner.items():
        node, here = tree[key], (*at, key)
        if isinstance(node, Listed):
            yield here, list(node)
            for token, entry in node.items():
                if isinstance(entry, dict):
                    yield from orders_in(shape.inner, entry, (*here, token))
        elif isinstance(node, dict):
            yield from orders_in(shape.inner, node, here)
