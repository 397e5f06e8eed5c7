"""What can hurt in a step, from what is used and done in it.

A table of rows (``cautions.yaml``): each is called for by chemistry families, equipment, roles, stages or surfaces. The
maker's safety data sheet, local rules and licensed practice come first; nothing here says that something is harmless.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

from mothermold.ground.reading import table
from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe, Step
from mothermold.reckon.nesting import materials_inside, materials_used
from mothermold.trade.unused import idle_stuff
from mothermold.trade.vocabulary import EQUIPMENT, FAMILIES, ROLES, STAGES

_FILE: Final = Path(__file__).with_name("cautions.yaml")
PICTOGRAMS: Final[tuple[str, ...]] = (
    "flame", "corrosion", "exclamation-mark", "health-hazard", "environment", "gas-cylinder",
)  # fmt: skip
# What a row may ask for, and the words it may use; None where any word will do.
_KEYS: Final[Mapping[str, frozenset[str] | None]] = {
    "families": frozenset(FAMILIES),
    "roles": frozenset(ROLES),
    "equipment": frozenset(EQUIPMENT),
    "stages": frozenset(STAGES),
    "surfaces": BODY_SURFACES,
    "doing": frozenset({"mixing"}),
    "zones": None,
    "words": None,
    "how": None,
    "vapor": None,
}
# Nothing to read in a sheet, unless the book names one.
_PLAIN: Final = frozenset({"water", "disposable", "hair", "lace", "cloth", "fiber"})
_Facts = Mapping[str, frozenset[str]]
# Of what no step uses nobody knows in which role, nor, where someone wears it, where on them: it may be any.
_NOT_KNOWN: Final = frozenset({"roles", "how"})
_NOT_KNOWN_ON_SOMEONE: Final = _NOT_KNOWN | {"surfaces", "zones"}
_ON_SOMEONE: Final = frozenset({"lifecast", "application", "wear", "removal"})
NO_STEP: Final = ""
"""Under this name stand the cautions of a recipe that has no step yet."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes:
        id: Its name, as ``flammable-vapor``.
        title: What can hurt, in a few words.
        words: What to do, in plain sentences.
        pictograms: The GHS pictograms, by the name of the drawing.
        statements: GHS hazard statements, as (code, text).
        source: Where it is from; ``common practice, no source`` where there is none.
    """

    id: str
    title: str
    words: tuple[str, ...]
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class HungSheet:
    """The maker's safety data sheet of a material: where it hangs and its date, None where the book does not say."""

    material: str
    title: str
    where: str | None
    dated: date | None


@dataclass(frozen=True, slots=True)
class CautionRow:
    """A caution and what calls for it.

    Attributes:
        caution: The caution.
        whole: The stages whose every recipe calls for it; it then stands at the first step.
        any_of: Otherwise any of these, each with words for every key it names, of which one must fit.
    """

    caution: Caution
    whole: frozenset[str]
    any_of: tuple[_Facts, ...]


def step_cautions(recipe: Recipe, materials: Mapping[str, Material]) -> dict[str, tuple[Caution, ...]]:
    """The cautions of each step that has any, by step id, worst first.

    What a stage as a whole calls for, and what the recipe names and no step uses, stands at the first step; without a
    step under ``NO_STEP``.
    """
    found: dict[str, tuple[Caution, ...]] = {}
    idle = [
        {**_stuff(names, materials), "stages": frozenset({recipe.stage}), "doing": frozenset({"mixing"})}
        for names in idle_stuff(recipe, materials)
    ]
    for place, step in enumerate(recipe.steps or (None,)):
        facts = tuple(_facts(recipe, step, materials)) if step else ()
        cautions = tuple(
            row.caution
            for row in _rows()
            if (place == 0 and (recipe.stage in row.whole or any(_may_fit(row, recipe.stage, fact) for fact in idle)))
            or any(_fits(wanted, fact) for wanted in row.any_of for fact in facts)
        )
        if cautions:
            found[step.id if step else NO_STEP] = cautions
    return found


def recipe_cautions(recipe: Recipe, steps: Mapping[str, Iterable[Caution]]) -> tuple[Caution, ...]:
    """All cautions of a recipe, each once, worst first; those of its stage even before it has a step.

    Args:
        recipe: The recipe.
        steps: The cautions of its steps, as ``step_cautions`` finds them.
    """
    wanted = {caution.id for cautions in steps.values() for caution in cautions}
    return tuple(row.caution for row in _rows() if row.caution.id in wanted or recipe.stage in row.whole)


def all_cautions() -> tuple[Caution, ...]:
    """Every caution there is, worst first."""
    return tuple(row.caution for row in _rows())


def material_cautions(material: Material) -> tuple[Caution, ...]:
    """The cautions a material's own families call for, worst first; what is done with it may call for more."""
    facts = {**_stuff({"it"}, {"it": material}), "doing": frozenset({"mixing"})}
    return tuple(
        row.caution
        for row in _rows()
        if any(wanted.keys() <= facts.keys() and _fits(wanted, facts) for wanted in row.any_of)
    )


def sheets(recipe: Recipe, materials: Mapping[str, Material]) -> tuple[HungSheet, ...]:
    """The maker's sheets to read first, in order of use; through mixes, and without water and the like."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    names = [name for step in recipe.steps for use in step.uses for name in materials_used(use, mixes)]
    names += [name for mix in mixes for name in materials_inside(mix, mixes)]
    names += [name for idle in idle_stuff(recipe, materials) for name in idle]
    used = ((name, materials[name]) for name in dict.fromkeys(names) if name in materials)
    return tuple(
        HungSheet(
            name,
            material.title,
            material.sds.where if material.sds else None,
            material.sds.dated if material.sds else None,
        )
        for name, material in used
        if material.sds or not _PLAIN.issuperset(material.families)
    )


def read_rows(text: str) -> tuple[CautionRow, ...]:
    """The table of cautions, worst first.

    Raises:
        ValueError: A row names a statement without a text, an unknown pictogram, key or word.
    """
    told = table(text)
    statements: Mapping[str, str] = told["hazard_statements"]
    return tuple(_row(name, row, statements) for name, row in told["cautions"].items())


def _row(name: str, row: Mapping[str, Any], statements: Mapping[str, str]) -> CautionRow:
    codes, pictograms = tuple(row.get("statements", ())), tuple(row.get("pictograms", ()))
    if without := [code for code in codes if code not in statements]:
        raise ValueError(f"{name}: no text for {', '.join(without)}")
    if strange := set(pictograms) - set(PICTOGRAMS):
        raise ValueError(f"{name}: no such pictogram: {', '.join(sorted(strange))}")
    for wanted in row["for"]:
        for key, words in wanted.items():
            known = _KEYS.get(key, frozenset())
            if known is not None and (strange := set(words) - known):
                raise ValueError(f"{name}: {key} cannot be {', '.join(sorted(strange))}")
    told = tuple((code, statements[code]) for code in codes)
    any_of = [{key: frozenset(words) for key, words in wanted.items()} for wanted in row["for"]]
    return CautionRow(
        Caution(name, row["title"], tuple(row["words"]), pictograms, told, row["source"]),
        frozenset(stage for wanted in any_of if set(wanted) == {"stages"} for stage in wanted["stages"]),
        tuple(wanted for wanted in any_of if set(wanted) != {"stages"}),
    )


@lru_cache(maxsize=1)
def _rows() -> tuple[CautionRow, ...]:
    return read_rows(_FILE.read_text(encoding="utf-8"))


def _fits(wanted: _Facts, facts: _Facts) -> bool:
    return all(words & facts.get(key, frozenset()) for key, words in wanted.items())


def _may_fit(row: CautionRow, stage: str, facts: _Facts) -> bool:
    """Whether a row may be called for by something of which only its families and what evaporates of it are known."""
    not_known = _NOT_KNOWN_ON_SOMEONE if stage in _ON_SOMEONE else _NOT_KNOWN
    asked = [{key: words for key, words in each.items() if key not in not_known} for each in row.any_of]
    return any(each.keys() & {"families", "vapor"} and _fits(each, facts) for each in asked)


def _facts(recipe: Recipe, step: Step, materials: Mapping[str, Material]) -> Iterator[_Facts]:
    """What is true of the step alone, then of each of its uses: what meets the skin is not what lies beside it."""
    mixes: dict[str, Mix] = {mix.id: mix for mix in recipe.mixes}
    # A title and the things to have at hand are read before the first step.
    ahead = (recipe.title, *recipe.needs) if step is recipe.steps[0] else ()
    alone = {
        "stages": frozenset({recipe.stage}),
        "equipment": frozenset(step.with_),
        "zones": _words(step.zone),
        "words": _words(step.title, step.do, *ahead),
    }
    yield alone
    if step.starts and step.starts not in {use.mix for use in step.uses}:
        yield {**alone, **_stuff(materials_inside(step.starts, mixes), materials), "doing": frozenset({"mixing"})}
    for use in step.uses:
        mixed = use.material or _place_of_mixing(recipe, str(use.mix)) == step.id
        yield {
            **alone,
            **_stuff(materials_used(use, mixes), materials),
            "roles": frozenset({use.as_}),
            "surfaces": frozenset(map(str, use.on)),
            "how": _words(use.how),
            "doing": frozenset({"mixing"} if mixed else ()),
        }


def _stuff(names: Iterable[str], materials: Mapping[str, Material]) -> dict[str, frozenset[str]]:
    known = [materials[name] for name in names if name in materials]
    substances = [vapor.substance for material in known for vapor in material.vapor]
    return {
        "families": frozenset(family for material in known for family in material.families),
        "vapor": _words(*substances) | ({"any"} if substances else frozenset()),
    }


def _place_of_mixing(recipe: Recipe, mix: str) -> str | None:
    starting = [step.id for step in recipe.steps if step.starts == mix]
    return next(iter([*starting, *(step.id for step in recipe.steps for use in step.uses if use.mix == mix)]), None)


def _words(*texts: str | None) -> frozenset[str]:
    """The words of the texts, small, and each two that stand side by side."""
    told = [re.findall(r"[a-z]+", str(text).lower()) for text in texts if text]
    return frozenset(found for words in told for found in (*words, *map(" ".join, pairwise(words))))
