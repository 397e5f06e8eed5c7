"""Which entries of one kind tell of much the same: by the rare words they share in their titles and among what you would shout."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Final

from mothermold.find.index import SAID, Entry, Index, means_near

_MOST: Final = 3
_COMMON: Final = 60
"""A word in more notes than that tells nothing apart, however large the book."""
_SHARE: Final = 5
"""A neighbor shares at least one part in so many of what an entry says."""


def related(index: Index, kind: str) -> dict[str, Sequence[Entry]]:
    """For each entry of a kind its nearest neighbors of that kind, the nearest first; entries with none are left out.

    A word weighs the more the fewer entries of the kind have it; small words, and those in every fourth, weigh nothing.
    """
    mine = {place for place, entry in enumerate(index.entries) if entry.kind == kind}
    said: dict[int, list[tuple[str, int]]] = defaultdict(list)
    holders: dict[str, list[int]] = {}
    for word, places in index.words.items():
        there = [place for place, weight in places.items() if weight >= SAID and place in mine]
        if (
            word not in index.words_of.small
            and not means_near(word)
            and len(there) <= min(_COMMON, max(2, len(mine) // 4))
        ):
            holders[word] = there
            for place in there:
                said[place].append((word, (len(mine) // len(there)).bit_length()))
    found: dict[str, Sequence[Entry]] = {}
    for place in sorted(mine):
        shared: dict[int, int] = defaultdict(int)
        for word, rarity in said[place]:
            for other in holders[word]:
                shared[other] += rarity
        whole = shared.pop(place, 0)
        near = sorted(
            (other for other in shared if _SHARE * shared[other] >= whole), key=lambda each: (-shared[each], each)
        )
        if near:
            found[index.entries[place].id] = [index.entries[other] for other in near[:_MOST]]
    return found
