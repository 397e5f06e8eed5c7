"""Which molds a recipe is cast in, which of them no batch is mixed for, and what is known of such a one."""

from __future__ import annotations

from typing import Final

from mothermold.answers.records import runs_of
from mothermold.book.files import build_of
from mothermold.model.build import Build
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.view.sums import entry_by_entry
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
    # The runs that made what a build casts from by this recipe, and the molds that came of them.
    sources = {source for _build, _thing, names in things_made(view).get(address, ()) for source in names}
    runs = {run for source in sources for run in view.evidence.lineage.of_thing(source)}
    made = {mold for run in runs for mold in _molds_made(view).get(run, ())}
    molds = view.models(Mold)
    return {name: mold for name in (*sorted(used), *sorted(made - used)) if (mold := molds.get(name)) is not None}


@entry_by_entry("things-made")
def things_made(view: View) -> dict[str, list[tuple[str, str, list[str]]]]:
    """By recipe what builds make by it: the build, the thing, and what that is made from."""
    found: dict[str, list[tuple[str, str, list[str]]]] = {}
    for name, build in view.models(Build).items():
        for thing in build.things:
            told = name, str(thing.id), list(map(str, thing.from_))
            found.setdefault(view.today(thing.recipe.address), []).append(told)
    return found


@entry_by_entry("molds-made")
def _molds_made(view: View) -> dict[str, list[str]]:
    """By run the molds it made."""
    found: dict[str, list[str]] = {}
    for name, mold in view.models(Mold).items():
        if isinstance(mold.made, RunRef):
            found.setdefault(str(mold.made), []).append(name)
    return found


@entry_by_entry("molds-in")
def molds_in(view: View) -> dict[str, list[str]]:
    """By build the molds that can be read and lie in it, sorted."""
    found: dict[str, list[str]] = {}
    for name, document in sorted(view.of(Mold).items()):
        if (build := build_of(document.file)) is not None:
            found.setdefault(build, []).append(name)
    return found


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
    casting = next(reversed(view.evidence.lineage.in_mold(name)), None)
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
