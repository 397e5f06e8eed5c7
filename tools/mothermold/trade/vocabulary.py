"""The words a book may use where the tool must know their meaning; a book may add its own.

All of it is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from mothermold.model.additions import OwnWords

STAGES: Final[tuple[str, ...]] = (
    "lifecast", "sculpt", "core", "mold", "cast", "finish", "application", "wear", "removal",
)  # fmt: skip

ON_A_FACE: Final = frozenset({"application", "wear", "removal"})
"""The stages at which somebody wears it."""

ROLES: Final[tuple[str, ...]] = (
    "seal", "prime", "release", "cast", "coat", "fill", "build", "back", "glue", "attach", "lay", "degrease",
    "paint", "thin", "blend", "clean", "soak", "remove", "powder", "dry", "protect", "test",
)  # fmt: skip

EQUIPMENT: Final[tuple[str, ...]] = (
    "vacuum-chamber", "pressure-pot", "oven", "heat-gun", "spray-gun", "airbrush", "sander", "drill", "blade",
    "needle", "flame", "lifting", "open-mixing",
)  # fmt: skip

FAMILIES: Final[tuple[str, ...]] = (
    "platinum-silicone", "tin-silicone", "silicone-deadener", "silicone-thickener", "silicone-retarder",
    "silicone-pigment", "silicone-paint", "silicone-transfer-paste", "flocking", "fiber", "filler",
    "polyurethane-resin", "polyurethane-rubber", "polyester-resin", "epoxy", "photopolymer-resin",
    "acrylic-resin", "gypsum-cement", "gypsum-plaster", "plaster-bandage", "alginate", "water",
    "clay-sulfur", "clay-sulfur-free", "clay-water-based", "wax", "gelatin", "foam-latex", "natural-latex",
    "encapsulant-acetone", "encapsulant-alcohol", "petroleum-jelly", "release-silicone-free", "release-silicone",
    "release-wax", "release-soap", "separator-water-soluble", "sealer", "shellac", "primer",
    "acetone", "alcohol", "ester-solvent", "naphtha", "hydrocarbon-solvent", "volatile-silicone",
    "adhesive-acrylic", "adhesive-silicone", "adhesive-spirit-gum", "acrylic-paste",
    "remover-ester", "remover-citrus", "remover-solvent", "remover-silicone",
    "paint-alcohol-activated", "paint-acrylic-adhesive", "paint-cream", "paint-water-based",
    "powder", "talc", "hair", "lace", "vacuum-formed-sheet", "cloth", "tape", "skin-care", "soap", "barrier",
    "disposable",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The words known in one book: the common ones and its own."""

    stages: tuple[str, ...] = STAGES
    roles: tuple[str, ...] = ROLES
    equipment: tuple[str, ...] = EQUIPMENT
    families: tuple[str, ...] = FAMILIES


def vocabulary(own: OwnWords | None) -> Vocabulary:
    """The common words and those a book adds."""
    if own is None:
        return Vocabulary()
    return Vocabulary(STAGES + own.stages, ROLES + own.as_, EQUIPMENT + own.with_, FAMILIES + own.families)


# A family is named with what it is in front, so that its kin stand together in a list; aloud that comes last.
_KINDS: Final = ("adhesive", "clay", "encapsulant", "paint", "release", "remover", "separator")
_CALLED: Final = {
    "adhesive-spirit-gum": "spirit gum",
    "remover-silicone": "silicone adhesive remover",
    "vacuum-formed-sheet": "vacuum-formed sheet",
}


def family_words(family: str) -> str:
    """A family as one says it: ``sulfur-free clay`` for ``clay-sulfur-free``."""
    kind, dash, rest = family.partition("-")
    return _CALLED.get(family) or (f"{rest} {kind}" if dash and kind in _KINDS else family.replace("-", " "))
