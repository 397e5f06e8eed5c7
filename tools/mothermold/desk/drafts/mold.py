"""Begins the record of a mold."""

from __future__ import annotations

from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Draft, draft, fits, lines, measured, name_for
from mothermold.desk.new_text import Braced
from mothermold.desk.shop import Shop

_NONE: Final = "none"
_UNKNOWN: Final = "unknown"
_WAYS: Final = tuple(Offer(word) for word in ("casting", "clay", "water", "scan", "reckoned"))


def ask_mold(asking: Asking, shop: Shop) -> Draft:
    """Asks for a mold."""
    title = asking.text("What the mold is called (like Face mold 1)", needed=True)
    builds = shop.titled("build")
    build = ""
    if builds:
        chosen = asking.choose("For which build", [*builds, Offer(_NONE)], default=builds[0].value)
        build = "" if chosen == _NONE else chosen

    def file(name: str) -> str:
        return f"recipes/builds/{build}/molds/{name}.yaml" if build else f"recipes/molds/{name}.yaml"

    name = name_for(asking, shop, "mold", title, file_of=file)
    tree: dict[str, Any] = {"title": title, "made": _made(asking, shop)}
    tree["parts"] = tuple({"what": what} for what in lines(asking, "Its parts (like negative)", more="And"))
    tree["wearer"] = asking.text("The wearer's code (like W1, never a name)", check=fits("mold", "wearer"))
    volume = measured(asking, "How much the cavity holds (like 218 ml)", "ml", fits("mold", "cavity", "volume"))
    if volume:
        tree["cavity"] = Braced(volume=volume, how=asking.choose("How that was measured", _WAYS))
    tree["bolts"] = asking.text("How many bolts or clamps close it", check=fits("mold", "bolts"))
    tree["shelf"] = asking.text("Where it stands (like C2)")
    return draft("mold", name, file(name), tree)


def _made(asking: Asking, shop: Shop) -> str:
    offers = [Offer(_UNKNOWN), Offer(shop.day, "today"), *shop.runs()]
    runs = [offer.value for offer in shop.runs()]
    while True:
        answer = asking.choose("Made by which run, or on which day", offers, default=_UNKNOWN, own=True)
        wrong = fits("mold", "made")(answer)
        if not wrong and answer != _UNKNOWN and not answer[:1].isdigit() and answer not in runs:
            wrong = f"No run is called `{answer}`. Choose one, or type a day as {shop.day}."
        if not wrong:
            return answer
        asking.say(f"  {wrong}")
