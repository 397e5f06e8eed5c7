"""What a mix is most likely used as, and on what: a guess from its families, its words and the stage, to be said yes to.

The rows are common practice, no source. A guess is offered and never written by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Mix, Recipe
from mothermold.trade.habit_reading import RecipeReading, spoken

SETTING: Final = frozenset(
    {"platinum-silicone", "tin-silicone", "polyurethane-resin", "polyurethane-rubber", "polyester-resin", "epoxy",
     "acrylic-resin", "gypsum-cement", "gypsum-plaster", "alginate", "foam-latex"}
)  # fmt: skip
"""Families that set by themselves once mixed, so that a mix of them has a pot life."""

# The first row that fits tells the role: words of the mix's own title before what it is made of.
_BY_WORDS: Final = tuple(
    (role, spoken(words))
    for role, words in {
        "release": r"releases?|separators?",
        "seal": r"seal|sealers?|sealing",
        "prime": r"prim(?:e|er|ing)",
        "glue": r"glues?|adhesives?",
        "remove": r"removers?",
        "paint": r"paints?|washe?s?|tint coat|stipple|spatter",
        "fill": r"seams?|fillers?|patch(?:es|ing)?|fills?",
        "back": r"back(?:ing|er)?|shell|jacket|mother mold",
        "coat": r"coats?|films?|skins?|beauty|encapsulants?|brush-on|print coat",
    }.items()
)
_BY_FAMILY: Final[Mapping[str, frozenset[str]]] = {
    "remove": frozenset({"remover-ester", "remover-citrus", "remover-solvent", "remover-silicone"}),
    "glue": frozenset({"adhesive-acrylic", "adhesive-silicone", "adhesive-spirit-gum"}),
    "paint": frozenset(
        {"paint-alcohol-activated", "paint-acrylic-adhesive", "paint-cream", "paint-water-based", "silicone-paint"}
    ),
    "coat": frozenset({"encapsulant-acetone", "encapsulant-alcohol"}),
    "seal": frozenset({"sealer", "shellac"}),
    "prime": frozenset({"primer"}),
    "cast": SETTING | {"gelatin"},
    "release": frozenset(
        {"petroleum-jelly", "release-silicone-free", "release-silicone", "release-wax", "release-soap",
         "separator-water-soluble"}
    ),
    "build": frozenset({"clay-sulfur", "clay-sulfur-free", "clay-water-based", "wax"}),
    "powder": frozenset({"powder", "talc"}),
    "back": frozenset({"plaster-bandage"}),
    "clean": frozenset({"soap", "acetone", "alcohol", "naphtha", "hydrocarbon-solvent", "volatile-silicone", "water"}),
}  # fmt: skip
# What is cast at these stages goes into or onto something finished, as a patch.
_PATCHED: Final = frozenset({"finish", "application", "wear"})
_SURFACES: Final[Mapping[str, str]] = {
    "lifecast": "skin", "sculpt": "core-face", "core": "negative-face", "mold": "sculpture-face", "cast": "mold-face",
    "finish": "piece-face", "application": "skin", "wear": "skin", "removal": "skin",
}  # fmt: skip
# What at a stage on someone goes on something else.
_ELSEWHERE: Final[Mapping[str, str]] = {"fill": "piece-face", "back": "impression-back"}
# What the step is called in which something is used in this role.
_STEPS: Final[Mapping[str, str]] = {
    "cast": r"pour\w*|fill\w*|cast\w*|inject\w*|lay\w*|clos\w*",
    "coat": r"coat\w*|spray\w*|film\w*|skins?|encapsulat\w*|brush\w*|beauty",
    "release": r"releas\w*|separat\w*|soap\w*|wax\w*",
    "seal": r"seal\w*",
    "prime": r"prim\w+",
    "glue": r"glu\w+|stick\w*|attach\w*|adher\w*|appl\w+",
    "paint": r"paint\w*|color\w*|tint\w*|wash\w*|spatter\w*|stippl\w*",
    "fill": r"fill\w*|seams?|patch\w*",
    "back": r"back\w*|shell\w*|jacket\w*|bandag\w*",
    "build": r"build\w*|sculpt\w*|model\w*|mass",
    "remove": r"remov\w*|tak\w+|off|lift\w*",
    "powder": r"powder\w*",
    "clean": r"clean\w*|wash\w*|wip\w+|degreas\w*",
}
MIXING: Final = spoken(r"mix\w*|stir\w*|weigh\w*|degas\w*")
"""What a step is called in which a mix is made."""


@dataclass(frozen=True, slots=True)
class LikelyUse:
    """A guess: used as what, on which surface."""

    role: str
    surface: str


def likely_use(recipe: Recipe, mix: Mix, materials: Mapping[str, Material]) -> LikelyUse:
    """What a mix is most likely used as, and on what.

    Args:
        recipe: The recipe; of what it says already, its surfaces are taken first.
        mix: The mix.
        materials: The book's materials by name, for their families.
    """
    families = RecipeReading(recipe, materials).families(mix)
    told = [role for role, words in _BY_WORDS if words.search(f"{mix.id} {mix.title or ''}")]
    made = [role for role, of in _BY_FAMILY.items() if families & of]
    role = next(iter([*told, *made]), "cast")
    if role == "cast" and recipe.stage in _PATCHED:
        role = "fill"
    usual = _SURFACES.get(recipe.stage, "mold-face")
    if usual in BODY_SURFACES and role not in _ELSEWHERE:
        return LikelyUse(role, usual)
    declared = next((str(surface.id) for surface in recipe.surfaces), "")
    return LikelyUse(role, declared or (_ELSEWHERE[role] if usual in BODY_SURFACES else usual))


def likely_step(titles: Mapping[str, str], role: str, words: str) -> str:
    """The step in which something is most likely used, by its id; the first where nothing tells.

    Args:
        titles: The title of each step, by id.
        role: What it is used as.
        words: What it is called.
    """
    long = [word for word in words.casefold().split() if word.isalpha() and len(word) > 3]
    own, usual = spoken("|".join(long) or "(?!)"), spoken(_STEPS.get(role, role))

    def weight(step: str) -> int:
        done, named = bool(usual.search(titles[step])), bool(own.search(titles[step]))
        # What is only mixed in a step is used in a later one.
        only_mixed = not done and bool(MIXING.search(titles[step]))
        return 3 * done + 2 * named - 3 * only_mixed

    return max(titles, key=weight, default="")
