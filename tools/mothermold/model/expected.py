"""What the model of a kind expects at a path of a document: which keys, which type, which example."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel, BeforeValidator
from pydantic.fields import FieldInfo

from mothermold.model.walk import KeyPath

Model = type[BaseModel]


def keys_of(model: Model) -> dict[str, Any]:
    """The keys a group may hold, as written, with their fields."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def type_at(model: Model, path: KeyPath) -> Any:
    """The annotation a path leads to, or None where it leads nowhere."""
    target: Any = model
    for step in path:
        if isinstance(step, int):
            target = next(_inside(target), None) if is_list(target) else target
            continue
        group = model_in(target)
        field = keys_of(group).get(step) if group else None
        if field is None:
            return None
        target = field.annotation
    return target


def example_of(model: Model, path: KeyPath) -> str:
    """The example of the field a path leads to, where it is short enough to type on a line."""
    keys = [index for index, step in enumerate(path) if isinstance(step, str)]
    if not keys:
        return ""
    owner, key = path[: keys[-1]], path[keys[-1]]
    group = model_in(type_at(model, owner)) if owner else model
    field = keys_of(group).get(str(key)) if group else None
    example = (field.examples or [None])[0] if field else None
    if isinstance(example, list):
        example = example[0] if example else None
    return str(example) if isinstance(example, str | int | float) else ""


def _inside(target: Any) -> Iterator[Any]:
    for option in _options(target):
        if typing.get_origin(option) is tuple:
            yield typing.get_args(option)[0]


def _options(target: Any) -> Iterator[Any]:
    origin = typing.get_origin(target)
    if origin is typing.Annotated:
        yield from _options(typing.get_args(target)[0])
    elif origin in (typing.Union, types.UnionType):
        for option in typing.get_args(target):
            yield from _options(option)
    elif target is not None:
        yield target


def entry_type(target: Any) -> Any:
    """What an entry of the list that may stand there is; None where none may."""
    return next(_inside(target), None)


def words_of(target: Any) -> tuple[str, ...]:
    """The words that may stand there, alone or in a list, where nothing else may."""
    options = [option for option in _options(entry_type(target) or target) if option is not type(None)]
    if any(typing.get_origin(option) is not typing.Literal for option in options):
        return ()
    return tuple(word for option in options for word in typing.get_args(option))


def marks_of(field: FieldInfo) -> tuple[Any, ...]:
    """What stands beside the types of a field: who reads them, in which dimensions."""
    return (*field.metadata, *_marks(field.annotation))


def _marks(target: Any) -> Iterator[Any]:
    if typing.get_origin(target) is typing.Annotated:
        yield from typing.get_args(target)[1:]
    for inner in typing.get_args(target):
        yield from _marks(inner)


def short_key(field: FieldInfo) -> str:
    """The key a plain text stands for where a group of keys may stand; empty where none may."""
    for mark in marks_of(field):
        if isinstance(mark, BeforeValidator):
            made: Any = mark.func("")  # type: ignore[call-arg]
            return str(next(iter(made))) if isinstance(made, dict) else ""
    return ""


def is_list(target: Any) -> bool:
    """Whether a list may stand there."""
    return any(True for _each in _inside(target))


def holds(target: Any) -> Iterator[type]:
    """The classes whose values may stand there, alone or in a list; not None."""
    for option in _options(target):
        if isinstance(option, type) and typing.get_origin(option) is None and option is not type(None):
            yield option
    for entry in _inside(target):
        yield from holds(entry)


def model_in(target: Any) -> Model | None:
    """The group of keys that may stand there, alone or in a list."""
    return next((option for option in holds(target) if issubclass(option, BaseModel)), None)
