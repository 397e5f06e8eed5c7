"""What today's room does to a batch: the times of its mix as bands, and what is said where they are too short or not known."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

from mothermold.answers.cure import OWN_LOG
from mothermold.answers.result import number
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Mix
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.cure import at_temperature
from mothermold.trade.rooms import Limits, Noted, closing_words, cold_words, step_words

TIMES: Final = {
    "pot_life": ("pot life", "be closed by the short end"),
    "demold": ("demold", "not before the long end, and the kept cup decides"),
    "full_cure": ("full cure", "not before the long end"),
}
"""The times of a mix: what each is called, and which end of its band counts."""


def room_data(mix: Mix, room: Fraction | None) -> dict[str, Any] | None:
    """The times of a mix in today's room, in minutes; None where no room was given.

    A time that is not written, or for no temperature, is null.

    Raises:
        ReckoningError: The room is beyond what the rule for other temperatures is used for.
    """
    if room is None:
        return None
    bands = {name: _band(mix, name, room) for name in TIMES}
    return {"deg_c": number(room), **bands, "cautions": [OWN_LOG]}


def _band(mix: Mix, name: str, room: Fraction) -> dict[str, Any] | None:
    timed = getattr(mix, name)
    if timed is None or timed.at is None:
        return None
    band = at_temperature((timed.time.low, timed.time.high), (timed.at.low, timed.at.high), room)
    written = f"{timed.time} at {timed.at}"
    return {"written": written, "short_min": band.short, "usual_min": band.usual, "long_min": band.long}


def room_words(room: Mapping[str, Any]) -> list[str]:
    """The times of a mix in today's room in words; one that is not written, or for no temperature, is said to be not known."""
    found = []
    for name, (called, end) in TIMES.items():
        band = room[name]
        if band is None:
            found.append(f"{called} not known: the recipe says none with its temperature")
            continue
        short, long = minutes_in_words(band["short_min"]), minutes_in_words(band["long_min"])
        times = short if short == long else f"{short} to {long}"
        found.append(f"{called} {times} (written {band['written']}): {end}")
    return [*found, *room["cautions"]]


def room_notices(limits: Limits, mix: Mix, portions: int, room: Fraction | None, file: str) -> list[Notice]:
    """Whether a mix can be closed in its pot life, and whether the room is one its steps are written for.

    Args:
        limits: What the recipe asks of the temperature.
        mix: The mix.
        portions: In how many portions it is mixed.
        room: Today's temperature in degC, where it is known.
        file: The recipe's.
    """
    noted = Noted(room=room)
    return [*_closing(limits, mix, portions, noted, file), *_steps(limits, mix, noted, file)]


def _closing(limits: Limits, mix: Mix, portions: int, noted: Noted, file: str) -> list[Notice]:
    said = next(closing_words(f"`{mix.id}`", each, noted) for each in limits.closing if each.mix.id == mix.id)
    if said is None:
        return []
    if said.code == "pot-life-not-known":
        return [
            Notice(
                "pot-life-not-known",
                "advice",
                said.words,
                "Time a small cup of the mix from B on, and type `pot_life: {time: 25 min, at: 23 degC}`; "
                "the steps say `starts:` and `hands_on:`.",
                file=file,
            )
        ]
    return [
        Notice(
            "pot-life-too-short",
            "warning",
            said.words,
            "Cool the parts and the room, take a slower gel or a retarder its maker names, or mix smaller portions."
            if portions == 1
            else "Mix and pour each portion by itself, cool the parts and the room, or take a slower gel.",
            file=file,
        )
    ]


def _steps(limits: Limits, mix: Mix, noted: Noted, file: str) -> list[Notice]:
    found = []
    for limit in limits.steps:
        if limit.step.starts == mix.id or any(use.mix == mix.id for use in limit.step.uses):
            found += [
                Notice(
                    "room-outside",
                    "warning",
                    step_words(f"step `{limit.step.id}`", limit.asks, what, value, "is"),
                    "Bring the room to what the step says, or try the step on a scrap in this room first.",
                    file=file,
                )
                for what, value in limit.broken_by(noted)
            ]
    for cold in limits.cold:
        if any(use.mix == mix.id for use in cold.step.uses):
            words = cold_words(f"step `{cold.step.id}`", f"`{cold.material}`", cold, noted, "is")
            if words is not None:
                return [*found, Notice(cold.rule.id, cold.rule.severity, words, cold.rule.instead, file=file)]
    return found
