"""Whether a recipe that covers somebody's face says how it comes off in the worst minute."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Recipe

NO_WAY_OFF: Final = "no-way-off"
"""A warning about a locked recipe, and no slip in it: what else is said of it stays true."""

_STAGES: Final = frozenset({"lifecast", "application"})
_COVERED: Final = re.compile(
    r"\b(?:nose|noses|nostrils?|mouth|lips?|face|faces|full[\s-]face|heads?|cowl|hood|mask|jaw|muzzle|snout|trunk)\b",
    re.IGNORECASE,
)


def find_no_way_off(document: Document) -> Iterator[Notice]:
    """A locked recipe that covers nose, mouth or a whole head, and has no ``off``."""
    recipe = document.model
    if isinstance(recipe, Recipe) and recipe.status == "locked" and lacks_way_off(recipe):
        yield document.notice(
            "no-way-off",
            f"`{recipe.title}` covers a face, and nothing says how it comes off somebody in the worst minute.",
            "Type `off:` and below it a line for each move, as `- Both hands under the chin, forward and off.`",
            ("title",),
            severity="warning",
        )


def lacks_way_off(recipe: Recipe) -> bool:
    """Whether a recipe covers nose, mouth or a whole head, by its own words, and does not say how that comes off."""
    if recipe.off or recipe.stage not in _STAGES:
        return False
    said = [recipe.title, *(step.zone for step in recipe.steps if step.zone)]
    return any(_COVERED.search(text) for text in said)
