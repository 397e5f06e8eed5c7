"""What good benches do and a book's recipes do not say, and what no rule can see; about the recipes of today."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from mothermold.book.coming_off import find_no_way_off
from mothermold.book.library import Book
from mothermold.book.links import bears_on_process
from mothermold.ground.notices import Notice, Severity
from mothermold.model.build import Build
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.trade.habits import find_sheet_slips, find_slips
from mothermold.trade.unused import UNUSED, find_unused
from mothermold.view.ruling import Ruling, is_sound


def find_advice(book: Book, ruling: Ruling, today: date | None, told: Iterable[Notice] = ()) -> Iterator[Notice]:
    """No way off somebody, what no step of a recipe uses, the habits it misses, the sheets missing or too old of what it names.

    A draft hears of what can hurt alone. A recipe with an error, or with a material that cannot be read, is not asked:
    what is missing may be that error's consequence.

    Args:
        book: The book as it lies there.
        ruling: Knows its materials and rules, and where the recipes it accepts something of are today.
        today: The day of its newest save; None where nothing is saved yet.
        told: What is said about the book already.
    """
    faulty = {notice.file for notice in told if notice.severity == "error" and bears_on_process(notice)}
    materials = ruling.materials
    of_builds = [each for build in book.documents.models(Build).values() for each in ruling.accepts(build)]
    used: set[str] = set()
    for document in book.documents.on("recipe").values():
        recipe = document.model
        if recipe is None and document.raw.get("status") != "retired":
            # A recipe that cannot be read uses its materials all the same.
            used |= _materials_named(document.raw)
        if not isinstance(recipe, Recipe) or recipe.status == "retired":
            continue
        named = {str(part.material) for mix in recipe.mixes for part in mix.parts if part.material}
        named |= {str(use.material) for step in recipe.steps for use in step.uses if use.material}
        used |= named
        yield from find_no_way_off(document)
        if not is_sound(book.documents, [RecipeRef(document.address)], faulty):
            continue
        accepts = [*ruling.accepts(recipe), *of_builds]
        unseen = find_unused(recipe, materials, ruling.rules.values())
        for slip in (*unseen, *find_slips(recipe, materials)):
            step = _step_of(recipe, slip.path)
            if any(
                each.rule == slip.code and each.covers(document.address, int(recipe.version), step) for each in accepts
            ):
                continue
            heavy: Severity = "warning" if slip.code in UNUSED and recipe.status == "locked" else "advice"
            yield document.notice(slip.code, slip.message, slip.help, slip.path, severity=heavy)
    for name in sorted(used & materials.keys()):
        document = book.documents.on("material")[name]
        if document.file in faulty:
            continue
        for slip in find_sheet_slips(materials[name], today):
            yield document.notice(slip.code, slip.message, slip.help, slip.path, severity="advice")


def _step_of(recipe: Recipe, path: KeyPath) -> str:
    """The step a place lies in; nothing where it lies elsewhere."""
    return next((str(recipe.steps[at].id) for at in path[1:2] if path[0] == "steps" and isinstance(at, int)), "")


def _materials_named(raw: object) -> set[str]:
    """What stands behind `material:` anywhere in a text."""
    if isinstance(raw, list):
        return set().union(*map(_materials_named, raw))
    if not isinstance(raw, dict):
        return set()
    named = raw.get("material")
    own = {named} if isinstance(named, str) else set()
    return own.union(*map(_materials_named, raw.values()))
