"""The units of the commands as a script, so that the fields of a page read amounts by the same one table."""

from __future__ import annotations

import json
from typing import Final

from mothermold.quantities import DIMENSION_WORDS
from mothermold.quantities.units import DOUBTFUL_UNITS, UNITS, Unit

FILE: Final = "assets/units.js"


def units_script() -> str:
    """``window.mothermoldUnits``: every unit with its dimension, factor and offset, and what a dimension is called.

    Factors and offsets are exact fractions, written ``n/d``.
    """
    table = {
        "units": {name: _unit(unit) for name, unit in UNITS.items()},
        "doubtful": DOUBTFUL_UNITS,
        "words": DIMENSION_WORDS,
    }
    return f"window.mothermoldUnits = {json.dumps(table, ensure_ascii=False, separators=(',', ':'))};\n"


def _unit(unit: Unit) -> list[str]:
    return [unit.dimension, str(unit.factor), *([str(unit.offset)] if unit.offset else [])]
