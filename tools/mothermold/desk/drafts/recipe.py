"""Begins a recipe: from nothing, or from another recipe or an older version of one."""

from __future__ import annotations

import re
from typing import Any, Final

from mothermold.answers.recipes import find_version, readable
from mothermold.book.document import Document
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.mixing import ask_mixes
from mothermold.desk.drafts.questions import Draft, draft, fits, measured, name_for, short_id, unworded
from mothermold.desk.drafts.using import ask_uses
from mothermold.desk.editing import Value, edited
from mothermold.desk.founding import modelines
from mothermold.desk.shop import Shop
from mothermold.model.walk import KeyPath

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
    told = {**head, "surfaces": [], "mixes": ask_mixes(asking, shop), "steps": _steps(asking)}
    return draft("recipe", address, file, ask_uses(asking, shop, told))


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
        number = asking.choose("Which of its versions", _by_number(offers), default=f"version {number}")
    return readable(*find_version(shop.view, f"{chosen}@{number.removeprefix('version ')}"))


def _by_number(offers: list[Offer]) -> list[Offer]:
    # A bare number would be taken for the place in the list.
    return [Offer(f"version {offer.value}", offer.words) for offer in offers]


def _copy(source: Document, stage: str, title: str, file: str) -> str:
    changes: dict[KeyPath, Value] = {
        ("title",): title,
        ("stage",): stage,
        ("version",): "1",
        ("status",): "draft",
        **{(key,): None for key in _NOT_COPIED},
    }
    text = edited(source, changes)
    return modelines("recipe", file) + _FOR_EDITORS.sub("", text)


def _steps(asking: Asking) -> list[dict[str, Any]]:
    steps: list[dict[str, Any]] = []
    question = "The first step, in a few words"
    while title := asking.text(f"{question} (Enter when done)", check=unworded):
        taken = [step["id"] for step in steps]
        step = {"id": short_id(title, taken, f"step-{len(steps) + 1}"), "title": title}
        step["do"] = asking.text("How it is done, in a line")
        hands_on = fits("recipe", "steps", 0, "hands_on")
        step["hands_on"] = measured(asking, "Hands busy for (like 10 min)", "min", hands_on, doubt("hands_on"))
        step |= {"uses": "", "starts": ""}  # known once all steps are; they stand before the wait
        step["wait"] = asking.text("Waiting after it (like 4 h)", check=fits("recipe", "steps", 0, "wait"))
        steps.append(step)
        question = "The next step"
    return steps
