"""Mixes, materials and recipes for the tests, from the text an artist would type."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import yaml

from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe
from mothermold.model.settings import Scale
from mothermold.quantities import Quantity, parse
from mothermold.reckon.batches import Sheet, Wanted, reckon_batch
from mothermold.reckon.mixes import Resolved, resolve


def as_typed(text: str) -> Any:
    """The text as YAML in which every value stays as it was typed."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def mixes_of(text: str) -> tuple[Mix, ...]:
    """The mixes of a recipe: ``name: {...}`` each, with its keys."""
    return tuple(Mix.model_validate({"id": name, **keys}) for name, keys in as_typed(text).items())


def recipe_of(text: str) -> Recipe:
    """A recipe's mixes and steps."""
    head = {"title": "A recipe", "stage": "cast", "version": "1", "status": "draft"}
    return Recipe.model_validate({**head, **as_typed(text)})


def materials_of(text: str) -> dict[str, Material]:
    """Materials by name; title and family are filled in where the text leaves them out."""
    return {
        name: Material.model_validate({"title": name, "families": ["some-family"], **keys})
        for name, keys in as_typed(text).items()
    }


def scales_of(*steps: tuple[str, str]) -> tuple[Scale, ...]:
    """Scales, each of its step and its most."""
    return tuple(
        Scale.model_validate({"id": f"scale-{number}", "step": step, "up_to": up_to})
        for number, (step, up_to) in enumerate(steps)
    )


def amount(text: str) -> Quantity:
    """A weight or a volume."""
    return parse(text, ("mass", "volume"))


def resolved(text: str, mix_id: str, materials: str = "{}") -> Resolved:
    """One mix of the text, resolved."""
    return resolve(mixes_of(text), mix_id, materials_of(materials))


def masses(mix: Resolved) -> dict[str, Fraction | None]:
    """The parts' grams by name."""
    return {part.name: part.mass for part in mix.parts}


def volumes(mix: Resolved) -> dict[str, Fraction | None]:
    """The parts' milliliters by name."""
    return {part.name: part.volume for part in mix.parts}


def sheet_of(mix: Resolved, wanted: Wanted | None = None, *, flat: bool = False) -> Sheet:
    """The batch on a bench with the two scales of the sample."""
    return reckon_batch(mix, wanted or Wanted(), scales_of(("0.01 g", "200 g"), ("0.1 g", "5 kg")), flat=flat)


def grams(sheet: Sheet) -> Mapping[str, Fraction | None]:
    """Exact grams by name."""
    return {line.name: line.grams for line in sheet.lines}
