"""How groups of keys and lists of them are written by hand: what is short in braces, all else on lines, no prose in braces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.desk.scalars import WIDTH, ScalarPlace, entry_lines, on_a_line, written_value

# Groups written on one line in braces, where nothing in them needs quotes and all fits there; all others hold prose or lists.
_IN_BRACES: Final = frozenset({
    "batch", "cavity", "conditions", "days", "kept", "looks.pieces", "lots", "mixes.parts", "mixes.pot_life", "packs", "sds",
    "steps.uses", "surfaces", "things",
})  # fmt: skip
# Sentences that stand on a line of their own, however short they are.
_ON_LINES: Final = frozenset({"now", "symptoms"})


def group_lines(tree: Mapping[str, Any], indent: int, at: str = "") -> list[str]:
    """The lines of a group of keys.

    Args:
        tree: What it says: texts, lists and groups.
        indent: How many spaces stand before its keys.
        at: Where in a document it stands, as ``steps.uses``; empty for the document itself.
    """
    before = f"{at}." if at else ""
    return [line for key, value in tree.items() for line in key_lines(key, value, indent, before + key)]


def key_lines(key: str, value: Any, indent: int, at: str) -> list[str]:
    """The lines of a key with all below it; ``at`` is where it stands."""
    pad = " " * indent
    if isinstance(value, Mapping):
        braced = _braced(value, indent + len(key) + 2, at)
        return [f"{pad}{key}: {braced}"] if braced else [f"{pad}{key}:", *group_lines(value, indent + 2, at)]
    if isinstance(value, str):
        return entry_lines(f"{key}: ", value, indent)
    if at in _ON_LINES and value:
        return [f"{pad}{key}:", *(line for each in value for line in entry_lines("- ", each, indent + 2))]
    if _are_texts(value):
        return entry_lines(f"{key}: ", value, indent)
    return [f"{pad}{key}:", *(line for each in value for line in item_lines(each, indent + 2, at))]


def item_lines(value: Any, indent: int, at: str) -> list[str]:
    """The lines of a list's entry; ``at`` is where the list stands."""
    if isinstance(value, str):
        return entry_lines("- ", value, indent)
    pad = " " * indent
    if not isinstance(value, Mapping):
        return [f"{pad}- {in_braces(value)}"]
    if braced := _braced(value, indent + 2, at):
        return [f"{pad}- {braced}"]
    first, *rest = group_lines(value, indent + 2, at) or ["{}"]
    return [f"{pad}- {first.lstrip()}", *rest]


def value_written(value: Any, indent: int, column: int, place: ScalarPlace, at: str) -> tuple[str, list[str]]:
    """A value as written behind its key or dash: what stands on the line itself, and the lines below it.

    Args:
        value: A text, a list or a group of keys.
        indent: How many spaces stand before its key or dash.
        column: Where the value starts on its line.
        place: Where it stands.
        at: Where in the document that is.
    """
    if isinstance(value, str) or (not isinstance(value, Mapping) and _are_texts(value)):
        return written_value(value, indent, column, place)
    if place == "braces":
        return in_braces(value), []
    if not isinstance(value, Mapping):
        return "", [line for each in value for line in item_lines(each, indent + 2, at)]
    braced = _braced(value, column, at) or (in_braces(value) if place != "key" or not value else "")
    return (braced, []) if braced else ("", group_lines(value, indent + 2, at))


def in_braces(value: Any) -> str:
    """A value on one line inside braces or brackets, whatever it takes."""
    if isinstance(value, str):
        return on_a_line(value, "braces")
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {in_braces(each)}" for key, each in value.items()) + "}"
    return "[" + ", ".join(map(in_braces, value)) + "]"


def _are_texts(values: Sequence[Any]) -> bool:
    return all(isinstance(each, str) for each in values)


def _braced(group: Mapping[str, Any], column: int, at: str) -> str:
    """A group in braces; nothing where it is not written so."""
    written = in_braces(group)
    return written if at in _IN_BRACES and column + len(written) <= WIDTH and _is_plain(group) else ""


def _is_plain(value: Any) -> bool:
    """Whether nothing in it needs quotes."""
    if isinstance(value, str):
        return on_a_line(value, "braces") == value
    return all(map(_is_plain, value.values() if isinstance(value, Mapping) else value))
