"""Follows a recipe step by step: which use meets which surface, and what it leaves there.

A surface begins as what it is declared to be, or as the thing it belongs to left it. Each use adds a layer or is an act
upon it. What comes out of a recipe is born in the step that lays what it is made of, and remembers what it was laid on.
Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Surface, Use
from mothermold.reckon.nesting import materials_used
from mothermold.reckon.work import WorkStep, work_of
from mothermold.trade.layers import Act, Contact, Doing, Face, Layer, LayerPlace
from mothermold.trade.rules import BODIES

LAYING: Final = BODIES | {"seal", "prime", "release", "glue", "attach", "paint", "powder", "protect"}
# What is poured wet into its pores takes these up and keeps them.
_DRINKS: Final = frozenset({"gypsum-cement", "gypsum-plaster", "plaster-bandage", "alginate"})
_DRUNK: Final = frozenset({"clay-sulfur"})
# What is wiped on to clean or loosen and stays on as a film of oil, until that is degreased.
_OILY: Final = frozenset({"remover-ester", "remover-citrus", "petroleum-jelly", "skin-care"})
_WIPED: Final = frozenset({"remove", "clean", "soak"})


def trace(
    doing: Doing,
    materials: Mapping[str, Material],
    found: Mapping[str, Face],
    course: list[Act],
    beneath: Mapping[str, Face] | None = None,
) -> tuple[list[Contact], dict[str, Face], dict[str, Face]]:
    """Follows a recipe step by step.

    Args:
        doing: The recipe at work.
        materials: Today's materials.
        found: The surfaces that earlier things left, by their names in this recipe.
        course: Every act of the work so far, over all things; those of this recipe are added to it.
        beneath: What the work is laid on though its recipe does not name it, by the names of the earlier things.

    Returns:
        Every contact in order, the surfaces the recipe gives, and all it worked on.
    """
    return _Tracing(doing, materials, found, course, beneath or {}).run()


class _Tracing:
    def __init__(
        self,
        doing: Doing,
        materials: Mapping[str, Material],
        found: Mapping[str, Face],
        course: list[Act],
        beneath: Mapping[str, Face],
    ) -> None:
        self.doing, self.materials, self.course = doing, materials, course
        recipe = doing.recipe
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
        for name in self.unborn:
            self.faces[name] = self._declared(self.given[name].material)
        # A name of this recipe's own means what the recipe says.
        self.beneath = [name for name in beneath if name not in self.faces]
        self.faces |= {name: beneath[name].copy() for name in self.beneath}

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
        for each in work_of(self.doing.recipe).order:
            for index, use in enumerate(each.step.uses):
                act = self._act(each, use, index)
                contacts += self._use(act, use)
                self.course.append(act)
            # What a step does with its waiting and its heat comes after what it lays.
            moment = self._act(each, None, None)
            if each.step.with_:
                contacts.append(Contact(moment, None, "", Face(), tuple(self.course)))
            self.course.append(moment)
            for face in self.faces.values():
                face.moments.append(moment)
        return contacts, {name: self._handed_on(name) for name in self.given}, self.faces

    def _act(self, each: WorkStep, use: Use | None, index: int | None) -> Act:
        step, rests = each.step, each.rests(use)
        names = materials_used(use, each.mixes) if use is not None else []
        return Act(
            LayerPlace(self.doing.address, step.id, step.title, self.doing.thing, each.place, index),
            len(self.course),
            self._families(names),
            frozenset(names),
            str(use.as_) if use is not None else "",
            use is None or not use.on,
            each.starts,
            each.ends - rests,
            rests,
            "oven" in step.with_,
            step.temperature.high if step.temperature is not None else None,
            str(step.zone or ""),
            any(name in self.materials and self.materials[name].vapor for name in names),
            frozenset(map(str, step.with_)) | _said(use.how if use is not None else None),
            each.before,
        )

    def _use(self, act: Act, use: Use) -> list[Contact]:
        names = [str(name) for name in use.on]
        # What lies beneath unnamed is met by all that is laid, and counts as covered by what names no surface either; what
        # names one may well lie beside it. Gloves go on hands.
        everywhere = self.beneath if act.everywhere and act.role != "protect" else []
        met = [*names, *(self.beneath if everywhere or act.role in BODIES else ())]
        before = {name: self.faces.setdefault(name, Face()).copy() for name in met}
        earlier = tuple(self.course)
        contacts = [Contact(act, use, name, face, earlier) for name, face in before.items()]
        for name in (*names, *everywhere):
            face = self.faces[name]
            face.acts.append(act)
            stays = act.role in LAYING or (act.role in _WIPED and act.families & _OILY)
            if stays and act.families:
                traces = self._taken_up(face, act, before) if name in self.unborn else ()
                face.layers.append(Layer(act.families, act.materials, act.role, act, traces))
        if act.role in BODIES and act.families:
            self._born(act, before)
        return contacts or [Contact(act, use, "", Face(), earlier)]

    def _taken_up(self, own: Face, act: Act, before: Mapping[str, Face]) -> tuple[Layer, ...]:
        """What a layer that is itself what comes out takes along: from what lies beneath, and from its own first layers."""
        if act.role not in BODIES:
            return ()
        under = [trace for name in self.beneath if name in before for trace in _left_behind(before[name], act)]
        inside = [trace for layer in own.touched() for trace in layer.traces if trace.families & _DRUNK]
        return (*under, *inside)

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


def _said(how: str | None) -> frozenset[str]:
    """The words of how a use is done, small; not those it is warned of, as in ``no spray``."""
    told = re.sub(r"\b(no|not|never|without)\s+\w+", " ", (how or "").lower())
    return frozenset(re.findall(r"[a-z]+", told))


def _left_behind(face: Face, act: Act) -> list[Layer]:
    """What a fresh layer takes along from the surface it is laid on: its release, and what stone drinks."""
    touched = face.touched()
    found = [layer for layer in touched if layer.role == "release"]
    if act.families & _DRINKS:
        found += [layer for layer in touched if layer.families & _DRUNK]
        found += [trace for layer in touched for trace in layer.traces if trace.families & _DRUNK]
    return found
