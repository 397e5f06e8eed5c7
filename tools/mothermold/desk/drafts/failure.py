"""Begins a failure note, with the words one shouts first."""

from __future__ import annotations

import re
import typing
from collections.abc import Sequence
from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Draft, lines, name_for
from mothermold.desk.new_text import Lines, laid_out
from mothermold.desk.shop import Shop, UnnotedTrouble
from mothermold.find.stems import folded
from mothermold.model.scalars import Harm

HARMS: Final = tuple(Offer(word) for word in typing.get_args(Harm))
_WORST: Final = HARMS[-1].value
# So many runs that may tell of the same are asked about; with no word in common only the newest is.
_ASKED_ABOUT: Final = 3
# Words of every trouble, by which none is known.
_COMMON: Final = re.compile(
    "after|all|and|are|but|before|for|from|had|has|into|its|mold|not|off|one|out|over|piece|that|the|there|this|too|was|when|where|with"
)
_WORD: Final = re.compile(r"[^\W\d_]+")


def ask_failure(asking: Asking, shop: Shop) -> Draft:
    """Asks for a failure note."""
    symptoms: list[str] = []
    while not symptoms:
        symptoms = lines(asking, "What it looks like, in the words you would shout", more="And")
        if not symptoms:
            asking.say("At least one is needed, so that the note can be found.")
    title = asking.text("What happened, in a few words", default=symptoms[0][:1].upper() + symptoms[0][1:])
    told = _told_of(asking, shop, " ".join([title, *symptoms]))
    places = [_place(trouble) for trouble in told if trouble.run.recipe]
    known = [offer.value for offer in shop.stages()]
    met = next((place.partition("/")[0] for place in places), "")
    stage = asking.choose("At which stage it shows", shop.stages(), default=met if met in known else "", needed=True)
    steps = shop.steps()
    # Steps of the stage at which it is seen stand first.
    steps.sort(key=lambda offer: not offer.value.startswith(f"{stage}/"))
    default = next((place for place in places if place in [offer.value for offer in steps]), "")
    step = asking.choose("At which step, if known", steps, default=default) if steps else ""
    now = lines(asking, "What to do now, first things first")
    harm = _harm(asking)
    fixes = _fixes(asking, shop)
    name = name_for(asking, shop, "failure", title, file_of=_file)
    tree: dict[str, Any] = {
        "title": title,
        "seen_at": stage,
        "noticed": _noticed(step, places),
        "symptoms": Lines(symptoms),
        "now": Lines(now) if now else (),
        "fixes": fixes,
        "harm": harm,
    }
    return Draft("failure", name, _file(name), laid_out("failure", _file(name), tree), told)


def _told_of(asking: Asking, shop: Shop, words: str) -> tuple[UnnotedTrouble, ...]:
    """The entries of runs that tell of the same, as whoever is asked says."""
    troubles = shop.troubles()
    near = _nearest_first(words, troubles)
    found = []
    for trouble in near[:_ASKED_ABOUT] or troubles[:1]:
        asking.say(f"A run of {trouble.run.started:%Y-%m-%d} ({trouble.title}) says: “{trouble.words}”")
        if asking.agree("Is it this?", default=bool(near)):
            found.append(trouble)
    return tuple(found)


def _nearest_first(words: str, troubles: Sequence[UnnotedTrouble]) -> list[UnnotedTrouble]:
    """Those that share a word, the most first; of equals the newer first, as they come."""
    # The beginning of a word stands for all its forms.
    stems = {word[:5] for word in _WORD.findall(folded(words)) if len(word) > 2 and not _COMMON.fullmatch(word)}
    shared = [
        sum(any(word.startswith(stem) for word in _WORD.findall(folded(each.words))) for stem in stems)
        for each in troubles
    ]
    order = sorted(range(len(troubles)), key=lambda place: -shared[place])
    return [troubles[place] for place in order if shared[place]]


def _place(trouble: UnnotedTrouble) -> str:
    """The recipe of a run, with the step where it went wrong."""
    recipe, step = trouble.run.recipe, trouble.run.went_wrong[trouble.place].step
    address = recipe.address if recipe else ""
    return f"{address}#{step}" if step else address


def _noticed(step: str, places: Sequence[str]) -> tuple[str, ...]:
    # The runs of a recipe count only where the note names it.
    noticed = [step] if step else []
    for place in places:
        if place.partition("#")[0] not in [each.partition("#")[0] for each in noticed]:
            noticed.append(place)
    return tuple(noticed)


def _harm(asking: Asking) -> str:
    while True:
        harm = asking.choose("The worst it can cost", HARMS)
        if harm != _WORST or asking.agree("That is the worst there is. Was somebody hurt?", default=False):
            return harm


def _fixes(asking: Asking, shop: Shop) -> tuple[dict[str, str], ...]:
    fix = asking.text("What helps, if known")
    if not fix:
        return ()
    pins = shop.pins()
    pin = asking.choose("Which recipe version has this fix in it", pins) if pins else ""
    return ({"do": fix, "in": pin},)


def _file(name: str) -> str:
    return f"recipes/failures/{name}.yaml"
