"""What lies on what: the layers of every surface, and what was done to it, along a recipe and from thing to thing.

A surface begins as what it is declared to be, or as the thing it belongs to left it. Each use adds a layer or is an act
upon it. What comes out of a recipe is born in the step that lays what it is made of, and remembers what it was laid on.
Time is counted within one recipe only; from one thing to the next it is unknown. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe, Step, Surface, Use
from mothermold.reckon.nesting import materials_used
from mothermold.reckon.times import starts_of, step_minutes, steps_before, wait_minutes
from mothermold.trade.rules import BODIES

LAYING: Final = BODIES | {"seal", "prime", "release", "glue", "attach", "paint", "powder", "protect"}
# What is poured wet into its pores takes these up and keeps them.
_DRINKS: Final = frozenset({"gypsum-cement", "gypsum-plaster", "plaster-bandage", "alginate"})
_DRUNK: Final = frozenset({"clay-sulfur"})
GYPSUM: Final = frozenset({"gypsum-cement", "gypsum-plaster", "plaster-bandage"})
RESINS: Final = frozenset({"polyurethane-resin", "polyurethane-rubber", "polyester-resin", "epoxy", "acrylic-resin"})
_WETTING: Final = frozenset({"soak", "clean", "degrease"})


@dataclass(frozen=True, slots=True)
class Place:
    """A step of a recipe, of a thing of a build where there is one."""

    recipe: str
    step: str
    title: str
    thing: str | None = None
    index: int = 0
    use: int = 0


@dataclass(frozen=True, slots=True)
class Act:
    """Something used or done in a step.

    Attributes:
        at: Where.
        number: Its place in the whole course of the work.
        families: Of what is used, through its mixes; empty for a step that uses nothing.
        materials: The materials themselves.
        role: What the use is for; empty for a step that uses nothing.
        everywhere: Whether it names no surface.
        starts: In minutes from the start of the recipe.
        works_until: When hands and coats are done.
        waits: Minutes of waiting after it.
        heated: Whether an oven stands in the step.
        warmest: Its temperature in degrees Celsius, where it says one.
        zone: Where on the face.
        thinned: Whether something in it evaporates.
        sure: The steps of its recipe that are certainly done before it.
    """

    at: Place
    number: int
    families: frozenset[str]
    materials: frozenset[str]
    role: str
    everywhere: bool
    starts: Fraction
    works_until: Fraction
    waits: Fraction
    heated: bool
    warmest: Fraction | None
    zone: str
    thinned: bool
    sure: frozenset[str]


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: of what, by which act, and what it was laid on."""

    families: frozenset[str]
    materials: frozenset[str]
    role: str = "base"
    act: Act | None = None
    traces: tuple[Layer, ...] = ()


@dataclass
class Face:
    """A surface as it stands: its layers from the ground up, all acts upon it, and the things it went through."""

    layers: list[Layer] = field(default_factory=list)
    acts: list[Act] = field(default_factory=list)
    moments: list[Act] = field(default_factory=list)

    def copy(self) -> Face:
        """The same surface, to be worked on further."""
        return Face(list(self.layers), list(self.acts), list(self.moments))

    def touched(self, seen_through: Callable[[Layer], bool] = lambda _layer: False) -> list[Layer]:
        """The layers a further one meets, the uppermost first, down to the first one with a thickness of its own."""
        found = []
        for layer in reversed(self.layers):
            found.append(layer)
            if layer.role in BODIES | {"base"} and not seen_through(layer):
                break
        return found


@dataclass(frozen=True, slots=True)
class Contact:
    """One use meeting one surface, or none; the surface as it stood just before.

    Attributes:
        act: The use.
        use: As written.
        surface: The surface's name; empty where the use names none.
        face: The surface before the use.
        earlier: All acts of the work before it.
    """

    act: Act
    use: Use
    surface: str
    face: Face
    earlier: Sequence[Act]


@dataclass(frozen=True, slots=True)
class Doing:
    """One recipe at work: its text, its address, and the thing of a build made by it, if any."""

    recipe: Recipe
    address: str
    thing: str | None = None


def trace(
    doing: Doing, materials: Mapping[str, Material], found: Mapping[str, Face], course: list[Act]
) -> tuple[list[Contact], dict[str, Face], dict[str, Face]]:
    """Follows a recipe step by step.

    Args:
        doing: The recipe at work.
        materials: Today's materials.
        found: The surfaces that earlier things left, by their names in this recipe.
        course: Every act of the work so far, over all things; those of this recipe are added to it.

    Returns:
        Every contact in order, the surfaces the recipe gives, and all it worked on.
    """
    return _Tracing(doing, materials, found, course).run()


class _Tracing:
    def __init__(
        self, doing: Doing, materials: Mapping[str, Material], found: Mapping[str, Face], course: list[Act]
    ) -> None:
        self.doing, self.recipe, self.materials, self.course = doing, doing.recipe, materials, course
        recipe = doing.recipe
        self.mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
        self.faces: dict[str, Face] = {}
        for surface in recipe.surfaces:
            known = found.get(surface.id)
            self.faces[surface.id] = known.copy() if known is not None else self._declared(surface.material)
        for body in BODY_SURFACES:
            known = found.get(body)
            self.faces[body] = known.copy() if known else Face([Layer(frozenset({body}), frozenset({body}))])
        self.given: dict[str, Surface] = {each.id: each for each in recipe.gives.surfaces} if recipe.gives else {}
        self.unborn = {name for name in self.given if name not in self.faces}
        self.cast_on: dict[str, set[str]] = {}
        self.starts, self.sure = starts_of(recipe), _certainly_before(recipe)
        self.places = {step.id: index for index, step in enumerate(recipe.steps)}
        for name in self.unborn:
            self.faces[name] = self._declared(self.given[name].material)

    def _declared(self, material: str | None) -> Face:
        if material is None:
            return Face()
        return Face([Layer(self._families({str(material)}), frozenset({str(material)}))])

    def _families(self, names: Iterable[str]) -> frozenset[str]:
        return frozenset(
            str(family) for name in names if name in self.materials for family in self.materials[name].families
        )

    def run(self) -> tuple[list[Contact], dict[str, Face], dict[str, Face]]:
        contacts: list[Contact] = []
        for step in sorted(self.recipe.steps, key=lambda step: (len(self.sure[step.id]), self.places[step.id])):
            for index, use in enumerate(step.uses):
                act = self._act(step, use, index)
                contacts += self._use(act, use)
                self.course.append(act)
            # What a step does with its waiting and its heat comes after what it lays.
            moment = self._act(step, None, 0)
            self.course.append(moment)
            for face in self.faces.values():
                face.moments.append(moment)
        return contacts, {name: self._handed_on(name) for name in self.given}, self.faces

    def _act(self, step: Step, use: Use | None, index: int) -> Act:
        names = materials_used(use, self.mixes) if use is not None else []
        start = self.starts[step.id]
        last = [each.last.value for each in (step.coats, use.coats if use else None) if each and each.last]
        waits = wait_minutes(step, self.mixes) + sum(last, Fraction(0))
        if step.until is not None and step.until.usual is not None:
            waits += step.until.usual.value
        return Act(
            Place(self.doing.address, step.id, step.title, self.doing.thing, self.places[step.id], index),
            len(self.course),
            self._families(names),
            frozenset(names),
            str(use.as_) if use is not None else "",
            use is None or not use.on,
            start,
            start + step_minutes(step, self.mixes) - waits,
            waits,
            "oven" in step.with_,
            step.temperature.high if step.temperature is not None else None,
            str(step.zone or ""),
            any(name in self.materials and self.materials[name].vapor for name in names),
            self.sure[step.id],
        )

    def _use(self, act: Act, use: Use) -> list[Contact]:
        names = [str(name) for name in use.on]
        before = {name: self.faces.setdefault(name, Face()).copy() for name in names}
        earlier = tuple(self.course)
        contacts = [Contact(act, use, name, face, earlier) for name, face in before.items()]
        for name in names:
            self.faces[name].acts.append(act)
            if act.role in LAYING and act.families:
                self.faces[name].layers.append(Layer(act.families, act.materials, act.role, act))
        if act.role in BODIES and act.families:
            self._born(act, before)
        return contacts or [Contact(act, use, "", Face(), earlier)]

    def _born(self, act: Act, on: Mapping[str, Face]) -> None:
        """What the recipe gives comes into being where what it is made of is laid; a later pour comes behind its skin."""
        for name, surface in self.given.items():
            face = self.faces[name]
            made_of = self._families({str(surface.material)}) if surface.material else frozenset()
            if name in self.unborn and made_of & act.families and name not in on:
                traces = tuple(trace for under in on.values() for trace in _left_behind(under, act))
                face.layers = [Layer(act.families, act.materials, "base", act, traces)]
                self.unborn.discard(name)
                self.cast_on[name] = set(on)
            elif act.role == "cast" and name in self.cast_on and self.cast_on[name] & on.keys():
                face.layers.insert(0, Layer(act.families, act.materials, "cast", act))

    def _handed_on(self, name: str) -> Face:
        face = self.faces[name].copy()
        surface = self.given.get(name)
        if surface is not None and surface.material is not None:
            families = self._families({str(surface.material)})
            if not any(layer.families & families for layer in face.layers):
                face.layers.append(Layer(families, frozenset({str(surface.material)})))
        return face


def _left_behind(face: Face, act: Act) -> list[Layer]:
    """What a fresh layer takes along from the surface it is laid on: its release, and what stone drinks."""
    touched = face.touched()
    found = [layer for layer in touched if layer.role == "release"]
    if act.families & _DRINKS:
        found += [layer for layer in touched if layer.families & _DRUNK]
        found += [trace for layer in touched for trace in layer.traces if trace.families & _DRUNK]
    return found


def damp_since(layer: Layer, face: Face) -> int | None:
    """The number of the act that last made a layer of gypsum wet: its pouring, or water on it; None where none did."""
    if not layer.families & GYPSUM:
        return None
    wet = [act.number for act in face.acts if act.role in _WETTING and "water" in act.families]
    if layer.act is not None:
        wet = [layer.act.number, *(number for number in wet if number > layer.act.number)]
    return max(wet, default=None)


def _certainly_before(recipe: Recipe) -> dict[str, frozenset[str]]:
    """For each step all that are done before it, at any remove."""
    waits_for = steps_before(recipe)
    before: dict[str, frozenset[str]] = dict.fromkeys(waits_for, frozenset())
    # As with times: passes repeat until nothing moves, and a circle stops them too.
    for _ in before:
        earlier = dict(before)
        for step, names in waits_for.items():
            before[step] = frozenset(names).union(*(before[name] for name in names)) - {step}
        if before == earlier:
            break
    return before
