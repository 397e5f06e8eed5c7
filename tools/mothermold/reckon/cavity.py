"""How much a mold holds, from what was weighed or measured at the bench; exact.

volume = weight / density. The best source is the last good casting with its flashing, weighed; clay counts
only the sculpture, not the overflow clay nor what fills undercuts (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from mothermold.reckon.errors import ReckoningError

WATER_USUAL: Final = Fraction("0.998207")
"""Density of water at 20 degC in g/ml (Kell 1975, rounded to six places)."""
# Kell 1975: rho = (a0 + a1 t + ... + a5 t^5) / (1 + b t) in kg/m3, air-free water at one atmosphere.
_KELL: Final = ("999.83952", "16.945176", "-7.9870401e-3", "-46.170461e-6", "105.56302e-9", "-280.54253e-12")
_KELL_BELOW: Final = Fraction("16.879850e-3")
_COLDEST, _HOTTEST = Fraction(1), Fraction(60)


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


def water_density(temperature: Fraction | None = None) -> Fraction:
    """Density of water in g/ml.

    Args:
        temperature: In degC; 20 degC unless given. Kell 1975 (J. Chem. Eng. Data), as public code states it,
            holds from 0 to 150 degC for water without air; here 1 to 60 degC, what a bench pours.

    Raises:
        ReckoningError: ``out-of-range``.
    """
    if temperature is None:
        return WATER_USUAL
    if not _COLDEST <= temperature <= _HOTTEST:
        raise ReckoningError(
            "out-of-range",
            f"Water at {float(temperature):g} degC is not reckoned here.",
            "Use water between 1 and 60 degC; a room's 20 degC is best.",
        )
    above = sum((Fraction(each) * temperature**power for power, each in enumerate(_KELL)), Fraction(0))
    return above / (1 + _KELL_BELOW * temperature) / 1000
