"""A formula resolved into exact weights and volumes, through its premixes.

In a mix with parts the unknown amounts solve a linear system, one row a part, in the mix's own measure:

    plain parts      x_i = n_i
    percent of list  x_i = p * sum of the listed x_j
    of the rest      x_i = p * sum of all parts that are neither of the rest nor of the total
    of the total     x_i = p * sum of all x_j

A part whose ``by`` differs from the mix's has its row in its own measure, through densities. For mixes in one
measure this equals the closed form M = (S + rest) / (1 - sum of total shares). Volumes add unless a density
of the mix was measured. Elementary mass and volume balance; no other source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mothermold.ground.words import offer
from mothermold.model.material import Material
from mothermold.model.recipe import THE_REST, TOTAL, Mix, MixPart
from mothermold.quantities import Quantity
from mothermold.reckon.elimination import solve_exactly
from mothermold.reckon.errors import ReckoningError, missing_density
from mothermold.reckon.formula import find_formula_faults
from mothermold.reckon.nesting import is_fixed


@dataclass(frozen=True, slots=True)
class ResolvedPart:
    """One part of a resolved mix, in pouring order.

    Attributes:
        name: The material's or premix's name.
        premix: Whether it is a mix.
        mass: In grams, for the mix's nominal amount; None where a density is missing or nothing is measured.
        volume: In milliliters, likewise.
        outside: As written, what is measured by eye; a material from two premixes may have that and a weight.
    """

    name: str
    premix: bool
    mass: Fraction | None
    volume: Fraction | None
    outside: str = ""


@dataclass(frozen=True, slots=True)
class Resolved:
    """A mix in exact proportions. Masses and volumes belong to one nominal amount; scale them.

    Attributes:
        mix: The formula.
        parts: In pouring order.
        materials: The same through all premixes, a material once.
        mass: Total in grams; None where a density is missing.
        volume: Total in milliliters; None where a density is missing.
        lacking: Materials whose density is missing.
        fixed: Whether it consists of amounts only and is not scaled.
        inside: The materials of each premix among its parts, by the premix's name.
        rest: What ``the-rest`` means: the materials of all parts that are no share of the rest or the total.
    """

    mix: Mix
    parts: tuple[ResolvedPart, ...]
    materials: tuple[ResolvedPart, ...]
    mass: Fraction | None
    volume: Fraction | None
    lacking: tuple[str, ...]
    fixed: bool
    inside: Mapping[str, frozenset[str]]
    rest: tuple[ResolvedPart, ...]

    @property
    def density(self) -> Fraction:
        """Grams per milliliter.

        Raises:
            ReckoningError: ``missing-density``, naming the materials that have none.
        """
        if self.mix.density is not None:
            return self.mix.density.value
        if not self.mass or not self.volume:
            raise missing_density(self.lacking)
        return self.mass / self.volume

    @property
    def total_mass(self) -> Fraction:
        """Grams of the nominal amount; raises ``missing-density`` where it cannot be known."""
        if self.mass is None:
            raise missing_density(self.lacking)
        return self.mass


def resolve(mixes: Sequence[Mix], mix_id: str, materials: Mapping[str, Material]) -> Resolved:
    """Resolves one mix of a recipe into exact proportions.

    Args:
        mixes: All mixes of the recipe.
        mix_id: The one wanted.
        materials: Today's materials by name; those unknown count as having no density.

    Raises:
        ReckoningError: ``unknown-mix``, a formula fault of the mix or of one in it, or ``missing-density``
            where weights and volumes meet and a density is missing.
    """
    by_id: dict[str, Mix] = {mix.id: mix for mix in mixes}
    if mix_id not in by_id:
        raise ReckoningError("unknown-mix", f"No mix of this recipe is called `{mix_id}`.", offer(mix_id, by_id))
    within = _within(mix_id, by_id)
    # What is still to be written in another mix of the recipe is no reason not to reckon this one.
    for fault in find_formula_faults([mix for mix in mixes if mix.id in within]):
        raise ReckoningError(fault.code, fault.message, fault.advice)
    made: dict[str, Resolved] = {}
    ahead = [mix_id]
    while ahead:
        mix = by_id[ahead[-1]]
        premixes = {str(part.mix) for part in mix.parts if part.mix}
        if unmade := premixes - made.keys():
            ahead += unmade
            continue
        ahead.pop()
        if mix.id not in made:
            made[mix.id] = _resolve(mix, {name: made[name] for name in premixes}, materials)
    return made[mix_id]


def _within(mix_id: str, by_id: Mapping[str, Mix]) -> set[str]:
    """The mix and every mix in it, at any depth."""
    found: set[str] = set()
    ahead = [mix_id]
    while ahead:
        name = ahead.pop()
        if name in by_id and name not in found:
            found.add(name)
            ahead += [str(part.mix) for part in by_id[name].parts if part.mix]
    return found


def _resolve(mix: Mix, premixes: Mapping[str, Resolved], materials: Mapping[str, Material]) -> Resolved:
    converter = _Converter(mix, premixes, materials)
    fixed = is_fixed(mix)
    if fixed:
        parts = tuple(converter.fixed_part(part) for part in mix.parts)
    else:
        amounts = _solve(mix, converter)
        parts = tuple(converter.part(part, amounts.get(part.name)) for part in mix.parts)
    counted = [part for part in parts if not part.outside]
    mass = sum_of([part.mass for part in counted])
    volume = sum_of([part.volume for part in counted])
    if mix.density is not None:
        # A measured density decides: whichever of the two is known gives the other.
        mass, volume = (
            (mass, mass / mix.density.value)
            if mass is not None
            else (volume * mix.density.value if volume is not None else None, volume)
        )
    lacking = tuple(dict.fromkeys(name for part in counted for name in converter.lacking(part)))
    inside = {name: frozenset(part.name for part in made.materials) for name, made in premixes.items()}
    shares = shares_of(mix)
    rest = flattened([part for part in parts if part.name not in shares], premixes)
    return Resolved(mix, parts, flattened(parts, premixes), mass, volume, lacking, fixed, inside, rest)


def shares_of(mix: Mix) -> set[str]:
    """The parts that are shares of the rest or of the total."""
    return {part.name for part in mix.parts if part.of in ((THE_REST,), (TOTAL,))}


def sum_of(values: Sequence[Fraction | None]) -> Fraction | None:
    """The sum; None where one of them is not known."""
    known = [value for value in values if value is not None]
    return sum(known, Fraction(0)) if len(known) == len(values) else None


def flattened(parts: Sequence[ResolvedPart], premixes: Mapping[str, Resolved]) -> tuple[ResolvedPart, ...]:
    """The materials of parts through all premixes, a material once."""
    found: dict[str, ResolvedPart] = {}

    def add(part: ResolvedPart) -> None:
        before = found.get(part.name)
        if before is None:
            found[part.name] = part
        else:
            # What is measured by eye adds nothing to what is weighed, and takes nothing from it.
            both = [each for each in (before, part) if not by_eye(each)]
            found[part.name] = ResolvedPart(
                part.name,
                premix=False,
                mass=sum_of([each.mass for each in both]) if both else None,
                volume=sum_of([each.volume for each in both]) if both else None,
                outside="; ".join(each.outside for each in (before, part) if each.outside),
            )

    for part in parts:
        if not part.premix:
            add(part)
            continue
        inner = premixes[part.name]
        share = _ratio(part.mass, inner.mass)
        share = _ratio(part.volume, inner.volume) if share is None else share
        for material in inner.materials:
            add(
                ResolvedPart(
                    material.name,
                    premix=False,
                    mass=_times(material.mass, share),
                    volume=_times(material.volume, share),
                    outside=part.outside or material.outside,
                )
            )
    return tuple(found.values())


def by_eye(part: ResolvedPart) -> bool:
    """Whether a part stands outside the arithmetic altogether."""
    return bool(part.outside) and part.mass is None and part.volume is None


def _ratio(value: Fraction | None, by: Fraction | None) -> Fraction | None:
    return None if value is None or not by else value / by


def _times(value: Fraction | None, by: Fraction | None) -> Fraction | None:
    return None if value is None or by is None else value * by


@dataclass(frozen=True, slots=True)
class _Converter:
    """Turns amounts of one mix's measure into grams and milliliters."""

    mix: Mix
    premixes: Mapping[str, Resolved]
    materials: Mapping[str, Material]

    def density(self, name: str) -> Fraction | None:
        if name in self.premixes:
            inner = self.premixes[name]
            if inner.mix.density is not None:
                return inner.mix.density.value
            return _ratio(inner.mass, inner.volume)
        material = self.materials.get(name)
        return material.density.value if material is not None and material.density is not None else None

    def lacking(self, part: ResolvedPart) -> tuple[str, ...]:
        if self.density(part.name) is not None:
            return ()
        return self.premixes[part.name].lacking if part.premix else (part.name,)

    def factor(self, name: str, measure: str) -> Fraction:
        """What an amount of a part in the mix's measure is multiplied by to be in another measure."""
        if measure == self.mix.by:
            return Fraction(1)
        density = self.density(name)
        if not density:
            raise missing_density(self.premixes[name].lacking if name in self.premixes else [name])
        return density if measure == "weight" else 1 / density

    def inside(self, name: str, measure: str) -> Fraction:
        """The factor for ``premix/material`` or a plain part, in a measure."""
        first, _, material = name.partition("/")
        outer = self.factor(first, measure)
        if not material:
            return outer
        premix = self.premixes[first]
        within = next(part for part in premix.materials if part.name == material)
        if by_eye(within):
            raise ReckoningError(
                "of-not-allowed",
                f"`{material}` is not weighed in `{first}`.",
                "Name another part, or type `drop: 0.03 g` in its material if it is counted in drops.",
            )
        share = _ratio(within.mass, premix.mass) if measure == "weight" else _ratio(within.volume, premix.volume)
        if share is None:
            raise missing_density(premix.lacking)
        return outer * share

    def part(self, part: MixPart, amount: Fraction | None) -> ResolvedPart:
        if amount is None:
            return ResolvedPart(part.name, bool(part.mix), None, None, str(part.amount or part.match))
        density = self.density(part.name)
        if self.mix.by == "weight":
            return ResolvedPart(part.name, bool(part.mix), amount, _ratio(amount, density))
        return ResolvedPart(part.name, bool(part.mix), _times(amount, density), amount)

    def fixed_part(self, part: MixPart) -> ResolvedPart:
        amount = part.amount
        density = self.density(part.name)
        if isinstance(amount, Quantity):
            material = self.materials.get(part.name)
            if amount.dimension == "mass":
                return ResolvedPart(part.name, bool(part.mix), amount.value, _ratio(amount.value, density))
            if amount.dimension == "volume":
                return ResolvedPart(part.name, bool(part.mix), _times(amount.value, density), amount.value)
            if amount.dimension == "drops" and material is not None and material.drop is not None:
                mass = amount.value * material.drop.value
                return ResolvedPart(part.name, bool(part.mix), mass, _ratio(mass, density))
        return ResolvedPart(part.name, bool(part.mix), None, None, str(amount or part.match))


def _solve(mix: Mix, converter: _Converter) -> dict[str, Fraction]:
    """Solves the rows of the module's docstring by elimination in exact fractions."""
    counted = [part for part in mix.parts if part.parts is not None or part.percent is not None]
    column = {part.name: index for index, part in enumerate(counted)}
    shares = shares_of(mix)
    rest = [name for name in column if name not in shares]
    rows: list[list[Fraction]] = []
    for part in counted:
        measure = part.by or mix.by
        row = [Fraction(0)] * (len(counted) + 1)
        row[column[part.name]] += converter.factor(part.name, measure)
        if part.parts is not None:
            row[-1] = part.parts.value
        elif part.percent is not None:
            named = rest if part.of == (THE_REST,) else list(column) if part.of == (TOTAL,) else list(part.of)
            for name in named:
                row[column[name.partition("/")[0]]] -= part.percent.value * converter.inside(name, measure)
        rows.append(row)
    amounts = solve_exactly(rows)
    if amounts is None or any(amount < 0 for amount in amounts):
        # Shares in two measures can do so though they add up to less than 100 %.
        raise ReckoningError(
            "percent-over-total",
            "The percents of the total leave nothing for the other parts.",
            "Keep the percents of the total together under 100 %.",
        )
    return {part.name: amount for part, amount in zip(counted, amounts, strict=True)}
