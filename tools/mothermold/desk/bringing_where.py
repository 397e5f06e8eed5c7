"""Where a run from the bench or the chair belongs that the book does not have yet: which build it was done for."""

from __future__ import annotations

from mothermold.book.files import build_of
from mothermold.model.build import Build
from mothermold.model.run import Run
from mothermold.view.view import View


def place_of(view: View, run: Run, to: str | None) -> str:
    """Where a new run belongs: the build that is said, that of its mold, the only one that makes its thing, or that has its day.

    Args:
        view: The owner's book.
        run: The run.
        to: The build, where it is said.
    """
    build = to or _build_of_mold(view, run) or _build_of_thing(view, run) or _build_of_day(view, run)
    return f"recipes/builds/{build}/runs/{run.id}.yaml" if build else f"recipes/runs/{run.id}.yaml"


def _build_of_mold(view: View, run: Run) -> str | None:
    document = view.on("mold").get(str(run.mold)) if run.mold else None
    return build_of(document.file) if document else None


def _build_of_thing(view: View, run: Run) -> str | None:
    if run.thing is None or run.recipe is None:
        return None
    found = {
        name
        for name, build in view.models(Build).items()
        for thing in build.things
        if thing.id == run.thing and thing.recipe.address == run.recipe.address
    }
    return found.pop() if len(found) == 1 else None


def _build_of_day(view: View, run: Run) -> str | None:
    """The only build that has the look on that day, and names the recipe in it."""
    if run.look is None or run.day is None or run.recipe is None:
        return None
    found = {
        name
        for name, build in view.models(Build).items()
        if any(day.day == run.day and day.look == run.look for day in build.days)
        for look in build.looks
        if look.id == run.look and any(ref.address == run.recipe.address for ref in look.recipes.values())
    }
    return found.pop() if len(found) == 1 else None
