"""Keys and list entries with nothing behind them: found, and taken out of what is understood."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from typing import Any

from mothermold.book.tree import Places, Tree
from mothermold.model.walk import KeyPath


def find_empty(raw: Any, path: KeyPath = ()) -> list[KeyPath]:
    """The paths of all keys and entries without a value."""
    if raw is None:
        return [path]
    pairs = raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ()
    return [found for step, value in pairs for found in find_empty(value, (*path, step))]


def without_empty(raw: Any) -> Any:
    """A copy of a raw tree without them."""
    if isinstance(raw, dict):
        return {key: without_empty(value) for key, value in raw.items() if value is not None}
    if isinstance(raw, list):
        return [without_empty(value) for value in raw if value is not None]
    return raw


def close_ranks(tree: Tree, empty: list[KeyPath]) -> None:
    """Takes empty entries out of the lists of a tree, so that every entry is found under the number it is used by."""
    gone: dict[KeyPath, list[int]] = defaultdict(list)
    for path in empty:
        if path and isinstance(path[-1], int):
            gone[path[:-1]].append(path[-1])
    if not gone:
        return

    def moved(path: KeyPath) -> KeyPath | None:
        steps = list(path)
        for index, step in enumerate(path):
            left_out = gone.get(path[:index])
            if left_out and isinstance(step, int):
                if step in left_out:
                    return None
                steps[index] = step - bisect_left(left_out, step)
        return tuple(steps)

    tree.places = Places(
        {new: span for path, span in tree.keys.items() if (new := moved(path)) is not None},
        {new: span for path, span in tree.values.items() if (new := moved(path)) is not None},
    )
    tree.doubted = {new for path in tree.doubted if (new := moved(path)) is not None}
    tree.raw = _closed(tree.raw)


def _closed(raw: Any) -> Any:
    if isinstance(raw, dict):
        return {key: _closed(value) for key, value in raw.items()}
    return [_closed(value) for value in raw if value is not None] if isinstance(raw, list) else raw
