"""The difference between two texts of a recipe: a lossless list of changes, matched by ids.

Values are compared as they are meant (quantities after conversion), and reported as they are written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from mothermold.compare.change import Action, Change, FieldPath, Written
from mothermold.compare.fields import RECIPE_FIELDS, Entries, Group, Leaf, Node
from mothermold.compare.following import followed, renames
from mothermold.compare.pairing import bare, entry_keys, pair
from mothermold.compare.saying import as_one
from mothermold.model.parts import Part
from mothermold.model.recipe import Mix, Recipe
from mothermold.model.traits import ChangeKind

__all__ = ["Action", "Change", "RecipeText", "Written", "bare", "differences", "same_process"]


@dataclass(frozen=True, slots=True)
class RecipeText:
    """A text of a recipe: what it means and how it is written."""

    recipe: Recipe
    written: Mapping[str, Any]


def differences(a: RecipeText, b: RecipeText) -> list[Change]:
    """All changes from A to B over the process fields, title, watch and pictures; wording last."""
    sides = _BothSides(a.recipe, b.recipe, a.written, b.written)
    found = list(_fields(RECIPE_FIELDS, sides, (), {}))
    return sorted(found, key=lambda change: change.kind == "wording")


def same_process(a: RecipeText, b: RecipeText) -> bool:
    """Whether two texts are the same version: equal in everything a number counts."""
    return all(change.note for change in differences(a, b))


_Renames = Mapping[str, Mapping[str, str]]
"""By mix, what the names of parts replaced in it or inside premixes have become: an ``of`` may only follow."""


@dataclass(frozen=True, slots=True)
class _BothSides:
    """One field on both sides: what it means in A and B, and how it is written there."""

    old: Any
    new: Any
    before: Written
    after: Written

    def entry(self, left: int, right: int) -> _BothSides:
        """An entry of A's list and the one of B's list it pairs with."""
        return _BothSides(self.old[left], self.new[right], self.before[left], self.after[right])


def _fields(fields: Mapping[str, Node], sides: _BothSides, path: FieldPath, names: _Renames) -> Iterator[Change]:
    may_follow = _may_follow(path, names)
    for key, node in fields.items():
        old, new = _value(sides.old, node), _value(sides.new, node)
        if may_follow or old != new:
            inner = _BothSides(old, new, _written(sides.before, key), _written(sides.after, key))
            yield from _COMPARE[type(node)](node, inner, (*path, key), names)


def _may_follow(path: FieldPath, names: _Renames) -> bool:
    """Whether an `of` here that stayed as it was may have had to follow a replaced part."""
    return len(path) > 1 and path[0] == "mixes" and bool(names.get(path[1]))


def _value(part: Part, node: Node) -> Any:
    value = getattr(part, node.name)
    # Counts by kind are written as keys, and the order of keys never counts.
    return dict(value) if node.name == "yields" and isinstance(value, tuple) else value


def _written(group: Any, key: str) -> Written:
    if isinstance(group, str):
        # `allowance: 10 %` stands for `allowance: {percent: 10 %}`.
        return group if key == "percent" else None
    return group.get(key) if group is not None else None


def _leaf(node: Leaf, sides: _BothSides, path: FieldPath, names: _Renames) -> Iterator[Change]:
    old, new = sides.old, sides.new
    if path[-1] == "of":
        old = tuple(followed(name, names.get(path[1], {})) for name in old)
    if old == new:
        return
    action: Action = "added" if sides.before is None else "removed" if sides.after is None else "changed"
    kind: ChangeKind = "safety" if node.safety and node.safety in (old, new) else node.kind
    yield Change(kind, action, path, sides.before, sides.after, note=node.note)


def _group(node: Group, sides: _BothSides, path: FieldPath, names: _Renames) -> Iterator[Change]:
    if sides.old is None and sides.new is None:
        return
    if sides.old is None or sides.new is None:
        action: Action = "added" if sides.old is None else "removed"
        yield Change(node.kind, action, path, sides.before, sides.after, note=node.note)
        return
    yield from _fields(node.fields, sides, path, names)


def _entries(node: Entries, sides: _BothSides, path: FieldPath, names: _Renames) -> Iterator[Change]:
    old, new, before, after = sides.old, sides.new, sides.before, sides.after
    left, right = entry_keys(node.key, old, new)
    pairing = pair(left, right, replaceable=node.replaceable)
    if path == ("mixes",):
        names = renames(_part_names(old), _part_names(new))
    at_left = {key: index for index, key in enumerate(left)}
    for index, key in enumerate(right):
        here = (*path, key)
        place = right[index - 1] if index else None
        if key in at_left:
            i = at_left[key]
            if node.ordered and key in pairing.moved:
                stood = left[i - 1] if i else None
                yield Change("order", "moved", here, stood, place, position=index, note=node.note)
            if old[i] != new[index] or _may_follow(here, names):
                found = _fields(node.fields, sides.entry(i, index), here, names)
                yield from as_one(found, here, before[i], after[index]) if path[-1] == "parts" else found
        elif key in pairing.replaced:
            i = at_left[pairing.replaced[key]]
            kind = _entry_kind(node, old[i], new[index])
            yield Change(kind, "changed", (*path, left[i]), before[i], after[index], note=node.note)
        else:
            kind = _entry_kind(node, new[index])
            shown, position = (place, index) if node.ordered else (None, None)
            yield Change(kind, "added", here, None, after[index], shown, position, node.note)
    gone = set(left) - set(right) - set(pairing.replaced.values())
    for i, key in enumerate(left):
        if key in gone:
            yield Change(_entry_kind(node, old[i]), "removed", (*path, key), before[i], None, note=node.note)


def _part_names(mixes: Sequence[Mix]) -> dict[str, list[str]]:
    return {mix.id: [part.name for part in mix.parts] for mix in mixes}


def _entry_kind(node: Entries, *entries: Part) -> ChangeKind:
    leaves = [leaf for leaf in node.fields.values() if isinstance(leaf, Leaf) and leaf.safety]
    if any(getattr(entry, leaf.name) == leaf.safety for leaf in leaves for entry in entries):
        return "safety"
    return node.kind


_COMPARE: dict[type, Callable[..., Iterator[Change]]] = {Leaf: _leaf, Group: _group, Entries: _entries}
