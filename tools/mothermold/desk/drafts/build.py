"""Begins a build: the character, what is made for it, and the days."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Check, Draft, draft, fits, is_yes_or_no, lines, name_for, unnamable
from mothermold.desk.new_text import Braced
from mothermold.desk.shop import Shop
from mothermold.trade.skin import PATCH_TEST_DAYS, PATCH_TEST_HOURS

_DAYS: Final = (Offer("camera test"), Offer("fitting"), Offer("shoot"))
_SHEETS: Final = {
    "application": "How it goes on, in order",
    "wear": "How it is kept through the day",
    "removal": "How it comes off, in order; every glue needs its own remover",
}


def ask_build(asking: Asking, shop: Shop) -> Draft:
    """Asks for a build."""
    title = asking.text("What the character is called", needed=True)
    name = name_for(asking, shop, "build", title, file_of=_file)
    people = asking.text("How many pairs of hands there are", check=fits("build", "people"))
    wearers = lines(
        asking, "The code of who wears it (like W1, never a name)", more="And", check=fits("build", "wearers")
    )
    things = _things(asking, shop)
    look = _look(asking, shop, [str(thing["id"]) for thing in things], list(dict.fromkeys(wearers)))
    tree: dict[str, Any] = {
        "title": title,
        "people": people,
        "wearers": tuple(dict.fromkeys(wearers)),
        "things": things,
        "looks": (look,) if look else (),
        "days": _days(asking, str(look["id"])) if look else (),
        "cleared": _cleared(asking, look, wearers),
    }
    return draft("build", name, _file(name), tree)


def _file(name: str) -> str:
    return f"recipes/builds/{name}/build.yaml"


def _things(asking: Asking, shop: Shop) -> list[Braced]:
    pins = shop.pins()
    if not pins:
        asking.say("A thing is made by a locked recipe version, and the book has none yet; the things can come later.")
        return []
    things: list[Braced] = []
    question = "A thing that is made, in a word (like face-mold)"
    while name := asking.text(f"{question} (Enter when done)", check=_checked([str(each["id"]) for each in things])):
        pin = asking.choose("Recipe", pins, needed=True)
        before = [Offer(str(thing["id"]), str(thing["recipe"])) for thing in things]
        made_from = asking.several("Made from", before) if before else ()
        things.append(Braced({"id": name, "recipe": pin, "from": made_from}))
        question = "Another thing"
    return things


def _checked(taken: list[str]) -> Any:
    def check(answer: str) -> str:
        if is_yes_or_no(answer):
            return "Type a word for the thing, like face-mold, or Enter."
        if fault := unnamable(answer):
            return fault
        return f"A thing is called `{answer}` already." if answer in taken else ""

    return check


def _look(asking: Asking, shop: Shop, things: list[str], wearers: list[str]) -> dict[str, Any]:
    if not things:
        return {}
    pieces = asking.several("What is worn together, in gluing order", [Offer(name) for name in things])
    if not pieces:
        return {}
    # The only wearer there is need not be named again.
    wearer = asking.choose("Who wears it", [Offer(code) for code in wearers]) if len(wearers) > 1 else ""
    look: dict[str, Any] = {"id": "full", "wearer": wearer, "pieces": [Braced(thing=name) for name in pieces]}
    for stage, question in _SHEETS.items():
        if sheets := shop.pins(stage=stage):
            look[stage] = asking.several(question, sheets)
    return look


def _cleared(asking: Asking, look: dict[str, Any], wearers: list[str]) -> tuple[dict[str, Any], ...]:
    """The patch test of all that the look's sheets bring on skin, where it is read already."""
    sheets = {stage: look[stage] for stage in _SHEETS if look.get(stage)}
    wearer = look.get("wearer") or (wearers[0] if len(set(wearers)) == 1 else "")
    if not sheets or not wearer:
        return ()
    question = f"When the patch test of {wearer} for all of it was put on (Enter if it is not read and clear yet)"
    if not (tested := asking.text(question, check=fits("build", "cleared", 0, "tested"))):
        asking.say(
            f"Nothing is glued until it is read, {PATCH_TEST_HOURS} hours or more after it was put on, and clear; "
            "then it is typed under `cleared:`."
        )
        return ()
    read = asking.text("When it was read, and clear (Enter if not yet)", check=_read_after(tested))
    return ({"wearer": wearer, **sheets, "tested": tested, "on": read},) if read else ()


def _read_after(tested: str) -> Check:
    is_a_day = fits("build", "cleared", 0, "on")

    def check(answer: str) -> str:
        if wrong := is_a_day(answer):
            return wrong
        if (date.fromisoformat(answer) - date.fromisoformat(tested)).days < PATCH_TEST_DAYS:
            return (
                f"That is less than {PATCH_TEST_HOURS} hours after {tested}; type the day it is read again, or Enter."
            )
        return ""

    return check


def _days(asking: Asking, look: str) -> tuple[Braced, ...]:
    days: list[Braced] = []
    question = "A day it is worn (like 2026-05-04)"
    while day := asking.text(f"{question} (Enter when done)", check=fits("build", "days", 0, "day")):
        days.append(Braced(day=day, what=asking.choose(f"What {day} is for", _DAYS), look=look))
        question = "Another day"
    return tuple(days)
