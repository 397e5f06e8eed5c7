"""The kinds of documents, one row each. Nothing else in the house lists them.

What a kind needs beside its row is found by its name: what its page shows in ``pages/<plural>.py``, questions in
``desk/drafts/<word>.py``, a drawing in ``pages/templates/icons/<word>.svg``. A kind without one of these gets what every kind gets:
a page of its fields, a question for each field it needs.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from types import ModuleType
from typing import Final

from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.settings import Settings


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of document.

    Attributes:
        word: What it is called, also the name of its schema.
        model: What it may say.
        plural: What several are called where they lie: their folder below ``recipes/``, their pages and the list of them.
            Recipes have a folder for each stage instead; the book's settings have neither folder nor page.
        begun: What it is, in few words, for somebody who begins one; empty where one does not begin it by itself.
        said: What a sentence calls one, where that is not the word.
        found: Its place among the kinds of what a search finds; what is no document stands at ``FOUND_BESIDE``.
        in_builds: Whether it may lie in a build's folder too.
        bears: Whether what a recipe does hangs on it, so that a name nothing answers to leaves the recipe in doubt.
    """

    word: str
    model: type[Part]
    plural: str = ""
    begun: str = ""
    said: str = ""
    found: int = 9
    in_builds: bool = False
    bears: bool = False

    @property
    def called(self) -> str:
        """What a sentence calls one."""
        return self.said or self.word

    @property
    def several(self) -> str:
        """What a sentence calls several."""
        return f"{self.called}s"

    @property
    def has_pages(self) -> bool:
        """Whether each has a page, and all of them a list."""
        return bool(self.plural)

    @property
    def folder(self) -> str:
        """Where it lies below ``recipes/``; empty for recipes, whose first folder is their stage, and for the settings."""
        return "" if self.model is Recipe else self.plural

    def file_of(self, name: str) -> str:
        """Where one of a name lies below ``recipes/``, where it lies in no build."""
        if not self.plural:
            return f"{self.word}.yaml"
        if self.model is Build:
            return f"{self.folder}/{name}/{self.word}.yaml"
        return f"{self.folder}/{name}.yaml" if self.folder else f"{name}.yaml"


FOUND_BESIDE: Final = 4

KINDS: Final[dict[str, Kind]] = {
    kind.word: kind
    for kind in (
        Kind("recipe", Recipe, "recipes", "how to do one job at one stage", found=2, bears=True),
        Kind(
            "failure",
            Failure,
            "failures",
            "something that went wrong, and what to do now",
            said="failure note",
            found=1,
        ),
        Kind("material", Material, "materials", "something used", found=5, bears=True),
        Kind("run", Run, "runs", "a recipe worked once, or a test", found=3, in_builds=True),
        Kind("mold", Mold, "molds", "a mold that exists", found=6, in_builds=True),
        Kind("build", Build, "builds", "a character, with what is made for it", found=7, bears=True),
        Kind("course", Course, "courses", "recipe versions for a class", found=8),
        Kind("book", Settings, said="book setting"),
    )
}
FOLDERS: Final[dict[str, str]] = {kind.folder: word for word, kind in KINDS.items() if kind.folder}
PAGED: Final[tuple[Kind, ...]] = tuple(kind for kind in KINDS.values() if kind.has_pages)

_BY_MODEL: Final[dict[type[Part], Kind]] = {kind.model: kind for kind in KINDS.values()}


def own_module(name: str) -> ModuleType | None:
    """The module a floor has for one kind, by its full name; None where the kind makes do with what every kind gets."""
    return import_module(name) if find_spec(name) is not None else None


def kind_of(model: type[Part]) -> Kind:
    """The kind whose documents say what a model may say."""
    return _BY_MODEL[model]
