"""What is asked for the mixes of a recipe: what goes in, how much of it, and how much is mixed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from mothermold.book.document import read_document
from mothermold.desk.asking import Offer
from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.questions import first_then, keep, short_id, unworded
from mothermold.desk.new_text import laid_out
from mothermold.desk.question import Ask, Doubt, Know, Repeat, Said, Tell, fits
from mothermold.model.material import Material
from mothermold.model.recipe import THE_REST, TOTAL, Recipe
from mothermold.quantities.wording import on_scale
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.formula import find_formula_faults
from mothermold.reckon.mixes import resolve

_FIRST: Final = "The first mix, in a few words (like Base silicone; Enter for none)"
_HOW_MUCH: Final = "How much: parts like 100, a percent like 60 %, or a weight like 12 g"
_WANTED: Final = "Type a number for parts, like 100; a percent, like 60 %; or a weight, like 12 g."
_NUMBER: Final = re.compile(r"\d+(\.\d+)?")
_IN_WORDS: Final = re.compile(
    r"(?i)\b(half|quarter|third|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|fifty|"
    r"sixty|seventy|eighty|ninety|hundred|thousand|dozen|percent)\b"
)
Mixed = Mapping[str, Any]


def with_parts(mixes: Sequence[Mixed]) -> tuple[Mixed, ...]:
    """The mixes that something goes into."""
    return tuple(mix for mix in mixes if mix["parts"])


def recipe_of(said: Said, **more: Any) -> Recipe | None:
    """What was answered so far as a recipe; nothing where it does not hold together yet."""
    text = laid_out("recipe", "recipes/cast/x.yaml", {**said.maps[-1], **more})
    model = read_document("recipe", "cast/x", "recipes/cast/x.yaml", text.encode()).model
    return model if isinstance(model, Recipe) else None


def _begun(said: Said) -> Mapping[str, Any]:
    before = with_parts(said.before)
    taken = [*(offer.value for offer in said.shop.titled("material")), *(mix["id"] for mix in before)]
    return {"id": short_id(said["title"], taken, f"mix-{len(before) + 1}"), "_mixes": before}


# What goes in, and how much of it


def _ingredients(said: Said) -> list[Offer]:
    # Nothing is left out of the list once it is in the mix, so that each keeps its number.
    mixes = [Offer(mix["id"], f"{mix['title']}, mixed before") for mix in said["_mixes"]]
    return [*said.shop.titled("material"), *mixes]


def _is_in(name: str, said: Said) -> str:
    return f"`{name}` is in this mix already." if name in [part["_what"] for part in said.before] else ""


def _key(amount: str) -> str:
    return "parts" if _NUMBER.fullmatch(amount) else "percent" if amount.endswith("%") else "amount"


def _no_amount(amount: str, _said: Said) -> str:
    if not amount[0].isdigit() and _IN_WORDS.search(amount):
        return _WANTED
    return fits("recipe", "mixes", 0, "parts", 0, _key(amount))(amount)


def _doubted(amount: str, _said: Said) -> Doubt | None:
    if _key(amount) == "percent" and (far := doubt("percent")(amount)):
        return keep(amount, far)
    by_eye = Doubt(f"`{amount}`: by eye, outside the arithmetic?", f"  {_WANTED}")
    return None if amount[0].isdigit() else by_eye


def _part(said: Said) -> Mapping[str, Any]:
    name, amount = said["_what"], said["_amount"]
    kind = "mix" if name in [mix["id"] for mix in said["_mixes"]] else "material"
    return {kind: name, **({_key(amount): amount} if amount else {})}


# Of what each percent is, now that all parts are known


def _others(said: Said) -> list[Offer]:
    others = [Offer(part["_what"]) for part in said["parts"] if part != said["_each"]]
    return others and [*others, Offer(THE_REST, "all the other parts"), Offer(TOTAL, "the whole mix, itself included")]


def _nothing_else(said: Said) -> str:
    return f"{said['_each']['percent']} of what cannot be said yet: nothing else is in the mix."


def _based(said: Said, bases: Iterable[Mixed]) -> tuple[Mixed, ...]:
    """The parts, each percent with what it is of."""
    of = {each["_each"]["_what"]: each["_of"] for each in bases if "_of" in each}
    parts = [(part, of.get(part["_what"], ())) for part in said["parts"]]
    return tuple({**part, "of": names[0] if len(names) == 1 else names} for part, names in parts)


def _recipe_with(said: Said, parts: Sequence[Mixed]) -> Recipe | None:
    mix = {"id": said["id"], "title": said["title"], "by": said["by"], "parts": parts}
    return recipe_of(said, mixes=(*said["_mixes"], mix))


def _no_base(names: Sequence[str], said: Said) -> str:
    recipe = _recipe_with(said, _based(said, [*said.before, {"_each": said["_each"], "_of": names}]))
    faults = find_formula_faults(recipe.mixes) if recipe else ()
    return next((fault.message for fault in faults if "of" in fault.path or "percent" in fault.path), "")


def _grams(said: Said) -> str:
    """What each percent comes to, where that can be reckoned."""
    recipe = _recipe_with(said, said["parts"])
    try:
        resolved = resolve(recipe.mixes, said["id"], said.shop.view.models(Material)) if recipe else None
    except ReckoningError:
        return ""
    if not resolved or not resolved.mass:
        return ""
    mass = {part.name: part.mass for part in resolved.parts}
    return "\n".join(
        f"  That is {on_scale(grams / resolved.mass * 100, 0.1)} g of {part['_what']} in 100 g of the mix."
        for part in said["parts"]
        if part["of"] and (grams := mass[part["_what"]]) is not None
    )


_PARTS: Final = Repeat("parts", (
    Ask("_what", first_then("What goes in first", "Then what"), "choice", _ingredients, refuse=_is_in),
    Ask("_amount", _HOW_MUCH, refuse=_no_amount, doubt=_doubted),
    Know(_part),
))  # fmt: skip
_BASES: Final = Repeat("_bases", (
    Tell(_nothing_else, when=lambda said: not _others(said)),
    Ask(
        "_of", lambda said: f"{said['_each']['percent']} {said['_each']['_what']}: of what", "several", _others,
        refuse=_no_base,
    ),
), each=lambda said: [part for part in said["parts"] if "percent" in part])  # fmt: skip
MIXES: Final = Repeat("mixes", (
    Ask("title", first_then(_FIRST, "The next mix, in a few words (Enter for none)", behind=""), refuse=unworded),
    Know(_begun),
    Tell("Its parts, in pouring order."),
    _PARTS,
    Tell("A mix without parts is left out.", when=lambda said: not said["parts"]),
    Ask("by", "Measured by", "choice", (Offer("weight"), Offer("volume")), "weight", when="parts"),
    _BASES,
    Know(lambda said: {"parts": _based(said, said["_bases"])}),
    Tell(_grams, when="parts"),
    Ask("fills", "How much one pour fills (like 185 ml)", unit="ml", when="parts"),
    Ask("allowance", "How much extra is mixed (like 10 %)", unit="%", when="fills"),
    Ask("batch", "How much is mixed in all (like 500 g)", unit="g", when=lambda said: said["parts"] and not said["fills"]),
    Ask("_another", "Another mix?", "agree", default=False),
), when=lambda said: said.shop.titled("material"), more=lambda said: not said.before or said.before[-1]["_another"])  # fmt: skip
