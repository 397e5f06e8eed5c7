"""Which entries of two lists are the same one, which were replaced and which moved."""

from __future__ import annotations

import bisect
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any


def bare(key: str) -> str:
    """An entry's key without the number that tells repeated ones apart."""
    return key.partition("#")[0]


def entry_keys(field: str, old: Sequence[Any], new: Sequence[Any]) -> tuple[list[str], list[str]]:
    """What identifies each entry of A's and of B's list; equal keys mean the same entry.

    A name standing again is told apart as ``name#2``, counted in A. Where a name stands again, an entry of B
    is the one of A that is equal, else one of the same use, else the next one.
    """
    left = numbered([str(getattr(entry, field)) for entry in old])
    right = numbered([str(getattr(entry, field)) for entry in new])
    repeated = {bare(key) for key in (*left, *right) if "#" in key}
    for name in repeated:
        ours = [i for i, key in enumerate(left) if bare(key) == name]
        theirs = [i for i, key in enumerate(right) if bare(key) == name]
        free = iter(numbered([name] * (len(ours) + len(theirs)))[len(ours) :])
        partners = _partners(old, new, ours, theirs)
        for i in theirs:
            right[i] = left[partners[i]] if i in partners else next(free)
    return left, right


def numbered(names: Iterable[str]) -> list[str]:
    """The names, each one standing again with its count."""
    seen: dict[str, int] = {}
    keys = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        keys.append(name if seen[name] == 1 else f"{name}#{seen[name]}")
    return keys


def _partners(old: Sequence[Any], new: Sequence[Any], ours: list[int], theirs: list[int]) -> dict[int, int]:
    found: dict[int, int] = {}
    alike: tuple[Callable[[Any, Any], bool], ...] = (
        lambda one, other: bool(one == other),
        lambda one, other: getattr(one, "as_", None) == getattr(other, "as_", None),
        lambda _one, _other: True,
    )
    for are_alike in alike:
        for i in theirs:
            left_over = (j for j in ours if j not in found.values() and are_alike(old[j], new[i]))
            if i not in found and (j := next(left_over, None)) is not None:
                found[i] = j
    return found


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
