"""A mix as somebody poured it, beside what the recipe has of the same parts.

Nothing is scaled: the weights are what they are, and the recipe's stand beside them in its own proportions. Elementary
balance; no other source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, ResolvedPart, flattened, shares_of, sum_of


@dataclass(frozen=True, slots=True)
class Poured:
    """What stands in the cup.

    Attributes:
        mixed: The mix in the weights as poured.
        meant: The same parts in the proportions of the recipe.
        without: Parts of the recipe that were not poured.
    """

    mixed: Resolved
    meant: Resolved
    without: tuple[str, ...]


def as_poured(resolved: Resolved, grams: Mapping[str, Fraction], premixes: Mapping[str, Resolved]) -> Poured:
    """Reads back what was poured.

    Args:
        resolved: The mix as the recipe has it.
        grams: What was poured of each part, or of each raw material through all premixes.
        premixes: The mixes among its parts, resolved each by itself.

    Raises:
        ReckoningError: ``unknown-part``, where a name is in neither list, or parts and what lies in them are mixed.
    """
    named = next(
        (each for each in (resolved.parts, resolved.materials) if grams.keys() <= {part.name for part in each}), None
    )
    if named is None:
        parts, materials = ([part.name for part in each] for each in (resolved.parts, resolved.materials))
        strange = next((name for name in grams if name not in {*parts, *materials}), None)
        listed = ", ".join(f"`{name}`" for name in dict.fromkeys(parts))
        if strange is not None:
            raise ReckoningError("unknown-part", f"`{strange}` is nothing of this mix.", f"Type one of {listed}.")
        inside = ", ".join(f"`{name}`" for name in materials)
        raise ReckoningError(
            "unknown-part",
            "Some of what was poured is a part of this mix, and some lies inside a premix.",
            f"Type either its parts, {listed}, or all raw materials, {inside}.",
        )
    meant = [part for part in named if part.name in grams]
    mixed = [replace(part, mass=grams[part.name], volume=_volume(part, grams[part.name]), outside="") for part in meant]
    without = tuple(part.name for part in named if part.name not in grams)
    return Poured(_made_of(mixed, resolved, premixes), _made_of(meant, resolved, premixes), without)


def _volume(part: ResolvedPart, grams: Fraction) -> Fraction | None:
    return grams * part.volume / part.mass if part.mass and part.volume is not None else None


def _made_of(parts: Sequence[ResolvedPart], resolved: Resolved, premixes: Mapping[str, Resolved]) -> Resolved:
    shares = shares_of(resolved.mix)
    # Where raw materials were given, those of a premix that is a share are of no rest either.
    shares |= {name for share in shares for name in resolved.inside.get(share, ())} - {
        each.name for each in resolved.parts
    }
    counted = [part for part in parts if not part.outside]
    return replace(
        resolved,
        parts=tuple(parts),
        materials=flattened(parts, premixes),
        mass=sum_of([part.mass for part in counted]),
        volume=sum_of([part.volume for part in counted]),
        rest=flattened([part for part in parts if part.name not in shares], premixes),
    )
