"""What a recipe's own numbers say against each other, as notices of a book."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.trade.pouring import find_pour_slips
from mothermold.view.ruling import Ruling, is_sound


def find_pour_faults(document: Document, ruling: Ruling, faulty: Collection[str | None]) -> Iterator[Notice]:
    """A warning for each part, pour and step of a recipe that cannot be right as it is written; drafts are asked too.

    Args:
        document: A recipe; of nothing else anything is said.
        ruling: Knows the materials.
        faulty: Files with a slip in them: that comes first, and a sum might be its consequence.
    """
    recipe = document.model
    if not isinstance(recipe, Recipe) or recipe.status == "retired":
        return
    if is_sound(ruling.documents, [RecipeRef(document.address)], faulty):
        for slip in find_pour_slips(recipe, ruling.materials):
            yield document.notice(slip.code, slip.message, slip.help, slip.path, severity="warning")
