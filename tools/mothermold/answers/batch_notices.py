"""What is said about a batch beside its figures: the scale, the maker's maximum, the lots, the clock."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe
from mothermold.reckon.batches import Sheet
from mothermold.reckon.lots import lots_in_use, past_date, same_kit
from mothermold.reckon.mixes import Resolved
from mothermold.reckon.rounding import coarse_words, moved_words, ratio_moved, too_coarse
from mothermold.trade.pouring import lacks_pot_life, sets_too_soon, too_much
from mothermold.trade.slips import Slip


def batch_notices(sheet: Sheet, resolved: Resolved, file: str) -> list[Notice]:
    """What is doubtful in the sheet itself: no allowance, parts by eye, the scale."""
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
    return told


def formula_notices(recipe: Recipe, resolved: Resolved, materials: Mapping[str, Material], file: str) -> list[Notice]:
    """What is doubtful in the formula of a batch: the maker's maximum, and a pot life that nobody wrote."""
    told = [_warning(slip, file) for slip in too_much(recipe, resolved, materials)]
    if lacks_pot_life(recipe, resolved.mix, materials):
        told.append(
            Notice(
                "no-pot-life",
                "advice",
                f"No pot life is written for `{resolved.mix.id}`, so nobody can say whether there is time to close.",
                "Type `pot_life: {time: 25 min, at: 23 degC}` in the mix, from the label or a timed cup.",
                file=file,
            )
        )
    return told


def lot_notices(names: Mapping[str, str], materials: Mapping[str, Material], today: date | None) -> list[Notice]:
    """Lots in use that are past their date, and parts of a kit whose lots do not belong together.

    Args:
        names: The materials of the batch with the file each is written in.
        materials: The book's materials.
        today: The day it is mixed; without it no date is looked at.
    """
    told: list[Notice] = []
    for name, file in names.items():
        material = materials[name]
        for lot, last in past_date(material, today) if today is not None else ():
            told.append(
                Notice(
                    "lot-past-date",
                    "warning",
                    f"Lot `{lot.lot}` of `{name}` is past its date: {last.isoformat()} was the last day.",
                    "Test a small cup before it goes into a mold, or open a new lot; type `left: 0 g` when it is used up.",
                    file=file,
                )
            )
        for other in material.kit:
            if str(other) in names and not _one_kit(material, materials[str(other)]):
                if name > str(other) and name in materials[str(other)].kit:
                    continue  # said once, from the other side
                told.append(
                    Notice(
                        "kit-lots-differ",
                        "warning",
                        f"`{name}` and `{other}` are matched by their maker, and the lots in use carry different numbers.",
                        "Take both from one kit, or test a small cup of just these two.",
                        file=file,
                    )
                )
    return told


def _one_kit(one: Material, other: Material) -> bool:
    return same_kit(lots_in_use(one), lots_in_use(other))


def closing_notices(recipe: Recipe, mix: Mix, portions: int, room: Fraction | None, file: str) -> list[Notice]:
    """Whether it can be mixed and closed in the short end of the pot life, at today's temperature where it is known.

    Raises:
        ReckoningError: The room is beyond what the rule for other temperatures is used for.
    """
    return [_warning(slip, file) for slip in sets_too_soon(recipe, mix, room, portions)]


def _warning(slip: Slip, file: str) -> Notice:
    return Notice(slip.code, "warning", slip.message, slip.help, file=file)
