"""The appointment for a thing of a build that is cast from life: by which sheet, who is there, what is at hand, how long it covers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.answers.day_pack import needed
from mothermold.answers.recipes import pinned_recipe
from mothermold.book.document import Document
from mothermold.model.build import Build, Thing
from mothermold.model.recipe import BODY_SURFACES, Recipe, Use
from mothermold.model.run import Run
from mothermold.reckon.work import work_of
from mothermold.trade.cautions import Caution, recipe_cautions
from mothermold.view.view import View

STAGE: Final = "lifecast"
_COVERS: Final = frozenset({"cast", "coat", "build", "back", "lay"})
_FREES: Final = frozenset({"clean", "remove"})


@dataclass(frozen=True, slots=True)
class Appointment:
    """The appointment for a cast.

    Attributes:
        name: The build's name.
        thing: The thing.
        wearer: Whose cast it is; empty where nobody said.
        recipe: Its sheet; None where the book has no such text.
        people: How many pairs of hands the sheet asks for at most; None where it does not say.
        covered: Minutes from the first that lies on the skin to when it is washed, by the written times; None where no step tells.
        kit: What is to be at hand.
        cautions: What can hurt, worst first.
        runs: The casts that were made, oldest first.
    """

    name: str
    thing: Thing
    wearer: str
    recipe: Recipe | None
    people: int | None
    covered: Fraction | None
    kit: tuple[str, ...]
    cautions: tuple[Caution, ...]
    runs: tuple[Run, ...]


def cast_from_life(build: Build) -> list[str]:
    """The things of a build that are cast from life."""
    return [str(each.id) for each in build.things if each.recipe.address.partition("/")[0] == STAGE]


def appointment(view: View, document: Document[Build], thing: str) -> Appointment | None:
    """The appointment for a thing; None where it is not cast from life.

    Args:
        view: The edition.
        document: The build.
        thing: The thing.
    """
    build = document.model
    found = next((each for each in build.things if each.id == thing and thing in cast_from_life(build)), None)
    if found is None:
        return None
    recipe = pinned_recipe(view, found.recipe)
    runs = view.evidence.lineage.of_build(document.address)
    wearer = found.wearer or (build.wearers[0] if len(build.wearers) == 1 else "")
    return Appointment(
        document.address,
        found,
        str(wearer),
        recipe,
        max((int(step.people or 1) for step in recipe.steps), default=None) if recipe is not None else None,
        covered_minutes(recipe) if recipe is not None else None,
        tuple(needed(view, [found.recipe])),
        recipe_cautions(recipe, view.ruling.cautions(recipe)) if recipe is not None else (),
        tuple(each for each in runs if each.thing == thing and each.kind == "run"),
    )


def covered_minutes(recipe: Recipe) -> Fraction | None:
    """Minutes from the first step that lays something on a body to the first after it that washes it; None where either is not there."""
    order = work_of(recipe).order
    first = next(
        (place for place, each in enumerate(order) if any(_does(use, _COVERS) for use in each.step.uses)), None
    )
    if first is None:
        return None
    for each in order[first + 1 :]:
        if any(_does(use, _FREES) for use in each.step.uses):
            return each.starts - order[first].starts
    return None


def _does(use: Use, roles: frozenset[str]) -> bool:
    return use.as_ in roles and bool(set(map(str, use.on)) & BODY_SURFACES)


def asking_steps(recipe: Recipe) -> Iterator[tuple[str, str]]:
    """The steps of a sheet before anything lies on a body, by id and title: there it says itself what is asked and rehearsed."""
    for each in work_of(recipe).order:
        if any(_does(use, _COVERS | {"protect", "release"}) for use in each.step.uses):
            return
        yield str(each.step.id), str(each.step.title)
