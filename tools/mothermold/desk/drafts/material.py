"""Begins a material."""

from __future__ import annotations

from typing import Any

from mothermold.desk.asking import Asking
from mothermold.desk.drafts.questions import Draft, draft, fits, measured, name_for
from mothermold.desk.laying import Braced
from mothermold.desk.shop import Shop
from mothermold.model.names import mended_name


def ask_material(asking: Asking, shop: Shop) -> Draft:
    """Asks for a material."""
    title = asking.text("What it is, without a brand (as Platinum gel silicone, part A)", needed=True)
    name = name_for(asking, shop, "material", title, file_of=_file)
    families = _families(asking, shop)
    tree: dict[str, Any] = {"title": title, "families": families}
    tree["density"] = measured(asking, "Density (as 1.06 g/ml)", "g/ml", fits("material", "density"))
    if size := asking.text("A pack holds (as 1 kg)", check=fits("material", "packs", 0, "size")):
        price = asking.text(
            f"Its price in {shop.view.settings.currency or 'money'}", check=fits("material", "packs", 0, "price")
        )
        tree["packs"] = [Braced(size=size, price=price)]
    if lot := asking.text("The lot number on the label, as it is printed there"):
        tree["lots"] = [Braced(lot=lot, **{key: _day(asking, question, key) for key, question in _DAYS.items()})]
    tree["sds"] = Braced(where=asking.text("Where the maker's safety data sheet hangs (as binder 2)"))
    return draft("material", name, _file(name), tree)


_DAYS = {
    "got": "When it came (as 2026-02-03)",
    "opened": "When it was opened",
    "use_by": "Use by",
}


def _day(asking: Asking, question: str, key: str) -> str:
    return asking.text(question, check=fits("material", "lots", 0, key))


def _families(asking: Asking, shop: Shop) -> list[str]:
    asking.say("Its families decide what it goes with and which cautions hold; a few letters find one.")
    while True:
        chosen = asking.several("Which family", shop.families(), own=True)
        # A family of the author's own is written as every name is.
        if chosen:
            return list(dict.fromkeys(mended_name(each) for each in chosen))
        asking.say("One is needed; `mothermold about unknown-family` lists them all.")


def _file(name: str) -> str:
    return f"recipes/materials/{name}.yaml"
