"""What is asked of where each mix of a recipe goes: in which step, as what, on what; what that is made of; its pot life.

A guess is offered first, so that most answers are Enter. Without these answers no rule sees the mix.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.mixing import recipe_of
from mothermold.desk.drafts.questions import names_of, unnamable
from mothermold.desk.question import Ask, Know, Repeat, Said, fits
from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES
from mothermold.trade.habit_reading import RecipeReading
from mothermold.trade.likely_uses import MIXING, SETTING, likely_step, likely_use

_NO_STEP: Final = "none"
_NOTHING: Final = "nothing"


def _mixes(said: Said) -> list[Mapping[str, Any]]:
    """The mixes to ask about: what goes into another mix goes where that one does."""
    inside = {part.get("mix") for mix in said["mixes"] for part in mix["parts"]}
    return [mix for mix in said["mixes"] if mix["id"] not in inside]


def _guess(said: Said) -> Mapping[str, Any]:
    """Where the mix goes by its recipe so far; nothing is asked where that does not hold together."""
    so_far = used(said, said.before)
    if (recipe := recipe_of(said, **so_far)) is None:
        return {}
    materials = said.shop.view.models(Material)
    mix = next(each for each in recipe.mixes if each.id == said["_each"]["id"])
    likely = likely_use(recipe, mix, materials)
    titles = {step["id"]: step["title"] for step in said["steps"]}
    return {
        "_mix": f"“{mix.title or mix.id}”",
        "_titles": titles,
        "_surfaces": [surface["id"] for surface in so_far["surfaces"]],
        "_sets": SETTING & RecipeReading(recipe, materials).families(mix),
        "_step": likely_step(titles, likely.role, mix.title or mix.id) if titles else "",
        "_as": likely.role,
        "_on": likely.surface,
    }


def _guessed(said: Said) -> str:
    return f"{said['_mix']} goes in at “{said['_titles'][said['_step']]}”, as {said['_as']}, on {said['_on']}. Right?"


def _steps(said: Said) -> list[Offer]:
    return [*(Offer(name, title) for name, title in said["_titles"].items()), Offer(_NO_STEP, "no step uses it yet")]


def _surfaces(said: Said) -> list[Offer]:
    names = dict.fromkeys([said["_on"], *said["_surfaces"], *sorted(BODY_SURFACES)])
    return [*map(Offer, names), Offer(_NOTHING, "it goes on no surface")]


def _no_surface(answer: str, said: Said) -> str:
    return "" if answer in names_of(_surfaces(said)) else unnamable(answer)


def _is_wrong(said: Said) -> bool:
    return bool(said["_titles"]) and not said["_right"]


def _goes_in(said: Said) -> bool:
    return said["_step"] not in ("", _NO_STEP)


def _is_elsewhere(said: Said) -> bool:
    return _is_wrong(said) and _goes_in(said)


def _is_new(said: Said) -> bool:
    known = {_NOTHING, *BODY_SURFACES, *said["_surfaces"]}
    return _goes_in(said) and said["_on"] not in known


def _no_pot_life(answer: str, _said: Said) -> str:
    time, at = _parted(answer)
    place = ("recipe", "mixes", 0, "pot_life")
    return fits(*place, "time")(time) or (fits(*place, "at")(at) if at else "")


def _parted(answer: str) -> tuple[str, str]:
    """A time and the temperature it holds at; a bare number is minutes, and degrees Celsius."""
    time, _, at = (each.strip() for each in answer.partition(" at "))
    return (f"{time} min" if time.isdecimal() else time), (f"{at} degC" if at.isdecimal() else at)


def used(said: Said, uses: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Surfaces, mixes and steps with what was answered about uses."""
    mixes = {mix["id"]: dict(mix) for mix in said["mixes"]}
    steps = {step["id"]: dict(step) for step in said["steps"]}
    surfaces: list[dict[str, Any]] = []
    for use in uses:
        if "_mix" not in use:
            continue
        name, step = use["_each"]["id"], steps.get(use["_step"])
        if step is not None:
            on = "" if use["_on"] == _NOTHING else use["_on"]
            step["uses"] = (*step.get("uses", ()), {"mix": name, "as": use["_as"], "on": on})
            if "_made_of" in use:
                surfaces.append({"id": on, "material": use["_made_of"]})
        if pot_life := use.get("_pot_life"):
            mixes[name]["pot_life"] = dict(zip(("time", "at"), _parted(pot_life), strict=True))
            if step is not None:
                _place_of_mixing(list(steps.values()), step)["starts"] = name
    return {"surfaces": tuple(surfaces), "mixes": tuple(mixes.values()), "steps": tuple(steps.values())}


def _place_of_mixing(steps: Sequence[dict[str, Any]], step: dict[str, Any]) -> dict[str, Any]:
    """Where part B meets part A: the step before the use that is called so, else the one of the use."""
    before = steps[: steps.index(step)]
    return next((each for each in before if MIXING.search(each["title"]) and not each.get("starts")), step)


# A guess stands under the key of its question until that is answered.
USES: Final = Repeat("_uses", (
    Know(_guess),
    Ask("_right", _guessed, "agree", default=True, when="_titles"),
    Ask(
        "_step", lambda said: f"Which step uses {said['_mix']}", "choice", _steps, lambda said: said["_step"],
        when=_is_wrong,
    ),
    Ask(
        "_as", "As what", "choice", lambda said: list(map(Offer, said.shop.view.words.roles)), lambda said: said["_as"],
        when=_is_elsewhere,
    ),
    Ask(
        "_on", "On what (or a name of your own)", "choice", _surfaces, lambda said: said["_on"], own=True,
        refuse=_no_surface, when=_is_elsewhere,
    ),
    Ask(
        "_made_of", lambda said: f"What {said['_on']} is made of (Enter if not known)", "choice",
        lambda said: said.shop.titled("material"), when=_is_new,
    ),
    Ask(
        "_pot_life",
        lambda said: f"Pot life of {said['_mix']}, by its label (like 25 min at 23 degC; Enter if not known)",
        refuse=_no_pot_life, when="_sets",
    ),
), each=_mixes)  # fmt: skip
