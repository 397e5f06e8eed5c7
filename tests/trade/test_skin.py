"""What holds for all that touches skin: one number for every patch test, and what takes which glue off."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import mothermold
from campaigns.many import through
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.skin import PATCH_TEST_HOURS, comes_off, glues_of
from mothermold.trade.vocabulary import FAMILIES

PACKAGE = Path(mothermold.__file__).parent
MATERIALS = {family: Material.model_validate({"title": family, "families": [family]}) for family in FAMILIES}
# Whatever says how long before: "24 h", "a day before", "two days", "48 hours".
SPANS = re.compile(
    r"\b(?:\d+(?:-\d+)?|a|an|one|two|three|several) ?-?(?:h|hours?|days?)\b(?! old)|overnight|the day before",
    re.IGNORECASE,
)
TABLES = [
    *PACKAGE.glob("trade/*.yaml"),
    *PACKAGE.glob("answers/*.yaml"),
    *PACKAGE.glob("trade/*habits.py"),
    *PACKAGE.glob("view/patch_tests.py"),
    *PACKAGE.glob("desk/drafts/*.py"),
    *PACKAGE.glob("pages/templates/*.html"),
]


def about_patches(text: str) -> list[str]:
    """The sentences that speak of a patch."""
    sentences = re.split(r"(?<=[.!?;:])\s+|\n\s*\n|\n\s*- ", text)
    return [" ".join(each.split()) for each in sentences if re.search(r"\bpatch(?:es)?\b", each, re.IGNORECASE)]


@through("table", TABLES, ids=lambda path: path.name)
def test_one_number_is_said_of_patch_tests_everywhere(table: Path) -> None:
    allowed = {f"{PATCH_TEST_HOURS} h", f"{PATCH_TEST_HOURS} hours"}
    for sentence in about_patches(table.read_text(encoding="utf-8")):
        assert set(SPANS.findall(sentence)) <= allowed, sentence


def test_the_search_for_other_numbers_can_fail() -> None:
    assert [
        SPANS.findall(each) for each in about_patches("Try a patch on the arm a day before. A spot waits 24 h.")
    ] == [["a day"]]
    assert any(
        SPANS.findall(each) for each in about_patches((PACKAGE / "trade/cautions.yaml").read_text(encoding="utf-8"))
    )


def recipe(stage: str, *uses: dict[str, object], **more: object) -> Recipe:
    steps = [{"id": "work", "title": "Work", "uses": list(uses)}]
    return Recipe.model_validate(
        {"title": "A sheet", "stage": stage, "version": "1", "status": "locked", "steps": steps} | more
    )


def test_a_glue_is_found_inside_its_mix() -> None:
    thin = [
        {"id": "thin", "parts": [{"material": "adhesive-acrylic", "parts": "3"}, {"material": "water", "parts": "1"}]}
    ]
    (glue,) = glues_of(recipe("application", {"mix": "thin", "as": "glue", "on": "skin"}, mixes=thin), MATERIALS)
    assert (glue.name, glue.step, glue.kind) == ("adhesive-acrylic", "work", "adhesive-acrylic")


def test_hair_and_lace_that_are_laid_are_no_glue() -> None:
    laid = recipe(
        "application",
        {"material": "lace", "as": "attach", "on": "skin"},
        {"material": "powder", "as": "powder", "on": "skin"},
    )
    assert list(glues_of(laid, MATERIALS)) == []


def test_a_glue_of_two_kinds_needs_what_takes_both_off() -> None:
    both = MATERIALS | {
        "both": Material.model_validate({"title": "Both", "families": ["adhesive-acrylic", "adhesive-silicone"]})
    }
    glues = list(glues_of(recipe("application", {"material": "both", "as": "glue", "on": "skin"}), both))
    ester, silicone = ({"material": f"remover-{each}", "as": "remove", "on": "skin"} for each in ("ester", "silicone"))
    assert [comes_off(glue, recipe("removal", ester), both) for glue in glues] == ["yes", "no"]
    assert [comes_off(glue, recipe("removal", ester, silicone), both) for glue in glues] == ["yes", "yes"]


def test_cleaning_is_not_taking_off() -> None:
    (glue,) = glues_of(recipe("application", {"material": "adhesive-acrylic", "as": "glue", "on": "skin"}), MATERIALS)
    assert comes_off(glue, recipe("removal", {"material": "alcohol", "as": "clean", "on": "skin"}), MATERIALS) == "no"


def test_a_glue_holds_the_pieces_its_surfaces_belong_to_and_no_other() -> None:
    surfaces = [{"id": "back", "from": "nose"}, {"id": "rim", "from": "brow"}, {"id": "lace", "material": "lace"}]

    def pieces(*on: str) -> frozenset[str]:
        glued = {"material": "adhesive-acrylic", "as": "glue", "on": list(on)}
        (glue,) = glues_of(recipe("application", glued, surfaces=surfaces), MATERIALS)
        return glue.pieces

    assert pieces("back") == {"nose"}
    assert pieces("back", "rim") == {"nose", "brow"}
    assert pieces("lace") == frozenset()
    assert pieces("skin") == frozenset()


@pytest.mark.parametrize(
    ("role", "on", "is_glue"),
    [
        ("glue", "back", True), ("attach", "back", True), ("seal", "skin", True), ("prime", "hair", True),
        ("seal", "back", False), ("prime", "back", False), ("clean", "skin", False),
    ],
)  # fmt: skip
def test_what_seals_or_primes_is_a_glue_on_a_body_only(role: str, on: str, is_glue: bool) -> None:
    surfaces = [{"id": "back", "from": "nose"}]
    laid = recipe("application", {"material": "adhesive-acrylic", "as": role, "on": on}, surfaces=surfaces)
    assert bool(list(glues_of(laid, MATERIALS))) is is_glue


@pytest.mark.parametrize(
    ("glued_on", "removed_on", "found"),
    [
        ("skin", "skin", "yes"), ("skin", "hair", "no"), ("hair", "hair", "yes"), ("hair", "skin", "yes"),
        (["skin", "hair"], "hair", "no"), ("skin", ["skin", "hair"], "yes"),
    ],
)  # fmt: skip
def test_what_works_on_hair_alone_takes_nothing_off_skin(glued_on: object, removed_on: object, found: str) -> None:
    (glue,) = glues_of(recipe("application", {"material": "adhesive-acrylic", "as": "glue", "on": glued_on}), MATERIALS)
    removal = recipe("removal", {"material": "remover-ester", "as": "soak", "on": removed_on})
    assert comes_off(glue, removal, MATERIALS) == found
