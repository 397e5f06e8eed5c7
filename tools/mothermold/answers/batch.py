"""The batch sheet of a mix: how many grams of each part, for a cavity, a piece, clay or what is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from mothermold.answers.recipes import find_version, readable
from mothermold.answers.result import Result, number, reckoning_refused, refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Mix, Recipe
from mothermold.quantities import Dimension, Quantity, QuantityError, parse
from mothermold.reckon.batches import Line, Sheet, Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import maximum_words, over_maximum, readings
from mothermold.reckon.rounding import coarse_words, moved_words, ratio_moved, too_coarse
from mothermold.view.view import View

EMPTY: dict[str, Any] = {
    "recipe": None, "version": None, "mix": None, "fill_ml": None, "total_g": None, "total_ml": None, "parts": [],
    "readings": [],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """What someone asks a batch for, as typed; at most one of the first six."""

    fill: str | None = None
    mold: str | None = None
    piece: str | None = None
    clay: str | None = None
    have: Sequence[str] = ()
    poured: str | None = None
    clay_material: str | None = None
    castings: int = 1
    flat: bool = False


def mix_batch(view: View, recipe: str, mix: str | None, asked: Asked) -> Result:
    """Reckons a batch.

    Args:
        view: The book.
        recipe: Address, with ``@version`` where not the current one is meant.
        mix: The mix; without it the only one that is no premix.
        asked: What it is for.

    Raises:
        RefusedError: Something asked for is not there, cannot be read, or cannot be reckoned.
    """
    versions, row = find_version(view, recipe)
    document = readable(versions, row)
    assert isinstance(document.model, Recipe)
    materials = view.materials()
    chosen = _choose_mix(document.model, mix)
    wanted = _wanted(view, asked, materials)
    try:
        resolved = resolve(document.model.mixes, chosen.id, materials)
        sheet = reckon_batch(resolved, wanted, view.settings.scales, flat=asked.flat)
    except ReckoningError as problem:
        raise reckoning_refused(problem, document.file) from None
    data = {
        "recipe": versions.address,
        "version": row.number,
        "mix": chosen.id,
        "fill_ml": number(sheet.fill),
        "total_g": number(sheet.mass),
        "total_ml": number(sheet.volume),
        "parts": [_line(line) for line in sheet.lines],
        "readings": [
            {
                "part": reading.part,
                "of": reading.of if isinstance(reading.of, str) else list(reading.of),
                "percent": number(reading.percent),
            }
            for reading in readings(resolved, materials)
        ],
        "portions": sheet.portions,
    }
    used = {document.file} | {
        view.documents["material"][part.name].file
        for part in resolved.materials
        if part.name in view.documents["material"]
    }
    told = [*view.touching(used), *_warnings(sheet, resolved, materials, document.file)]
    return Result(data, told)


def _choose_mix(recipe: Recipe, asked: str | None) -> Mix:
    names = [mix.id for mix in recipe.mixes]
    if asked is not None:
        found = next((mix for mix in recipe.mixes if mix.id == asked), None)
        if found is None:
            near = nearest(asked, names)
            listed = ", ".join(f"`{name}`" for name in names) or "none"
            raise refused(
                "unknown-mix",
                f"The recipe has no mix called `{asked}`.",
                f"Did you mean `{near}`?" if near else f"It has {listed}.",
            )
        return found
    inside = {part.mix for mix in recipe.mixes for part in mix.parts}
    outer = [mix for mix in recipe.mixes if mix.id not in inside]
    if len(outer) != 1:
        listed = ", ".join(f"`{mix.id}`" for mix in outer)
        message = "The recipe has no mix." if not outer else "The recipe has more than one mix."
        raise refused("which-mix", message, f"Name one of {listed}." if outer else "Choose a recipe with a mix.")
    return outer[0]


def _wanted(view: View, asked: Asked, materials: dict[str, Material]) -> Wanted:
    given = [
        f"--{key}"
        for key in ("fill", "mold", "piece", "clay", "have", "poured")
        if getattr(asked, key) not in (None, (), [])
    ]
    if len(given) > 1:
        raise refused(
            "two-fills",
            f"{' and '.join(f'`{key}`' for key in given)} say two different amounts.",
            "Give only one of them.",
        )
    if asked.clay_material is not None and asked.clay is None:
        raise refused("no-clay", "`--clay-material` needs the weight of the clay.", "Give `--clay 300 g` too.")
    castings = asked.castings
    if asked.fill is not None:
        return Wanted(fill=amount("--fill", asked.fill, "volume").value, castings=castings)
    if asked.piece is not None:
        return Wanted(piece=amount("--piece", asked.piece, "mass").value, castings=castings)
    if asked.clay is not None:
        return Wanted(fill=_clay(asked, materials), castings=castings)
    if asked.mold is not None:
        return Wanted(fill=_cavity(view, asked.mold), castings=castings)
    if asked.have:
        return Wanted(have=tuple(_of_part("--have", each, "mass", "volume") for each in asked.have), castings=castings)
    if asked.poured is not None:
        name, poured = _of_part("--poured", asked.poured, "mass")
        return Wanted(poured=(name, poured.value), castings=castings)
    return Wanted(castings=castings)


def amount(option: str, text: str, *wanted: Dimension) -> Quantity:
    """An amount given on the command line; refused with what to type where it cannot be read."""
    try:
        found = parse(text, wanted)
    except QuantityError as problem:
        raise refused(problem.code, f"{option}: {problem.message}", problem.advice) from None
    if found.value == 0:
        raise refused("out-of-range", f"{option}: `{text}` is nothing.", "Give an amount above 0.")
    return found


def _clay(asked: Asked, materials: dict[str, Material]) -> Fraction:
    weight = amount("--clay", str(asked.clay), "mass")
    if asked.clay_material is None:
        raise refused(
            "no-clay-material",
            "The clay's density is not known without its material.",
            "Give `--clay-material` with the clay's name in the book.",
        )
    clay = materials.get(asked.clay_material)
    if clay is None:
        near = nearest(asked.clay_material, materials)
        raise refused(
            "unknown-reference",
            f"No material is called `{asked.clay_material}`.",
            f"Did you mean `{near}`?" if near else "Write the clay as a material first.",
        )
    if clay.density is None:
        raise refused(
            "missing-density",
            f"The density of `{asked.clay_material}` is not in the book.",
            "Type `density: 1.5 g/ml` from a weighed block into the material.",
        )
    return weight.value / clay.density.value


def _cavity(view: View, name: str) -> Fraction:
    document = view.documents["mold"].get(name)
    if document is None or not isinstance(document.model, Mold):
        near = nearest(name, view.documents["mold"])
        raise refused(
            "unknown-reference",
            f"No mold is called `{name}`.",
            f"Did you mean `{near}`?" if near else "Write the mold down first.",
        )
    if document.model.cavity is None:
        raise refused(
            "no-cavity",
            f"The cavity of `{name}` was not measured yet.",
            "Weigh its last good casting with the flashing and give `--piece`, or type `cavity:` in the mold.",
        )
    return document.model.cavity.volume.value


def _of_part(option: str, text: str, *wanted: Dimension) -> tuple[str, Quantity]:
    name, equals, quantity = text.partition("=")
    if not equals or not name.strip():
        raise refused("bad-have", f"`{option} {text}` names no part.", f"Type it as `{option} 'gel-silicone-a=60 g'`.")
    return name.strip(), amount(option, quantity, *wanted)


def _line(line: Line) -> dict[str, Any]:
    return {
        "material": line.name,
        "grams": number(line.grams),
        "milliliters": number(line.milliliters),
        "percent_of_total": number(line.share * 100 if line.share is not None else None),
        "weigh": number(line.weigh),
        "scale_reads": number(line.reads),
        "as_written": line.outside or None,
    }


def _warnings(sheet: Sheet, resolved: Resolved, materials: dict[str, Material], file: str) -> list[Notice]:
    told: list[Notice] = []
    if sheet.plain:
        told.append(
            Notice(
                "no-allowance",
                "advice",
                f"`{resolved.mix.id}` has no allowance, so nothing is left for cups and stick.",
                "Type `allowance: 10 %` in the mix, or more for a small batch.",
                file=file,
            )
        )
    for line in sheet.lines:
        if line.outside:
            told.append(
                Notice(
                    "by-eye",
                    "advice",
                    f"`{line.name}` is measured by eye (`{line.outside}`) and stays outside the arithmetic.",
                    "Record in the run how many grams were used; then it can be repeated.",
                    file=file,
                )
            )
        elif line.grams and too_coarse(line):
            told.append(
                Notice(
                    "coarse-scale",
                    "warning",
                    coarse_words(f"`{line.name}`", line.grams, line.step),
                    "Mix a larger batch, weigh it on a finer scale, or make a premix.",
                    file=file,
                )
            )
    if (moved := ratio_moved(sheet.lines)) is not None:
        told.append(
            Notice(
                "ratio-moved",
                "warning",
                moved_words(f"`{moved.heavier}`", f"`{moved.lighter}`", moved.by),
                "Mix a larger batch, or weigh the smaller of the two on a finer scale.",
                file=file,
            )
        )
    for name, percent, limit in over_maximum(resolved, materials):
        told.append(
            Notice(
                "over-maximum",
                "warning",
                maximum_words(f"`{name}`", percent, limit),
                "Lower it, or ask the maker's data sheet again.",
                file=file,
            )
        )
    return told
