"""Asks for the mixes of a recipe: what goes in, how much of it, and how much is mixed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.book.document import read_document
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.questions import fits, measured, short_id, unworded
from mothermold.desk.new_text import Braced, laid_out
from mothermold.desk.shop import Shop
from mothermold.model.material import Material
from mothermold.model.recipe import THE_REST, TOTAL, Recipe
from mothermold.quantities.wording import on_scale
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.formula import find_formula_faults
from mothermold.reckon.mixes import Resolved, resolve

_HOW_MUCH: Final = "How much: parts like 100, a percent like 60 %, or a weight like 12 g"
_WANTED: Final = "Type a number for parts, like 100; a percent, like 60 %; or a weight, like 12 g."
_NUMBER: Final = re.compile(r"\d+(\.\d+)?")
_IN_WORDS: Final = re.compile(
    r"(?i)\b(half|quarter|third|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|fifty|"
    r"sixty|seventy|eighty|ninety|hundred|thousand|dozen|percent)\b"
)
MixTree = dict[str, Any]


def ask_mixes(asking: Asking, shop: Shop) -> list[MixTree]:
    """Asks for one mix after the other."""
    materials = shop.titled("material")
    if not materials:
        asking.say("The book has no material yet, so no mix can name one; `mothermold new material` makes one.")
        return []
    mixes: list[MixTree] = []
    question = "The first mix, in a few words (like Base silicone; Enter for none)"
    while title := asking.text(question, check=unworded):
        taken = [*(offer.value for offer in materials), *(str(mix["id"]) for mix in mixes)]
        mix: MixTree = {"id": short_id(title, taken, f"mix-{len(mixes) + 1}"), "title": title, "by": ""}
        mix["parts"] = _parts(asking, materials, mixes)
        if not mix["parts"]:
            asking.say("A mix without parts is left out.")
        else:
            mixes.append(mix)
            _finish(asking, shop, mixes, mix)
        if not asking.agree("Another mix?", default=False):
            break
        question = "The next mix, in a few words (Enter for none)"
    return mixes


def _parts(asking: Asking, materials: Sequence[Offer], before: Sequence[MixTree]) -> list[Braced]:
    # Nothing is left out of the list once it is in the mix, so that each keeps its number.
    offers = [*materials, *(Offer(mix["id"], f"{mix['title']}, mixed before") for mix in before)]
    premixes = [mix["id"] for mix in before]
    parts: dict[str, Braced] = {}
    asking.say("Its parts, in pouring order.")
    while name := asking.choose(f"{'Then what' if parts else 'What goes in first'} (Enter when done)", offers):
        if name in parts:
            asking.say(f"  `{name}` is in this mix already.")
            continue
        parts[name] = Braced({"mix" if name in premixes else "material": name, **_amount(asking)})
    return list(parts.values())


def _amount(asking: Asking) -> dict[str, str]:
    while True:
        answer = asking.text(_HOW_MUCH, check=_amount_fault)
        if not answer:
            return {}
        far = doubt("percent")(answer) if _key(answer) == "percent" else ""
        if far and not asking.agree(f"{answer} is far from {far}. Keep it?", default=False):
            continue
        if answer[0].isdigit() or asking.agree(f"`{answer}`: by eye, outside the arithmetic?", default=False):
            return {_key(answer): answer}
        asking.say(f"  {_WANTED}")


def _key(answer: str) -> str:
    return "parts" if _NUMBER.fullmatch(answer) else "percent" if answer.endswith("%") else "amount"


def _amount_fault(answer: str) -> str:
    if not answer[0].isdigit() and _IN_WORDS.search(answer):
        return _WANTED
    return fits("recipe", "mixes", 0, "parts", 0, _key(answer))(answer)


def _finish(asking: Asking, shop: Shop, mixes: Sequence[MixTree], mix: MixTree) -> None:
    mix["by"] = asking.choose("Measured by", [Offer("weight"), Offer("volume")], default="weight")
    _bases(asking, shop, mixes, mix)
    mix["fills"] = measured(asking, "How much one pour fills (like 185 ml)", "ml", fits("recipe", "mixes", 0, "fills"))
    if mix["fills"]:
        allowance = fits("recipe", "mixes", 0, "allowance")
        mix["allowance"] = measured(asking, "How much extra is mixed (like 10 %)", "%", allowance)
    else:
        batch = fits("recipe", "mixes", 0, "batch")
        mix["batch"] = measured(asking, "How much is mixed in all (like 500 g)", "g", batch)


def _bases(asking: Asking, shop: Shop, mixes: Sequence[MixTree], mix: MixTree) -> None:
    """Asks of what each percent is, now that all parts are known, until that can be reckoned; says what it means."""
    parts = {_name(part): part for part in mix["parts"]}
    shares = {name: part for name, part in parts.items() if "percent" in part}
    while True:
        for name, part in shares.items():
            others = [Offer(other) for other in parts if other != name]
            if others:
                others += [Offer(THE_REST, "all the other parts"), Offer(TOTAL, "the whole mix, itself included")]
                of = asking.several(f"{part['percent']} {name}: of what", others)
                part["of"] = of[0] if len(of) == 1 else of
            else:
                asking.say(f"{part['percent']} of what cannot be said yet: nothing else is in the mix.")
        fault, resolved = _reckoned(shop, mixes, mix)
        if not fault:
            break
        asking.say(f"  {fault}")
    mass = {part.name: part.mass for part in resolved.parts} if resolved else {}
    total = resolved.mass if resolved else None
    for name, part in shares.items():
        if total and (grams := mass[name]) is not None and part.get("of"):
            asking.say(f"  That is {on_scale(grams / total * 100, 0.1)} g of {name} in 100 g of the mix.")


def _reckoned(shop: Shop, mixes: Sequence[MixTree], mix: MixTree) -> tuple[str, Resolved | None]:
    """What is wrong with a percent of a mix, and the mix in exact proportions where those are known."""
    head = {"title": "x", "stage": "cast", "version": "1", "status": "draft"}
    text = laid_out("recipe", "recipes/cast/x.yaml", {**head, "mixes": list(mixes)})
    recipe = read_document("recipe", "cast/x", "recipes/cast/x.yaml", text.encode()).model
    if not isinstance(recipe, Recipe):
        return "", None
    for fault in find_formula_faults(recipe.mixes):
        if "of" in fault.path or "percent" in fault.path:
            return fault.message, None
    try:
        return "", resolve(recipe.mixes, str(mix["id"]), shop.view.models(Material))
    except ReckoningError:
        return "", None


def _name(part: Mapping[str, Any]) -> str:
    return str(part.get("material") or part["mix"])
