"""A new document's text from what was answered: keys in order, lists as they are written by hand, no prose in braces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from mothermold.desk.founding import modelines
from mothermold.desk.scalars import WIDTH, entry_lines, on_a_line

PlainTree = Mapping[str, Any]


class Braced(dict[str, Any]):
    """A group written on one line in braces, where nothing in it needs quotes and all of it fits there."""


class Lines(list[str]):
    """A list of sentences: each stands on a line of its own, however short it is."""


def laid_out(kind: str, file: str, tree: PlainTree) -> str:
    """The whole text of a document; keys without a value are left out.

    Args:
        kind: Its kind.
        file: Its path relative to the book, for the lines by which editors find its schema.
        tree: What it says, in the order it is to be written in.
    """
    return modelines(kind, file) + "\n".join([*_group(tree, 0), ""])


def _group(tree: PlainTree, indent: int) -> list[str]:
    return [line for key, value in _said(tree) for line in _entry(key, value, indent)]


def _said(tree: PlainTree) -> list[tuple[str, Any]]:
    # An empty list is an answer where a list has to stand; an empty text or group is none.
    return [(key, value) for key, value in tree.items() if value or value == []]


def _entry(key: str, value: Any, indent: int) -> list[str]:
    pad = " " * indent
    if isinstance(value, str):
        return entry_lines(f"{key}: ", value, indent)
    if isinstance(value, Mapping):
        if braced := _braced(value, indent + len(key) + 2):
            return [f"{pad}{key}: {braced}"]
        below = _group(value, indent + 2)
        return [f"{pad}{key}:", *below] if below else []
    if isinstance(value, Lines):
        return [f"{pad}{key}:", *(line for each in value for line in entry_lines("- ", each, indent + 2))]
    if all(isinstance(each, str) for each in value):
        return entry_lines(f"{key}: ", value, indent)
    return [f"{pad}{key}:", *(line for each in value for line in _listed(each, indent + 2))]


def _listed(group: PlainTree, indent: int) -> list[str]:
    pad = " " * indent
    if braced := _braced(group, indent + 2):
        return [f"{pad}- {braced}"]
    first, *rest = _group(group, indent + 2)
    return [f"{pad}- {first.lstrip()}", *rest]


def _braced(group: PlainTree, column: int) -> str:
    if not isinstance(group, Braced):
        return ""
    written = ", ".join(f"{key}: {_short(value)}" for key, value in _said(group))
    return f"{{{written}}}" if written and column + len(written) + 2 <= WIDTH and '"' not in written else ""


def _short(value: str | Sequence[str]) -> str:
    if isinstance(value, str):
        written = on_a_line(value, "braces")
        return written if written == value else '"'
    return f"[{', '.join(_short(each) for each in value)}]"
