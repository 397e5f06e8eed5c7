"""Texts of recipes for the tests of differences: read from files, from words, and from trees.

Knows nothing of how texts are compared.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mothermold.book.document import read_document
from mothermold.compare.differences import RecipeText
from mothermold.model.recipe import Recipe

ROOT = Path(__file__).parents[2]
EVERY_FIELD = Path(__file__).with_name("every-field.yaml")

Tree = dict[str, Any]
"""A recipe as it is written: keys, lists and the texts of scalars."""


def read(words: str | bytes) -> RecipeText:
    """Reads the text of a recipe without faults."""
    data = words.encode() if isinstance(words, str) else words
    document = read_document("recipe", "cast/a-piece", "recipes/cast/a-piece.yaml", data)
    assert isinstance(document.model, Recipe), document.notices
    return RecipeText(document.model, document.said)


def text_of(tree: Tree) -> RecipeText:
    """What a written tree means; raises where it is no recipe."""
    return RecipeText(Recipe.model_validate(tree), tree)


def sample_files() -> dict[str, Path]:
    """Every recipe of the sample book by its address, and one with every field there is."""
    recipes = ROOT / "recipes"
    found = {
        path.relative_to(recipes).with_suffix("").as_posix(): path
        for stage in ("application", "cast", "mold", "removal")
        for path in sorted((recipes / stage).glob("**/*.yaml"))
    }
    assert len(found) >= 5
    return found | {"every-field": EVERY_FIELD}
