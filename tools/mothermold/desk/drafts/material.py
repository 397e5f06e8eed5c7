"""Begins a material."""

from __future__ import annotations

from typing import Any

from mothermold.desk.asking import Asking
from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.questions import Draft, draft, fits, measured, name_for
from mothermold.desk.matching import plain_name
from mothermold.desk.new_text import Braced
from mothermold.desk.shop import Shop
from mothermold.quantities import QuantityError, parse


def ask_material(asking: Asking, shop: Shop) -> Draft:
    """Asks for a material."""
    title = asking.text("What it is, without a brand (like Platinum gel silicone, part A)", needed=True)
    name = name_for(asking, shop, "material", title, file_of=_file)
    families = _families(asking, shop)
    tree: dict[str, Any] = {"title": title, "families": families}
    tree["density"] = measured(
        asking, "Density (like 1.06 g/ml)", "g/ml", fits("material", "density"), doubt("density")
    )
    if size := asking.text("What a pack holds, by weight, volume or count (like 1 kg, 500 ml, 6 pieces)", check=_pack):
        currency = shop.view.settings.currency
        question = f"Its price, in {currency} as book.yaml says (like 24.50)" if currency else "Its price (like 24.50)"
        tree["packs"] = [Braced(size=size, price=asking.text(question, check=fits("material", "packs", 0, "price")))]
    if lot := asking.text("The lot number on the label, as it is printed there"):
        tree["lots"] = [Braced(lot=lot, **{key: _day(asking, question, key) for key, question in _DAYS.items()})]
    tree["sds"] = Braced(where=asking.text("Where the maker's safety data sheet is kept (like binder 2)"))
    return draft("material", name, _file(name), tree)


_DAYS = {
    "got": "When it came (like 2026-02-03)",
    "opened": "When it was opened",
    "use_by": "Use by",
}


def _pack(answer: str) -> str:
    try:
        parse(answer, ("mass", "volume", "pieces"))
    except QuantityError:
        # What else a pack may hold is for the file: here it would be a list of nine.
        fault = fits("material", "packs", 0, "size")(answer)
        return (
            fault
            and f"`{answer}` is not the size of a pack. Type a weight, like 1 kg; a volume, like 500 ml; or 6 pieces."
        )
    return ""


def _day(asking: Asking, question: str, key: str) -> str:
    return asking.text(question, check=fits("material", "lots", 0, key))


def _families(asking: Asking, shop: Shop) -> list[str]:
    asking.say("Its families decide what it goes with and which cautions apply; a few letters find one.")
    offers = shop.families()
    known = {offer.value for offer in offers}
    while True:
        chosen = [plain_name(each) for each in asking.several("Which family", offers, own=True)]
        if kept := [each for each in dict.fromkeys(chosen) if each in known or _is_own(asking, each)]:
            return kept
        asking.say("One is needed; `?` lists them all.")


def _is_own(asking: Asking, name: str) -> bool:
    asking.say(f"  No family is called `{name}`, so no cautions and no rules would apply to it.")
    return asking.agree(f"Add `{name}` as a family of your own?", default=False)


def _file(name: str) -> str:
    return f"recipes/materials/{name}.yaml"
