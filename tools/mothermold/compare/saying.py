"""How much of a part goes in is one thing said with several keys: parts, a percent and of what, an amount."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from mothermold.compare.change import Change, Written

AMOUNT_KEYS: Final = ("parts", "percent", "of", "amount", "match")


def as_one(found: Iterable[Change], path: tuple[str, ...], before: Written, after: Written) -> Iterator[Change]:
    """The changes within one part of a mix; those of how much of it goes in are one.

    Args:
        found: The changes within the part, key by key.
        path: The part's path.
        before: The part as written in A.
        after: The part as written in B.
    """
    changes = list(found)
    mine = [change for change in changes if len(change.path) == len(path) + 1 and change.path[-1] in AMOUNT_KEYS]
    old, new = _amounts(before), _amounts(after)
    if len(mine) == 1:
        yield replace(mine[0], amounts=(old, new))
    elif mine:
        # Parts that became a percent are the same part said in another way: nothing was removed or added.
        yield Change("quantity", "changed", path, old, new, amounts=(old, new))
    yield from (change for change in changes if change not in mine)


def _amounts(part: Mapping[str, Written]) -> dict[str, Written]:
    return {key: part[key] for key in AMOUNT_KEYS if key in part}
