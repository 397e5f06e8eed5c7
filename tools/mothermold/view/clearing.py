"""The patch-test gate: whether everything a look puts on skin and hair was read and clear for its wearer.

Only that it is clear stands in the book; the facts lie in ``private/``. A product added later, remover included, opens the
question again. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Final

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.build import Build, Look
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import BODY_SURFACES
from mothermold.reckon.nesting import materials_used
from mothermold.view.ruling import Documents, Ruling, is_sound

_ON_THE_BODY: Final = frozenset({"glue", "attach", "remove"})
_NOT_TESTED: Final = frozenset({"water", "disposable"})


def find_clearing_faults(documents: Documents, ruling: Ruling, faulty: Collection[str | None] = ()) -> Iterator[Notice]:
    """Looks whose application or removal brings something to a wearer that no clearance covers."""
    for document in documents["build"].values():
        build = document.model
        if not isinstance(build, Build) or document.file in faulty:
            continue
        if is_sound(documents, map(ruling.today, build.recipes), faulty):
            for index, look in enumerate(build.looks):
                yield from _look(document, build, look, index, ruling)


def _look(document: Document, build: Build, look: Look, index: int, ruling: Ruling) -> Iterator[Notice]:
    if look.wearer is None or not look.recipes:
        return
    wanted = _products(look.recipes.values(), ruling)
    clear = [each for each in build.cleared if each.wearer == look.wearer]
    covered = _products([ref for each in clear for ref in each.recipes], ruling)
    missing = [name for name in wanted if name not in covered]
    if missing:
        what = ", ".join(f"`{name}`" for name in missing)
        yield document.notice(
            "not-cleared",
            f"For `{look.wearer}` no patch test is read and clear for {what} of the look `{look.id}`.",
            "Nothing is glued until it is; then type it under `cleared:` with wearer, application, wear, removal and day.",
            ("looks", index, next(iter(look.recipes))),
            severity="warning",
        )


def _products(refs: Iterable[RecipeRef], ruling: Ruling) -> dict[str, None]:
    """The materials of recipes that come onto skin or hair, in order."""
    found: dict[str, None] = {}
    for recipe in map(ruling.text, refs):
        if recipe is None:
            continue
        mixes = {str(mix.id): mix for mix in recipe.mixes}
        for use in (use for step in recipe.steps for use in step.uses):
            if not (set(use.on) & BODY_SURFACES or use.as_ in _ON_THE_BODY):
                continue
            found |= dict.fromkeys(name for name in materials_used(use, mixes) if not _is_tool(ruling.materials, name))
    return found


def _is_tool(materials: Mapping[str, Material], name: str) -> bool:
    # What the book does not hold, or cannot read, says so itself.
    material = materials.get(name)
    return material is None or set(material.families) <= _NOT_TESTED
