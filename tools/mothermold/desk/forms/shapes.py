"""What a kind of document may say, as a form sees it: fields, lists of texts, groups and lists of groups, all out of the model."""

from __future__ import annotations

import datetime as dt
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Final, Literal

from mothermold.model.expected import entry_type, holds, is_list, keys_of, marks_of, model_in, short_key, words_of
from mothermold.model.kinds import KINDS
from mothermold.model.names import LocalName, PartName, Reference
from mothermold.model.scalars import Prose
from mothermold.quantities import Quantity
from mothermold.quantities.units import Dimension

Sort = Literal["field", "texts", "group", "list"]
"""One text; a list of texts; a group of keys; a list of groups, or of lists of texts."""
InputKind = Literal["line", "text", "choice", "day", "moment", "clock", "amount", "number", "reference", "local"]
"""How a field is typed: a line, several lines, one of the words offered, a day, a day with a time, a time of day, an amount
with its unit, a plain number, another document, something named in this document or the one it leans on."""

_KINDS: Final[tuple[tuple[type, InputKind], ...]] = (
    (Quantity, "amount"), (Reference, "reference"), (LocalName, "local"), (PartName, "local"), (Prose, "text"),
    (bool, "choice"), (dt.datetime, "moment"), (dt.date, "day"), (dt.time, "clock"), (int, "number"),
)  # fmt: skip
_YES_OR_NO: Final = ("yes", "no")


@dataclass(frozen=True, slots=True)
class FieldShape:
    """A field of the model, with all below it.

    Attributes:
        key: Its key.
        at: Where in a document of its kind it stands, as ``steps.uses.on``.
        sort: What stands there.
        kind: How it is typed; of a group and a list without meaning.
        inner: What the group, or an entry of the list, may say; empty for a list of lists of texts.
        short: The key of the group a plain text stands for; empty where none may stand there.
        needed: Whether it must be said.
        words: The words that may stand there and no others.
        types: The types whose values may stand there.
        units: The dimensions an amount may have; empty where none is fixed.
        pairs: Whether counts by kind may stand for one, as ``left: 3, right: 3``.
        says: What the model says of it.
        example: What may be typed there.
        pinned: Whether a recipe is named with its version here.
    """

    key: str
    at: str
    sort: Sort
    kind: InputKind = "line"
    inner: Mapping[str, FieldShape] = field(default_factory=dict)
    short: str = ""
    needed: bool = False
    words: tuple[str, ...] = ()
    types: tuple[type, ...] = ()
    units: tuple[Dimension, ...] = ()
    pairs: bool = False
    says: str = ""
    example: str = ""
    pinned: bool = False


@cache
def shapes(kind: str) -> Mapping[str, FieldShape]:
    """What a kind of document may say, by key, in the order of the model."""
    return _inside(KINDS[kind].model, "")


def every_shape(inner: Mapping[str, FieldShape]) -> Iterator[FieldShape]:
    """All that stands there, and below."""
    for shape in inner.values():
        yield shape
        yield from every_shape(shape.inner)


def _inside(model: Any, at: str) -> dict[str, FieldShape]:
    return {key: _shape(key, f"{at}.{key}".lstrip("."), field) for key, field in keys_of(model).items()}


def _shape(key: str, at: str, info: Any) -> FieldShape:
    target = info.annotation
    one = entry_type(target)
    # Counts by kind are pairs of a name and a number; all other lists have entries of one sort.
    pairs = typing.get_origin(one) is tuple and Ellipsis not in typing.get_args(one)
    group, listed = model_in(target), is_list(target) and not pairs
    words = words_of(target)
    if typing.get_origin(target) is dict:
        # Hours by weekday: a group whose keys are words.
        keys, value = typing.get_args(target)
        says, example = info.description or "", _example(info)
        inner = {word: FieldShape(word, f"{at}.{word}", "field", says=says, example=example) for word in words_of(keys)}
        return FieldShape(key, at, "group", inner=inner, says=info.description or "", types=tuple(holds(value)))
    sort: Sort = ("list" if listed else "group") if group else "field"
    if listed and not group:
        sort = "list" if is_list(one) else "texts"
    types = tuple(holds(target))
    kinds = (kind for held, kind in _KINDS if any(issubclass(each, held) for each in types))
    kind: InputKind = "choice" if words or bool in types else next(kinds, "line")
    if bool in types:
        words = _YES_OR_NO
    return FieldShape(
        key,
        at,
        sort,
        kind=kind,
        inner=_inside(group, at) if group else {},
        short=short_key(info) if group and not listed else "",
        needed=info.is_required(),
        words=words,
        types=types,
        units=next((mark.wanted for mark in marks_of(info) if hasattr(mark, "wanted")), ()),
        pairs=pairs,
        says=info.description or "",
        example=_example(info),
        pinned=getattr(info.json_schema_extra, "pinned", False),
    )


def _example(info: Any) -> str:
    example = (info.examples or [""])[0]
    if isinstance(example, list):
        example = example[0] if example else ""
    if isinstance(example, dict):
        example = next(iter(example.values()))
    return str(example) if isinstance(example, str | int | float) else ""
