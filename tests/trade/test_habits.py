"""Habits of good benches. Each has a running pair in the meanings of notices; here is what such a pair cannot show."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import mothermold.trade as trade
from mothermold.answers.meanings import meanings
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.habits import CODES, find_sheet_slips, find_slips

NAMES = (
    "gypsum-cement",
    "water",
    "platinum-silicone",
    "adhesive-acrylic",
    "plaster-bandage",
    "wax",
    "clay-sulfur-free",
    "sealer",
)
MATERIALS = {name: Material.model_validate({"title": name, "families": [name]}) for name in NAMES}


def codes(stage: str, *steps: dict[str, Any], **more: Any) -> set[str]:
    told = {"title": "A recipe", "stage": stage, "version": "1", "status": "locked", "steps": list(steps)} | more
    return {slip.code for slip in find_slips(Recipe.model_validate(told), MATERIALS)}


def test_every_code_has_a_meaning_and_every_miss_a_code() -> None:
    assert meanings().keys() >= CODES
    said = "".join(path.read_text(encoding="utf-8") for path in Path(trade.__file__).parent.glob("*habits.py"))
    assert set(re.findall(r'\bSlip\(\s*"([a-z-]+)"', said)) == CODES | {"no-sheet", "old-sheet"}


@pytest.mark.parametrize(
    ("dated", "today", "old"),
    [
        ("2023-11-25", date(2026, 11, 25), False), ("2023-11-24", date(2026, 11, 25), True),
        ("2021-02-28", date(2024, 2, 29), False), ("2021-02-27", date(2024, 2, 29), True), ("1999-01-01", None, False),
    ],
)  # fmt: skip
def test_a_sheet_is_old_after_three_years(dated: str, today: date | None, old: bool) -> None:
    glue = Material.model_validate({"title": "Glue", "families": ["adhesive-acrylic"], "sds": {"dated": dated}})
    assert [slip.code for slip in find_sheet_slips(glue, today)] == ["old-sheet"] * old


def test_a_missing_sheet_matters_where_something_can_hurt() -> None:
    assert [slip.code for slip in find_sheet_slips(MATERIALS["adhesive-acrylic"], None)] == ["no-sheet"]
    assert list(find_sheet_slips(MATERIALS["water"], None)) == []


def test_a_mold_of_two_halves_wants_a_way_to_open_it() -> None:
    pour = {"id": "pour", "title": "Pour the shell", "do": "Both halves.", "wait": "2 h"}
    gives = {
        "what": "mold",
        "surfaces": [{"id": "a", "material": "gypsum-cement"}, {"id": "b", "material": "gypsum-cement"}],
    }
    assert "no-way-to-open" in codes("mold", pour, gives=gives)
    slots = pour | {"do": "Both halves, with four pry slots in the flange."}
    assert "no-way-to-open" not in codes("mold", slots, gives=gives)


def test_straws_are_told_unless_the_recipe_forbids_them() -> None:
    assert "straws" in codes("lifecast", {"id": "lay", "title": "Lay it on", "do": "A straw in each nostril."})
    assert "straws" not in codes(
        "lifecast", {"id": "lay", "title": "Lay it on", "do": "No straws; nostrils stay clear."}
    )


def test_glue_without_a_word_of_a_patch_test_or_of_how_it_comes_off() -> None:
    glue = {
        "id": "glue",
        "title": "Glue",
        "wait": "5 min",
        "uses": [{"material": "adhesive-acrylic", "as": "glue", "on": "skin"}],
    }
    assert {"no-patch-test", "no-removal"} <= codes("application", glue)
    needs = ["patch test read and clear, remover included", "one set of brushes for this face"]
    assert codes("application", glue, needs=needs).isdisjoint({"no-patch-test", "no-removal", "one-brush-two-faces"})


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"do": "Dip it in hand-warm water."}, True),
        ({"do": "The water is warm."}, True),
        ({"temperature": "30 degC"}, True),
        ({"do": "Never in warm water."}, False),
        ({"do": "Tap water.", "temperature": "22 degC"}, False),
    ],
)
def test_bandage_on_somebody_is_not_dipped_in_warm_water(said: dict[str, Any], told: bool) -> None:
    shell = {"id": "shell", "title": "Shell", "uses": [{"material": "plaster-bandage", "as": "back"}], **said}
    assert ("bandage-too-hot" in codes("lifecast", shell)) == told
    assert "bandage-too-hot" not in codes("core", shell)


def test_each_habit_of_the_face_and_the_hot_stone_are_about_safety_and_craft_is_for_locked_recipes() -> None:
    said = {"title": "Oven on the plaster mold", "id": "dry", "with": "oven", "temperature": "65 degC"}
    assert "gypsum-too-hot" in codes("mold", said, status="draft")
    pour = {"id": "pour", "title": "Pour and clamp", "uses": [{"material": "gypsum-cement", "as": "cast"}]}
    assert codes("mold", pour, status="locked") == {"no-bolt-count"}
    assert codes("mold", pour, status="draft") == codes("mold", said, status="retired") == set()


@pytest.mark.parametrize(("area", "told"), [("100 cm2", False), ("800 cm2", True)])
def test_a_layer_of_40_ml_is_no_large_pour(area: str, told: bool) -> None:
    mix = {
        "id": "gel",
        "parts": [{"material": "platinum-silicone", "parts": "100"}],
        "covers": {"area": area, "thick": "4 mm"},
        "allowance": "10 %",
    }
    lay = {"id": "lay", "title": "Lay it", "wait": "2 h", "uses": [{"mix": "gel", "as": "cast"}]}
    assert ("no-cure-test" in codes("cast", lay, mixes=[mix])) == told


@pytest.mark.parametrize(
    ("material", "role", "told"),
    [
        ("sealer", "seal", True), ("sealer", "coat", True), ("sealer", "prime", True), ("adhesive-acrylic", "glue", True),
        ("sealer", "clean", False), ("wax", "coat", False), ("clay-sulfur-free", "coat", False),
    ],
)  # fmt: skip
def test_what_dries_wants_a_wait_and_clay_or_wax_rubbed_in_does_not(material: str, role: str, told: bool) -> None:
    laid = {"id": "lay", "title": "Lay it on", "uses": [{"material": material, "as": role, "on": "skin"}]}
    assert ("no-waiting" in codes("application", laid)) is told
    for waited in ({"wait": "10 min"}, {"do": "Leave it until it is clear."}):
        assert "no-waiting" not in codes("application", laid | waited)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("Rinse the bowl in the sink.", True),
        ("Never rinse the bowl in the sink.", False),
        ("Wash up.", False),
        ("Never rinse the bowl in the sink. Rinse the brushes in the sink.", True),
    ],
)
def test_gypsum_washed_down_is_told_and_a_word_against_it_is_not(said: str, told: bool) -> None:
    stone = [
        {"id": "stone", "parts": [{"material": "gypsum-cement", "parts": "100"}, {"material": "water", "parts": "30"}]}
    ]
    clean = {"id": "clean", "title": "Clean", "do": said}
    assert ("gypsum-drain" in codes("mold", clean, mixes=stone)) is told
    assert "gypsum-drain" not in codes("mold", clean)
