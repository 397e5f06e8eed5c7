"""What holds for all that touches skin: how long a patch test waits, and what takes which glue off again.

What takes what off stands in ``removers.yaml``, each row with its source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final, Literal

from mothermold.ground.reading import read_table
from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe, Use
from mothermold.reckon.nesting import materials_used

PATCH_TEST_HOURS: Final = 48
"""Hours from putting a patch on a body to reading it, at least; where only days are written, two days.

An allergy of the skin shows late. Skin clinics leave a patch for two days, look then, and look again on day 4 to 7, because
what is read on the second day alone can miss a late reaction: Occupational Dermatology Research and Education Centre, page
on patch testing (excerpt read in November 2026); Johansen and others, European Society of Contact Dermatitis guideline for
diagnostic patch testing, Contact Dermatitis 73 (2015) 195-221, doi 10.1111/cod.12432 (abstract read in November 2026, its text
not). So this is a floor and no all-clear, and no diagnosis; whoever reacts, or has a known allergy, asks a doctor.
"""

PATCH_TEST_DAYS: Final = PATCH_TEST_HOURS // 24
"""The same in days, for what is written without a time of day."""

_GLUED: Final = frozenset({"glue", "attach"})
_GLUED_ON_BODIES: Final = frozenset({"seal", "prime"})
_TAKES_OFF: Final = frozenset({"remove", "soak"})

ComesOff = Literal["yes", "ask", "no"]
"""Whether something takes a glue off: yes; only where its own label says so; not that anybody here knows."""


@dataclass(frozen=True, slots=True)
class Remover:
    """What takes one kind of glue off skin.

    Attributes:
        by: Families that do.
        ask: Families that may, where the label names the glue.
        words: The same in words, to follow "Add a removal with".
        source: Where it is from.
    """

    by: frozenset[str]
    ask: frozenset[str]
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Glue:
    """A glue put on a body, or on what is pressed onto one.

    Attributes:
        name: The material; the mix, where none in it is a glue known here.
        kind: Which of the glues known here it is; empty where none.
        step: The step that puts it on.
        on: The surfaces named.
        pieces: The things of a build those surfaces belong to, where they say so.
    """

    name: str
    kind: str
    step: str
    on: frozenset[str]
    pieces: frozenset[str]


@lru_cache(maxsize=1)
def removers() -> dict[str, Remover]:
    """What takes off what, by the glue's family."""
    return {
        family: Remover(frozenset(row["by"]), frozenset(row.get("ask", ())), row["words"], row["source"])
        for family, row in read_table(Path(__file__).with_name("removers.yaml")).items()
    }


def glues_of(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[Glue]:
    """Every glue that ends on a body when this is done, step by step; one of two kinds needs both their removers, so twice."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    for step in recipe.steps:
        for use in step.uses:
            on = frozenset(map(str, use.on))
            if not (use.as_ in _GLUED or (use.as_ in _GLUED_ON_BODIES and on & BODY_SURFACES)):
                continue
            pieces = frozenset(str(each.from_) for each in recipe.surfaces if each.from_ and each.id in on)
            names = materials_used(use, mixes)
            known = [
                (name, kind) for name in names for kind in sorted(_families([name], materials) & removers().keys())
            ]
            if not known and use.as_ == "glue":
                known = [(use.name, "")]
            for name, kind in known:
                yield Glue(name, kind, str(step.id), on, pieces)


def comes_off(glue: Glue, removal: Recipe, materials: Mapping[str, Material]) -> ComesOff:
    """Whether a removal has what takes a glue off."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in removal.mixes}
    used = [
        _families(materials_used(use, mixes), materials)
        for step in removal.steps
        for use in step.uses
        if use.as_ in _TAKES_OFF and _reaches(use, glue)
    ]
    at_hand, row = frozenset[str]().union(*used), removers().get(glue.kind)
    if row is None or not (row.by | row.ask) & at_hand:
        return "no"
    return "yes" if row.by & at_hand else "ask"


def _reaches(use: Use, glue: Glue) -> bool:
    """What works on hair alone, such as lace soaked in a dish, takes nothing off the skin."""
    return set(use.on) != {"hair"} or ("hair" in glue.on and "skin" not in glue.on)


def _families(names: list[str], materials: Mapping[str, Material]) -> frozenset[str]:
    return frozenset(str(family) for name in names if name in materials for family in materials[name].families)
