"""Vapor in a room, by the well-mixed model: a room average, and never a clearance.

    C(t) = G/Q + (C0 - G/Q) * exp(-Q*t/V)

with source G, outflow Q and volume V in matching units (mass balance; textbook of industrial hygiene, worked by the
University of Southampton as an exercise). Air changes k = Q/V. In mg/m3, and as ppm through 24.45 liters a mole (25 degC,
1 atm). The air near whoever leans over the work holds 3 to 10 times the room's average (mixing factor, common practice, no
source). Nothing here knows isocyanates, dust or skin. Exponentials make these floats.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

MOLAR_VOLUME: Final = 24.45
"""Liters a mole of gas takes at 25 degC and 1 atm."""
NEAR: Final = (3, 10)
"""How many times the room's average one breathes near the work; common practice, no source."""
DAY_H: Final = 8.0


def concentration(source: float, flow: float, volume: float, elapsed: float, before: float = 0.0) -> float:
    """The concentration after some time of a steady source.

    Args:
        source: What comes in a unit of time, 0 or more.
        flow: Air out of the room in the same unit of time, 0 or more.
        volume: The room, above 0, in the unit of the flow.
        elapsed: Time, 0 or more.
        before: The concentration at the start.
    """
    if not flow:
        return before + source * elapsed / volume
    gone = -math.expm1(-flow * elapsed / volume)
    return before * (1 - gone) + source / flow * gone


@dataclass(frozen=True, slots=True)
class Pulse:
    """What evaporates evenly over some minutes into a room, and then no more.

    Attributes:
        grams: What evaporates, 0 or more.
        minutes: Over how long, 0 or more; 0 is all at once.
        volume: The room in m3, above 0.
        changes: Air changes an hour, 0 or more.
    """

    grams: float
    minutes: float
    volume: float
    changes: float

    def peak(self) -> float:
        """The highest room average in mg/m3: at the end of the pulse."""
        if not self.minutes:
            return self.grams * 1000 / self.volume
        hours = self.minutes / 60
        return concentration(self.grams * 1000 / hours, self.changes * self.volume, self.volume, hours)

    def average(self) -> float:
        """The average over the 8 hours from the start, of longer work over its last 8, in mg/m3 (integral of C(t), over 8)."""
        hours, k = self.minutes / 60, self.changes
        during, top = 0.0, self.peak()
        if hours:
            rate = self.grams * 1000 / hours / self.volume

            def gathered(until: float) -> float:
                return rate * until**2 / 2 if not k else rate / k * (until + math.expm1(-k * until) / k)

            during = gathered(hours) - gathered(max(hours - DAY_H, 0.0))
        left = max(DAY_H - hours, 0.0)
        after = top * left if not k else top * -math.expm1(-k * left) / k
        return (during + after) / DAY_H


def in_ppm(mg_m3: float, molar_mass: float) -> float:
    """Milligrams a cubic meter as parts per million by volume, at 25 degC and 1 atm; molar mass in g/mol."""
    return mg_m3 * MOLAR_VOLUME / molar_mass


def lel_share(ppm: float, lel: float) -> float:
    """How many percent of the lower explosive limit (itself in percent of the air; 1 % is 10,000 ppm) a room average is."""
    return ppm / (lel * 10_000) * 100


def mixture(shares: Iterable[tuple[float, float]]) -> float:
    """The sum of concentration over limit; above 1 the mixture is above its limit (OSHA 1910.1000(d)(2), from memory)."""
    return sum(level / limit for level, limit in shares)
