"""What good hands do at the chair, looked for in a recipe: life cast, application, wear and removal.

All of it is common practice, no source. The maker's safety data sheet, local rules and licensed practice come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from mothermold.model.recipe import Use
from mothermold.trade.habit_reading import Habit, RecipeReading, Slip, sentences, spoken, step_words
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.trade.vocabulary import ON_A_FACE

_VAPORS: Final = frozenset(
    {"acetone", "alcohol", "naphtha", "hydrocarbon-solvent", "volatile-silicone", "ester-solvent",
     "remover-solvent", "remover-silicone", "remover-citrus", "adhesive-silicone", "adhesive-spirit-gum",
     "encapsulant-acetone", "encapsulant-alcohol"}
)  # fmt: skip
_EYES: Final = spoken(r"eyes?|eyelids?|(?:upper|lower) lids?|(?:eye)?lash(?:es)?|brows?|eyebrows?|temples?")
_EYES_KEPT: Final = spoken(
    r"shield\w*|(?:eyes?|lids?) (?:\w+ ){0,2}(?:closed|shut|covered)|clos(?:e|ed) (?:the )?eyes?|pads?|two fingers|"
    r"cotton tips?|no solvent|(?:away|off) from the (?:eyes?|lids?|lash(?:es)?)|away from (?:eyes?|lids?)"
)
_PATCH: Final = spoken(r"patch test(?:s|ed)?|patch tested|test patch")
_COMES_OFF: Final = spoken(r"remov\w+|com(?:e|es|ing) off|tak(?:e|es|en|ing) (?:it |\w+ ){0,2}off")
_TOOLS: Final = r"(?:brush(?:es)?|sponges?|puffs?|tips?|pads?|applicators?|palettes?|cups?|wands?)"
_OWN_BRUSHES: Final = spoken(
    rf"(?:own|clean|fresh|new|disposable|separate|washed|one) (?:\S+ ){{0,3}}{_TOOLS}|disposables?|dipping back|"
    rf"decant\w*|{_TOOLS},? (?:\S+ ){{0,5}}(?:this|one|each|the) (?:face|wearer)|"
    r"nothing (?:is |goes )?(?:dipped |back ){1,2}"
)
_STRAW: Final = spoken(r"(?P<before>(?:\S+ ){0,4})straws?(?P<after>(?:,? \S+){0,3})")
# Above this dip water makes plaster bandage burn the sooner (degrees Celsius).
BANDAGE_LIMIT: Final = 24
_WARM_WATER: Final = spoken(r"(?:warm|hot|hand warm|lukewarm) water|water (?:\w+ ){0,2}(?:warm|hot)")
_NO: Final = spoken(r"no|not|never|without|nor|neither")


def _touches_the_face(read: RecipeReading, use: Use) -> bool:
    pieces = {surface.id for surface in read.recipe.surfaces}
    return "skin" in use.on or (read.recipe.stage in ON_A_FACE and bool(pieces & set(use.on)))


def _solvent_near_eyes(read: RecipeReading) -> Iterator[Slip]:
    for index, step in enumerate(read.recipe.steps):
        words = step_words(step)
        if not _EYES.search(words) or _EYES_KEPT.search(words):
            continue
        for number, use in enumerate(step.uses):
            if _touches_the_face(read, use) and _VAPORS & read.families(use):
                yield Slip(
                    "solvent-near-eyes",
                    f"`{use.name}` is used near the eyes in `{step.id}`, and the step does not say how they are kept.",
                    "Say it in `do`, as `Shield the eyes; no solvent within two fingers of them.`",
                    ("steps", index, "uses", number),
                )
                break


def _no_patch_test(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage != "application" or read.says(_PATCH):
        return
    for index, step in enumerate(read.recipe.steps):
        for number, use in enumerate(step.uses):
            if use.as_ in ("glue", "attach") and _touches_the_face(read, use):
                yield Slip(
                    "no-patch-test",
                    f"`{use.name}` goes on the skin in `{step.id}`, and no patch test is mentioned.",
                    f"Type it under `needs`, as `patch test read after {PATCH_TEST_HOURS} h and clear for every product below`.",
                    ("steps", index, "uses", number),
                )
                return


def _no_removal(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage != "application" or read.says(_COMES_OFF) or _COMES_OFF.search(read.recipe.why or ""):
        return
    yield Slip(
        "no-removal",
        f"`{read.recipe.title}` says how it goes on and not how it comes off.",
        "Type it under `needs`, as `the remover that matches the glue, at the chair and on set`.",
        ("title",),
    )


def _one_brush_two_faces(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage not in ON_A_FACE or read.says(_OWN_BRUSHES):
        return
    if any(_touches_the_face(read, use) for step in read.recipe.steps for use in step.uses):
        yield Slip(
            "one-brush-two-faces",
            f"`{read.recipe.title}` does not say whose brushes and sponges these are.",
            "Type it under `needs`, as `one set of brushes for this face, everything decanted, no dipping back`.",
            ("title",),
        )


def _bandage_too_hot(read: RecipeReading) -> Iterator[Slip]:
    """Dip water for bandage on somebody: study of the heat of casts in orthopedics, abstract, as in the caution."""
    for index, step in enumerate(read.recipe.steps):
        bandage = any(
            "plaster-bandage" in read.families(use) and (read.recipe.stage == "lifecast" or "skin" in use.on)
            for use in step.uses
        )
        words = step_words(step)
        warm = step.temperature is not None and step.temperature.high > BANDAGE_LIMIT
        told = any(not _NO.search(said) for said in sentences(words) if _WARM_WATER.search(said))
        if bandage and (warm or told):
            yield Slip(
                "bandage-too-hot",
                f"`{step.id}` dips bandage in warm water, and it gets hotter as it sets on somebody.",
                f"Say `Dip water at or under {BANDAGE_LIMIT} degC`, and at most 8 layers.",
                ("steps", index),
            )


def _straws(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage != "lifecast":
        return
    for path, text in read.texts():
        for found in _STRAW.finditer(text):
            if not _NO.search(f"{found['before']} {found['after']}"):
                yield Slip(
                    "straws",
                    "Straws in the nostrils hurt, slip and clog, and keep nobody breathing.",
                    "Say `Both nostrils left clear, no straws.`, and who watches them.",
                    path,
                )
                break


# All of them: here a miss is felt by somebody's skin, eyes or breath.
FACE_HABITS: Final[tuple[Habit, ...]] = tuple(
    Habit(look, safety=True)
    for look in (_solvent_near_eyes, _no_patch_test, _no_removal, _one_brush_two_faces, _straws, _bandage_too_hot)
)
