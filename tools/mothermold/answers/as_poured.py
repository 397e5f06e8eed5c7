"""A batch with its own weights, read back: every reading of what was really mixed, and how far it is off the recipe."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from mothermold.answers.result import number
from mothermold.model.material import Material
from mothermold.reckon.poured import Poured
from mothermold.reckon.readings import readings


def poured_data(cup: Poured, materials: Mapping[str, Material]) -> dict[str, Any]:
    """What stands in the cup, in the keys of a batch; ``off_percent`` is above 0 where there is more than the recipe has.

    What the recipe has is null where a density is missing; ``not_known`` names it then.
    """
    mixed, meant = cup.mixed, cup.meant
    parts: list[dict[str, Any]] = []
    reads = Fraction(0)
    for part, as_meant in zip(mixed.parts, meant.parts, strict=True):
        grams = part.mass or Fraction(0)
        reads += grams
        share = grams / mixed.mass if mixed.mass else None
        own = as_meant.mass / meant.mass if as_meant.mass is not None and meant.mass else None
        parts.append(
            {
                "material": part.name,
                "grams": number(grams),
                "milliliters": number(part.volume),
                "percent_of_total": _percent(share),
                "weigh": number(grams),
                "scale_reads": number(reads),
                "as_written": as_meant.outside or None,
                "scale": None,
                "said": None,
                "recipe_percent": _percent(own),
                "off_percent": _off(share, own),
            }
        )
    by_recipe = {(each.part, each.of): each.percent for each in readings(meant, materials)}
    return {
        "fill_ml": None,
        "total_g": number(mixed.mass),
        "total_ml": number(mixed.volume),
        "parts": parts,
        "readings": [
            {
                "part": each.part,
                "of": each.of if isinstance(each.of, str) else list(each.of),
                "percent": number(each.percent),
                "recipe_percent": number(by_recipe.get((each.part, each.of))),
                "off_percent": _off(each.percent, by_recipe.get((each.part, each.of))),
            }
            for each in readings(mixed, materials)
        ],
        "portions": [{"count": 1, "parts": parts}],
        "grown_from": "",
        "in_the_cup": [],
        "not_poured": list(cup.without),
        "not_known": list(meant.lacking) if meant.mass is None else [],
    }


def _percent(share: Fraction | None) -> float | None:
    return number(share * 100 if share is not None else None)


def _off(value: Fraction | None, recipe: Fraction | None) -> float | None:
    """How far a share is off, in percent of what the recipe has."""
    return number((value / recipe - 1) * 100) if value is not None and recipe else None
