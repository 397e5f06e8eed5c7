"""What the next version of a recipe is begun with: its number, and the reason as a run or a failure note tells it."""

from __future__ import annotations

from collections.abc import Iterable

from mothermold.desk.forms.trees import Pairs
from mothermold.ground.errors import refused
from mothermold.ground.words import offer
from mothermold.model.failure import Failure
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

Reason = tuple[str, tuple[str, ...]]
"""The words a version is begun with, and the failure notes it may answer."""


def begun(view: View, address: str, because: str = "") -> Pairs | None:
    """What the form of a recipe is sent, so that it says the next version; None where there is no such recipe.

    A draft keeps its number, and a reason that stands there already stays.

    Args:
        view: The owner's book.
        address: The recipe.
        because: What it is because of, as `run/NAME` or `failure/NAME`; empty for nothing yet.

    Raises:
        RefusedError: ``unknown-reference`` where that is not there.
    """
    recipe, versions = view.models(Recipe).get(address), view.versions(address)
    if recipe is None:
        return None
    why, notes = reason(view, because)
    pairs: list[tuple[KeyPath, str]] = []
    if recipe.status != "draft":
        highest = max(versions.highest if versions is not None else 0, recipe.version)
        pairs += [(("version",), str(highest + 1)), (("status",), "draft"), (("why",), why)]
        kept: tuple[str, ...] = ()
    else:
        pairs += [(("why",), why)] if why and not recipe.why else []
        kept = tuple(map(str, recipe.fixes))
    return pairs + [(("fixes",), name) for name in dict.fromkeys(["", *kept, *notes])]


def reason(view: View, because: str) -> Reason:
    """What is told as the reason, and the failure notes that are meant.

    Raises:
        RefusedError: ``unknown-reference`` where it is not there.
    """
    kind, _, name = because.partition("/")
    if not because:
        return "", ()
    if kind not in ("run", "failure") or name not in view.on(kind):
        word = "failure note" if kind == "failure" else "run"
        known = view.on(kind) if kind in ("run", "failure") else {}
        raise refused("unknown-reference", f"No {word} is called `{name}`.", offer(name, known))
    if kind == "failure":
        note = view.models(Failure).get(name)
        return (_because(note), (name,)) if note is not None else ("", (name,))
    run = view.models(Run).get(name)
    if run is None:
        return "", ()
    notes = tuple(dict.fromkeys(str(each.failure) for each in run.went_wrong if each.failure))
    said = [each.what or _title(view, str(each.failure)) for each in run.went_wrong]
    if told := _together(said):
        return f"In the run of {run.started:%Y-%m-%d}: {told}.", notes
    # What somebody did otherwise, and it went well, is theirs by their code.
    if run.outcome == "good" and (told := _together([each.note for each in run.changed])):
        who = f"Found by {', '.join(run.who)} in" if run.who else "Found in"
        return f"{who} the run of {run.started:%Y-%m-%d}: {told}.", notes
    return "", notes


def _together(said: Iterable[str | None]) -> str:
    return "; ".join(str(each).strip().rstrip(".") for each in said if each)


def _because(note: Failure) -> str:
    """A failure by its title, with the likeliest cause where one is written."""
    cause = next((str(each.what).strip().rstrip(".") for each in note.causes), "")
    return f"{note.title.rstrip('.')}: {cause[:1].lower()}{cause[1:]}." if cause else f"{note.title.rstrip('.')}."


def _title(view: View, name: str) -> str:
    note = view.models(Failure).get(name)
    return note.title if note is not None else name
