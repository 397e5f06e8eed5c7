"""What is asked for a build: the character, what is made for it, and the days."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.questions import NAME, first_then, is_yes_or_no, lines, pins, unnamable
from mothermold.desk.question import Ask, Know, Node, Repeat, Said, Tell, fits
from mothermold.trade.skin import PATCH_TEST_DAYS, PATCH_TEST_HOURS

_DAYS: Final = (Offer("camera test"), Offer("fitting"), Offer("shoot"))
_SHEETS: Final = {
    "application": "How it goes on, in order",
    "wear": "How it is kept through the day",
    "removal": "How it comes off, in order; every glue needs its own remover",
}
_NO_PINS: Final = "A thing is made by a locked recipe version, and the book has none yet; the things can come later."
_NOT_YET: Final = (
    f"Nothing is glued until it is read, {PATCH_TEST_HOURS} hours or more after it was put on, and clear; "
    "then it is typed under `cleared:`."
)


def _no_thing(answer: str, said: Said) -> str:
    if is_yes_or_no(answer):
        return "Type a word for the thing, like face-mold, or Enter."
    if fault := unnamable(answer):
        return fault
    return f"A thing is called `{answer}` already." if answer in [thing["id"] for thing in said.before] else ""


def _look(said: Said) -> Mapping[str, Any]:
    return {"looks.0.id": "full", "looks.0.pieces": tuple({"thing": name} for name in said["_pieces"])}


def _worn(said: Said) -> Mapping[str, Any]:
    """The sheets that bring something on skin, and whose skin it is, where both are known."""
    wearers = said["wearers"]
    wearer = said["looks.0.wearer"] or (wearers[0] if len(wearers) == 1 else "")
    return {
        "_wearer": wearer,
        "_sheets": wearer and {stage: pinned for stage in _SHEETS if (pinned := said[f"looks.0.{stage}"])},
    }


def _tested(said: Said) -> str:
    return f"When the patch test of {said['_wearer']} for all of it was put on (Enter if it is not read and clear yet)"


def _read_too_soon(read: str, said: Said) -> str:
    if wrong := fits("build", "cleared", 0, "on")(read):
        return wrong
    if (date.fromisoformat(read) - date.fromisoformat(said["_tested"])).days >= PATCH_TEST_DAYS:
        return ""
    return (
        f"That is less than {PATCH_TEST_HOURS} hours after {said['_tested']}; type the day it is read again, or Enter."
    )


def _cleared(said: Said) -> Mapping[str, Any]:
    clear = {"wearer": said["_wearer"], **said["_sheets"], "tested": said["_tested"], "on": said["_read"]}
    return {"cleared": (clear,)}


QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("title", "What the character is called", needed=True),
    NAME,
    Ask("people", "How many pairs of hands there are"),
    lines("wearers", "The code of who wears it (like W1, never a name)", "And"),
    Know(lambda said: {"wearers": tuple(dict.fromkeys(said["wearers"])), "_pins": said.shop.pins(), "things": ()}),
    Tell(_NO_PINS, when=lambda said: not said["_pins"]),
    Repeat("things", (
        Ask("id", first_then("A thing that is made, in a word (like face-mold)", "Another thing"), refuse=_no_thing),
        Ask("recipe", "Recipe", "choice", lambda said: said["_pins"], needed=True),
        Ask("from", "Made from", "several", lambda said: [Offer(thing["id"], thing["recipe"]) for thing in said.before]),
    ), when="_pins"),
    Ask("_pieces", "What is worn together, in gluing order", "several", lambda said: [Offer(thing["id"]) for thing in said["things"]]),
    # The only wearer there is need not be named again.
    Ask(
        "looks.0.wearer", "Who wears it", "choice", lambda said: list(map(Offer, said["wearers"])),
        when=lambda said: said["_pieces"] and len(said["wearers"]) > 1,
    ),
    Know(_look, when="_pieces"),
    *(Ask(f"looks.0.{stage}", words, "several", pins(stage), when="_pieces") for stage, words in _SHEETS.items()),
    Repeat("days", (
        Ask("day", first_then("A day it is worn (like 2026-05-04)", "Another day")),
        Ask("what", lambda said: f"What {said['day']} is for", "choice", _DAYS),
        Know(lambda _said: {"look": "full"}),
    ), when="_pieces"),
    Know(_worn),
    Ask("_tested", _tested, refuse=lambda day, _said: fits("build", "cleared", 0, "tested")(day), when="_sheets"),
    Tell(_NOT_YET, when=lambda said: said["_sheets"] and not said["_tested"]),
    Ask("_read", "When it was read, and clear (Enter if not yet)", refuse=_read_too_soon, when="_tested"),
    Know(_cleared, when="_read"),
)  # fmt: skip
