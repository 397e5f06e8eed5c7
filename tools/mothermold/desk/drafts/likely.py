"""Figures that are hardly meant: a slip of the finger or of the unit is asked about before it is written.

The bounds are common practice, no source; what is meant can be kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import Mix
from mothermold.quantities import Dimension, parse
from mothermold.quantities.wording import on_scale
from mothermold.reckon.batches import Sheet, Wanted, reckon_batch
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import resolve

IsFar = Callable[[str], str]
"""What a figure is far from, as the rest of a sentence; nothing where it is likely."""

_BOUNDS: Final[Mapping[str, tuple[Dimension, str, str, str]]] = {
    "density": ("density", "0.3 g/ml", "9 g/ml", "what bench materials have"),
    "room": ("temperature", "5 degC", "40 degC", "what a room has"),
    "material_temp": ("temperature", "5 degC", "40 degC", "what materials are worked at"),
    "mold_temp": ("temperature", "5 degC", "90 degC", "what a mold has, even a baked one"),
    "humidity": ("share", "0 %", "100 %", "what air can hold"),
    "percent": ("share", "0 %", "300 %", "what a part of a mix is of another"),
    "hands_on": ("time", "0 min", "24 h", "how long hands are busy at one step"),
}
# How often too much or too little a batch is before it is asked about.
_TIMES: Final = 3


def doubt(figure: str) -> IsFar:
    """Doubts a figure that lies outside what is common."""
    dimension, low, high, told = _BOUNDS[figure]
    lowest, highest = parse(low, (dimension,)).value, parse(high, (dimension,)).value

    def is_far_from(answer: str) -> str:
        amount = parse(answer, (dimension,), default="share" if dimension == "share" else None)
        return "" if lowest <= amount.low and amount.high <= highest else told

    return is_far_from


def usual_weight(mixes: Sequence[Mix], mix: Mix, materials: Mapping[str, Material]) -> str:
    """What a recipe reckons for its own fill, in words; nothing where that cannot be reckoned."""
    sheet = _own_batch(mixes, mix, materials)
    return f"the recipe comes to {on_scale(sheet.mass, 1)} g" if sheet and sheet.mass else ""


def doubt_weighed(mixes: Sequence[Mix], mix: Mix, materials: Mapping[str, Material]) -> IsFar:
    """Doubts a batch far from what the recipe reckons for its own fill; nothing where that cannot be reckoned."""

    def is_far_from(answer: str) -> str:
        amount = parse(answer, ("mass", "volume"))
        sheet = _own_batch(mixes, mix, materials)
        if sheet is None:
            return ""
        usual, unit = (sheet.mass, "g") if amount.dimension == "mass" else (sheet.volume, "ml")
        if not usual or usual / _TIMES <= amount.value <= usual * _TIMES:
            return ""
        return f"the {on_scale(usual, 1)} {unit} the recipe comes to"

    return is_far_from


def _own_batch(mixes: Sequence[Mix], mix: Mix, materials: Mapping[str, Material]) -> Sheet | None:
    try:
        return reckon_batch(resolve(mixes, mix.id, materials), Wanted(), ())
    except ReckoningError:
        return None
