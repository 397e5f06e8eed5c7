"""Applies a difference: A and the changes from A to B give B again, in what a difference speaks of."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from mothermold.compare.differences import Change, bare, followed
from mothermold.compare.fields import RECIPE_FIELDS, Entries, Group, Node

Raw = Any


def apply(written: Mapping[str, Any], changes: Sequence[Change]) -> dict[str, Any]:
    """The written tree after the changes.

    Args:
        written: The tree of A.
        changes: What ``differences`` found from A to B.
    """
    tree: dict[str, Any] = copy.deepcopy(dict(written))
    _apply_fields(tree, RECIPE_FIELDS, [(change.path, change) for change in changes])
    return tree


_Pending = list[tuple[tuple[str, ...], Change]]


def _apply_fields(tree: dict[str, Any], fields: Mapping[str, Node], pending: _Pending) -> None:
    for key, mine in _by_first(pending).items():
        node = fields[key]
        whole = [change for path, change in mine if len(path) == 1]
        inner = [(path[1:], change) for path, change in mine if len(path) > 1]
        for change in whole:
            _set(tree, key, change.after)
        if inner and isinstance(node, Group):
            if isinstance(tree.get(key), str):
                tree[key] = {"percent": tree[key]}
            _apply_fields(tree[key], node.fields, inner)
        elif inner and isinstance(node, Entries):
            entries = tree.setdefault(key, [])
            tree[key] = _apply_entries(entries, node, inner, tree)
            if key == "mixes":
                _follow_inside(tree[key], inner)
            if not tree[key] and key != "parts":
                del tree[key]


def _by_first(pending: _Pending) -> dict[str, _Pending]:
    found: dict[str, _Pending] = {}
    for path, change in pending:
        found.setdefault(path[0], []).append((path, change))
    return found


def _set(tree: dict[str, Any], key: str, value: Raw) -> None:
    if value is None:
        tree.pop(key, None)
    else:
        tree[key] = copy.deepcopy(value)


def _apply_entries(entries: list[Any], node: Entries, pending: _Pending, owner: dict[str, Any]) -> list[Any]:
    keyed = dict(zip(_written_keys(node.key, entries), copy.deepcopy(entries), strict=True))
    order = list(keyed)
    whole = [(path[0], change) for path, change in pending if len(path) == 1]
    for key, change in whole:
        if change.action == "removed" or (change.action == "moved"):
            order.remove(key)
        if change.action == "removed":
            del keyed[key]
    renamed: dict[str, str] = {}
    for key, change in whole:
        if change.action == "changed":
            new = _name(node.key, change.after)
            renamed[key] = new
            keyed[key] = copy.deepcopy(change.after)
    for key, mine in _by_first([(path, change) for path, change in pending if len(path) > 1]).items():
        _apply_fields(keyed[key], node.fields, [(path[1:], change) for path, change in mine])
    _place(order, keyed, whole, renamed, node)
    if node.key == "name" and renamed:
        names = {bare(old): new for old, new in renamed.items()}
        for entry in keyed.values():
            _follow(entry, names)
    return [keyed[key] for key in order]


def _place(
    order: list[str], keyed: dict[str, Any], whole: Iterable[tuple[str, Change]], renamed: Mapping[str, str], node: Entries
) -> None:
    # Changes come in B's order, so whatever an entry stands after is already in its place.
    shown = {renamed.get(key, key): key for key in order}
    for key, change in whole:
        if change.action not in ("added", "moved"):
            continue
        if change.action == "added":
            keyed[key] = copy.deepcopy(change.after)
        after = change.place if change.action == "added" else change.after
        if change.action == "added" and not node.ordered:
            order.append(key)
        else:
            order.insert(order.index(shown.get(after, after)) + 1 if after is not None else 0, key)
        shown[key] = key


def _follow(entry: dict[str, Any], names: Mapping[str, str]) -> None:
    of = entry.get("of")
    if isinstance(of, str):
        entry["of"] = followed(of, names)
    elif isinstance(of, list):
        entry["of"] = [followed(name, names) for name in of]


def _follow_inside(mixes: list[Any], pending: _Pending) -> None:
    names = {
        f"{path[0]}/{bare(path[2])}": f"{path[0]}/{_name('name', change.after)}"
        for path, change in pending
        if len(path) == 3 and path[1] == "parts" and change.action == "changed"
    }
    changed = {(path[0], bare(path[2])) for path, _change in pending if len(path) >= 3 and path[-1] == "of"}
    for mix in mixes:
        for part in mix.get("parts", []):
            if (mix["id"], _name("name", part)) not in changed:
                _follow(part, names)


def _name(key: str, entry: Mapping[str, Any]) -> str:
    return str(entry.get("material") or entry.get("mix") or "") if key == "name" else str(entry[key])


def _written_keys(key: str, entries: Sequence[Mapping[str, Any]]) -> list[str]:
    seen: dict[str, int] = {}
    keys = []
    for entry in entries:
        name = _name(key, entry)
        seen[name] = seen.get(name, 0) + 1
        keys.append(name if seen[name] == 1 else f"{name}#{seen[name]}")
    return keys
