"""What is asked for a failure note: the words one shouts come first."""

from __future__ import annotations

import re
import typing
from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.questions import NAME, lines, names_of, pins
from mothermold.desk.question import Ask, Doubt, Know, Node, Repeat, Said, Tell
from mothermold.desk.shop import UnnotedTrouble
from mothermold.find.stems import folded
from mothermold.model.scalars import Harm

HARMS: Final = tuple(map(Offer, typing.get_args(Harm)))
_WORST: Final = HARMS[-1].value
# So many runs that may tell of the same are asked about; with no word in common only the newest is.
_ASKED_ABOUT: Final = 3
# Words of every trouble, by which none is known.
_COMMON: Final = re.compile(
    "after|all|and|are|but|before|for|from|had|has|into|its|mold|not|off|one|out|over|piece|that|the|there|this|too|was|when|where|with"
)
_WORD: Final = re.compile(r"[^\W\d_]+")


def _troubles(said: Said) -> dict[str, Any]:
    """The entries of runs that may tell of the same."""
    troubles = said.shop.troubles()
    near = nearest_first(" ".join([said["title"], *said["symptoms"]]), troubles)
    return {"_near": bool(near), "_troubles": near[:_ASKED_ABOUT] or troubles[:1]}


def nearest_first(words: str, troubles: Sequence[UnnotedTrouble]) -> list[UnnotedTrouble]:
    """Those that share a word, the most first; of equals the newer first, as they come."""
    # The beginning of a word stands for all its forms.
    stems = {word[:5] for word in _WORD.findall(folded(words)) if len(word) > 2 and not _COMMON.fullmatch(word)}
    shared = [
        sum(any(word.startswith(stem) for word in _WORD.findall(folded(each.words))) for stem in stems)
        for each in troubles
    ]
    order = sorted(range(len(troubles)), key=lambda place: -shared[place])
    return [troubles[place] for place in order if shared[place]]


def _cited(said: Said) -> str:
    trouble = said["_each"]
    return f"A run of {trouble.run.started:%Y-%m-%d} ({trouble.title}) says: “{trouble.words}”"


def _met(said: Said) -> dict[str, Any]:
    """The entries that tell of the same, and where they say that it showed."""
    told = tuple(each["_each"] for each in said["_cited"] if each["_is_this"])
    return {"_names": told, "_places": [_place(trouble) for trouble in told if trouble.run.recipe]}


def _place(trouble: UnnotedTrouble) -> str:
    """The recipe of a run, with the step where it went wrong."""
    recipe, step = trouble.run.recipe, trouble.run.went_wrong[trouble.place].step
    address = recipe.address if recipe else ""
    return f"{address}#{step}" if step else address


def _likely_stage(said: Said) -> str:
    met = next((place.partition("/")[0] for place in said["_places"]), "")
    return met if met in names_of(said.shop.stages()) else ""


def _steps(said: Said) -> list[Offer]:
    """All steps, those of the stage at which it is seen first."""
    return sorted(said.shop.steps(), key=lambda offer: not offer.value.startswith(f"{said['seen_at']}/"))


def _likely_step(said: Said) -> str:
    steps = names_of(said.shop.steps())
    return next((place for place in said["_places"] if place in steps), "")


def _noticed(said: Said) -> Mapping[str, Any]:
    # The runs of a recipe count only where the note names it.
    noticed = [said["_step"]] if said["_step"] else []
    for place in said["_places"]:
        if place.partition("#")[0] not in [each.partition("#")[0] for each in noticed]:
            noticed.append(place)
    return {"noticed": tuple(noticed)}


def _is_worst(harm: str, _said: Said) -> Doubt | None:
    return Doubt("That is the worst there is. Was somebody hurt?") if harm == _WORST else None


QUESTIONS: Final[tuple[Node, ...]] = (
    lines(
        "symptoms", "What it looks like, in the words you would shout", "And",
        needed="At least one is needed, so that the note can be found.",
    ),
    Ask(
        "title", "What happened, in a few words",
        default=lambda said: said["symptoms"][0][:1].upper() + said["symptoms"][0][1:],
    ),
    Know(_troubles),
    Repeat(
        "_cited",
        (Tell(_cited), Ask("_is_this", "Is it this?", "agree", default=lambda said: said["_near"])),
        each=lambda said: said["_troubles"],
    ),
    Know(_met),
    Ask("seen_at", "At which stage it shows", "choice", lambda said: said.shop.stages(), _likely_stage, needed=True),
    Ask("_step", "At which step, if known", "choice", _steps, _likely_step),
    Know(_noticed),
    lines("now", "What to do now, first things first"),
    Ask("harm", "The worst it can cost", "choice", HARMS, doubt=_is_worst),
    Ask("fixes.0.do", "What helps, if known"),
    Ask("fixes.0.in", "Which recipe version has this fix in it", "choice", pins(), when="fixes.0.do"),
    NAME,
)  # fmt: skip
