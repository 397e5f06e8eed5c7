"""The kinds of documents: which model each has, and in which folder it lies."""

from __future__ import annotations

from dataclasses import dataclass
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
        folder: Where it lies below ``recipes/``; empty for recipes, whose first folder is their stage.
        model: What it may say.
    """

    word: str
    folder: str
    model: type[Part]


KINDS: Final[dict[str, Kind]] = {
    kind.word: kind
    for kind in (
        Kind("recipe", "", Recipe),
        Kind("material", "materials", Material),
        Kind("failure", "failures", Failure),
        Kind("run", "runs", Run),
        Kind("mold", "molds", Mold),
        Kind("build", "builds", Build),
        Kind("course", "courses", Course),
        Kind("book", "", Settings),
    )
}
FOLDERS: Final[dict[str, str]] = {kind.folder: word for word, kind in KINDS.items() if kind.folder}
_BY_MODEL: Final[dict[type[Part], Kind]] = {kind.model: kind for kind in KINDS.values()}


def kind_of(model: type[Part]) -> Kind:
    """The kind whose documents say what a model may say."""
    return _BY_MODEL[model]
