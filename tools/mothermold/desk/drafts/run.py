"""Begins the record of a run or a test."""

from __future__ import annotations

import re
import typing
from datetime import datetime
from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.likely import doubt, doubt_weighed, usual_weight
from mothermold.desk.drafts.moments import said_moment, two_days
from mothermold.desk.drafts.questions import Draft, draft, fits, is_yes_or_no, measured, unnamable, unworded
from mothermold.desk.matching import plain_name
from mothermold.desk.new_text import Braced
from mothermold.desk.shop import Shop
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.model.run import Asks

_NONE: Final = "none"
_KINDS: Final = (
    Offer("run", "a recipe was worked"),
    Offer("test", "something was tried"),
    Offer("pull", "a mold's first"),
)
_OUTCOMES: Final = (Offer("good"), Offer("usable"), Offer("scrapped"))
_GRADES: Final = (Offer("hero"), Offer("second"), Offer("spare"))


def ask_run(asking: Asking, shop: Shop) -> Draft:
    """Asks for a run."""
    kind = asking.choose("What kind of run it was", _KINDS, default="run")
    build = _build(asking, shop)
    thing, pin = _thing(asking, shop, build)
    pin = _recipe(asking, shop, kind, pin)
    if not pin and kind != "test":
        asking.say("No recipe version is locked yet, and only a test can do without; so it is written as a test.")
        kind = "test"
    recipe = shop.recipe_at(pin)
    started = _begun(asking, shop)
    mold = _mold(asking, shop, build)
    tree: dict[str, Any] = {
        "id": "",
        "kind": kind,
        "recipe": pin,
        "thing": thing,
        "started": started,
        "finished": "",
        "mold": mold,
        "conditions": _conditions(asking, mold),
        "batch": _batch(asking, shop, recipe),
        "changed": (),
    }
    if kind == "test":
        asks = tuple(Offer(word) for word in typing.get_args(Asks))
        tree["asks"] = tuple(asking.several("What the test asks", asks))
    else:
        tree["outcome"] = asking.choose("How it ended; Enter while it is under way", _OUTCOMES)
    if tree.get("outcome"):
        tree["finished"] = _ended(asking, shop, started)
    tree["went_wrong"] = _went_wrong(asking, shop, recipe)
    if tree.get("outcome") in ("good", "usable"):
        tree["kept"] = _kept(asking, shop, build)
    tree["lots"] = _lots(asking, shop, recipe)
    if note := asking.text("Anything to note: what was done differently, what to remember", check=unworded):
        tree["changed"] = ({"note": note},)
    name = _id(asking, shop, started[:10], thing or pin.partition("@")[0].rpartition("/")[2] or kind, build)
    return draft("run", name, _file(name, build), {**tree, "id": name})


def _begun(asking: Asking, shop: Shop) -> str:
    """When it began; a day to come is asked about, because a wrong year stays in the run's name."""
    return _moment(asking, shop, "When it began (like yesterday 14:10)", default=shop.moment)


def _ended(asking: Asking, shop: Shop, started: str) -> str:
    """When it ended; never before it began."""
    return _moment(asking, shop, "When it ended (like 17:40; Enter if nobody looked)", begun=started)


def _moment(asking: Asking, shop: Shop, question: str, *, default: str = "", begun: str = "") -> str:
    first = datetime.fromisoformat(begun) if begun else None
    is_moment, is_day = fits("run", "started"), fits("run", "day")

    def meant(answer: str) -> str:
        day = first.date() if first else None
        return said_moment(answer, shop.now, shop.view.settings, day=day, is_end=first is not None)

    def check(answer: str) -> str:
        moment = meant(answer)
        if wrong := (is_day(either) if (either := two_days(answer)) else is_moment(moment)):
            return wrong
        if first is not None and datetime.fromisoformat(moment) < first:
            return f"{moment} is before it began, {begun}. Type a later end, or Enter."
        return ""

    while True:
        answer = asking.text(question, default=default, check=check)
        moment = meant(answer) if answer else ""
        if moment not in (answer, default):
            asking.say(f"  -> {moment}")
        if moment[:10] <= shop.day or asking.agree(f"{moment[:10]} is still to come. Keep it?", default=False):
            return moment


def _lots(asking: Asking, shop: Shop, recipe: Recipe | None) -> tuple[Braced, ...]:
    """The lots it took, of those the book has of what the recipe uses; of the ones in use first."""
    offers = shop.lots(recipe) if recipe else {}
    chosen = asking.several("Lots used; Enter if nobody looked", tuple(offers)) if offers else ()
    found = {offer.value: lot for offer, lot in offers.items()}
    return tuple(Braced(material=found[value][0], lot=found[value][1]) for value in chosen)


def _file(name: str, build: str) -> str:
    return f"recipes/builds/{build}/runs/{name}.yaml" if build else f"recipes/runs/{name}.yaml"


def _build(asking: Asking, shop: Shop) -> str:
    builds = shop.titled("build")
    if not builds:
        return ""
    chosen = asking.choose("For which build", [*builds, Offer(_NONE, "for practice")], default=builds[0].value)
    return "" if chosen == _NONE else chosen


def _thing(asking: Asking, shop: Shop, build: str) -> tuple[str, str]:
    things = shop.things(build) if build else []
    if not things:
        return "", ""
    chosen = asking.choose("Which thing of it, if it was one", [Offer(thing.id, thing.recipe) for thing in things])
    return next(((thing.id, str(thing.recipe)) for thing in things if thing.id == chosen), ("", ""))


def _recipe(asking: Asking, shop: Shop, kind: str, pin: str) -> str:
    pins = shop.pins(drafts=kind == "test")
    if not pins:
        return ""
    known = [offer.value for offer in pins]
    default = pin if pin in known else "" if kind == "test" else known[0]
    return asking.choose("Recipe", pins, default=default)


def _mold(asking: Asking, shop: Shop, build: str) -> str:
    molds = shop.molds(build)
    return asking.choose("In which mold, if one was used", molds) if molds else ""


def _conditions(asking: Asking, mold: str) -> Braced:
    questions = {
        "room": ("How warm the room was (like 21 degC)", "degC"),
        "humidity": ("How humid (like 48 %)", "%"),
        "mold_temp": ("How warm the mold was", "degC"),
        "material_temp": ("How warm the materials were", "degC"),
    }
    said = Braced()
    for key, (question, unit) in questions.items():
        # Who did not look at the thermometer has nothing to say of the rest.
        if (key == "room" or said.get("room")) and (key != "mold_temp" or mold):
            said[key] = measured(asking, question, unit, fits("run", "conditions", key), doubt(key))
    return said


def _batch(asking: Asking, shop: Shop, recipe: Recipe | None) -> tuple[Braced, ...]:
    mixes, materials = recipe.mixes if recipe else (), shop.view.models(Material)
    # A premix is weighed within the mix it goes into.
    inner = {part.mix for mix in mixes for part in mix.parts if part.mix}
    found = []
    for mix in mixes:
        if mix.id in inner:
            continue
        check = fits("run", "batch", 0, "weighed")
        is_far_from = doubt_weighed(mixes, mix, materials)
        usual = usual_weight(mixes, mix, materials) or "as 263 g"
        if weighed := measured(asking, f"Weighed for {mix.title or mix.id} ({usual})", "g", check, is_far_from):
            found.append(Braced(mix=str(mix.id), weighed=weighed))
    return tuple(found)


def _went_wrong(asking: Asking, shop: Shop, recipe: Recipe | None) -> tuple[dict[str, str], ...]:
    failures = shop.titled("failure")
    steps = [Offer(step.id, step.title) for step in recipe.steps] if recipe else []
    found: list[dict[str, str]] = []
    question = "What went wrong: a failure from the book, or in your words"
    while answer := asking.choose(f"{question} (Enter when done)", failures, own=True):
        if fault := unworded(answer):
            asking.say(f"  {fault}")
            continue
        key = "failure" if answer in [offer.value for offer in failures] else "what"
        step = asking.choose("At which step", steps) if steps else ""
        found.append({key: answer, "step": step})
        question = "What else"
    return tuple(found)


def _kept(asking: Asking, shop: Shop, build: str) -> tuple[Braced, ...]:
    taken = shop.pieces(build)

    def check(label: str) -> str:
        if is_yes_or_no(label):
            return "Type the piece's label, like F-07, or Enter."
        return f"A piece `{label}` exists already. Give this one another label." if label in taken else ""

    found: list[Braced] = []
    question = "The label of a piece that was kept (like F-07)"
    while label := asking.text(f"{question} (Enter when done)", check=check):
        taken.add(label)
        found.append(Braced(piece=label, grade=asking.choose(f"How good {label} is", _GRADES)))
        question = "The next"
    return tuple(found)


def _id(asking: Asking, shop: Shop, day: str, what: str, build: str) -> str:
    stem = plain_name(what)[:40].rstrip("-")
    runs = shop.view.on("run")
    numbers = [
        int(match[1]) for name in runs if (match := re.fullmatch(rf"r-\d{{4}}-\d\d-\d\d-{stem}-(\d{{1,4}})", name))
    ]

    def check(answer: str) -> str:
        if fault := unnamable(answer):
            return fault
        if shop.is_taken("run", answer, _file(answer, build)):
            return f"Another run is called `{answer}` already. Type another name."
        return ""

    number = max(numbers, default=0) + 1
    while check(f"r-{day}-{stem}-{number}"):
        number += 1
    return asking.text("Its id", default=f"r-{day}-{stem}-{number}", check=check)
