"""The palette of a look by zone: the color wanted, the paints its sheets name there, what was used the last time, and the swatch."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.result import title_words
from mothermold.model.build import Build, Look, Target
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.view.view import View


@dataclass(slots=True)
class ZoneColors:
    """A zone of the face, or of a piece.

    Attributes:
        zone: Where.
        target: The color wanted there.
        paints: What the sheets paint it with, by what it is called.
        used: What was used there the last time, and when.
    """

    zone: str
    target: Target | None = None
    paints: list[str] = field(default_factory=list)
    used: tuple[str, date] | None = None


def colors_of(view: View, build: Build, look: Look, runs: Iterable[Run], before: date | None) -> list[ZoneColors]:
    """The zones of a look: those with a target, those its paint sheets name, those that were colored before.

    Args:
        view: The edition.
        build: The build.
        look: The look.
        runs: The runs of the build, oldest first.
        before: Only what was used before this day; None for all.
    """
    found: dict[str, ZoneColors] = {}

    def zone(name: str) -> ZoneColors:
        return found.setdefault(name.casefold(), ZoneColors(name))

    for target in look.targets:
        zone(str(target.zone)).target = target
    for recipe in _sheets(view, build, look):
        for where, paints in _painted(view, recipe):
            here = zone(where)
            here.paints += [each for each in paints if each not in here.paints]
    for run in runs:
        if run.palette and run.look in (None, look.id) and (before is None or run.started.date() < before):
            for each in run.palette:
                zone(str(each.zone)).used = (str(each.note or "not said"), run.started.date())
    return list(found.values())


def _sheets(view: View, build: Build, look: Look) -> list[Recipe]:
    """What colors the pieces before, in the order of the build, then what does on the face."""
    pieces = {str(each.thing) for each in look.pieces}
    made = [each.recipe for each in build.things if pieces & set(build.behind(str(each.id)))]
    refs = dict.fromkeys((*made, *look.application))
    return [recipe for ref in refs if (recipe := pinned_recipe(view, ref)) is not None]


def _painted(view: View, recipe: Recipe) -> list[tuple[str, list[str]]]:
    titles = title_words(view) | {str(mix.id): str(mix.title or mix.id) for mix in recipe.mixes}
    told = []
    for step in recipe.steps:
        names = dict.fromkeys(use.name for use in step.uses if use.as_ == "paint")
        if names:
            told.append((str(step.zone or step.title), [titles.get(name, name) for name in names]))
    return told
