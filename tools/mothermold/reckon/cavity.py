"""How much a mold holds, from what was weighed or measured at the bench; exact.

volume = weight / density. The best source is the last good casting with its flashing, weighed; clay counts
only the sculpture, not the overflow clay nor what fills undercuts (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from mothermold.reckon.errors import ReckoningError

WATER_USUAL_DEGC: Final = Fraction(20)
"""How warm water is where nobody says."""
# CIPM formula (Tanaka and others 2001), numbers as public code states them, kg/m3 for water without air:
# rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))).
_A1, _A2, _A3 = Fraction("-3.983035"), Fraction("301.797"), Fraction("522528.9")
_A4, _A5 = Fraction("69.34881"), Fraction("999.974950")
_COLDEST, _HOTTEST = Fraction(1), Fraction(40)


def volume_of(weight: Fraction, density: Fraction) -> Fraction:
    """The volume of what was weighed.

    Formula: weight / density, g and g/ml, milliliters out. Both must be above 0.

    Raises:
        ReckoningError: ``out-of-range``.
    """
    if weight <= 0 or density <= 0:
        raise ReckoningError(
            "out-of-range", "A weight or a density is 0 or less.", "Give both above 0, as `410 g` and `1.52 g/ml`."
        )
    return weight / density


def water_density(temperature: Fraction = WATER_USUAL_DEGC) -> Fraction:
    """Density of water in g/ml, to six places: 0.998207 at 20 degC.

    Formula: CIPM 2001, which holds from 0 to 40 degC; here from 1 on, for ice is no water.

    Args:
        temperature: In degC.

    Raises:
        ReckoningError: ``out-of-range``.
    """
    if not _COLDEST <= temperature <= _HOTTEST:
        raise ReckoningError(
            "out-of-range",
            f"Water at {float(temperature):g} degC is not worked out here.",
            "Use water between 1 and 40 degC; a room's 20 degC is best.",
        )
    shrunk = (temperature + _A1) ** 2 * (temperature + _A2) / (_A3 * (temperature + _A4))
    return round(_A5 * (1 - shrunk) / 1000, 6)
