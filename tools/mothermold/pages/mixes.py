"""The mixes of a recipe as its page shows them: parts, weights, and every reading of a share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from mothermold.answers.result import title_words
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, MixPart, Recipe
from mothermold.model.settings import Scale
from mothermold.pages.calculators import Calculator, calculator
from mothermold.pages.margin import SinceRow
from mothermold.pages.room_data import closing_told
from mothermold.pages.wording import SHOWN, Rows, amount_words, rows_of, spoken
from mothermold.quantities.wording import plain_number
from mothermold.reckon.batches import Sheet, Wanted, grown_from, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import Reading, readings
from mothermold.reckon.weighing import scale_words
from mothermold.trade.pouring import lacks_pot_life
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class MixShown:
    """A mix as its page shows it.

    Attributes:
        mix: The formula.
        parts: Each part with how its amount is written, where reckoned its line of the batch, and what else is said of it.
        sheet: The batch at the mix's own size, or None where it cannot be reckoned.
        scale: What is said before a part about the scale, by part.
        grown: Where the allowance comes in; empty where nothing comes on top.
        fault: Why it cannot.
        readings: Every reading of every share by weight, by material.
        inside: The same for what stands only inside a premix.
        ratio: All materials as parts of the first, by weight.
        since: The note in the margin.
        rest: What has no place of its own.
        calculator: Other sizes of it; None where it is not scaled.
        lacks_pot_life: Whether it sets and nothing says how long it can be poured.
    """

    mix: Mix
    parts: Sequence[tuple[MixPart, str, Any, Rows]]
    sheet: Sheet | None
    scale: Mapping[str, str]
    grown: str
    fault: str
    readings: Mapping[str, Sequence[Reading]]
    inside: Sequence[tuple[str, Sequence[Reading]]]
    ratio: str
    since: SinceRow | None
    rest: Rows
    calculator: Calculator | None
    lacks_pot_life: bool


def mixes_shown(
    view: View, recipe: Recipe, as_said: Sequence[Mapping[str, Any]], sinces: Sequence[SinceRow | None]
) -> list[MixShown]:
    """All mixes of a recipe, reckoned with today's materials and weighed on the book's scales."""
    titles = title_words(view) | {mix.id: mix.title or spoken(mix.id) for mix in recipe.mixes}
    bench = _Bench(view.models(Material), titles, view.settings.scales)
    return [
        _mix_shown(recipe, mix, bench, said, since)
        for mix, said, since in zip(recipe.mixes, as_said, sinces, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Bench:
    """What is on the bench: materials, what they are called, and scales."""

    materials: Mapping[str, Material]
    titles: Mapping[str, str]
    scales: Sequence[Scale]


def _mix_shown(recipe: Recipe, mix: Mix, bench: _Bench, as_said: Mapping[str, Any], since: SinceRow | None) -> MixShown:
    sheet: Sheet | None = None
    fault = ratio = grown = ""
    sizes: Calculator | None = None
    said: dict[str, list[Reading]] = {}
    try:
        resolved: Resolved = resolve(recipe.mixes, mix.id, bench.materials)
        for reading in readings(resolved, bench.materials):
            said.setdefault(reading.part, []).append(reading)
        ratio = _ratio(resolved, 100 if any(str(part.parts) == "100" for part in mix.parts) else 1) if said else ""
        closing = closing_told(recipe, mix, bench.titles[mix.id])
        sizes = calculator(resolved, bench.materials, bench.titles, bench.scales, closing)
        sheet = reckon_batch(resolved, Wanted(), bench.scales)
        grown = grown_from(resolved, Wanted(), sheet)
    except ReckoningError as problem:
        fault = "" if problem.code == "no-fill" else problem.message
    lines = {line.name: line for line in sheet.portion} if sheet else {}
    scale = dict(zip(lines, scale_words(sheet.portion, bench.scales), strict=True)) if sheet else {}
    own = {part.material for part in mix.parts}
    return MixShown(
        mix,
        [
            (part, amount_words(part, bench.titles), lines.get(part.name), rows_of(words, SHOWN[MixPart]))
            for part, words in zip(mix.parts, as_said["parts"], strict=True)
        ],
        sheet,
        scale,
        grown,
        fault,
        said,
        [(name, each) for name, each in said.items() if name not in own],
        ratio,
        since,
        rows_of(as_said, SHOWN[Mix]),
        sizes,
        lacks_pot_life(recipe, mix, bench.materials),
    )


def _ratio(resolved: Resolved, first: int) -> str:
    """``1 : 1 : 0.5`` by weight, in the order the materials are named; nothing for a single one.

    The first counts as 100 where the recipe is written in hundreds, as gypsum is.
    """
    masses = [part.mass for part in resolved.materials if part.mass]
    if len(masses) < 2:
        return ""
    return " : ".join(plain_number(first * mass / masses[0], 3) for mass in masses) + " by weight"
