"""From the model's refusals to notices: where, what is wrong in words of the bench, what to type instead."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from mothermold.book.near import is_one_slip
from mothermold.book.tree import Tree, value_at
from mothermold.ground.notices import Notice, Severity
from mothermold.ground.spans import Span
from mothermold.ground.words import nearest
from mothermold.model.expected import example_of, is_list, keys_of, model_in, type_at
from mothermold.model.walk import KeyPath

_START: Final = Span(1, 1, 1, 1)

# For how many unknown keys the meant one is looked for; who has more of them has another file than a document.
_MOST_WEIGHED: Final = 200

# What one entry of a list is called.
_ONE: Final[dict[str, str]] = {
    "steps": "step", "mixes": "mix", "parts": "part", "uses": "use", "surfaces": "surface", "causes": "cause",
    "fixes": "fix", "things": "thing", "looks": "look", "days": "day", "lots": "lot", "packs": "pack",
    "pictures": "picture", "photos": "photo", "kept": "kept piece", "accepts": "accepted finding", "pieces": "piece",
    "rules": "rule",
}  # fmt: skip


def one_of(key: str) -> str:
    """What one entry of a list is called."""
    return _ONE.get(key, "entry")


def place_of_key(tree: Tree, path: KeyPath) -> Span:
    """Where the key stands; of a list's entry, where the entry starts."""
    return tree.keys.get(path) or place_of_value(tree, path)


def place_of_value(tree: Tree, path: KeyPath) -> Span:
    """Where the value stands, or the nearest group it would belong to."""
    while path:
        if path in tree.values:
            return tree.values[path]
        path = path[:-1]
    return tree.values.get((), _START)


def refusals(error: ValidationError, tree: Tree, model: type[BaseModel], hints: Mapping[str, str]) -> list[Notice]:
    """One notice for each root cause among the model's refusals.

    Args:
        error: What the model refused.
        tree: The document.
        model: Its kind's model.
        hints: What to type for top-level keys where the file's own place tells it.
    """
    unknown: list[KeyPath] = []
    missing: list[KeyPath] = []
    notices: list[Notice] = []
    said: set[KeyPath] = set()
    for refusal in error.errors(include_url=False):
        path = _path_in_tree(refusal["loc"], tree, last_may_lack=refusal["type"] == "missing")
        if path in said or _is_doubted(path, tree):
            continue
        said.add(path)
        if refusal["type"] == "missing":
            missing.append(path)
        elif refusal["type"] == "extra_forbidden":
            unknown.append(path)
        else:
            notices.append(_bad_value(refusal, path, tree, model))
    misplaced, notices_of_unknown = _unknown_keys(unknown, tree, model)
    excused = {key[-1] for key in misplaced}
    notices += notices_of_unknown
    for path in missing:
        if path[-1] in excused or _was_mistyped(path, unknown, tree, model):
            continue
        notices.append(missing_key(path, tree, model, hints=hints))
    return notices


def _is_doubted(path: KeyPath, tree: Tree) -> bool:
    return any(path[:length] in tree.doubted for length in range(len(path) + 1))


def _path_in_tree(location: Sequence[str | int], tree: Tree, *, last_may_lack: bool) -> KeyPath:
    # The model names branches of its own between the keys of the document; only what stands there counts.
    path: KeyPath = ()
    for index, step in enumerate(location):
        longer = (*path, step)
        if longer in tree.keys or longer in tree.values or (last_may_lack and index == len(location) - 1):
            path = longer
    return path


def missing_key(
    path: KeyPath, tree: Tree, model: type[BaseModel], *, hints: Mapping[str, str], severity: Severity = "error"
) -> Notice:
    """The notice that a required key is missing; placed on the first key of the group that lacks it."""
    owner, key = path[:-1], str(path[-1])
    span = tree.values.get(owner, _START)
    example = hints.get(key) if not owner and key in hints else example_of(model, path)
    return Notice(
        "missing-key",
        severity,
        f"{_named(owner)} has no `{key}`.",
        f"Type `{key}: {example}`." if example else f"Type `{key}:` and below it what belongs to it.",
        line=span.line,
        column=span.column,
    )


def _named(owner: KeyPath) -> str:
    if not owner:
        return "The document"
    words = [str(step) for step in owner if isinstance(step, str)]
    last = words[-1]
    if isinstance(owner[-1], int):
        return f"This {one_of(last)}"
    return f"`{last}`"


def _bad_value(refusal: Any, path: KeyPath, tree: Tree, model: type[BaseModel]) -> Notice:
    kind, context = refusal["type"], refusal.get("ctx", {})
    span = place_of_value(tree, path)
    value = value_at(tree.raw, path)
    if value is None:
        span = place_of_key(tree, path)
        return _note("empty-value", f"{_label(path)} has no value.", _example_advice(model, path), span)
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        if not isinstance(value, str):
            return _wrong_shape(value, path, model, span)
        hit = nearest(value, words)
        listed = ", ".join(f"`{word}`" for word in words)
        advice = f"Did you mean `{hit}`? It may be one of {listed}." if hit else f"Type one of {listed}."
        return _note("unknown-word", f"`{value}` is not a word that `{_last_key(path)}` knows.", advice, span)
    if "help" in context:
        if kind == "wrong-shape":
            return _wrong_shape(value, path, model, span)
        return _note(kind, context["message"], context["help"], span)
    return _wrong_shape(value, path, model, span)


def _wrong_shape(value: Any, path: KeyPath, model: type[BaseModel], span: Span) -> Notice:
    given = "a list" if isinstance(value, list) else "a group of keys" if isinstance(value, dict) else "a plain text"
    target = type_at(model, path)
    example = example_of(model, path)
    group = model_in(target)
    first = next(iter(keys_of(group))) if group else ""
    if is_list(target):
        wanted = "a list"
        shown = f"{first}:" if group else example
        advice = f"Type each entry on a line of its own below it, beginning with `- {shown}`."
    elif group:
        wanted = "a group of keys"
        shown = value if isinstance(value, str) else example_of(group, (first,))
        advice = f"Type keys with their values, such as `{first}: {shown}`."
    elif isinstance(path[-1], int) and (text := _parted(value)):
        return _note("wrong-shape", "A colon and a space inside a text end it.", f'Put it in quotes: "{text}".', span)
    else:
        wanted = "one plain text"
        sign, place = (f"{_last_key(path)}:", "colon") if isinstance(path[-1], str) else ("-", "dash")
        advice = f"Type one value after the {place}{f', such as `{sign} {example}`' if example else ''}."
    return _note("wrong-shape", f"{_label(path)} is {given}; {wanted} is wanted.", advice, span)


def _parted(value: Any) -> str:
    """The text an entry was meant to be where a colon made a key of its beginning; nothing for a real group."""
    if isinstance(value, dict) and len(value) == 1:
        ((key, rest),) = value.items()
        return f"{key}: {rest}" if isinstance(rest, str) else ""
    return ""


def _label(path: KeyPath) -> str:
    return f"`{_last_key(path)}`" if path and isinstance(path[-1], str) else f"An entry of `{_last_key(path)}`"


def _last_key(path: KeyPath) -> str:
    return next((step for step in reversed(path) if isinstance(step, str)), "document")


def _example_advice(model: type[BaseModel], path: KeyPath) -> str:
    example = example_of(model, path)
    key = _last_key(path)
    return (
        f"Type a value, such as `{key}: {example}`, or delete the key."
        if example
        else "Type a value or delete the key."
    )


def empty_value(path: KeyPath, tree: Tree, model: type[BaseModel], *, severity: Severity = "error") -> Notice:
    """The notice that a key has nothing behind it."""
    span = place_of_key(tree, path)
    return Notice(
        "empty-value",
        severity,
        f"{_label(path)} has no value.",
        _example_advice(model, path),
        line=span.line,
        column=span.column,
    )


def _unknown_keys(paths: list[KeyPath], tree: Tree, model: type[BaseModel]) -> tuple[list[KeyPath], list[Notice]]:
    misplaced: list[KeyPath] = []
    notices: list[Notice] = []
    slipped: set[KeyPath] = set()
    for path in paths[_MOST_WEIGHED:]:
        key = f"`{path[-1]!s}` is not known here."
        notices.append(_note("unknown-key", key, "Delete it.", place_of_key(tree, path)))
    for path in paths[:_MOST_WEIGHED]:
        owner, key = path[:-1], str(path[-1])
        level = _level_of(key, owner, tree, model)
        known = list(keys_of(model_in(type_at(model, owner)) or model))
        hit = _meant_key(path, tree, known)
        if level is not None:
            misplaced.append(path)
            if owner in slipped:
                continue  # one slip of the indentation carries its neighbors with it
            slipped.add(owner)
            advice = f"`{key}` belongs {level}; move it there by its indentation."
        elif hit:
            advice = f"Did you mean `{hit}`?"
        else:
            advice = f"Delete it, or use one of {', '.join(f'`{word}`' for word in known)}."
        place = (
            _named(owner)
            .replace("This entry", "an entry")
            .replace("This ", "a ")
            .replace("The document", "this document")
        )
        notices.append(_note("unknown-key", f"`{key}` is not a key of {place}.", advice, place_of_key(tree, path)))
    return misplaced, notices


def _level_of(key: str, owner: KeyPath, tree: Tree, model: type[BaseModel]) -> str | None:
    for length in range(len(owner) - 1, -1, -1):
        outer = owner[:length]
        group = model_in(type_at(model, outer))
        if isinstance(value_at(tree.raw, outer), dict) and group is not None and key in keys_of(group):
            return f"to {_named(outer).replace('This ', 'the ').replace('The document', 'the document itself')}"
    here = model_in(type_at(model, owner)) or model
    return _below(here, key) or _below(model, key)


def _below(model: type[BaseModel], key: str) -> str | None:
    """The nearest group further in that knows the key."""
    waiting = [model]
    while waiting:
        group = waiting.pop(0)
        for name, field in keys_of(group).items():
            below = model_in(field.annotation)
            if below is None:
                continue
            if key in keys_of(below):
                return f"to a {_ONE[name]}" if name in _ONE else f"to `{name}`"
            waiting.append(below)
    return None


def _meant_key(path: KeyPath, tree: Tree, known: list[str]) -> str | None:
    """The known key that was probably meant: one slip of the fingers away, or else much alike."""
    written = str(path[-1])
    group = value_at(tree.raw, path[:-1])
    # What already stands in the group was not meant a second time, unless nothing else is near.
    free = [word for word in known if not isinstance(group, dict) or word not in group]
    slips = [word for word in free if is_one_slip(written, word)]
    return nearest(written, slips, cutoff=0.0) or nearest(written, free) or nearest(written, known)


def _was_mistyped(path: KeyPath, unknown: list[KeyPath], tree: Tree, model: type[BaseModel]) -> bool:
    known = list(keys_of(model_in(type_at(model, path[:-1])) or model))
    unknown = unknown[:_MOST_WEIGHED]
    return any(other[:-1] == path[:-1] and _meant_key(other, tree, known) == path[-1] for other in unknown)


def _note(code: str, message: str, advice: str, span: Span) -> Notice:
    return Notice(code, "error", message, advice, line=span.line, column=span.column)
