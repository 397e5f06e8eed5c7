"""What a recipe names and no step uses: rules follow the steps, so of this they see nothing, and that is said.

A premix is used where a mix it goes into is; a mix that is only mixed is not. What a recipe gives is there once a step
lays something of its family. Cautions need no step: what can hurt is told of everything that is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe, Surface, Use
from mothermold.model.walk import KeyPath
from mothermold.reckon.nesting import materials_inside, mixes_inside
from mothermold.trade.habit_reading import RecipeReading, Slip
from mothermold.trade.habits import CODES
from mothermold.trade.likely_uses import likely_use
from mothermold.trade.rules import Rule
from mothermold.trade.tracing import LAYING

UNUSED: Final = frozenset({"mix-unused", "material-unused"})
"""Warnings about a locked recipe, and no slip in it: what else is said of it stays true."""

ADVISED: Final = CODES | UNUSED | {"surface-unused", "no-surface"}
"""What may be said of a recipe beside the findings of rules; like those it can be accepted with a reason."""

# Gloves, pads and aprons lie on nothing the work goes on with.
_LAID: Final = LAYING - {"protect"}


def idle_stuff(recipe: Recipe, materials: Mapping[str, Material]) -> list[list[str]]:
    """The materials of each mix and surface that no step handles, be it only by mixing; nothing is there twice."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    handled = mixes_inside([*_mixes_used(recipe), *(str(step.starts) for step in recipe.steps if step.starts)], mixes)
    known = {str(use.material) for step in recipe.steps for use in step.uses if use.material}
    known |= {name for mix in handled for name in materials_inside(mix, mixes)}
    places = [materials_inside(mix, mixes) for mix in mixes if mix not in handled]
    places += [[str(surface.material)] for _path, surface in _surfaces_not_named(recipe, materials)]
    found = []
    for names in places:
        found.append([name for name in names if name not in known])
        known |= set(names)
    return [names for names in found if names]


def find_unused(recipe: Recipe, materials: Mapping[str, Material], rules: Iterable[Rule]) -> Iterator[Slip]:
    """Where rules see nothing: mixes and materials no step uses, and what is laid without a word on what.

    Args:
        recipe: The recipe.
        materials: The book's materials by name, for their families.
        rules: The rules that are asked, those the book adds too.
    """
    yield from _mixes(recipe, materials)
    if recipe.steps:
        yield from _materials(recipe, materials)
        yield from _laid_on_nothing(recipe, materials, list(rules))


def _mixes_used(recipe: Recipe) -> set[str]:
    return {str(use.mix) for step in recipe.steps for use in step.uses if use.mix}


def _mixes(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[Slip]:
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    used = mixes_inside(_mixes_used(recipe), mixes)
    # A premix whose mix no step uses is used as soon as that one is.
    inside = {str(part.mix) for mix in recipe.mixes for part in mix.parts if part.mix and part.mix != mix.id}
    started = {str(step.starts): str(step.id) for step in reversed(recipe.steps) if step.starts}
    for index, mix in enumerate(recipe.mixes):
        if mix.id in used or mix.id in inside:
            continue
        where = started.get(mix.id)
        does = f"`{mix.id}` is mixed in `{where}`, and no step uses it" if where else f"No step uses the mix `{mix.id}`"
        likely = likely_use(recipe, mix, materials)
        yield Slip(
            "mix-unused",
            f"{does}; rules cannot judge what no step uses.",
            f"Type in the step that uses it `uses: [{{mix: {mix.id}, as: {likely.role}, on: {likely.surface}}}]`, or take "
            "the mix out.",
            ("mixes", index),
        )


def _materials(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[Slip]:
    for path, surface in _surfaces_not_named(recipe, materials):
        if path[0] == "surfaces":
            yield Slip(
                "surface-unused",
                f"No step names `{surface.id}` of `{surface.material}`; rules cannot judge what meets it.",
                f"Type `on: {surface.id}` in the use that goes on it, or take the surface out.",
                path,
            )
        else:
            use = f"uses: [{{material: {surface.material}, as: build, on: {_first(recipe)}}}]"
            yield Slip(
                "material-unused",
                f"The recipe gives `{surface.id}` of `{surface.material}`, and no step uses that; "
                "rules cannot judge what no step uses.",
                f"Type in the step that lays it `{use}`.",
                path,
            )


def _surfaces_not_named(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[tuple[KeyPath, Surface]]:
    """The surfaces of a material that no step names; of those a recipe gives, the ones of a family no step uses."""
    read = RecipeReading(recipe, materials)
    uses = [use for step in recipe.steps for use in step.uses]
    named = {str(name) for use in uses for name in use.on}
    given = recipe.gives.surfaces if recipe.gives else ()
    # A name that is written in two ways is told as that.
    mistyped = named - {str(surface.id) for surface in (*recipe.surfaces, *given)} - BODY_SURFACES
    for index, surface in enumerate(recipe.surfaces):
        if surface.material and surface.id not in named and not mistyped:
            yield ("surfaces", index), surface
    named |= {str(surface.id) for surface in recipe.surfaces}
    laid = frozenset(family for use in uses for family in read.families(use))
    for index, surface in enumerate(given):
        made_of = read.families_by_name(str(surface.material)) if surface.material else frozenset()
        if made_of and surface.id not in named and not made_of & laid:
            yield ("gives", "surfaces", index), surface


def _laid_on_nothing(recipe: Recipe, materials: Mapping[str, Material], rules: list[Rule]) -> Iterator[Slip]:
    if not recipe.surfaces:
        return
    read = RecipeReading(recipe, materials)
    for index, step in enumerate(recipe.steps):
        for number, use in enumerate(step.uses):
            if use.on or use.as_ not in _LAID or not _matters(recipe, use, read.families(use), rules):
                continue
            yield Slip(
                "no-surface",
                f"`{use.name}` is laid in `{step.id}`, and nothing says on what; rules see it touch nothing.",
                f"Type what it goes on, as `on: {_first(recipe)}`; where none fits, add one under `surfaces`.",
                ("steps", index, "uses", number),
            )


def _matters(recipe: Recipe, use: Use, families: frozenset[str], rules: Iterable[Rule]) -> bool:
    """Whether a rule asks what such a use touches, or what later touches it."""
    for rule in rules:
        met, used = rule.met, rule.used
        if met is None or met.worn or (used.stages and recipe.stage not in used.stages):
            continue
        if (families & used.families and use.as_ in used.roles) or families & (met.families | met.traces):
            return True
    return False


def _first(recipe: Recipe) -> str:
    return str(recipe.surfaces[0].id) if recipe.surfaces else "skin"
