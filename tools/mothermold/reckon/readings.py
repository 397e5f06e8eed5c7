"""How much of each material is in a mix, in all the ways a bench says it, and whether that is too much.

Shares of weight by elementary balance; no other source. It knows nothing of batches and scales.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mothermold.model.material import Material
from mothermold.model.recipe import Mix
from mothermold.quantities import Quantity
from mothermold.reckon.lots import kit_lacking
from mothermold.reckon.mixes import Resolved, by_eye
from mothermold.reckon.rounding import in_digits


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to say how much of a part is in the mix.

    Attributes:
        part: The material.
        of: The materials it is a percentage of, ``the-rest`` or ``total``.
        percent: In percent by weight.
    """

    part: str
    of: tuple[str, ...] | str
    percent: Fraction


def readings(resolved: Resolved, materials: Mapping[str, Material]) -> tuple[Reading, ...]:
    """Every usual reading of every material's share, by weight, through all premixes.

    "60 %" of deadener means different weights in two workshops, so each is said: of the first main material
    (A), of all main materials together (A+B), of the rest, of the total. The rest is what ``the-rest`` is
    in this recipe, without the part itself: parts that are shares of the rest or of the total are none of it. There are none where a weight is missing:
    a share of a part of the mix would pass for a share of the whole.
    """
    if any(part.mass is None and not by_eye(part) for part in resolved.materials):
        return ()
    mass = {part.name: part.mass for part in resolved.materials if part.mass is not None}
    total = sum(mass.values(), Fraction(0))
    if not total:
        return ()
    rest = {part.name: part.mass for part in resolved.rest if part.mass}
    counted = sum(rest.values(), Fraction(0))
    base = _main_materials(resolved, materials, list(mass))
    found: list[Reading] = []
    for name, grams in mass.items():
        if name != base[0] and mass[base[0]]:
            found.append(Reading(name, (base[0],), grams / mass[base[0]] * 100))
        if len(base) > 1 and name not in base:
            together = sum((mass[other] for other in base), Fraction(0))
            if together:
                found.append(Reading(name, tuple(base), grams / together * 100))
        others = counted - rest.get(name, Fraction(0))
        if others:
            found.append(Reading(name, "the-rest", grams / others * 100))
        found.append(Reading(name, "total", grams / total * 100))
    return tuple(found)


def measures_of(mix: Mix) -> tuple[str, ...]:
    """By what a mix and its parts are written, weight or volume; its readings are by weight whatever that is."""
    return tuple(dict.fromkeys([str(mix.by), *(str(part.by) for part in mix.parts if part.by)]))


def _main_materials(resolved: Resolved, materials: Mapping[str, Material], names: Sequence[str]) -> list[str]:
    given = [part.name for part in resolved.mix.parts if part.parts is not None and part.material]
    first = next((name for name in names if name in given), names[0])
    material = materials.get(first)
    families = set(material.families) if material else set()
    kit = set(material.kit) if material else set()
    return [
        name
        for name in names
        if name == first
        or name in kit
        or (name in materials and (families & set(materials[name].families) or first in materials[name].kit))
    ]


def over_maximum(resolved: Resolved, materials: Mapping[str, Material]) -> list[tuple[str, Fraction, Quantity]]:
    """Materials above their maker's maximum: name, percent in the mix, the maximum as written.

    By weight, as a maker states it; it cannot be told where a weight it rests on is missing
    (``Resolved.lacking`` names the densities), nor before both parts of a kit are in.
    """
    if kit_lacking([part.name for part in resolved.materials], materials):
        return []
    mass = {part.name: part.mass for part in resolved.materials if part.mass}
    found = []
    for name, grams in mass.items():
        limit = materials[name].maximum if name in materials else None
        if limit is None:
            continue
        within = [
            part
            for part in resolved.materials
            if part.name in materials and set(materials[part.name].families) & set(limit.of)
        ]
        if any(part.mass is None and not by_eye(part) for part in within):
            continue
        base = sum((part.mass or Fraction(0) for part in within), Fraction(0))
        if base and grams / base > limit.percent.value:
            found.append((name, grams / base * 100, limit.percent))
    return found


def maximum_words(called: str, percent: Fraction, limit: Quantity) -> str:
    """That a material is above its maker's maximum, in a sentence."""
    return f"{called} comes to {in_digits(percent)} %, above the maker's maximum of {limit}."
