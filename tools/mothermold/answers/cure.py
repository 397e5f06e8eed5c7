"""A stated pot life or demold time in another room, as a band; and Q10 from two logged times."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.amounts import amount, missing, one_amount, temperature
from mothermold.answers.result import Result, number, reckoning_refused
from mothermold.ground.errors import refused
from mothermold.reckon import cure
from mothermold.reckon.errors import ReckoningError

EMPTY: Final[dict[str, Any]] = {
    "time_min": None, "stated_at_deg_c": None, "room_deg_c": None, "short_min": None, "usual_min": None, "long_min": None,
    "q10": None, "cautions": [],
}  # fmt: skip
OWN_LOG: Final = (
    "Deadener, the mass in the cup, retarder and a cold core change it as well: the label and your own log win."
)
COLD: Final = "Under 15 degC platinum silicone is known to stall: warm the room, the mold and the parts first."


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked, as typed."""

    time: str | None = None
    at: str | None = None
    room: str | None = None
    second: str | None = None
    second_at: str | None = None


def reckon_cure(asked: Asked) -> Result:
    """The band of a time in another room, or with a second logged time Q10.

    Raises:
        RefusedError: Something is missing, cannot be read, or is beyond what the rule is used for.
    """
    if asked.time is None or asked.at is None:
        raise missing(
            "A time and the temperature it is stated at",
            "mothermold cure --time '6 min' --at '23 degC' --room '18 degC'",
        )
    if asked.second is not None or asked.second_at is not None:
        return _fitted(asked)
    if asked.room is None:
        raise missing("The temperature of the room", "--room '18 degC'")
    time, stated = amount("--time", asked.time, "time"), temperature("--at", asked.at)
    low, room = temperature("--room", asked.room)
    if low != room:
        raise refused("bad-quantity", f"--room: `{asked.room}` is a range.", "Ask for each end separately.")
    try:
        band = cure.at_temperature((time.low, time.high), stated, room)
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None
    return Result(
        {
            **EMPTY,
            "time_min": [number(time.low), number(time.high)],
            "stated_at_deg_c": [number(each) for each in stated],
            "room_deg_c": number(room),
            "short_min": band.short,
            "usual_min": band.usual,
            "long_min": band.long,
            "cautions": [OWN_LOG, *([COLD] if cure.stalls(room) else [])],
        }
    )


def _fitted(asked: Asked) -> Result:
    if asked.second is None or asked.second_at is None:
        raise missing("A second time with its own temperature", "--second '4 min' --second-at '30 degC'")
    first, second = one_amount("--time", str(asked.time), "time"), one_amount("--second", asked.second, "time")
    first_at, second_at = temperature("--at", str(asked.at))[1], temperature("--second-at", asked.second_at)[1]
    try:
        q10 = cure.fitted_q10(first, first_at, second, second_at)
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None
    return Result({**EMPTY, "q10": q10, "cautions": [OWN_LOG]})
