"""Goes through everything a document says, value by value, with the path as it is written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

KeyPath = tuple[str | int, ...]


def walk(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """All single values below a document or group, with their paths of keys and list positions."""
    if isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            yield from walk(getattr(value, name), (*path, field.alias or name))
    elif isinstance(value, tuple):
        for index, entry in enumerate(value):
            yield from walk(entry, (*path, index))
    elif value is not None:
        yield path, value
