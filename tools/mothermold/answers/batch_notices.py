"""What is said about a batch beside its figures: the scale, the maker's maximum, the lots, the mold."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date

from mothermold.answers.molds import DRYING, standing_words
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Recipe
from mothermold.model.settings import Scale
from mothermold.reckon.batches import Sheet
from mothermold.reckon.lots import (
    Need,
    batch_scale,
    is_given,
    kit_words,
    kits_apart,
    left_words,
    needs,
    past_date,
    past_words,
)
from mothermold.reckon.mixes import Resolved
from mothermold.reckon.rounding import by_eye_words, coarse_words, in_digits, moved_words, ratio_moved, too_coarse
from mothermold.reckon.weighing import WeighingLine, scale_for
from mothermold.trade.pouring import lacks_pot_life, too_much
from mothermold.view.view import View


def batch_notices(sheet: Sheet, resolved: Resolved, scales: Sequence[Scale], file: str) -> list[Notice]:
    """What is doubtful in the sheet itself: no allowance, parts by eye, the scale; of one portion where there are more."""
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
    for line in sheet.portion:
        if line.outside:
            told.append(
                Notice(
                    "by-eye",
                    "advice",
                    by_eye_words(f"`{line.name}`", f"`{line.outside}`"),
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
                    _finer(line, scales),
                    file=file,
                )
            )
    if (moved := ratio_moved(sheet.portion)) is not None:
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


def _finer(line: WeighingLine, scales: Sequence[Scale]) -> str:
    """How a part is weighed better: by itself where the cup is too heavy for the scale that could show it."""
    alone = scale_for(line.grams, scales) if line.grams is not None else None
    if alone is not None and alone.step.value < line.step:
        return f"Weigh it by itself on the scale `{alone.id}` and scrape all of it in, or make a premix."
    return "Mix a larger batch, weigh it on a finer scale, or make a premix."


def maximum_notices(recipe: Recipe, resolved: Resolved, materials: Mapping[str, Material], file: str) -> list[Notice]:
    """Parts beyond their maker's maximum."""
    slips = too_much(recipe, resolved, materials)
    return [Notice("over-maximum", "warning", slip.message, slip.help, file=file) for slip in slips]


def pot_life_notices(recipe: Recipe, resolved: Resolved, materials: Mapping[str, Material], file: str) -> list[Notice]:
    """That a mix sets and nobody wrote how long it can be poured."""
    if not lacks_pot_life(recipe, resolved.mix, materials):
        return []
    return [
        Notice(
            "pot-life-not-known",
            "advice",
            f"No pot life is written for `{resolved.mix.id}`, so nobody can say whether there is time to close.",
            "Type `pot_life: {time: 25 min, at: 23 degC}` in the mix, from the label or a timed cup.",
            file=file,
        )
    ]


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
                    past_words(f"`{name}`", f"`{lot.lot}`", last),
                    "Test a small cup before it goes into a mold, or open a new lot; type `left: 0 g` when it is used up.",
                    file=file,
                )
            )
    for name, other in kits_apart(names, materials):
        told.append(
            Notice(
                "kit-lots-differ",
                "warning",
                kit_words(f"`{name}`", f"`{other}`"),
                "Take both from one kit, or test a small cup of just these two.",
                file=names[name],
            )
        )
    return told


def left_notices(
    sheet: Sheet,
    resolved: Resolved,
    materials: Mapping[str, Material],
    files: Mapping[str, str],
    given: Collection[str],
) -> list[Notice]:
    """Materials of which less is left than the batch needs.

    Args:
        sheet: The batch.
        resolved: Its mix.
        materials: The book's materials.
        files: The file each of them is written in.
        given: Parts of which was said how much is there; then their lots are not asked.
    """
    told = []
    for need in needs(resolved, materials):
        through = [f"`{name}`" for name in need.through]
        said = left_words(f"`{need.material}`", need, batch_scale(resolved, sheet), through)
        if said is None or is_given(need, given):
            continue
        code, words = said
        told.append(
            Notice(
                code,
                "warning" if code == "too-little-left" else "advice",
                words,
                _more_of(need)
                if code == "too-little-left"
                else "Weigh what is there, and type it in the lot: `left: 640 g`.",
                file=files[need.material],
            )
        )
    return told


def _more_of(need: Need) -> str:
    if need.stock.closed:
        lots = " or ".join(f"`{lot}`" for lot in need.stock.closed)
        return f"Open lot {lots} too, and test a small cup first: two lots in one piece may differ."
    left = f"{in_digits(need.stock.amount, 4)} {need.stock.unit}"
    return (
        f"Ask how far it goes with `--have '{need.material}={left}'`, or get a new lot before part B meets part A."
        if need.stock.amount
        else "Get a new lot first; where one is there, write it in the material's `lots:`."
    )


def mold_notices(view: View, name: str | None) -> list[Notice]:
    """That the mold a batch is for still dries."""
    document = view.of(Mold).get(name) if name is not None else None
    if document is None or document.model.state != DRYING:
        return []
    return [
        Notice(
            "mold-drying",
            "warning",
            standing_words(view, f"`{document.address}`", document.address, document.model),
            "Weigh it on two days; where both are equal it is dry: type `state: in use` then.",
            file=document.file,
        )
    ]
