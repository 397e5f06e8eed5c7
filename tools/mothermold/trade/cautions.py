"""What can hurt in a step, from what is used and done in it.

A table of rows (``cautions.yaml``): each is called for by chemistry families, equipment, roles, stages or surfaces. The
maker's safety data sheet, local rules and licensed practice come first; nothing here says that something is harmless.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import yaml

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe, Step

_FILE: Final = Path(__file__).with_name("cautions.yaml")


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes:
        id: Its name, as ``flammable-vapor``.
        title: What can hurt, in a few words.
        words: What to do, in plain sentences.
        pictograms: The GHS pictograms, by the name of the drawing.
        statements: GHS hazard statements, as (code, text).
        source: Where it is from; ``common practice, no source`` where there is none.
    """

    id: str
    title: str
    words: tuple[str, ...]
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The maker's safety data sheet of a material: where it hangs and its date, None where the book does not say."""

    material: str
    title: str
    where: str | None
    dated: date | None


def step_cautions(recipe: Recipe, materials: Mapping[str, Material]) -> dict[str, tuple[Caution, ...]]:
    """The cautions of each step that has any, by step id, worst first."""
    found = {step.id: tuple(_of_step(recipe, step, materials)) for step in recipe.steps}
    return {step: cautions for step, cautions in found.items() if cautions}


def recipe_cautions(recipe: Recipe, materials: Mapping[str, Material]) -> tuple[Caution, ...]:
    """All cautions of a recipe, each once, worst first."""
    wanted = {caution.id for cautions in step_cautions(recipe, materials).values() for caution in cautions}
    return tuple(caution for caution, _for in _rows() if caution.id in wanted)


def all_cautions() -> tuple[Caution, ...]:
    """Every caution there is, worst first."""
    return tuple(caution for caution, _for in _rows())


def material_cautions(material: Material) -> tuple[Caution, ...]:
    """The cautions a material's own families call for, worst first; what is done with it may call for more."""
    families = set(material.families)
    return tuple(caution for caution, called_for in _rows() if families & set(called_for.get("families", ())))


def sheets(recipe: Recipe, materials: Mapping[str, Material]) -> tuple[Sheet, ...]:
    """The maker's sheets to read first, in order of use."""
    names = dict.fromkeys(
        str(used.material)
        for each in (*recipe.mixes, *recipe.steps)
        for used in getattr(each, "parts", ()) or getattr(each, "uses", ())
        if used.material
    )
    return tuple(
        Sheet(
            name,
            material.title,
            material.sds.where if material.sds else None,
            material.sds.dated if material.sds else None,
        )
        for name in names
        if (material := materials.get(name)) is not None
    )


def _of_step(recipe: Recipe, step: Step, materials: Mapping[str, Material]) -> Iterator[Caution]:
    mixes = {mix.id: mix for mix in recipe.mixes}
    names = {str(use.material) for use in step.uses if use.material}
    names |= {
        str(part.material) for use in step.uses if use.mix in mixes for part in mixes[use.mix].parts if part.material
    }
    families = {family for name in names if name in materials for family in materials[name].families}
    for caution, called_for in _rows():
        if families & set(called_for.get("families", ())):
            yield caution


@lru_cache(maxsize=1)
def _rows() -> tuple[tuple[Caution, Mapping[str, Any]], ...]:
    told = yaml.safe_load(_FILE.read_text(encoding="utf-8"))
    return tuple(
        (
            Caution(name, row["title"], tuple(row["words"]), tuple(row.get("pictograms", ())),
                    tuple((code, code) for code in row.get("statements", ())), row["source"]),
            row["for"],
        )
        for name, row in told.items()
    )  # fmt: skip
