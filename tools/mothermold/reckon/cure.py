"""Pot life and demold time at another temperature, as a band: close by the short end, demold by the long end.

Formula: t(T) = t(T0) * Q10 ** ((T0 - T) / 10), minutes and degC. Q10 says how many times faster a reaction runs
10 K warmer: usually between 1.5 and 2.5 (the trade reference's source S47, an epoxy pot-life page), 2 by the rule
that ten degrees halve the time (S46, an adhesive maker's page). One number would pretend to know more.

Not covered: deadener, the mass in the cup, retarder and a cold core change pot life as well; a label speaks of bare
A+B, about 100 g at about 23 degC (common practice, no source). The label and your own log win.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isfinite
from typing import Final

from mothermold.quantities.wording import plain_number
from mothermold.reckon.errors import ReckoningError

Real = Fraction | float
RealSpan = Real | tuple[Real, Real]

# Usual range of Q10 (S47) and the rule of thumb (S46).
Q10_SHORT: Final = 1.5
Q10_USUAL: Final = 2.0
Q10_LONG: Final = 2.5
# Rooms in which anyone casts, and how far a rule of thumb reaches: common practice, no source.
COLDEST: Final = 10
WARMEST: Final = 40
REACH: Final = 15
# Platinum silicone stalls below this: common practice, no source.
STALLS_UNDER: Final = 15
# Closer than this two logged rooms say nothing of Q10: half an hour's drift of a room (common practice, no source).
APART: Final = 3


@dataclass(frozen=True, slots=True)
class Band:
    """A time as it may come out, in minutes.

    Attributes:
        short: The earliest: be closed by then.
        usual: With the usual Q10, from the middle of what is stated.
        long: The latest: demold not before.
    """

    short: float
    usual: float
    long: float


def at_temperature(time: RealSpan, stated_at: RealSpan, wanted: Real) -> Band:
    """How long a stated time becomes in another temperature.

    Args:
        time: As stated, in minutes; a range as its two ends.
        stated_at: The temperature it is stated for, in degC; a range as its two ends.
        wanted: The temperature it will be used in, in degC.

    Returns:
        The band over Q10 from 1.5 to 2.5 and over all ends of what is stated; at the stated temperature the time
        itself.

    Raises:
        ReckoningError: ``out-of-range`` where a time is not above 0; ``beyond-range`` where the room is not within 10 to 40 degC, or
            more than 15 K away from a stated temperature: further away the rule of thumb is off by more than it helps.
    """
    low, high = _ends(time)
    cold, warm = _ends(stated_at)
    _refuse(low, cold, warm, wanted)
    times = [
        each * _slower(q10, stated, wanted)
        for each in (low, high)
        for stated in (cold, warm)
        for q10 in (Q10_SHORT, Q10_LONG)
    ]
    return Band(min(times), (low + high) / 2 * _slower(Q10_USUAL, (cold + warm) / 2, wanted), max(times))


def stalls(wanted: Real) -> bool:
    """Whether a room is so cold that platinum silicone is known to stall in it (under 15 degC; common practice)."""
    return float(wanted) < STALLS_UNDER


def fitted_q10(first: Real, first_at: Real, second: Real, second_at: Real) -> float:
    """Q10 from two logged times of one mix: (t1/t2) ** (10/(T2 - T1)).

    Args:
        first: A logged time in minutes.
        first_at: The temperature it was logged at, in degC.
        second: Another logged time in minutes, of the same mix, mass and question.
        second_at: The temperature that one was logged at, in degC.

    Raises:
        ReckoningError: ``out-of-range`` where a time is not above 0; ``beyond-range`` where the temperatures are less than 3 K apart or
            outside 10 to 40 degC, or the warmer one took as long as the cooler one or longer: something else differed.
    """
    one, other, one_at, other_at = float(first), float(second), float(first_at), float(second_at)
    for time, temperature in ((one, one_at), (other, other_at)):
        _refuse_time(time)
        _refuse_room(temperature)
    if abs(other_at - one_at) < APART:
        raise ReckoningError(
            "beyond-range",
            f"Two logs less than {APART} K apart say nothing about temperature.",
            "Log the same mix once more in a clearly warmer or cooler room.",
        )
    q10: float = (one / other) ** (10 / (other_at - one_at))
    if q10 <= 1:
        raise ReckoningError(
            "beyond-range",
            "The warmer log is not the shorter one, so something besides temperature differed.",
            "Compare two logs of the same mix, the same mass and the same sign that time is up.",
        )
    return q10


def _slower(q10: float, stated: float, wanted: Real) -> float:
    factor: float = q10 ** ((stated - float(wanted)) / 10)
    return factor


def _ends(span: RealSpan) -> tuple[float, float]:
    low, high = span if isinstance(span, tuple) else (span, span)
    return min(float(low), float(high)), max(float(low), float(high))


def _refuse(low: float, cold: float, warm: float, wanted: Real) -> None:
    _refuse_time(low)
    _refuse_room(wanted)
    far = max(abs(float(wanted) - cold), abs(float(wanted) - warm))
    if not far <= REACH:
        stated = plain_number(cold) if cold == warm else f"{plain_number(cold)} to {plain_number(warm)}"
        raise ReckoningError(
            "beyond-range",
            f"{plain_number(wanted)} degC is more than {REACH} K away from the {stated} degC the time is stated for.",
            "Ask the maker, or time a small cup of the same mix in that room.",
        )


def _refuse_time(time: float) -> None:
    if not (time > 0 and isfinite(time)):
        raise ReckoningError(
            "out-of-range", f"A time of {plain_number(time)} min is not a time.", "Give a time above 0, as `6 min`."
        )


def _refuse_room(temperature: Real) -> None:
    if not COLDEST <= float(temperature) <= WARMEST:
        raise ReckoningError(
            "beyond-range",
            f"{plain_number(temperature)} degC is outside {COLDEST} to {WARMEST} degC, where the rule is used.",
            "Bring the room or the material nearer to the label's temperature, or time a small cup of the mix.",
        )
