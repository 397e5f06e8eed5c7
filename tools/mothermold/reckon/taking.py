"""How much of each material a mix takes, and one whole doing of a recipe.

Each amount is brought to one unit: grams where a density or the weight of a drop allows it, else milliliters, else what it is counted
in. Amounts in different units are kept apart and never added. What cannot be known (measured by eye, no amount written, no density) is
named with its reason and counts for nothing; whoever shows the sums says so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe, Step
from mothermold.quantities import Quantity
from mothermold.reckon.batches import Wanted, own_fill, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, ResolvedPart, by_eye, resolve

UNITS_SAID: Final = {
    "mass": "g", "volume": "ml", "length": "mm", "area": "cm2",
    "pieces": "pieces", "rolls": "rolls", "sheets": "sheets", "pairs": "pairs", "drops": "drops",
}  # fmt: skip
"""The unit amounts of a dimension are added in."""


def common(amount: Quantity, material: Material | None) -> tuple[str, Fraction]:
    """An amount of a material in the unit it is added in: its unit and how much, of a range the longer end."""
    if material is not None:
        if amount.dimension == "volume" and material.density is not None:
            return "g", amount.value * material.density.value
        if amount.dimension == "drops" and material.drop is not None:
            return "g", amount.value * material.drop.value
    return UNITS_SAID[amount.dimension], amount.value


@dataclass
class Taken:
    """What was or will be taken.

    Attributes:
        amounts: By material and unit.
        jars: Grams of premixes that come out of a jar, by mix.
        unknown: By material or mix why its amount is not known.
    """

    amounts: dict[str, dict[str, Fraction]] = field(default_factory=dict)
    jars: dict[str, Fraction] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)

    def add(self, material: str, unit: str, amount: Fraction) -> None:
        """Takes so much more of a material."""
        of = self.amounts.setdefault(material, {})
        of[unit] = of.get(unit, Fraction(0)) + amount

    def take(self, other: Taken, times: Fraction = Fraction(1)) -> None:
        """Takes so often what another takes."""
        for material, units in other.amounts.items() if times else ():
            for unit, amount in units.items():
                self.add(material, unit, amount * times)
        for mix, grams in other.jars.items():
            self.jars[mix] = self.jars.get(mix, Fraction(0)) + grams * times
        if times:
            self.unknown.update(other.unknown)


def batch_takes(
    mixes: Sequence[Mix],
    mix_id: str,
    weighed: Quantity,
    materials: Mapping[str, Material],
    jars: Collection[str] = (),
) -> Taken:
    """What a batch of so much took, through its premixes.

    Args:
        mixes: All mixes of the recipe.
        mix_id: The one that was mixed.
        weighed: How much of it.
        materials: The book's materials by name.
        jars: The premixes that came out of a jar: what went into these is not taken here.
    """
    try:
        resolved = resolve(mixes, mix_id, materials)
        whole = resolved.total_mass if weighed.dimension == "mass" else resolved.volume
        if whole is None:
            whole = resolved.total_mass / resolved.density
    except ReckoningError as problem:
        return Taken(unknown={mix_id: problem.message})
    return _Flattening(mixes, materials, jars).taken(resolved, weighed.value / whole) if whole else Taken()


@dataclass(frozen=True)
class _Flattening:
    """Takes a mix apart into raw materials, down to what comes out of jars."""

    mixes: Sequence[Mix]
    materials: Mapping[str, Material]
    jars: Collection[str]

    def taken(self, resolved: Resolved, scale: Fraction) -> Taken:
        found = Taken()
        for part in resolved.parts:
            if part.premix:
                self._premix(part, scale, found)
            elif by_eye(part):
                found.unknown[part.name] = f"it is measured by eye in `{resolved.mix.id}` ({part.outside})"
            elif part.mass is not None:
                found.add(part.name, "g", part.mass * scale)
            elif part.volume is not None:
                found.add(part.name, "ml", part.volume * scale)
        return found

    def _premix(self, part: ResolvedPart, scale: Fraction, found: Taken) -> None:
        inner = resolve(self.mixes, part.name, self.materials)
        if part.name in self.jars:
            if part.mass is None:
                found.unknown[part.name] = "a density is missing, so what is taken out of its jar is not known"
            else:
                found.jars[part.name] = found.jars.get(part.name, Fraction(0)) + part.mass * scale
            return
        pairs = ((part.mass, inner.mass), (part.volume, inner.volume))
        share = next((own / whole for own, whole in pairs if own is not None and whole), None)
        if share is None:
            found.unknown[part.name] = "a density is missing in it"
        else:
            found.take(self.taken(inner, scale * share))


@dataclass(frozen=True)
class DoingTakes:
    """What a recipe takes.

    Attributes:
        each: By every doing.
        batches: Mixes that are weighed once for a whole build, however often it is done.
        set_up: All else that is done once, for a mold, a wearer or a build. What stands in jars is in none of these: ``each``
            says how much of the jars a doing takes.
        pots: What a gram of each premix that stands in a jar takes.
    """

    each: Taken
    batches: Taken
    set_up: Taken
    pots: Mapping[str, Taken]

    @property
    def once(self) -> Taken:
        """What is taken once, whatever for."""
        whole = Taken()
        whole.take(self.batches)
        whole.take(self.set_up)
        return whole


def jars_in(mixes: Sequence[Mix]) -> set[str]:
    """The mixes that stand in a jar: premixes that are mixed once."""
    return {str(mix.id) for mix in mixes if mix.once} & _inside(mixes)


def _inside(mixes: Sequence[Mix]) -> set[str]:
    return {str(part.mix) for mix in mixes for part in mix.parts if part.mix}


def doing_takes(recipe: Recipe, materials: Mapping[str, Material], fill: Wanted | None = None) -> DoingTakes:
    """What one doing of a recipe takes.

    Args:
        recipe: The recipe.
        materials: The book's materials by name.
        fill: What its mold takes, where that is known better than by the recipe: instead of what ``fills`` says.
    """
    each, batches, set_up = Taken(), Taken(), Taken()
    inside, jars = _inside(recipe.mixes), jars_in(recipe.mixes)
    for mix in recipe.mixes:
        if mix.id not in inside:
            bucket = batches if mix.once == "build" else set_up if mix.once or _only_once(recipe, mix) else each
            bucket.take(_mixed(recipe, mix, materials, jars, fill))
    for step in recipe.steps:
        for name, amount in _used(step):
            bucket = set_up if step.once else each
            if amount is None:
                bucket.unknown.setdefault(name, f"step `{step.id}` does not say how much it takes")
            else:
                bucket.add(name, *common(amount, materials.get(name)))
    gram = Quantity("mass", Fraction(1), Fraction(1), "1 g")
    return DoingTakes(
        each, batches, set_up, {jar: batch_takes(recipe.mixes, jar, gram, materials) for jar in sorted(jars)}
    )


def _used(step: Step) -> Iterator[tuple[str, Quantity | None]]:
    return ((str(use.material), use.amount) for use in step.uses if use.material)


def _only_once(recipe: Recipe, mix: Mix) -> bool:
    """Whether every step that uses a mix is done once for the whole build."""
    steps = [step for step in recipe.steps if step.starts == mix.id or any(use.mix == mix.id for use in step.uses)]
    return bool(steps) and all(step.once for step in steps)


def _mixed(
    recipe: Recipe, mix: Mix, materials: Mapping[str, Material], jars: Collection[str], fill: Wanted | None
) -> Taken:
    try:
        resolved = resolve(recipe.mixes, mix.id, materials)
        scale = _scale(resolved, fill)
    except ReckoningError as problem:
        return Taken(unknown={str(mix.id): problem.message})
    return _Flattening(recipe.mixes, materials, jars).taken(resolved, scale)


def _scale(resolved: Resolved, fill: Wanted | None) -> Fraction:
    mix = resolved.mix
    if resolved.fixed:
        return Fraction(1)
    if own_fill(mix) is None and mix.batch is not None and mix.batch.dimension == "volume" and resolved.volume:
        # Said by volume, it needs no density.
        return mix.batch.value / resolved.volume
    sheet = reckon_batch(resolved, fill if fill is not None and mix.fills is not None else Wanted(), ())
    assert sheet.mass is not None
    return sheet.mass / resolved.total_mass
