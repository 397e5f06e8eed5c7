"""What a draft still lacks before someone else could work from it: a list of things to write, never a wall."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from mothermold.book.coming_off import lacks_way_off
from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Mix, Recipe

# A list is read as long as it is short.
_MOST: Final = 6


def find_unfinished(document: Document) -> Iterator[Notice]:
    """One advice that lists what a draft lacks; nothing for a finished recipe, which may leave out what it likes."""
    recipe = document.model
    if not isinstance(recipe, Recipe) or recipe.status != "draft":
        return
    lacks = list(_lacks(recipe))
    if lacks:
        more = f"; and {len(lacks) - _MOST} more" if len(lacks) > _MOST else ""
        yield document.notice(
            "still-to-write",
            f"The draft does not say yet {'; '.join(lacks[:_MOST])}{more}.",
            "Write it when it is known; a draft is saved as it is.",
            ("status",),
            severity="advice",
        )


def _lacks(recipe: Recipe) -> Iterator[str]:
    inside = {part.mix for mix in recipe.mixes for part in mix.parts if part.mix}
    for mix in recipe.mixes:
        if mix.id not in inside:
            yield from _of_mix(mix)
    for step in recipe.steps:
        if not step.do:
            yield f"how “{step.title}” is done"
        if step.hands_on is None:
            yield f"how long the hands are busy with “{step.title}”"
    if lacks_way_off(recipe):
        yield "how it comes off somebody in the worst minute (`off:`)"


def _of_mix(mix: Mix) -> Iterator[str]:
    name = mix.title or mix.id
    if mix.fills is None and mix.covers is None and mix.batch is None:
        yield f"what “{name}” fills (`fills: 40 ml`)"
    elif mix.fills is not None and mix.allowance is None:
        yield f"how much extra of “{name}” is mixed for what is lost (`allowance: 10 %`)"
