"""Asks where each mix of a recipe goes: in which step, as what, on what; what that is made of; and how long it can be poured.

A guess is offered first, so that most answers are Enter. Without these answers no rule sees the mix.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from mothermold.book.document import read_document
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import fits, unnamable
from mothermold.desk.new_text import Braced, laid_out
from mothermold.desk.shop import Shop
from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe
from mothermold.trade.habit_reading import RecipeReading
from mothermold.trade.likely_uses import MIXING, SETTING, likely_step, likely_use

_NO_STEP: Final = "none"
_NOTHING: Final = "nothing"
RecipeTree = dict[str, Any]


def ask_uses(asking: Asking, shop: Shop, recipe: RecipeTree) -> RecipeTree:
    """Asks where each mix goes; what goes into another mix goes where that one does.

    Args:
        asking: Whom to ask.
        shop: The book.
        recipe: What was answered so far, with its ``mixes`` and ``steps``.

    Returns:
        The same with what was answered: surfaces, uses of its steps, pot lives of its mixes.
    """
    told: RecipeTree = {
        **recipe,
        "surfaces": [],
        "mixes": [dict(each) for each in recipe["mixes"]],
        "steps": [dict(each) for each in recipe["steps"]],
    }
    inside = {part.get("mix") for mix in told["mixes"] for part in mix["parts"]}
    for mix in told["mixes"]:
        read = None if mix["id"] in inside else _read(told)
        if read is None:
            continue
        known = next(each for each in read.mixes if each.id == mix["id"])
        place = _use(asking, shop, read, known, told) if told["steps"] else None
        if SETTING & RecipeReading(read, shop.view.models(Material)).families(known):
            mix["pot_life"] = _pot_life(asking, known)
            if mix["pot_life"] and place is not None:
                _place_of_mixing(told["steps"], place)["starts"] = mix["id"]
    return _said(told)


def _said(told: RecipeTree) -> RecipeTree:
    """The same without its empty lists, which would be written."""
    return {key: value for key, value in told.items() if value != []}


def _read(told: RecipeTree) -> Recipe | None:
    """What was answered so far as a recipe; nothing where it does not hold together yet."""
    text = laid_out("recipe", "recipes/cast/x.yaml", _said(told))
    model = read_document("recipe", "cast/x", "recipes/cast/x.yaml", text.encode()).model
    return model if isinstance(model, Recipe) else None


def _called(mix: Mix) -> str:
    return f"“{mix.title or mix.id}”"


def _use(asking: Asking, shop: Shop, recipe: Recipe, mix: Mix, told: RecipeTree) -> int | None:
    """Asks for the use of one mix and writes it; the place of its step, None where none uses it yet."""
    steps, surfaces = told["steps"], told["surfaces"]
    likely = likely_use(recipe, mix, shop.view.models(Material))
    titles = {str(step["id"]): str(step["title"]) for step in steps}
    step, role, surface = likely_step(titles, likely.role, mix.title or mix.id), likely.role, likely.surface
    called = _called(mix)
    if not asking.agree(f"{called} goes in at “{titles[step]}”, as {role}, on {surface}. Right?", default=True):
        offers = [*(Offer(name, title) for name, title in titles.items()), Offer(_NO_STEP, "no step uses it yet")]
        step = asking.choose(f"Which step uses {called}", offers, default=step)
        if step == _NO_STEP:
            return None
        role = asking.choose("As what", [Offer(word) for word in shop.view.words.roles], default=role)
        surface = _surface(asking, surface, surfaces)
    if surface not in {_NOTHING, *BODY_SURFACES, *(each["id"] for each in surfaces)}:
        made_of = asking.choose(f"What {surface} is made of (Enter if not known)", shop.titled("material"))
        surfaces.append(Braced({"id": surface, "material": made_of}))
    place = list(titles).index(step)
    use = {"mix": str(mix.id), "as": role, "on": "" if surface == _NOTHING else surface}
    steps[place]["uses"] = [*(steps[place].get("uses") or ()), Braced(use)]
    return place


def _surface(asking: Asking, likely: str, surfaces: Sequence[RecipeTree]) -> str:
    names = dict.fromkeys([likely, *(each["id"] for each in surfaces), *sorted(BODY_SURFACES)])
    offers = [*map(Offer, names), Offer(_NOTHING, "it goes on no surface")]
    while True:
        answer = asking.choose("On what (or a name of your own)", offers, default=likely, own=True)
        wrong = "" if answer in names else unnamable(answer)
        if not wrong:
            return answer
        asking.say(f"  {wrong}")


def _pot_life(asking: Asking, mix: Mix) -> RecipeTree:
    def fault(answer: str) -> str:
        time, at = _parted(answer)
        return fits("recipe", "mixes", 0, "pot_life", "time")(time) or (
            fits("recipe", "mixes", 0, "pot_life", "at")(at) if at else ""
        )

    question = f"Pot life of {_called(mix)}, by its label (like 25 min at 23 degC; Enter if not known)"
    time, at = _parted(asking.text(question, check=fault))
    return Braced({"time": time, "at": at}) if time else {}


def _parted(answer: str) -> tuple[str, str]:
    """A time and the temperature it holds at; a bare number is minutes, and degrees Celsius."""
    time, _, at = (each.strip() for each in answer.partition(" at "))
    return (f"{time} min" if time.isdecimal() else time), (f"{at} degC" if at.isdecimal() else at)


def _place_of_mixing(steps: Sequence[RecipeTree], place: int) -> RecipeTree:
    """Where part B meets part A: the step before the use that is called so, else the one of the use."""
    before = (step for step in steps[:place] if MIXING.search(str(step["title"])) and not step.get("starts"))
    return next(before, steps[place])
