"""Applies a difference: A and the changes from A to B give B again, in what a difference speaks of."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Any

from mothermold.compare.differences import Change
from mothermold.compare.fields import RECIPE_FIELDS, Entries, Group, Node
from mothermold.compare.following import followed, renames
from mothermold.compare.pairing import numbered

Bare = Any


def apply(written: Mapping[str, Any], changes: Sequence[Change]) -> dict[str, Any]:
    """The written tree after the changes.

    Args:
        written: The tree of A.
        changes: What ``differences`` found from A to B.
    """
    changed = _changed(written, changes)
    names = renames(_part_names(written), _part_names(changed))
    if not any(names.values()):
        return changed
    # Each `of` follows what was replaced, before the changes set those that changed beyond following.
    return _changed(_followed(written, names), changes)


def _changed(written: Mapping[str, Any], changes: Sequence[Change]) -> dict[str, Any]:
    tree: dict[str, Any] = copy.deepcopy(dict(written))
    _apply_fields(tree, RECIPE_FIELDS, [(change.path, change) for change in changes])
    return tree


def _followed(written: Mapping[str, Any], names: Mapping[str, Mapping[str, str]]) -> dict[str, Any]:
    tree: dict[str, Any] = copy.deepcopy(dict(written))
    for mix in tree.get("mixes", []):
        for part in mix.get("parts", []):
            of, new = part.get("of"), names.get(_name("id", mix), {})
            if isinstance(of, str):
                part["of"] = followed(of.strip(), new)
            elif isinstance(of, list):
                part["of"] = [followed(name.strip(), new) for name in of]
    return tree


def _part_names(tree: Mapping[str, Any]) -> dict[str, list[str]]:
    mixes = tree.get("mixes", [])
    return {_name("id", mix): [_name("name", part) for part in mix.get("parts", [])] for mix in mixes}


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
            tree[key] = _apply_entries(tree.get(key, []), node, inner)
            if not tree[key] and not node.needed:
                del tree[key]


def _by_first(pending: _Pending) -> dict[str, _Pending]:
    found: dict[str, _Pending] = {}
    for path, change in pending:
        found.setdefault(path[0], []).append((path, change))
    return found


def _set(tree: dict[str, Any], key: str, value: Bare) -> None:
    if value is None:
        tree.pop(key, None)
    else:
        tree[key] = copy.deepcopy(value)


def _apply_entries(entries: list[Any], node: Entries, pending: _Pending) -> list[Any]:
    keyed = dict(zip(numbered(_name(node.key, entry) for entry in entries), entries, strict=True))
    order = list(keyed)
    whole = [(path[0], change) for path, change in pending if len(path) == 1]
    for key, change in whole:
        if change.action in {"removed", "moved"}:
            order.remove(key)
        if change.action == "removed":
            del keyed[key]
        elif change.action == "changed" and change.amounts is not None:
            rest = {name: value for name, value in keyed[key].items() if name not in change.before}
            keyed[key] = rest | copy.deepcopy(change.after)
        elif change.action == "changed":
            keyed[key] = copy.deepcopy(change.after)
    for key, mine in _by_first([(path, change) for path, change in pending if len(path) > 1]).items():
        _apply_fields(keyed[key], node.fields, [(path[1:], change) for path, change in mine])
    for key, change in whole:
        if change.action == "added":
            keyed[key] = copy.deepcopy(change.after)
        if change.action in {"added", "moved"}:
            # Changes come in B's order: up to this entry everything is already in its place.
            order.insert(len(order) if change.position is None else change.position, key)
    return [keyed[key] for key in order]


def _name(key: str, entry: Mapping[str, Any]) -> str:
    name = entry.get("material") or entry.get("mix") or "" if key == "name" else entry[key]
    return str(name).strip()
