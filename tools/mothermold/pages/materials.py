"""The page of a material: where it is used, what it can do to somebody, its lots."""

from __future__ import annotations

from typing import Any, Final

from mothermold.book.document import Document
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.reckon.lots import last_day
from mothermold.trade.cautions import material_cautions
from mothermold.trade.vapors import gives_off
from mothermold.view.view import View

SHOWN: Final = ("title", "families", "density", "drop", "vapor", "maximum", "kit", "packs", "keeps", "lots", "sds")


def details(view: View, document: Document[Material]) -> dict[str, Any]:
    """What the page of a material shows beside the material itself."""
    used = []
    for address, recipe in sorted(view.models(Recipe).items()):
        in_mixes = [
            mix.title or mix.id for mix in recipe.mixes for part in mix.parts if part.material == document.address
        ]
        in_steps = [step.title for step in recipe.steps for use in step.uses if use.material == document.address]
        if in_mixes or in_steps:
            used.append((address, recipe.title, [*in_mixes, *in_steps]))
    material = document.model
    air = () if material.vapor else gives_off(material.families)
    lots = [(lot, last_day(lot, material)) for lot in material.lots]
    return {"used": used, "cautions": material_cautions(material), "air": air, "lots": lots}
