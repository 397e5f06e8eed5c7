"""A new document's text from what was answered: keys in order, lists as they are written by hand, no prose in braces."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from mothermold.desk.founding import modelines
from mothermold.desk.written import group_lines
from mothermold.model.expected import Model, is_list, keys_of, model_in
from mothermold.model.kinds import KINDS

# A test says what it asks before what came of it; all else is written in the model's order.
_AS_IF: Final[Mapping[str, str]] = {"asks": "outcome"}


def laid_out(kind: str, file: str, said: Mapping[str, Any]) -> str:
    """The whole text of a document; what is empty and what the model does not know is left out.

    Args:
        kind: Its kind.
        file: Its path relative to the book, for the lines by which editors find its schema.
        said: What it says; a key like ``lots.0.got`` leads into its groups.
    """
    tree: dict[str, Any] = {}
    for key, value in said.items():
        *way, last = key.split(".")
        group = tree
        for step in way:
            group = group.setdefault(step, {})
        group[last] = value
    return modelines(kind, file) + "\n".join([*group_lines(in_order(KINDS[kind].model, tree), 0), ""])


def in_order(model: Model | None, value: Any) -> Any:
    """What a document or a group of it says, its keys in the order they are written; what is empty or unknown is left out."""
    if isinstance(value, Mapping) and "0" in value:
        value = list(value.values())
    if isinstance(value, list | tuple):
        return [entry for each in value if (entry := in_order(model, each))]
    if model is None or not isinstance(value, Mapping):
        return value
    fields = keys_of(model)
    order = list(fields)
    told = {
        key: in_order(model_in(fields[key].annotation), value[key])
        for key in sorted(fields, key=lambda key: order.index(_AS_IF.get(key, key)))
        if key in value
    }
    # An empty list is an answer where a list has to stand.
    return {
        key: each or [] for key, each in told.items() if each or (fields[key].is_required() and is_list(fields[key].annotation))
    }  # fmt: skip
