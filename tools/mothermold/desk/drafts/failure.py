"""Begins a failure note, with the words one shouts first."""

from __future__ import annotations

import typing
from typing import Any, Final

from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.questions import Draft, draft, lines, name_for
from mothermold.desk.laying import Lines
from mothermold.desk.shop import Shop
from mothermold.model.scalars import Harm

HARMS: Final = tuple(Offer(word) for word in typing.get_args(Harm))


def ask_failure(asking: Asking, shop: Shop) -> Draft:
    """Asks for a failure note."""
    symptoms: list[str] = []
    while not symptoms:
        symptoms = lines(asking, "What it looks like, in the words one would shout", more="And")
        if not symptoms:
            asking.say("At least one is needed, so that the note can be found.")
    title = asking.text("What happened, in a few words", default=symptoms[0][:1].upper() + symptoms[0][1:])
    stage = asking.choose("At which stage one sees it", shop.stages(), needed=True)
    steps = shop.steps()
    # Steps of the stage at which it is seen stand first.
    steps.sort(key=lambda offer: not offer.value.startswith(f"{stage}/"))
    step = asking.choose("At which step, where one is known", steps) if steps else ""
    now = lines(asking, "What to do now, first things first")
    harm = asking.choose("The worst it can cost", HARMS)
    fixes = _fixes(asking, shop)
    name = name_for(asking, shop, "failure", title, file_of=_file)
    tree: dict[str, Any] = {
        "title": title,
        "seen_at": stage,
        "noticed": (step,) if step else (),
        "symptoms": Lines(symptoms),
        "now": Lines(now) if now else (),
        "fixes": fixes,
        "harm": harm,
    }
    return draft("failure", name, _file(name), tree)


def _fixes(asking: Asking, shop: Shop) -> tuple[dict[str, str], ...]:
    fix = asking.text("What helps, where it is known")
    if not fix:
        return ()
    pins = shop.pins()
    pin = asking.choose("Which recipe version carries it", pins) if pins else ""
    return ({"do": fix, "in": pin},)


def _file(name: str) -> str:
    return f"recipes/failures/{name}.yaml"
