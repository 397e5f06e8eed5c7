"""What a good piece costs: its material, what the failed castings cost, its share of the mold, its finish, and the hours.

Of materials the price is that of their cheapest pack by unit. What is made once for the piece (head, sculpture, mold) is shared out
over all good pieces the build wears on all its days, spares included. A material without a price, or whose amount is not known,
makes the sum a least: it is named and never counted as nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from mothermold.answers.build_takes import Kitchen
from mothermold.answers.castings_needed import CastingsNeeded, cast_of, pieces_a_doing
from mothermold.model.build import Build, Thing
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.reckon.packs import PackOffer
from mothermold.reckon.taking import DoingTakes, Taken, common


@dataclass
class Cost:
    """Money and hands.

    Attributes:
        money: In the book's currency.
        minutes: Minutes of all hands together.
        unpriced: What is in it without a known price or amount, by name.
        untimed: The steps that do not say how long hands are busy.
        by_runs: The steps whose time is the one of runs, for there were enough of them.
    """

    money: Fraction = Fraction(0)
    minutes: Fraction = Fraction(0)
    unpriced: set[str] = field(default_factory=set)
    untimed: set[str] = field(default_factory=set)
    by_runs: set[str] = field(default_factory=set)

    def times(self, factor: Fraction) -> Cost:
        """So much of it."""
        if not factor:
            return Cost()
        return replace(self, money=self.money * factor, minutes=self.minutes * factor)

    def __add__(self, other: Cost) -> Cost:
        """Both together."""
        return Cost(
            self.money + other.money,
            self.minutes + other.minutes,
            self.unpriced | other.unpriced,
            self.untimed | other.untimed,
            self.by_runs | other.by_runs,
        )


@dataclass(frozen=True)
class PieceCost:
    """What a good piece of a thing costs.

    Attributes:
        thing: The thing.
        parts: By what it is for: material, scrap, mold share, finish.
        scrap_known: Whether it is known how many castings fail; where not, scrap is nothing so far.
        pieces: Good pieces all days of the build want, spares included.
    """

    thing: str
    parts: Mapping[str, Cost]
    scrap_known: bool
    pieces: int

    @property
    def cost(self) -> Cost:
        """In all."""
        return _sum(self.parts.values())


def offers_of(material: Material) -> dict[str, list[PackOffer]]:
    """The packs of a material that have a price, by the unit they are added in."""
    found: dict[str, list[PackOffer]] = {}
    for pack in material.packs:
        unit, size = common(pack.size, material)
        if pack.price is not None and size:
            found.setdefault(unit, []).append(PackOffer(size, pack.price.value))
    return found


def is_from_the_tap(material: Material) -> bool:
    """Whether a material costs nothing worth a line: water that comes in no pack."""
    return "water" in material.families and not material.packs


def piece_costs(kitchen: Kitchen, castings: Sequence[CastingsNeeded]) -> list[PieceCost]:
    """What a good piece of each worn thing costs."""
    everything = {str(each.thing.id): _pieces_in_all(kitchen.build, str(each.thing.id)) for each in castings}
    return [_of_thing(kitchen, each, everything) for each in castings]


def days_cost(kitchen: Kitchen) -> Cost:
    """What the days on the face cost: all that goes on, through the day and off, on every day of the build."""
    return _sum(
        _doing(kitchen, ref).times(Fraction(sum(day.look == look.id for day in kitchen.build.days)))
        for look in kitchen.build.looks
        for ref in look.recipes.values()
    )


def _of_thing(kitchen: Kitchen, castings: CastingsNeeded, everything: Mapping[str, int]) -> PieceCost:
    thing = castings.thing
    name, pieces, rate = str(thing.id), everything[str(thing.id)], castings.rate
    one = _doing(kitchen, thing.recipe, name).times(Fraction(1, castings.a_casting))
    once = _once(kitchen, thing).times(Fraction(1, pieces))
    parts = {
        "material": one + once,
        "scrap": one.times(1 / rate - 1) if rate else Cost(),
        "mold share": _sum(
            (_doing(kitchen, each.recipe, str(each.id)) + _once(kitchen, each)).times(
                Fraction(1, _served(kitchen, each, everything))
            )
            for each in kitchen.upstream(name)
        ),
        "finish": _sum(_finish(kitchen, each, pieces) for each in kitchen.downstream(name)),
    }
    return PieceCost(name, parts, bool(rate), pieces)


def _finish(kitchen: Kitchen, thing: Thing, pieces: int) -> Cost:
    gives = sum(pieces_a_doing(kitchen.recipe(thing.recipe)).values())
    return _doing(kitchen, thing.recipe, str(thing.id)).times(Fraction(1, gives)) + _once(kitchen, thing).times(
        Fraction(1, pieces)
    )


def _served(kitchen: Kitchen, thing: Thing, everything: Mapping[str, int]) -> int:
    """The good pieces a mold, a sculpture, a head is for."""
    return sum(count for name, count in everything.items() if str(thing.id) in kitchen.build.behind(name))


def _pieces_in_all(build: Build, name: str) -> int:
    """The good pieces of a thing that all days want, spares included; one where no day is written."""
    found = 0
    for look in build.looks:
        days = sum(day.look == look.id for day in build.days)
        count = sum(piece.count or 1 for piece in look.pieces if cast_of(build, str(piece.thing)) == name)
        found += count * (days + (look.spares or 0))
    return max(found, 1)


def _doing(kitchen: Kitchen, ref: RecipeRef, thing: str = "") -> Cost:
    doing = kitchen.doing(ref, thing)
    if doing is None:
        return Cost(unpriced={str(ref)})
    found = _priced(kitchen, doing.each) + _of_jars(kitchen, doing)
    return found + _hands(kitchen, ref, once=False)


def _once(kitchen: Kitchen, thing: Thing) -> Cost:
    doing = kitchen.doing(thing.recipe, str(thing.id))
    if doing is None:
        return Cost()
    return _priced(kitchen, doing.once) + _hands(kitchen, thing.recipe, once=True)


def _of_jars(kitchen: Kitchen, doing: DoingTakes) -> Cost:
    return _sum(_priced(kitchen, doing.pots[mix]).times(grams) for mix, grams in doing.each.jars.items())


def _hands(kitchen: Kitchen, ref: RecipeRef, *, once: bool) -> Cost:
    """Minutes of all hands, as runs had them where there are enough of them: a step for two people counts twice."""
    recipe, learned = kitchen.recipe(ref), kitchen.learned_hands(ref)
    found = Cost()
    for step in recipe.steps if recipe is not None else ():
        if bool(step.once) != once:
            continue
        name = f"{ref.address}#{step.id}"
        if (minutes := learned.get(str(step.id))) is not None:
            found.by_runs.add(name)
        elif step.hands_on is not None:
            minutes = step.hands_on.value
        else:
            found.untimed.add(name)
            continue
        found.minutes += minutes * (step.people or 1)
    return found


def _priced(kitchen: Kitchen, taken: Taken) -> Cost:
    found = Cost(unpriced=set(taken.unknown))
    for name, units in taken.amounts.items():
        material = kitchen.materials.get(name)
        offers = offers_of(material) if material is not None else {}
        for unit, amount in units.items():
            if unit in offers:
                found.money += amount * min(each.price / each.size for each in offers[unit])
            elif amount and not (material is not None and is_from_the_tap(material)):
                found.unpriced.add(name)
    return found


def _sum(costs: Iterable[Cost]) -> Cost:
    found = Cost()
    for each in costs:
        found = found + each
    return found
