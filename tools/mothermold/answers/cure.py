"""A stated pot life or demold time in another room, as a band; and Q10 from two logged times."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Final

from mothermold.answers.amounts import amount, missing, one_amount, temperature
from mothermold.answers.question import Typed, option, question
from mothermold.answers.result import Result, cautions_text, number, reckoning_refused
from mothermold.ground.errors import refused
from mothermold.quantities.wording import bench_minutes
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
class CureAsked:
    """What is asked, as typed."""

    time: Annotated[Typed, option("Q", "the time as stated, like '6 min' or '30-60 min'")] = None
    at: Annotated[Typed, option("T", "the temperature it is stated for, like '23 degC'")] = None
    room: Annotated[Typed, option("T", "the temperature of the room")] = None
    second: Annotated[
        Typed, option("Q", "instead of the room: the same time logged elsewhere, to learn how it changes")
    ] = None
    second_at: Annotated[Typed, option("T", "the temperature of that second log")] = None


def _text(result: Result) -> str:
    data = result.data
    if data["q10"] is not None:
        return f"These two logs make it {data['q10']:.2f} times as fast for each 10 K (usually 1.5 to 2.5).\n{cautions_text(result)}"
    said = (
        f"At {data['room_deg_c']:g} degC\n\n"
        f"  at the earliest  {bench_minutes(data['short_min']):<12}  of a pot life: be closed by then\n"
        f"  usually          {bench_minutes(data['usual_min'])}\n"
        f"  at the latest    {bench_minutes(data['long_min']):<12}  of a demold time: not before then\n"
    )
    return said + cautions_text(result)


@question("cure", empty=EMPTY, text=_text, page="sums.html")
def reckon_cure(asked: CureAsked) -> Result:
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


def _fitted(asked: CureAsked) -> Result:
    if asked.second is None or asked.second_at is None:
        raise missing("A second time with its own temperature", "--second '4 min' --second-at '30 degC'")
    first, second = one_amount("--time", str(asked.time), "time"), one_amount("--second", asked.second, "time")
    first_at, second_at = temperature("--at", str(asked.at))[1], temperature("--second-at", asked.second_at)[1]
    try:
        q10 = cure.fitted_q10(first, first_at, second, second_at)
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None
    return Result({**EMPTY, "q10": q10, "cautions": [OWN_LOG]})
