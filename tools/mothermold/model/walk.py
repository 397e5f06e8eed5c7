"""Goes through everything a document says, value by value, with the path as it is written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from pydantic import BaseModel

from mothermold.ground.memory import once_for_each
from mothermold.model.names import Reference

KeyPath = tuple[str | int, ...]


def walk(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """All single values below a document or group, with their paths of keys and list positions."""
    found: list[tuple[KeyPath, Any]] = []
    _gather(value, path, found.append)
    return iter(found)


@once_for_each
def references(model: BaseModel) -> tuple[tuple[KeyPath, Reference], ...]:
    """What a document names of others, with where it does; asked by every check, so looked for once."""
    return tuple((path, value) for path, value in walk(model) if isinstance(value, Reference))


# Generators within generators would hand each value up through all of them.
def _gather(value: Any, path: KeyPath, found: Callable[[tuple[KeyPath, Any]], None]) -> None:
    if isinstance(value, BaseModel):
        for name, key in _keys(type(value)):
            inner = getattr(value, name)
            if inner is not None:
                _gather(inner, (*path, key), found)
    elif isinstance(value, tuple):
        for index, entry in enumerate(value):
            _gather(entry, (*path, index), found)
    elif value is not None:
        found((path, value))


@cache
def _keys(model: type[BaseModel]) -> tuple[tuple[str, str], ...]:
    """The names of its fields, each with the key it is written by."""
    return tuple((name, field.alias or name) for name, field in model.model_fields.items())
