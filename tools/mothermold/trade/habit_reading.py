"""What a habit looks at: the words of a recipe, what its uses are made of, and how a miss is told."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe, Step, Use
from mothermold.model.walk import KeyPath
from mothermold.reckon.nesting import materials_inside, materials_used

_SENTENCE_END: Final = re.compile(r"(?<=[.!?])\s+")


@dataclass(frozen=True, slots=True)
class Slip:
    """One thing good benches do and a recipe does not say.

    Attributes:
        code: The notice's code, as ``no-cure-test``.
        message: What is missing, naming the thing.
        help: What to type.
        path: Where it stands in the document, as ``("steps", 2)``.
    """

    code: str
    message: str
    help: str
    path: KeyPath


def spoken(words: str) -> re.Pattern[str]:
    """Looks for any of these words, whole, in either case; a space may be a hyphen or a line's end."""
    return re.compile(rf"\b(?:{words})\b".replace(" ", r"[\s-]+"), re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class RecipeReading:
    """A recipe with what must be known to read it.

    Attributes:
        recipe: The recipe.
        materials: The book's materials by name.
    """

    recipe: Recipe
    materials: Mapping[str, Material]

    def texts(self) -> Iterator[tuple[KeyPath, str]]:
        """What the recipe says in words, except why it was changed."""
        for index, need in enumerate(self.recipe.needs):
            yield ("needs", index), need
        for index, step in enumerate(self.recipe.steps):
            for key, text in (("title", step.title), ("do", step.do), ("check", step.check)):
                if text:
                    yield ("steps", index, key), text
            if step.until is not None:
                yield ("steps", index, "until"), step.until.what
            for number, use in enumerate(step.uses):
                if use.how:
                    yield ("steps", index, "uses", number, "how"), use.how

    def says(self, words: re.Pattern[str]) -> bool:
        """Whether any text of the recipe has one of the words."""
        return any(words.search(text) for _path, text in self.texts())

    def families(self, used: Use | Mix) -> frozenset[str]:
        """The families of what is used, through mixes and what they are mixed from."""
        mixes: dict[str, Mix] = {mix.id: mix for mix in self.recipe.mixes}
        names = materials_inside(used.id, mixes) if isinstance(used, Mix) else materials_used(used, mixes)
        return frozenset(family for name in names for family in self.families_by_name(name))

    def families_by_name(self, material: str) -> frozenset[str]:
        """The families of a material; none where the book does not know it."""
        known = self.materials.get(material)
        return frozenset(known.families) if known else frozenset()


@dataclass(frozen=True, slots=True)
class Habit:
    """One thing good benches do.

    Attributes:
        look: Tells where a recipe does not say it.
        safety: Whether somebody can be hurt where it is missed: then a draft is told of it too.
    """

    look: Callable[[RecipeReading], Iterator[Slip]]
    safety: bool = False


def step_words(step: Step) -> str:
    """What one step says in words."""
    return " ".join(
        text for text in (step.zone, step.title, step.do, step.check, step.until and step.until.what) if text
    )


def sentences(text: str) -> list[str]:
    """The sentences of a text."""
    return _SENTENCE_END.split(text)
