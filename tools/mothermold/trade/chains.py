"""The rules along a recipe, and along the things of a build: what one leaves is what the next one meets."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from mothermold.model.build import Build, Look, Thing
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import BODY_SURFACES, Recipe, Surface
from mothermold.trade.findings import Finding, Tried, find_findings
from mothermold.trade.layers import Act, Doing, Face, Layer
from mothermold.trade.rules import BODIES, Rule
from mothermold.trade.tracing import trace

ReadsRecipe = Callable[[RecipeRef], Recipe | None]
"""The text of the recipe version a build names; None where the book does not hold it."""


@dataclass(frozen=True, slots=True)
class Link:
    """A recipe of a build and what was found in it.

    Attributes:
        path: Where the build names the recipe.
        thing: The thing made by it, or the look it is part of.
        ref: The recipe as the build names it.
        findings: What was found, kept rules too.
    """

    path: tuple[str | int, ...]
    thing: str
    ref: RecipeRef
    findings: Sequence[Finding]


def assess_recipe(
    recipe: Recipe,
    address: str,
    materials: Mapping[str, Material],
    tests: Sequence[Tried] = (),
    own: Sequence[Rule] = (),
) -> list[Finding]:
    """The rules, those the book adds too, along one recipe, with its surfaces as it declares them."""
    contacts, _left, _worked_on = trace(Doing(recipe, address), materials, {}, [])
    return find_findings(recipe, contacts, materials, tests, own)


def assess_build(
    build: Build,
    texts: ReadsRecipe,
    materials: Mapping[str, Material],
    tests: Sequence[Tried] = (),
    own: Sequence[Rule] = (),
) -> list[Link]:
    """The rules, those the book adds too, along the things of a build, and application, wear and removal of each look."""
    return list(_Chain(build, texts, materials, tests, own).links())


@dataclass
class _Chain:
    build: Build
    texts: ReadsRecipe
    materials: Mapping[str, Material]
    tests: Sequence[Tried]
    own: Sequence[Rule]
    course: list[Act] = field(default_factory=list)
    left: dict[str, dict[str, Face]] = field(default_factory=dict)

    def links(self) -> Iterator[Link]:
        """Each thing after those it is made from, then each look."""
        places = {str(thing.id): index for index, thing in enumerate(self.build.things)}
        for thing in self._in_order():
            name = str(thing.id)
            recipe = self.texts(thing.recipe)
            if recipe is not None:
                found = {str(each.id): self._of_thing(thing, each) for each in recipe.surfaces}
                doing = Doing(recipe, thing.recipe.address, name)
                findings, left, _worked_on = self._follow(doing, found, self._unnamed(thing, recipe, found))
                self.left[name] = left or self._modeled(name, recipe)
                yield Link(("things", places[name], "recipe"), name, thing.recipe, findings)
        for index, look in enumerate(self.build.looks):
            yield from self._worn(look, index)

    def _worn(self, look: Look, index: int) -> Iterator[Link]:
        """Every application, then the care, then every removal, each on what the one before left on face and pieces."""
        worn: dict[str, Face] = {}
        for (stage, number), ref in look.recipes.items():
            recipe = self.texts(ref)
            if recipe is None:
                continue
            found = {
                str(each.id): worn.get(_key(each))
                or worn.get(str(each.surface or each.id))
                or self._of_look(look, each)
                for each in recipe.surfaces
            }
            found |= {body: worn.get(body) for body in BODY_SURFACES}
            # Each is a work of its own: minutes are counted within one sheet only.
            several = f" {number + 1}" if len(getattr(look, stage)) > 1 else ""
            doing = Doing(recipe, ref.address, f"{look.id}: {stage}{several}")
            findings, left, worked_on = self._follow(doing, found)
            worn |= left | {_key(each): worked_on[str(each.id)] for each in recipe.surfaces}
            worn |= {body: worked_on[body] for body in BODY_SURFACES}
            yield Link(("looks", index, stage, number), str(doing.thing), ref, findings)

    def _follow(
        self, doing: Doing, found: Mapping[str, Face | None], beneath: Mapping[str, Face] | None = None
    ) -> tuple[list[Finding], dict[str, Face], dict[str, Face]]:
        known = {name: face for name, face in found.items() if face is not None}
        contacts, left, worked_on = trace(doing, self.materials, known, self.course, beneath)
        return find_findings(doing.recipe, contacts, self.materials, self.tests, self.own), left, worked_on

    def _in_order(self) -> list[Thing]:
        things = list(self.build.things)
        done: list[Thing] = []
        while things:
            names = {str(thing.id) for thing in things}
            ready = [each for each in things if not (names - {str(each.id)}) & set(map(str, each.from_))] or things[:1]
            done += ready
            things = [thing for thing in things if thing not in ready]
        return done

    def _of_thing(self, thing: Thing, surface: Surface) -> Face | None:
        """The surface as the nearest thing behind leaves it; with ``from`` only what comes of that thing."""
        wanted = str(surface.surface or surface.id)
        for name in self.build.behind(str(thing.id))[1:]:
            comes_of_it = surface.from_ is None or surface.from_ in self.build.behind(name)
            if comes_of_it and wanted in self.left.get(name, {}):
                return self.left[name][wanted]
        return None

    def _unnamed(self, thing: Thing, recipe: Recipe, found: Mapping[str, Face | None]) -> dict[str, Face]:
        """What the things it is made from left, where its recipe names nothing of theirs: the work lies on that all the same."""
        named = [face for face in found.values() if face is not None]
        said = {str(each.material) for each in recipe.surfaces if each.material and not found[str(each.id)]}
        families = {str(family) for name in said if name in self.materials for family in self.materials[name].families}
        beneath: dict[str, Face] = {}
        for each in (trail := list(map(str, thing.from_))):
            left = self.left.get(each, {})
            if not left:  # a thing that only passes on what it was made from
                trail += [name for name in self.build.behind(each)[1:] if name not in trail]
            elif not any(face is one for face in left.values() for one in named):
                # Under another name of the recipe's own it is met there.
                beneath |= {
                    name: face
                    for name, face in left.items()
                    if not any(layer.families & families for layer in face.touched())
                }
        return beneath

    def _modeled(self, name: str, recipe: Recipe) -> dict[str, Face]:
        """A sculpture whose recipe says nothing of its surfaces: what it was built of."""
        if recipe.stage != "sculpt":
            return {}
        built = [act for act in self.course if act.at.thing == name and act.role in BODIES and act.families]
        return {name: Face([Layer(act.families, act.materials, act.role, act) for act in built])} if built else {}

    def _of_look(self, look: Look, surface: Surface) -> Face | None:
        """The surface of a piece as the last work on it left it."""
        wanted = str(surface.surface or surface.id)
        pieces = [surface.from_] if surface.from_ else [piece.thing for piece in look.pieces]
        found = None
        for thing in self._in_order():
            if set(pieces) & set(self.build.behind(str(thing.id))) and wanted in self.left.get(str(thing.id), {}):
                found = self.left[str(thing.id)][wanted]
        return found


def _key(surface: Surface) -> str:
    """By what name one recipe of a look finds a surface of another: the thing's own name for it, where it has one."""
    return f"{surface.from_}/{surface.surface or surface.id}"
