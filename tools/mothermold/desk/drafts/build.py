"""Begins a build: the character, what is made for it, and the days."""

from __future__ import annotations

from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Draft, draft, fits, is_yes_or_no, lines, name_for, unnamable
from mothermold.desk.laying import Braced
from mothermold.desk.shop import Shop

_DAYS: Final = (Offer("camera test"), Offer("fitting"), Offer("shoot"))


def ask_build(asking: Asking, shop: Shop) -> Draft:
    """Asks for a build."""
    title = asking.text("What the character is called", needed=True)
    name = name_for(asking, shop, "build", title, file_of=_file)
    people = asking.text("How many pairs of hands there are", check=fits("build", "people"))
    wearers = lines(
        asking, "The code of who wears it (as W1, never a name)", more="And", check=fits("build", "wearers")
    )
    things = _things(asking, shop)
    look = _look(asking, [str(thing["id"]) for thing in things])
    tree: dict[str, Any] = {
        "title": title,
        "people": people,
        "wearers": tuple(dict.fromkeys(wearers)),
        "things": things,
        "looks": (look,) if look else (),
        "days": _days(asking, str(look["id"])) if look else (),
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
    question = "A thing that is made, in a word (as face-mold)"
    while name := asking.text(f"{question} (Enter when done)", check=_checked([str(each["id"]) for each in things])):
        pin = asking.choose("By which recipe", pins, needed=True)
        before = [Offer(str(thing["id"]), str(thing["recipe"])) for thing in things]
        made_from = asking.several("From which things", before) if before else ()
        things.append(Braced({"id": name, "recipe": pin, "from": made_from}))
        question = "Another thing"
    return things


def _checked(taken: list[str]) -> Any:
    def check(answer: str) -> str:
        if is_yes_or_no(answer):
            return "Type a word for the thing, as face-mold, or Enter."
        if fault := unnamable(answer):
            return fault
        return f"A thing is called `{answer}` already." if answer in taken else ""

    return check


def _look(asking: Asking, things: list[str]) -> dict[str, Any]:
    if not things:
        return {}
    pieces = asking.several("What is worn together, in gluing order", [Offer(name) for name in things])
    return {"id": "full", "pieces": [Braced(thing=name) for name in pieces]} if pieces else {}


def _days(asking: Asking, look: str) -> tuple[Braced, ...]:
    days: list[Braced] = []
    question = "A day it is worn (as 2026-05-04)"
    while day := asking.text(f"{question} (Enter when done)", check=fits("build", "days", 0, "day")):
        days.append(Braced(day=day, what=asking.choose(f"What {day} is for", _DAYS), look=look))
        question = "Another day"
    return tuple(days)
