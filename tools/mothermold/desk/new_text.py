"""A new document's text from what was answered: keys in order, lists as they are written by hand, no prose in braces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.desk.founding import modelines
from mothermold.desk.scalars import WIDTH, entry_lines, on_a_line
from mothermold.model.expected import Model, is_list, keys_of, model_in
from mothermold.model.kinds import KINDS

# Groups written on one line in braces, where nothing in them needs quotes and all fits there; all others hold prose or lists.
_IN_BRACES: Final = frozenset({
    "batch", "cavity", "conditions", "days", "kept", "looks.pieces", "lots", "mixes.parts", "mixes.pot_life", "packs", "sds",
    "steps.uses", "surfaces", "things",
})  # fmt: skip
# Sentences that stand on a line of their own, however short they are.
_ON_LINES: Final = frozenset({"now", "symptoms"})
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
    return modelines(kind, file) + "\n".join([*_group(_in_order(KINDS[kind].model, tree), 0, ""), ""])


def _in_order(model: Model | None, value: Any) -> Any:
    if isinstance(value, Mapping) and "0" in value:
        value = list(value.values())
    if isinstance(value, list | tuple):
        return [entry for each in value if (entry := _in_order(model, each))]
    if model is None or not isinstance(value, Mapping):
        return value
    fields = keys_of(model)
    order = list(fields)
    told = {
        key: _in_order(model_in(fields[key].annotation), value[key])
        for key in sorted(fields, key=lambda key: order.index(_AS_IF.get(key, key)))
        if key in value
    }
    # An empty list is an answer where a list has to stand.
    return {
        key: each or [] for key, each in told.items() if each or (fields[key].is_required() and is_list(fields[key].annotation))
    }  # fmt: skip


def _group(tree: Mapping[str, Any], indent: int, at: str) -> list[str]:
    return [line for key, value in tree.items() for line in _entry(key, value, indent, at + key)]


def _entry(key: str, value: Any, indent: int, at: str) -> list[str]:
    pad = " " * indent
    if isinstance(value, Mapping):
        braced = _braced(value, indent + len(key) + 2, at)
        return [f"{pad}{key}: {braced}"] if braced else [f"{pad}{key}:", *_group(value, indent + 2, f"{at}.")]
    if at in _ON_LINES:
        return [f"{pad}{key}:", *(line for each in value for line in entry_lines("- ", each, indent + 2))]
    if isinstance(value, str) or all(isinstance(each, str) for each in value):
        return entry_lines(f"{key}: ", value, indent)
    return [f"{pad}{key}:", *(line for each in value for line in _listed(each, indent + 2, at))]


def _listed(group: Mapping[str, Any], indent: int, at: str) -> list[str]:
    pad = " " * indent
    if braced := _braced(group, indent + 2, at):
        return [f"{pad}- {braced}"]
    first, *rest = _group(group, indent + 2, f"{at}.")
    return [f"{pad}- {first.lstrip()}", *rest]


def _braced(group: Mapping[str, Any], column: int, at: str) -> str:
    if at not in _IN_BRACES:
        return ""
    written = ", ".join(f"{key}: {_short(value)}" for key, value in group.items())
    return f"{{{written}}}" if column + len(written) + 2 <= WIDTH and '"' not in written else ""


def _short(value: str | Sequence[str]) -> str:
    if isinstance(value, str):
        written = on_a_line(value, "braces")
        return written if written == value else '"'
    return f"[{', '.join(_short(each) for each in value)}]"
