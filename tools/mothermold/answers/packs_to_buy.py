"""Which packs cover what a build or a course takes, beyond the lots in hand on its last day; what is not known is told by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from mothermold.answers.piece_cost import is_from_the_tap, offers_of
from mothermold.answers.result import number
from mothermold.answers.stock import draws_of, stock_of
from mothermold.model.material import Material
from mothermold.quantities.wording import plain_number
from mothermold.reckon.packs import PackOffer, cheapest
from mothermold.reckon.stock import LotStock
from mothermold.reckon.taking import Taken, common
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class PacksToBuy:
    """A material that is needed.

    Attributes:
        material: Its name.
        title: What it is called.
        unit: The unit of its amounts.
        need: How much is needed.
        have: What the lots in hand still hold on the last day; None where no lot says it.
        lots: Those lots.
        buy: The packs, each with how many; without a price its size stands for it.
        price: What they cost; None where that is not known.
    """

    material: str
    title: str
    unit: str
    need: Fraction
    have: Fraction | None
    lots: tuple[str, ...]
    buy: tuple[tuple[PackOffer, int], ...]
    price: Fraction | None


class Shopping:
    """What is to be bought.

    Args:
        view: The owner's edition.
        taken: What will be taken.
        until: The last day something is taken for; None where no day is known.
        unread: The recipes that cannot be read.

    Attributes:
        packs: By title.
        unsure: In sentences what is not known, and so not counted.
    """

    def __init__(self, view: View, taken: Taken, until: date | None, unread: Sequence[str] = ()) -> None:
        self._view, self._until = view, until
        self._materials: Mapping[str, Material] = view.models(Material)
        self.unsure = [f"`{name}` cannot be read, so what it takes is not in here." for name in unread]
        rows = [self._row(name, units) for name, units in taken.amounts.items()]
        self.packs = sorted((row for row in rows if row is not None), key=lambda row: row.title.casefold())
        self.unsure += [f"{called(self._materials, name)}: {why}." for name, why in taken.unknown.items()]

    def _row(self, name: str, amounts: Mapping[str, Fraction]) -> PacksToBuy | None:
        units = {unit: amount for unit, amount in amounts.items() if amount}
        material, title = self._materials.get(name), called(self._materials, name)
        if not units or (material is not None and is_from_the_tap(material)):
            return None
        unit, need = max(units.items(), key=lambda each: each[0] == "g")
        if len(units) > 1:
            others = " and ".join(f"{plain_number(amount)} {other}" for other, amount in units.items() if other != unit)
            self.unsure.append(f"{title}: {others} more, which without its density cannot be added to the rest.")
        if material is None:
            self.unsure.append(f"{title} is no material of the book, so what there is of it is not known.")
            return PacksToBuy(name, title, unit, need, None, (), (), None)
        have, lots = self._in_hand(name, unit, title)
        buy, price = self._to_buy(material, unit, need - (have or 0), title)
        return PacksToBuy(name, title, unit, need, have, lots, buy, price)

    def _in_hand(self, name: str, unit: str, title: str) -> tuple[Fraction | None, tuple[str, ...]]:
        lots = stock_of(self._view, name)
        self.unsure += self._doubts(lots, unit, title)
        reckoned = any(not lot.as_it_stands and lot.left is not None for lot in lots)
        if reckoned and (nameless := sum(1 for draw in draws_of(self._view, name) if not draw.lots)):
            self.unsure.append(
                f"{title}: {_runs(nameless)} took of it and named no lot, so its lots may hold less than is said."
            )
        known = [lot for lot in lots if lot.left is not None and lot.unit == unit]
        if lots and not known:
            return None, ()
        good = [lot for lot in known if lot.good_on(self._until) and lot.left]
        return sum((lot.left or Fraction(0) for lot in good), Fraction(0)), tuple(lot.lot for lot in good)

    def _doubts(self, lots: Sequence[LotStock], unit: str, title: str) -> Iterator[str]:
        for lot in lots:
            of = f"{title}, lot {lot.lot}:"
            if lot.left is None:
                yield f"{of} nobody wrote how much it held or holds, so it is not counted."
            elif lot.left and lot.unit != unit:
                yield f"{of} what is left is written in {lot.unit} and the need is in {unit}; it is not counted."
            elif lot.left and not lot.good_on(self._until) and lot.last:
                yield f"{of} it goes off on {lot.last}, before the last day, so it is not counted."
            elif lot.left and lot.silent:
                yield f"{of} {_runs(len(lot.silent))} took of it and did not say how much, so it may hold less."
            if lot.over:
                yield f"{of} runs took {plain_number(lot.over)} {lot.unit} more than there was; weigh what is left."

    def _to_buy(
        self, material: Material, unit: str, need: Fraction, title: str
    ) -> tuple[tuple[tuple[PackOffer, int], ...], Fraction | None]:
        if need <= 0:
            return (), Fraction(0)
        if offers := offers_of(material).get(unit, []):
            chosen = cheapest(need, offers)
            return chosen, sum((offer.price * count for offer, count in chosen), Fraction(0))
        sizes = {
            size for pack in material.packs for other, size in (common(pack.size, material),) if other == unit and size
        }
        if sizes:
            self.unsure.append(f"{title}: no price is written, so it is not in the total.")
        elif material.packs:
            self.unsure.append(
                f"{title}: its packs are not in {unit}, and without its density they cannot be compared."
            )
        else:
            self.unsure.append(f"{title}: no pack is written, so what to buy and its price are not known.")
        # Without a price the least is bought that is enough.
        return cheapest(need, [PackOffer(size, size) for size in sizes]), None


def pack_row(row: PacksToBuy, by: date | None = None) -> dict[str, Any]:
    """A material that is needed, as data; ``by`` is the day it must be there."""
    grams = row.unit == "g"
    return {
        "material": row.material,
        "need_g": number(row.need) if grams else None,
        "have_g": number(row.have) if grams else None,
        "buy": [
            {
                "size_g": number(offer.size) if grams else None,
                "count": count,
                "price": number(offer.price) if row.price is not None else None,
                "size": number(offer.size),
            }
            for offer, count in row.buy
        ],
        "price": number(row.price),
        "title": row.title,
        "unit": row.unit,
        "need": number(row.need),
        "have": number(row.have),
        "lots": list(row.lots),
        "by": by.isoformat() if by else None,
    }


def called(materials: Mapping[str, Material], name: str) -> str:
    """What a material is called; a mix, or what no material is, by its name."""
    material = materials.get(name)
    return str(material.title) if material is not None else f"`{name}`"


def _runs(count: int) -> str:
    return f"{count} {'run' if count == 1 else 'runs'}"
