"""Which packs to buy: those that cover a need and cost least; of equal cost the fewest.

A small problem in whole numbers (covering with unlimited packs), solved exactly by trying counts of each size, the cheapest by unit
first, and leaving off wherever even the cheapest unit price could not do better. No source needed; the tests try every combination.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class PackOffer:
    """A pack that can be bought: how much it holds, and its price."""

    size: Fraction
    price: Fraction


def cheapest(need: Fraction, offers: Sequence[PackOffer]) -> tuple[tuple[PackOffer, int], ...]:
    """The packs to buy for a need, each with how many, the largest first; none where nothing is needed or offered.

    Args:
        need: How much must be covered, in the unit of the packs.
        offers: The packs there are.
    """
    kept = _undominated(offers)
    if need <= 0 or not kept:
        return ()
    search = _Search(kept)
    search.look(0, need, Fraction(0), (0,) * len(kept))
    found = [(offer, count) for offer, count in zip(kept, search.best, strict=True) if count]
    return tuple(sorted(found, key=lambda each: -each[0].size))


def _undominated(offers: Sequence[PackOffer]) -> list[PackOffer]:
    """Without those that hold no more than another and cost no less; the cheapest by unit first, of equals the larger."""
    found: list[PackOffer] = []
    for each in sorted({each for each in offers if each.size > 0}, key=lambda each: (-each.size, each.price)):
        if all(each.price < other.price for other in found):
            found.append(each)
    return sorted(found, key=lambda each: (each.price / each.size, -each.size))


class _Search:
    """Goes through the counts of each offer; what is certain to be worse is not gone through."""

    def __init__(self, offers: Sequence[PackOffer]) -> None:
        self.offers = offers
        self.best: tuple[int, ...] = (0,) * len(offers)
        self._rank: tuple[Fraction, int] | None = None

    def look(self, at: int, need: Fraction, cost: Fraction, counts: tuple[int, ...]) -> None:
        offer, is_last = self.offers[at], at == len(self.offers) - 1
        most = math.ceil(need / offer.size)
        for count in (most,) if is_last else range(most, -1, -1):
            rest, paid = need - count * offer.size, cost + count * offer.price
            chosen = (*counts[:at], count, *counts[at + 1 :])
            if rest <= 0:
                rank = (paid, sum(chosen))
                if self._rank is None or rank < self._rank:
                    self._rank, self.best = rank, chosen
                continue
            following = self.offers[at + 1]
            # The least the rest can cost, and the fewest packs it can cost that with.
            least = (paid + rest * following.price / following.size, sum(chosen) + math.ceil(rest / following.size))
            if self._rank is not None and least > self._rank:
                # With fewer of this one, dearer ones must cover more: it only gets worse.
                return
            self.look(at + 1, rest, paid, chosen)
