"""The batch sheet of a mix: how many grams of each part, for a cavity, a piece, clay or what is left."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import Annotated, Any, Final

from mothermold.answers.amounts import temperature
from mothermold.answers.as_poured import poured_data
from mothermold.answers.batch_notices import (
    batch_notices,
    left_notices,
    lot_notices,
    maximum_notices,
    mold_notices,
    pot_life_notices,
)
from mothermold.answers.batch_room import room_data, room_notices
from mothermold.answers.batch_text import batch_text
from mothermold.answers.question import RECIPE_VERSION, Typed, argument, question
from mothermold.answers.recipes import find_version, readable
from mothermold.answers.result import Result, number, reckoning_refused
from mothermold.answers.wishes import BatchAsked, poured_of, wanted_of
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe
from mothermold.model.settings import Scale
from mothermold.reckon.batches import Sheet, Wanted, adjusted, grown_from, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.poured import as_poured
from mothermold.reckon.readings import measures_of, readings
from mothermold.reckon.weighing import WeighingLine, scale_words
from mothermold.trade.rooms import limits_of
from mothermold.view.view import View

__all__ = ["EMPTY", "BatchAsked", "mix_batch"]

EMPTY: dict[str, Any] = {
    "recipe": None, "version": None, "mix": None, "fill_ml": None, "total_g": None, "total_ml": None, "parts": [],
    "readings": [], "portions": [],
}  # fmt: skip
_AS_WRITTEN: Final = BatchAsked()


@question("mix", empty=EMPTY, text=batch_text, page="recipes/RECIPE.html")
def mix_batch(
    view: View,
    recipe: Annotated[str, RECIPE_VERSION],
    mix: Annotated[Typed, argument("MIX", "the mix; default: the only one that is not a premix")] = None,
    asked: BatchAsked = _AS_WRITTEN,
) -> Result:
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
    materials = view.models(Material)
    chosen = _choose_mix(document.model, mix)
    wanted, goes_by = wanted_of(view, versions.address, asked, materials)
    poured, scales = poured_of(asked), view.settings.scales
    room, today = _room(asked.room), _today(view, asked.today)
    try:
        resolved = resolve(document.model.mixes, chosen.id, materials)
        in_the_room = room_data(chosen, room)
        if poured:
            inner = {str(part.mix) for part in chosen.parts if part.mix}
            premixes = {name: resolve(document.model.mixes, name, materials) for name in inner}
            cup = as_poured(resolved, poured, premixes)
            found, mixed, portions = poured_data(cup, materials), cup.mixed, 1
            of_batch: list[Notice] = []
        else:
            sheet = reckon_batch(resolved, wanted, scales, flat=asked.flat)
            found, mixed, portions = _sheet_data(resolved, wanted, sheet, view), resolved, sheet.portions
            of_batch = batch_notices(sheet, resolved, scales, document.file)
    except ReckoningError as problem:
        raise reckoning_refused(problem, document.file) from None
    limits = limits_of(document.model, materials, view.ruling.rules)
    head = {"recipe": versions.address, "version": row.number, "mix": chosen.id}
    data = head | found | {"measures": list(measures_of(chosen)), "room": in_the_room}
    files = {part.name: view.on("material")[part.name].file for part in mixed.materials if part.name in materials}
    given = [name for name, _left in wanted.have] + ([wanted.poured[0]] if wanted.poured else [])
    of_batch += maximum_notices(document.model, mixed, materials, document.file)
    of_time = room_notices(limits, chosen, portions, room, document.file)
    # What is said of this batch need not be said of the recipe once more, and today's room decides over the written one.
    twice = {"over-maximum", "pot-life-too-short", *(notice.code for notice in of_batch)}
    told = [
        *(notice for notice in view.touching({document.file, *files.values()}) if notice.code not in twice),
        *of_batch,
        *mold_notices(view, asked.mold),
        *lot_notices(files, materials, today),
        # What stands in the cup is no longer asked of the lots.
        *([] if poured else left_notices(sheet, resolved, materials, files, given)),
        *(of_time or pot_life_notices(document.model, resolved, materials, document.file)),
    ]
    if goes_by:
        advice = "Type `cavity:` in the mold once its volume is known; the batch then follows by itself."
        told.append(Notice("by-last-casting", "advice", goes_by, advice, file=document.file))
    return Result(data, told)


def _sheet_data(resolved: Resolved, wanted: Wanted, sheet: Sheet, view: View) -> dict[str, Any]:
    scales = view.settings.scales
    return {
        "fill_ml": number(sheet.fill),
        "total_g": number(sheet.mass),
        "total_ml": number(sheet.volume),
        "parts": _lines(sheet.lines, scales),
        "readings": [
            {
                "part": reading.part,
                "of": reading.of if isinstance(reading.of, str) else list(reading.of),
                "percent": number(reading.percent),
            }
            for reading in readings(resolved, view.models(Material))
        ],
        "portions": [{"count": sheet.portions, "parts": _lines(sheet.portion, scales)}],
        "grown_from": grown_from(resolved, wanted, sheet),
        "in_the_cup": _in_the_cup(resolved, wanted, sheet, scales),
    }


def _in_the_cup(resolved: Resolved, wanted: Wanted, sheet: Sheet, scales: Sequence[Scale]) -> list[dict[str, Any]]:
    """What must be added to the parts that stand in the cup before the poured one, weighed as the recipe's own batch."""
    if wanted.poured is None:
        return []
    try:
        before = reckon_batch(resolved, Wanted(castings=wanted.castings), scales)
    except ReckoningError:
        return []
    changes = adjusted(before, sheet, wanted.poured[0]) if len(before.lines) == len(sheet.lines) else ()
    return [{"material": name, "add_g": number(grams)} for name, grams in changes if grams]


def _room(text: str | None) -> Fraction | None:
    if text is None:
        return None
    low, high = temperature("--room", text)
    if low != high:
        raise refused("bad-quantity", f"--room: `{text}` is a range.", "Give the temperature as it is now.")
    return low


def _today(view: View, text: str | None) -> date | None:
    """The day it is mixed: as told, else that of the book's last save, so that the same book gives the same answer."""
    if text is None:
        return view.day
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise refused("bad-date", f"--today: `{text}` is not a day.", "Type it as `2026-04-18`.") from None


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


def _lines(lines: Sequence[WeighingLine], scales: Sequence[Scale]) -> list[dict[str, Any]]:
    return [_line(line, words) for line, words in zip(lines, scale_words(lines, scales), strict=True)]


def _line(line: WeighingLine, words: str) -> dict[str, Any]:
    return {
        "material": line.name,
        "grams": number(line.grams),
        "milliliters": number(line.milliliters),
        "percent_of_total": number(line.share * 100 if line.share is not None else None),
        "weigh": number(line.weigh),
        "scale_reads": number(line.reads),
        "as_written": line.outside or None,
        "scale": line.scale or None,
        "said": words or None,
    }
