"""Finds every field a recipe has written, and another sensible value for each.

The model tells what a field holds; which kind a change of it has is none of its business.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal, get_args, get_origin

from compare.texts import Tree
from mothermold.model.names import Name, PartName, Reference
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe
from mothermold.quantities import Quantity

# What identifies an entry is no field of it: another id is another entry.
IDENTIFIES = {("surfaces", "id"), ("mixes", "id"), ("steps", "id"), ("pictures", "file")}
NAMES_ENTRY = {("parts", "material"), ("parts", "mix"), ("uses", "material"), ("uses", "mix")}
# Reasons carry it, or who may see it is no matter of the process.
NEVER_IN_PICTURES = {("pictures", "face"), ("pictures", "visibility")}
NEVER = {"format", "version", "status", "why", "fixes", "visibility", "formerly", "accepts"}

# The last number that is not the end of a unit such as cm2.
_NUMBER = re.compile(r"(?<![A-Za-z\d.])\d+(?:\.\d+)?(?!.*(?<![A-Za-z\d.])\d)")


@dataclass(frozen=True)
class Field:
    """One field a recipe has written.

    Attributes:
        group: The key of the group or list it stands in; ``recipe`` at the top.
        key: Its own key.
        place: Keys and list positions to it.
        path: Keys and ids to it.
        value: What it means.
        another: Another sensible value of the same type, as it may be written.
        needed: Whether it must stand there.
    """

    group: str
    key: str
    place: tuple[str | int, ...]
    path: tuple[str, ...]
    value: Any
    another: Any
    needed: bool


def fields_of(recipe: Recipe, tree: Tree) -> Iterator[Field]:
    """Every field that is written, groups before what stands in them."""
    yield from _fields(recipe, tree, "recipe", (), ())


def _fields(
    part: Part, written: Tree, group: str, place: tuple[str | int, ...], path: tuple[str, ...]
) -> Iterator[Field]:
    for name, info in type(part).model_fields.items():
        key = info.alias or name
        if key not in written or (group, key) in IDENTIFIES | NEVER_IN_PICTURES or (group == "recipe" and key in NEVER):
            continue
        value, raw = getattr(part, name), written[key]
        here, told = (*place, key), (*path, key)
        if isinstance(value, tuple) and value and isinstance(value[0], Part):
            for index, (entry, text) in enumerate(zip(value, raw, strict=True)):
                keys = _keys(key, raw)
                yield from _fields(entry, text, key, (*here, index), (*told, keys[index]))
            continue
        if isinstance(value, Part) and key == "allowance" and isinstance(raw, str):
            yield Field(key, "percent", here, (*told, "percent"), raw, _next_number(raw), needed=True)
            continue
        yield Field(group, key, here, told, value, _another(value, raw, info.annotation), info.is_required())
        if isinstance(value, Part) and key != "wait":
            yield from _fields(value, raw, key, here, told)


def _keys(key: str, entries: list[Tree]) -> list[str]:
    names = [
        str(entry.get("id") or entry.get("file") or entry.get("material") or entry.get("mix")) for entry in entries
    ]
    repeats = [names[:index].count(name) + 1 for index, name in enumerate(names)]
    return [name if count == 1 else f"{name}#{count}" for name, count in zip(names, repeats, strict=True)]


def _another(value: Any, raw: Any, annotation: Any) -> Any:
    if isinstance(raw, list):
        return [*raw[:-1], _another(value[-1], raw[-1], None)]
    if isinstance(raw, dict):
        first, *rest = raw.items()
        inner = first[1]
        changed = _next_number(inner) if re.match(r"\d", str(inner)) else "another-mix"
        return {first[0]: changed} | dict(rest)
    if isinstance(value, tuple):  # one name alone where a list may stand
        return _another(value[0], raw, None)
    if isinstance(value, bool):
        return "no" if value else "yes"
    if choices := [word for word in _choices(annotation) if word != raw]:
        return choices[0]
    if isinstance(value, PartName):
        return "the-rest" if raw != "the-rest" else "total"
    if isinstance(value, Name | Reference):
        return "another-name"
    if isinstance(value, int | Quantity | Part):
        return _next_number(raw)
    if isinstance(value, date):
        return _next_number(raw)
    return f"{raw} another"


def _next_number(raw: str) -> str:
    return _NUMBER.sub(lambda number: str(Decimal(number[0]) + 1), raw, count=1)


def _choices(annotation: Any) -> list[str]:
    if get_origin(annotation) is Literal:
        return list(get_args(annotation))
    return [word for inner in get_args(annotation) for word in _choices(inner)]


def at(tree: Any, place: tuple[str | int, ...]) -> Any:
    """What stands at a place of a tree."""
    for step in place:
        tree = tree[step]
    return tree


def with_another(tree: Tree, field: Field) -> Tree:
    """The tree with another value in this field; what names a replaced part in `of` follows."""
    changed = copy.deepcopy(tree)
    old = at(changed, field.place)
    at(changed, field.place[:-1])[field.place[-1]] = copy.deepcopy(field.another)
    if (field.group, field.key) in NAMES_ENTRY and field.group == "parts":
        own = at(changed, field.place[:2])
        for mix in changed["mixes"]:
            for part in mix["parts"]:
                if "of" in part:
                    part["of"] = _renamed(part["of"], old, field.another, own["id"], inside=mix is own)
    return changed


def _renamed(of: Any, old: str, new: str, mix: str, *, inside: bool) -> Any:
    if isinstance(of, list):
        return [_renamed(name, old, new, mix, inside=inside) for name in of]
    if inside and of == old:
        return new
    if inside and of.startswith(f"{old}/"):
        return of.replace(old, new, 1)
    return f"{mix}/{new}" if of == f"{mix}/{old}" else of


def without(tree: Tree, field: Field) -> Tree:
    """The tree without this field."""
    changed = copy.deepcopy(tree)
    del at(changed, field.place[:-1])[field.place[-1]]
    return changed
