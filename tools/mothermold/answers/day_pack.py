"""What is packed for a look, out of what its sheets ask for and use: what takes it off on top, the emergency card before all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.result import title_words
from mothermold.model.build import Look
from mothermold.model.names import RecipeRef
from mothermold.reckon.work import work_of
from mothermold.view.view import View

BAG: Final = (
    ("removal", "On top, found with eyes shut: what takes it off"),
    ("application", "To put it on"),
    ("wear", "Through the day"),
)
"""The stages in the order they lie in the bag, from the top."""


@dataclass(frozen=True, slots=True)
class BagLayer:
    """A layer of the bag.

    Attributes:
        title: What it is for.
        things: What lies in it, each once; empty where no sheet says anything.
    """

    title: str
    things: tuple[str, ...]


def bag_of(view: View, look: Look) -> list[BagLayer]:
    """The bag of a look, from the top. What lies in an upper layer is not said again below.

    Args:
        view: The edition.
        look: The look.
    """
    found: list[BagLayer] = []
    said: set[str] = set()
    for stage, title in BAG:
        refs = getattr(look, stage)
        things = needed(view, refs)
        found.append(BagLayer(title, tuple(each for each in things if each not in said)))
        said |= set(things)
    return found


def needed(view: View, refs: Iterable[RecipeRef]) -> list[str]:
    """What recipes ask to have at hand, then the materials their steps use, each once."""
    titles, found = title_words(view), dict[str, None]()
    recipes = [recipe for ref in refs if (recipe := pinned_recipe(view, ref)) is not None]
    for recipe in recipes:
        found |= dict.fromkeys(str(each) for each in recipe.needs)
    for recipe in recipes:
        names = sorted({name for each in work_of(recipe).steps for name in each.materials})
        found |= dict.fromkeys(titles.get(name, name) for name in names)
    return list(found)
