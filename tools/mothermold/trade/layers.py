"""What lies on what: the layers of a surface as it stands, and all that was done to it. ``tracing`` follows a recipe through.

Time is counted within one recipe only; from one thing to the next it is unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from mothermold.model.recipe import Recipe, Use
from mothermold.trade.rules import BODIES

GYPSUM: Final = frozenset({"gypsum-cement", "gypsum-plaster", "plaster-bandage"})
RESINS: Final = frozenset({"polyurethane-resin", "polyurethane-rubber", "polyester-resin", "epoxy", "acrylic-resin"})
_WETTING: Final = frozenset({"soak", "clean", "degrease"})


@dataclass(frozen=True, slots=True)
class LayerPlace:
    """A step of a recipe, of a thing of a build where there is one; and which of its uses, None for the step as a whole."""

    recipe: str
    step: str
    title: str
    thing: str | None = None
    index: int = 0
    use: int | None = None


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
        by: The equipment of the step, and the words of how a use is done.
        sure: The steps of its recipe that are certainly done before it.
    """

    at: LayerPlace
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
    by: frozenset[str]
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
    """One use meeting one surface, or none; the surface as it stood just before. Each step as a whole is one, too.

    Attributes:
        act: The use, or the step.
        use: As written; None for a step.
        surface: The surface's name; empty where the use names none.
        face: The surface before the use.
        earlier: All acts of the work before it.
    """

    act: Act
    use: Use | None
    surface: str
    face: Face
    earlier: Sequence[Act]


@dataclass(frozen=True, slots=True)
class Doing:
    """One recipe at work: its text, its address, and the thing of a build made by it, if any."""

    recipe: Recipe
    address: str
    thing: str | None = None


def damp_since(layer: Layer, face: Face) -> int | None:
    """The number of the act that last made a layer of gypsum wet: its pouring, or water on it; None where none did."""
    if not layer.families & GYPSUM:
        return None
    wet = [act.number for act in face.acts if act.role in _WETTING and "water" in act.families]
    if layer.act is not None:
        wet = [layer.act.number, *(number for number in wet if number > layer.act.number)]
    return max(wet, default=None)
