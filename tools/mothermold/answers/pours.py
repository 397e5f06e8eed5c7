"""What is in a pour through its premixes, and whether a part said in another way weighs what it weighed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from mothermold.compare.change import Change
from mothermold.model.material import Material
from mothermold.model.recipe import THE_REST, TOTAL, Recipe
from mothermold.quantities.wording import plain_number
from mothermold.reckon.batches import Wanted, own_fill, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import readings


@dataclass(frozen=True, slots=True)
class PouredPart:
    """A material in a pour.

    Attributes:
        grams: How much; None where it is measured by eye.
        percent: What it is in percent of the main materials; None for these themselves.
        of: The main materials, as A and B.
        through: Whether a premix brings it, or some of it.
    """

    grams: Fraction | None
    percent: Fraction | None
    of: tuple[str, ...]
    through: bool


def wanted_at(resolved: Resolved, fill: Fraction) -> Wanted:
    """What a mix is compared at: the fill, or its own size where it has one and fills nothing."""
    batch_only = resolved.mix.batch is not None and own_fill(resolved.mix) is None
    return Wanted() if batch_only or resolved.fixed else Wanted(fill=fill)


def poured(recipe: Recipe, mix_id: str, fill: Fraction, materials: Mapping[str, Material]) -> dict[str, PouredPart]:
    """The materials of a pour by name, taken apart through all premixes; none where it cannot be reckoned."""
    try:
        resolved = resolve(recipe.mixes, mix_id, materials)
        lines = reckon_batch(resolved, wanted_at(resolved, fill), (), flat=True).lines
    except ReckoningError:
        # The mix itself says so where it is asked for.
        return {}
    shares = {each.part: each for each in readings(resolved, materials) if isinstance(each.of, tuple)}
    within = frozenset[str]().union(*resolved.inside.values())
    found = {}
    for line in lines:
        share = shares.get(line.name)
        of = tuple(share.of) if share else ()
        found[line.name] = PouredPart(line.grams, share.percent if share else None, of, line.name in within)
    return found


def pour_sentence(title: str, was: PouredPart | None, now: PouredPart | None, materials: Mapping[str, Material]) -> str:
    """What became of a material in a pour; nothing where it weighs what it weighed, or cannot be weighed on a side."""
    if was is None or now is None or was.grams is None or now.grams is None or was.grams == now.grams:
        return ""
    grams = f"{float(was.grams):.1f} g → {float(now.grams):.1f} g"
    if was.percent is None or now.percent is None:
        return f"{title} in the pour {grams}."
    if (was.percent, was.of) == (now.percent, now.of):
        return f"{title} in the pour is still {plain_number(now.percent)} % of {_named(now.of, materials)}, {grams}."
    before = f"{plain_number(was.percent)} %" + (f" of {_named(was.of, materials)}" if was.of != now.of else "")
    return f"{title} in the pour {before} → {plain_number(now.percent)} % of {_named(now.of, materials)}, {grams}."


def _named(names: Sequence[str], materials: Mapping[str, Material]) -> str:
    return " + ".join(str(getattr(materials.get(name), "title", name)) for name in names)


def weighs_the_same(change: Change, old: Recipe, new: Recipe, materials: Mapping[str, Material]) -> bool:
    """Whether a part whose amount is said in another way weighs what it weighed against what it is said of.

    Args:
        change: A change of how much of a part goes in.
        old: The recipe of A.
        new: The recipe of B.
        materials: Today's materials, for what is measured by volume.
    """
    if change.amounts is None or not _another_way(*change.amounts):
        return False
    mix_id, name = change.path[1], change.path[3]
    names = [of for each in change.amounts if (of := _of(each))]
    try:
        before, after = (resolve(each.mixes, mix_id, materials) for each in (old, new))
        ratios = [(_ratio(old, before, name, of, materials), _ratio(new, after, name, of, materials)) for of in names]
    except ReckoningError:
        return False
    return bool(ratios) and all(was is not None and was == now for was, now in ratios)


def _another_way(was: Mapping[str, Any], now: Mapping[str, Any]) -> bool:
    """Whether both are parts or percents, and not both of the same."""
    measured = all("parts" in each or "percent" in each for each in (was, now))
    return measured and (was.keys() != now.keys() or _of(was) != _of(now))


def _of(amount: Mapping[str, Any]) -> tuple[str, ...]:
    of = amount.get("of", ())
    return tuple(of) if isinstance(of, list | tuple) else (str(of),)


def _ratio(
    recipe: Recipe, resolved: Resolved, name: str, of: tuple[str, ...], materials: Mapping[str, Material]
) -> Fraction | None:
    """The part's weight over that of what it is said of; None where either is not to be had."""
    mass = {part.name: part.mass for part in resolved.parts}
    if of in ((THE_REST,), (TOTAL,)):
        shares = {part.name for part in resolved.mix.parts if part.of in ((THE_REST,), (TOTAL,))}
        bases = [
            each.mass for each in resolved.parts if not each.outside and (of == (TOTAL,) or each.name not in shares)
        ]
    else:
        bases = [_mass(recipe, mass, each, materials) for each in of]
    known = [each for each in bases if each is not None]
    together = sum(known, Fraction(0))
    own = mass.get(name)
    return own / together if own is not None and together and len(known) == len(bases) else None


def _mass(
    recipe: Recipe, mass: Mapping[str, Fraction | None], name: str, materials: Mapping[str, Material]
) -> Fraction | None:
    """The weight of a part, or of ``premix/material`` within one."""
    outer, _, inner = name.partition("/")
    whole = mass.get(outer)
    if not inner or whole is None:
        return whole
    premix = resolve(recipe.mixes, outer, materials)
    within = next((part.mass for part in premix.materials if part.name == inner), None)
    return within * whole / premix.mass if within is not None and premix.mass else None
