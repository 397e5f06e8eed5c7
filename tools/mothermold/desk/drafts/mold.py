"""What is asked for a mold."""

from __future__ import annotations

from typing import Final

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.questions import NAME, build, lines, names_of
from mothermold.desk.question import Ask, Node, Said

_UNKNOWN: Final = "unknown"
_WAYS: Final = tuple(map(Offer, ("casting", "clay", "water", "scan", "reckoned")))


def _makers(said: Said) -> list[Offer]:
    return [Offer(_UNKNOWN), Offer(said.shop.day, "today"), *said.shop.runs()]


def _no_maker(answer: str, said: Said) -> str:
    if answer[:1].isdigit() or answer in names_of(_makers(said)):
        return ""
    return f"No run is called `{answer}`. Choose one, or type a day as {said.shop.day}."


QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("title", "What the mold is called (like Face mold 1)", needed=True),
    build(),
    NAME,
    Ask("made", "Made by which run, or on which day", "choice", _makers, _UNKNOWN, own=True, refuse=_no_maker),
    lines("parts", "Its parts (like negative)", "And", inside="what"),
    Ask("wearer", "The wearer's code (like W1, never a name)"),
    Ask("cavity.volume", "How much the cavity holds (like 218 ml)", unit="ml"),
    Ask("cavity.how", "How that was measured", "choice", _WAYS, when="cavity.volume"),
    Ask("bolts", "How many bolts or clamps close it"),
    Ask("shelf", "Where it stands (like C2)"),
)
