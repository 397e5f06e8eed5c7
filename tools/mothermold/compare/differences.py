"""The difference between two texts of a recipe: a lossless list of changes, matched by ids.

Values are compared as they are meant (quantities after conversion), and reported as they are written.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from mothermold.compare.fields import RECIPE_FIELDS, ChangeKind, Entries, Group, Leaf, Node
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe

Action = Literal["added", "removed", "changed", "moved"]
Written = Any
"""A value as the document has it: text, list or dict of such, None when absent."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change.

    Attributes:
        kind: material, quantity, time, order, safety or wording.
        action: added, removed, changed or moved.
        path: Keys and ids from the top of the recipe.
        before: As written in A; for a moved entry the id it stood after, None when first.
        after: As written in B, likewise.
        place: For an added entry of an ordered list, the id it stands after; None when first.
        note: Whether only a note changed, which no number counts.
    """

    kind: ChangeKind
    action: Action
    path: tuple[str, ...]
    before: Written
    after: Written
    place: str | None = None
    note: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """A text of a recipe: what it means and how it is written."""

    recipe: Recipe
    written: Mapping[str, Any]


def differences(a: Text, b: Text) -> list[Change]:
    """All changes from A to B over the process fields, title, watch and pictures; wording last."""
    found = list(_fields(RECIPE_FIELDS, a.recipe, b.recipe, a.written, b.written, (), _Renames({})))
    return sorted(found, key=lambda change: change.kind == "wording")


def same_process(a: Text, b: Text) -> bool:
    """Whether two texts are the same version: equal in everything a number counts."""
    return all(change.note for change in differences(a, b))


@dataclass(frozen=True, slots=True)
class _Renames:
    """Parts replaced in this mix and inside its premixes: what an ``of`` that only follows them now says."""

    names: Mapping[str, str]

    def followed(self, of: Sequence[str]) -> tuple[str, ...]:
        return tuple(followed(name, self.names) for name in of)


def _fields(
    fields: Mapping[str, Node], a: Part, b: Part, written_a: Any, written_b: Any, path: tuple[str, ...], names: _Renames
) -> Iterator[Change]:
    for key, node in fields.items():
        old, new = _value(a, key), _value(b, key)
        yield from _COMPARE[type(node)](node, old, new, _written(written_a, key), _written(written_b, key), (*path, key), names)


def _value(part: Part, key: str) -> Any:
    return getattr(part, f"{key}_" if hasattr(part, f"{key}_") else key)


def _written(group: Any, key: str) -> Written:
    if isinstance(group, str):
        # `allowance: 10 %` stands for `allowance: {percent: 10 %}`.
        return group if key == "percent" else None
    return group.get(key) if isinstance(group, Mapping) else None


def _leaf(
    node: Leaf, old: Any, new: Any, before: Written, after: Written, path: tuple[str, ...], names: _Renames
) -> Iterator[Change]:
    if path[-1] == "of":
        old = names.followed(old)
    if old == new:
        return
    action: Action = "added" if before is None else "removed" if after is None else "changed"
    kind = node.kind
    if path[-1] == "as" and "protect" in (old, new):
        kind = "safety"
    yield Change(kind, action, path, before, after, note=node.note)


def _group(
    node: Group, old: Part | None, new: Part | None, before: Written, after: Written, path: tuple[str, ...],
    names: _Renames,
) -> Iterator[Change]:  # fmt: skip
    if old is None and new is None:
        return
    if old is None or new is None:
        yield Change(node.kind, "added" if old is None else "removed", path, before, after)
        return
    yield from _fields(node.fields, old, new, before, after, path, names)


def _entries(
    node: Entries, old: Sequence[Part], new: Sequence[Part], before: Written, after: Written, path: tuple[str, ...],
    names: _Renames,
) -> Iterator[Change]:  # fmt: skip
    left, right = entry_keys(node.key, old), entry_keys(node.key, new)
    pairing = pair(left, right, replaceable=node.replaceable)
    if path == ("mixes",):
        names = _Renames(_inner_renames(old, new))  # `premix/material` follows a part replaced in the premix
    elif path[-1] == "parts":
        names = _Renames({**names.names, **_replaced_names(pairing.replaced)})
    at_left = {key: index for index, key in enumerate(left)}
    for index, key in enumerate(right):
        here = (*path, key)
        place = right[index - 1] if index else None
        written_new = after[index]
        if key in at_left:
            i = at_left[key]
            if node.ordered and key in pairing.moved:
                yield Change("order", "moved", here, left[i - 1] if i else None, place, note=node.note)
            yield from _fields(node.fields, old[i], new[index], before[i], written_new, here, names)
        elif key in pairing.replaced:
            i = at_left[pairing.replaced[key]]
            kind = _entry_kind(node, old[i], new[index])
            yield Change(kind, "changed", (*path, left[i]), before[i], written_new, note=node.note)
        else:
            shown = place if node.ordered else None
            yield Change(_entry_kind(node, new[index]), "added", here, None, written_new, place=shown, note=node.note)
    gone = set(left) - set(right) - set(pairing.replaced.values())
    for i, key in enumerate(left):
        if key in gone:
            yield Change(_entry_kind(node, old[i]), "removed", (*path, key), before[i], None, note=node.note)


def _entry_kind(node: Entries, *entries: Part) -> ChangeKind:
    if any(getattr(entry, "as_", None) == "protect" for entry in entries):
        return "safety"
    return node.kind


def _replaced_names(replaced: Mapping[str, str]) -> dict[str, str]:
    return {bare(old): bare(new) for new, old in replaced.items()}


def _inner_renames(old: Sequence[Any], new: Sequence[Any]) -> dict[str, str]:
    found: dict[str, str] = {}
    others = {mix.id: mix for mix in new}
    for mix in old:
        if mix.id in others:
            pairing = pair(
                entry_keys("name", mix.parts), entry_keys("name", others[mix.id].parts), replaceable=True
            )
            for before, after in _replaced_names(pairing.replaced).items():
                found[f"{mix.id}/{before}"] = f"{mix.id}/{after}"
    return found


def followed(name: str, names: Mapping[str, str]) -> str:
    """What the name of a part says after parts were replaced, itself or the premix it lies in."""
    if name in names:
        return names[name]
    premix, slash, inner = name.partition("/")
    return names.get(premix, premix) + slash + inner


def bare(key: str) -> str:
    """An entry's key without the number that tells repeated ones apart."""
    return key.partition("#")[0]


def entry_keys(field: str, entries: Sequence[Any]) -> list[str]:
    """What identifies each entry of a list; a name standing again is told apart as ``name#2``."""
    seen: dict[str, int] = {}
    keys = []
    for entry in entries:
        name = str(getattr(entry, field))
        seen[name] = seen.get(name, 0) + 1
        keys.append(name if seen[name] == 1 else f"{name}#{seen[name]}")
    return keys


@dataclass(frozen=True, slots=True)
class Pairing:
    """How the entries of two lists correspond.

    Attributes:
        moved: Keys in both lists that changed their order.
        replaced: For a key only in B, the key of A whose place it took.
    """

    moved: frozenset[str]
    replaced: Mapping[str, str]


def pair(left: Sequence[str], right: Sequence[str], *, replaceable: bool) -> Pairing:
    """Pairs two lists of keys; the fewest moves, and replacements between the same fixed neighbors."""
    position = {key: index for index, key in enumerate(left)}
    common = [key for key in right if key in position]
    fixed = _longest_rising(common, position.__getitem__)
    moved = frozenset(common) - fixed
    replaced: dict[str, str] = {}
    if replaceable:
        for gone, come in zip(_gaps(left, fixed, moved), _gaps(right, fixed, moved), strict=True):
            replaced |= dict(zip(come, gone, strict=False))
    return Pairing(moved, replaced)


def _gaps(keys: Sequence[str], fixed: frozenset[str], moved: frozenset[str]) -> list[list[str]]:
    gaps: list[list[str]] = [[]]
    for key in keys:
        if key in fixed:
            gaps.append([])
        elif key not in moved:
            gaps[-1].append(key)
    return gaps


def _longest_rising(keys: Sequence[str], rank: Callable[[str], int]) -> frozenset[str]:
    """The longest run of keys whose ranks rise (patience sorting): what need not move."""
    tails: list[int] = []
    tail_keys: list[str] = []
    before: dict[str, str | None] = {}
    for key in keys:
        value = rank(key)
        slot = bisect.bisect_left(tails, value)
        before[key] = tail_keys[slot - 1] if slot else None
        tails[slot : slot + 1] = [value]
        tail_keys[slot : slot + 1] = [key]
    kept: set[str] = set()
    last = tail_keys[-1] if tail_keys else None
    while last is not None:
        kept.add(last)
        last = before[last]
    return frozenset(kept)


_COMPARE: dict[type, Callable[..., Iterator[Change]]] = {Leaf: _leaf, Group: _group, Entries: _entries}


