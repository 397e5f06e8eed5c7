"""Begins a recipe: from nothing, or from another recipe or an older version of one."""

from __future__ import annotations

import re
from typing import Any, Final

from mothermold.answers.recipes import find_version, readable
from mothermold.book.document import Document
from mothermold.book.tree import Path
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Draft, draft, fits, measured, name_for, short_id
from mothermold.desk.editing import Value, edited
from mothermold.desk.founding import modelines
from mothermold.desk.laying import Braced
from mothermold.desk.shop import Shop

_NOTHING: Final = "nothing"
# What belongs to the recipe that is copied and not to the one begun.
_NOT_COPIED: Final = ("why", "fixes", "formerly", "accepts", "visibility")
_FOR_EDITORS: Final = re.compile(r"(?m)^# (?:yaml-language-server: )?\$schema[:=].*\n")


def ask_recipe(asking: Asking, shop: Shop, source: str | None = None) -> Draft:
    """Asks for a recipe.

    Args:
        asking: Whom to ask.
        shop: The book.
        source: The recipe to start from, with a version where an older one is meant.
    """
    copied = readable(*find_version(shop.view, source)) if source else None
    default = copied.address.split("/", maxsplit=1)[0] if copied else ""
    stage = asking.choose("At which stage", shop.stages(), default=default, needed=True)
    title = asking.text("What it makes", needed=True)
    if copied is None:
        copied = _source(asking, shop)
    name = name_for(
        asking, shop, "recipe", title, file_of=lambda each: f"recipes/{stage}/{each}.yaml", prefix=f"{stage}/"
    )
    address, file = f"{stage}/{name}", f"recipes/{stage}/{name}.yaml"
    if copied is not None:
        return Draft("recipe", address, file, _copy(copied, stage, title, file))
    head = {"format": "1", "title": title, "stage": stage, "version": "1", "status": "draft"}
    return draft("recipe", address, file, {**head, "mixes": _mixes(asking, shop), "steps": _steps(asking)})


def _source(asking: Asking, shop: Shop) -> Document | None:
    recipes = shop.recipes()
    if not recipes:
        return None
    chosen = asking.choose("Start from", [Offer(_NOTHING), *recipes], default=_NOTHING)
    if chosen == _NOTHING:
        return None
    versions = shop.view.versions(chosen)
    rows = [row for row in versions.rows if row.recipe is not None] if versions else []
    current = (versions.current if versions else None) or rows[-1]
    number = str(current.number)
    if len(rows) > 1:
        offers = [Offer(str(row.number), row.why or row.status) for row in reversed(rows)]
        number = asking.choose("From which of its versions", _by_number(offers), default=f"version {number}")
    return readable(*find_version(shop.view, f"{chosen}@{number.removeprefix('version ')}"))


def _by_number(offers: list[Offer]) -> list[Offer]:
    # A bare number would be taken for the place in the list.
    return [Offer(f"version {offer.value}", offer.words) for offer in offers]


def _copy(source: Document, stage: str, title: str, file: str) -> str:
    changes: dict[Path, Value] = {
        ("title",): title,
        ("stage",): stage,
        ("version",): "1",
        ("status",): "draft",
        **{(key,): None for key in _NOT_COPIED},
    }
    text = edited(source, changes)
    return modelines("recipe", file) + _FOR_EDITORS.sub("", text)


def _mixes(asking: Asking, shop: Shop) -> tuple[dict[str, Any], ...]:
    materials = shop.titled("material")
    if not materials:
        asking.say("The book has no material yet, so no mix can name one; `mothermold new material` makes one.")
        return ()
    asking.say("The first mix, in pouring order.")
    parts: list[Braced] = []
    while True:
        left = [offer for offer in materials if offer.value not in [part["material"] for part in parts]]
        question = f"{'Then what' if parts else 'What goes in first'} (Enter when done)"
        material = asking.choose(question, left) if left else ""
        if not material:
            break
        parts.append(_part(asking, material, [str(part["material"]) for part in parts]))
    if not parts:
        return ()
    by = asking.choose("Measured by", [Offer("weight"), Offer("volume")], default="weight")
    fill = measured(asking, "How much one pour fills (as 185 ml)", "ml", fits("recipe", "mixes", 0, "fills"))
    return ({"id": "base", "by": by, "parts": parts, "fills": fill},)


def _part(asking: Asking, material: str, before: list[str]) -> Braced:
    answer = asking.text("How much: parts as 100, a percent as 60 %, or an amount as 4 drops", check=_check_amount)
    if re.fullmatch(r"\d+(\.\d+)?", answer):
        return Braced(material=material, parts=answer)
    if answer.endswith("%"):
        of: list[str] = []
        if before:
            offers = [Offer(name) for name in before]
            of = list(asking.several(f"{answer} of which", offers)) if len(before) > 1 else before
        return Braced(material=material, percent=answer, of=of[0] if len(of) == 1 else tuple(of))
    return Braced(material=material, amount=answer)


def _check_amount(answer: str) -> str:
    key = "parts" if re.fullmatch(r"\d+(\.\d+)?", answer) else "percent" if answer.endswith("%") else "amount"
    return fits("recipe", "mixes", 0, "parts", 0, key)(answer)


def _steps(asking: Asking) -> tuple[dict[str, Any], ...]:
    steps: list[dict[str, Any]] = []
    question = "The first step, in a few words"
    while title := asking.text(f"{question} (Enter when done)"):
        hands_on = measured(asking, "Hands busy for (as 10 min)", "min", fits("recipe", "steps", 0, "hands_on"))
        taken = [step["id"] for step in steps]
        steps.append({"id": short_id(title, taken, f"step-{len(steps) + 1}"), "title": title, "hands_on": hands_on})
        question = "The next step"
    return tuple(steps)
