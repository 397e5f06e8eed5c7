"""Which molds a recipe is cast in, which of them no batch is mixed for, and what is known of such a one."""

from __future__ import annotations

from typing import Final

from mothermold.answers.records import all_runs, runs_of, same_recipe
from mothermold.model.build import Build
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run
from mothermold.view.view import View

GONE: Final = frozenset({"broken", "retired"})
"""What nothing is cast in any more."""
DRYING: Final = "drying"
"""What nothing is cast in yet."""


def is_offered(mold: Mold) -> bool:
    """Whether a mold can be cast in today, as far as its state says; a repaired one can."""
    return mold.state not in GONE and mold.state != DRYING


def molds_of(view: View, address: str) -> dict[str, Mold]:
    """The molds a recipe is cast in already, then those made for what it casts, by name; whatever their state."""
    used = {str(run.mold) for run in runs_of(view, address) if run.mold is not None}
    made_for = _made_for(view, address)
    molds = dict(sorted(view.models(Mold).items()))
    meant = [name for name in molds if name in used]
    meant += [
        name
        for name, mold in molds.items()
        if name not in used and isinstance(mold.made, RunRef) and str(mold.made) in made_for
    ]
    return {name: molds[name] for name in meant}


def _made_for(view: View, address: str) -> set[str]:
    """The runs that made molds from which a build casts by this recipe."""
    wanted: set[str] = set()
    for build in view.models(Build).values():
        for thing in build.things:
            if same_recipe(view, thing.recipe.address, address):
                wanted |= {str(name) for name in thing.from_}
    return {name for name, run in view.models(Run).items() if run.thing is not None and str(run.thing) in wanted}


def standing_words(view: View, called: str, name: str, mold: Mold) -> str:
    """The state of a mold with what is known of it: since when, what was last cast in it, where it stands.

    Args:
        view: The edition; only its runs are looked at.
        called: What the sentence calls it.
        name: The mold's name.
        mold: The mold, with a state.
    """
    told = [f"{called} is {mold.state}."]
    last = next((each for each in reversed(mold.repairs) if each.what), None)
    if last is not None:
        when = f"Written about it on {last.date.isoformat()}" if last.date else "Written about it"
        told.append(f"{when}: {' '.join(str(last.what).split()).rstrip('.')}.")
    elif mold.state in GONE:
        told.append("Since when, and why, nobody wrote down.")
    if mold.state == DRYING and mold.weights:
        weighed = max(mold.weights, key=lambda each: each.date)
        told.append(f"It was last weighed on {weighed.date.isoformat()}: {weighed.weight}.")
    casting = next((run for run in reversed(all_runs(view)) if run.mold == name), None)
    told.append(
        f"Last cast in it on {casting.started.date().isoformat()}, {casting.id}."
        if casting
        else "Nothing was cast in it."
    )
    if mold.shelf:
        told.append(f"It stands at {mold.shelf}.")
    return " ".join(told)


def not_offered(view: View, address: str) -> list[str]:
    """Why molds of a recipe are not offered for a batch of it: a paragraph each, for people."""
    return [
        standing_words(view, str(mold.title), name, mold)
        for name, mold in molds_of(view, address).items()
        if not is_offered(mold)
    ]
