"""The glues of a look in gluing order, each with what is mixed, what can hurt, and what takes it off again; then the way back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.answers.recipes import pinned_recipe
from mothermold.model.build import Look
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Mix, Recipe, Step, Use
from mothermold.reckon.work import work_of
from mothermold.trade.cautions import Caution
from mothermold.trade.skin import Glue, comes_off, glues_of
from mothermold.view.view import View

_REMOVES: Final = frozenset({"remove", "soak"})


@dataclass(frozen=True, slots=True)
class TakenOff:
    """What takes a glue off.

    Attributes:
        ref: The removal.
        steps: The steps of it that use a remover for this glue, with the removers' names.
        is_sure: Whether it does; else only where its label says so.
    """

    ref: RecipeRef
    steps: tuple[tuple[Step, tuple[str, ...]], ...]
    is_sure: bool


@dataclass(frozen=True, slots=True)
class GluedOn:
    """A glue put on in one step.

    Attributes:
        ref: The sheet.
        step: Its step.
        use: How it is used there.
        glue: The material.
        mix: The mix it is in; None where it is used as it comes.
        pieces: The things it holds, where the sheet says so.
        cautions: What can hurt in the step.
        off: What takes it off; empty where nothing of the look is known to.
    """

    ref: RecipeRef
    step: Step
    use: Use
    glue: str
    mix: Mix | None
    pieces: tuple[str, ...]
    cautions: tuple[Caution, ...]
    off: tuple[TakenOff, ...]


def glued_on(view: View, look: Look) -> list[GluedOn]:
    """Every glue of a look, in the order it goes on.

    Args:
        view: The edition.
        look: The look.
    """
    sheets = [(ref, recipe) for ref in look.application if (recipe := pinned_recipe(view, ref)) is not None]
    removals = [(ref, recipe) for ref in look.removal if (recipe := pinned_recipe(view, ref)) is not None]
    return [each for ref, recipe in sheets for each in _of_sheet(view, ref, recipe, removals)]


def _of_sheet(
    view: View, ref: RecipeRef, recipe: Recipe, removals: Sequence[tuple[RecipeRef, Recipe]]
) -> Iterator[GluedOn]:
    materials, cautions = view.ruling.materials, view.ruling.cautions(recipe)
    mixes: dict[str, Mix] = {str(mix.id): mix for mix in recipe.mixes}
    glues = list(glues_of(recipe, materials))
    for work in work_of(recipe).order:
        step, seen = work.step, set[tuple[str, str]]()
        for glue in (each for each in glues if each.step == step.id):
            use = _use_of(step, glue, mixes)
            if use is None or (glue.name, use.name) in seen:
                continue
            seen.add((glue.name, use.name))
            mix = mixes.get(str(use.mix)) if use.mix else None
            off = tuple(found for each in removals if (found := _off(view, glue, *each)) is not None)
            yield GluedOn(
                ref, step, use, glue.name, mix, tuple(sorted(glue.pieces)), tuple(cautions.get(step.id, ())), off
            )


def _use_of(step: Step, glue: Glue, mixes: dict[str, Mix]) -> Use | None:
    """The use that puts a glue on."""
    found = [use for use in step.uses if frozenset(map(str, use.on)) == glue.on and use.as_ not in _REMOVES]
    named = (use for use in found if glue.name in {use.material, use.name})
    mixed = (use for use in found if use.mix and any(part.material == glue.name for part in mixes[use.mix].parts))
    return next(named, None) or next(mixed, None) or next(iter(found), None)


def _off(view: View, glue: Glue, ref: RecipeRef, removal: Recipe) -> TakenOff | None:
    """What of a removal takes a glue off; nothing where it speaks of other pieces alone."""
    said = comes_off(glue, removal, view.ruling.materials)
    spoken_of = {str(each.from_) for each in removal.surfaces if each.from_}
    if said == "no" or (spoken_of and glue.pieces and not spoken_of & glue.pieces):
        return None
    steps = []
    for work in work_of(removal).order:
        step = work.step
        only = removal.model_copy(update={"steps": (step,)})
        if comes_off(glue, only, view.ruling.materials) != "no":
            names = dict.fromkeys(
                use.name for use in step.uses if use.as_ in _REMOVES and _takes(view, glue, removal, step, use)
            )
            steps.append((step, tuple(names)))
    return TakenOff(ref, tuple(steps), said == "yes")


def _takes(view: View, glue: Glue, removal: Recipe, step: Step, use: Use) -> bool:
    alone = removal.model_copy(update={"steps": (step.model_copy(update={"uses": (use,)}),)})
    return comes_off(glue, alone, view.ruling.materials) != "no"


@dataclass(frozen=True, slots=True)
class WayBack:
    """A glue on the way back: the last that went on comes off first.

    Attributes:
        glue: The material.
        put_on: The steps that put it on, in gluing order.
        off: What takes it off; empty where nothing of the look is known to.
    """

    glue: str
    put_on: tuple[GluedOn, ...]
    off: tuple[TakenOff, ...]


def way_back(glues: Sequence[GluedOn]) -> list[WayBack]:
    """The glues in reverse of their order; steps beside each other that share glue, sheet and remover are one."""
    found: list[WayBack] = []
    for each in reversed(glues):
        last = found[-1] if found else None
        if last is not None and last.glue == each.glue and last.off == each.off and last.put_on[0].ref == each.ref:
            found[-1] = WayBack(last.glue, (each, *last.put_on), last.off)
        else:
            found.append(WayBack(each.glue, (each,), each.off))
    return found
