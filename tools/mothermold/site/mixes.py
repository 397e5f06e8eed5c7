"""The mixes of a recipe as its page shows them: parts, weights, and every reading of a share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from mothermold.model.material import Material
from mothermold.model.recipe import Mix, MixPart, Recipe
from mothermold.quantities.wording import plain_number
from mothermold.reckon.batches import Sheet, Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import Resolved, resolve
from mothermold.reckon.readings import Reading, readings
from mothermold.site.sinces import Since
from mothermold.site.wording import Rows, amount_words, rows_of


@dataclass(frozen=True, slots=True)
class MixShown:
    """A mix as its page shows it.

    Attributes:
        mix: The formula.
        parts: Each part with how its amount is written and, where reckoned, its line of the batch.
        sheet: The batch at the mix's own size, or None where it cannot be reckoned.
        fault: Why it cannot.
        readings: Every reading of every share by weight, by material.
        inside: The same for what stands only inside a premix.
        ratio: All materials as parts of the first, by weight.
        since: The note in the margin.
        rest: What has no place of its own.
    """

    mix: Mix
    parts: Sequence[tuple[MixPart, str, Any]]
    sheet: Sheet | None
    fault: str
    readings: Mapping[str, Sequence[Reading]]
    inside: Sequence[tuple[str, Sequence[Reading]]]
    ratio: str
    since: Since | None
    rest: Rows


def mix_shown(
    recipe: Recipe,
    mix: Mix,
    as_said: Mapping[str, Any],
    materials: Mapping[str, Material],
    since: Since | None,
) -> MixShown:
    """Reckons one mix with today's materials."""
    sheet: Sheet | None = None
    fault = ratio = ""
    said: dict[str, list[Reading]] = {}
    try:
        resolved: Resolved = resolve(recipe.mixes, mix.id, materials)
        for reading in readings(resolved, materials):
            said.setdefault(reading.part, []).append(reading)
        ratio = _ratio(resolved) if said else ""
        sheet = reckon_batch(resolved, Wanted(), ())
    except ReckoningError as problem:
        fault = "" if problem.code == "no-fill" else problem.message
    lines = {line.name: line for line in sheet.lines} if sheet else {}
    own = {part.material for part in mix.parts}
    allowance = as_said.get("allowance")
    rest = rows_of(allowance, ("percent",)) if isinstance(allowance, dict) else []
    rest += rows_of({key: as_said[key] for key in ("density",) if key in as_said})
    return MixShown(
        mix,
        [(part, amount_words(part), lines.get(part.name)) for part in mix.parts],
        sheet,
        fault,
        said,
        [(name, each) for name, each in said.items() if name not in own],
        ratio,
        since,
        rest,
    )


def _ratio(resolved: Resolved) -> str:
    """``1 : 1 : 0.5`` by weight, in the order the materials are named; nothing for a single one."""
    masses = [part.mass for part in resolved.materials if part.mass]
    if len(masses) < 2:
        return ""
    first: Fraction = masses[0]
    return " : ".join(plain_number(mass / first, 3) for mass in masses) + " by weight"
