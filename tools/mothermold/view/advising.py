"""What good benches do and a book's recipes do not say, and what no rule can see; about the recipes of today."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date
from functools import partial

from mothermold.book.coming_off import find_no_way_off
from mothermold.book.document import Document
from mothermold.book.library import Book
from mothermold.ground.looking import Looked, saw
from mothermold.ground.notices import Notice, Severity
from mothermold.model.build import Build
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.trade.habits import find_sheet_slips, find_slips
from mothermold.trade.unused import UNUSED, find_unused
from mothermold.view.ruling import Ruling, is_sound


class Advice:
    """No way off somebody, what no step of a recipe uses, the habits it misses, the sheets missing or too old of what it names.

    A draft hears of what can hurt alone. A recipe with an error, or with a material that cannot be read, is not asked:
    what is missing may be that error's consequence.

    Args:
        book: The book as it lies there.
        ruling: Knows its materials and rules, and where the recipes it accepts something of are today.
        today: The day of its newest save; None where nothing is saved yet.
        wrong: The files of which an error is told that bears on what they do.
    """

    def __init__(self, book: Book, ruling: Ruling, today: date | None, wrong: Collection[str | None]) -> None:
        self._book, self._ruling, self._today, self._wrong = book, ruling, today, wrong
        self._used = Looked("used", self._find_used)
        book.made.opens(self._used)
        book.made.knows("today", lambda _: str(today))

    def faults(self, document: Document) -> Iterator[Notice]:
        """What is advised about a recipe or a material of today."""
        if isinstance(document.model, Recipe) and document.model.status != "retired":
            yield from find_no_way_off(document)
            yield from self._recipe(document, document.model)
        if document.kind == "material":
            yield from self._material(document)

    def _recipe(self, document: Document, recipe: Recipe) -> Iterator[Notice]:
        ruling = self._ruling
        if not is_sound(self._book.documents, [RecipeRef(document.address)], self._wrong):
            return
        of_builds = [each for build in self._book.documents.models(Build).values() for each in ruling.accepts(build)]
        accepts = [*ruling.accepts(recipe), *of_builds]
        unseen = find_unused(recipe, ruling.materials, ruling.rules.values())
        for slip in (*unseen, *find_slips(recipe, ruling.materials)):
            step = _step_of(recipe, slip.path)
            if any(
                each.rule == slip.code and each.covers(document.address, int(recipe.version), step) for each in accepts
            ):
                continue
            heavy: Severity = "warning" if slip.code in UNUSED and recipe.status == "locked" else "advice"
            yield document.notice(slip.code, slip.message, slip.help, slip.path, severity=heavy)

    def _material(self, document: Document) -> Iterator[Notice]:
        material = self._ruling.materials.get(document.address)
        if material is None or document.address not in self._used or document.file in self._wrong:
            return
        saw("today ")
        for slip in find_sheet_slips(material, self._today):
            yield document.notice(slip.code, slip.message, slip.help, slip.path, severity="advice")

    def _find_used(self) -> dict[str, str]:
        every = self._book.documents.on("recipe").items()
        made = self._book.made
        return {
            name: "" for address, each in every for name in made.of(f"recipe/{address}: used", partial(_used, each))
        }


def _used(document: Document) -> list[str]:
    """The materials a recipe uses today; one that cannot be read uses its materials all the same."""
    recipe = document.model
    if recipe is None and document.raw.get("status") != "retired":
        return sorted(_materials_named(document.raw))
    if not isinstance(recipe, Recipe) or recipe.status == "retired":
        return []
    named = {str(part.material) for mix in recipe.mixes for part in mix.parts if part.material}
    named |= {str(use.material) for step in recipe.steps for use in step.uses if use.material}
    return sorted(named)


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
