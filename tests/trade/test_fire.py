"""Fire beside vapor, and urethane in a mist: a step is asked for what stands in it and for what is in the air around it."""

from __future__ import annotations

from typing import Any

import pytest

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.chains import assess_recipe
from mothermold.trade.findings import Finding, Tried
from mothermold.trade.rules import rules
from mothermold.trade.vocabulary import FAMILIES

MATERIALS = {family: Material.model_validate({"title": family, "families": [family]}) for family in FAMILIES}
MATERIALS["jelly-thinned"] = Material.model_validate(
    {"title": "Thinned jelly", "families": ["petroleum-jelly"], "vapor": [{"substance": "light naphtha"}]}
)
FIRE = {"fire-beside-vapor", "oven-beside-vapor", "sparks-beside-vapor"}


def use(material: str, role: str, **more: Any) -> dict[str, Any]:
    return {"material": material, "as": role, "on": "piece-face", **more}


def found(*steps: dict[str, Any], tests: tuple[Tried, ...] = ()) -> dict[str, Finding]:
    told = {"title": "A case", "stage": "finish", "version": "1", "status": "locked"}
    surfaces = [{"id": "piece-face", "material": "platinum-silicone"}]
    titled = [{"id": f"step-{index}", "title": "A step"} | each for index, each in enumerate(steps)]
    recipe = Recipe.model_validate(told | {"surfaces": surfaces, "steps": titled})
    return {each.rule.id: each for each in assess_recipe(recipe, "finish/case", MATERIALS, tests)}


@pytest.mark.parametrize(
    ("equipment", "rule"),
    [
        ("flame", "fire-beside-vapor"), ("heat-gun", "fire-beside-vapor"), ("oven", "oven-beside-vapor"),
        ("drill", "sparks-beside-vapor"), ("sander", "sparks-beside-vapor"),
    ],
)  # fmt: skip
def test_what_burns_or_sparks_in_the_same_step_as_a_solvent_is_found(equipment: str, rule: str) -> None:
    bitten = found({"with": equipment, "uses": [use("alcohol", "clean")], "wait": "2 h"})[rule]
    assert (bitten.open, bitten.used, bitten.meets) == (True, equipment, "alcohol")
    assert not FIRE & found({"with": equipment, "uses": [use("soap", "clean")]}).keys()


def test_what_names_its_vapor_evaporates_whatever_its_family() -> None:
    assert found({"with": "heat-gun", "uses": [use("jelly-thinned", "release")]})["fire-beside-vapor"].open
    assert "fire-beside-vapor" not in found({"with": "heat-gun", "uses": [use("petroleum-jelly", "release")]})


def test_the_last_that_was_open_counts_and_the_wait_is_named() -> None:
    wiped = {"id": "wipe", "uses": [use("acetone", "clean")]}
    early, late = {"uses": [use("alcohol", "clean")], "wait": "3 h"}, {"id": "air", "wait": "70 min"}
    warm = {"with": "heat-gun"}
    bitten = found(early, wiped, warm)["fire-beside-vapor"]
    assert (bitten.open, bitten.meets) == (True, "acetone")
    assert bitten.since is not None
    assert bitten.since.step == "wipe"
    kept = found(early, wiped, late, warm)["fire-beside-vapor"]
    assert kept.kept_by is not None
    assert kept.kept_by.step == "air"


def test_a_solvent_used_after_the_flame_is_out_is_no_matter() -> None:
    assert not FIRE & found({"with": "flame"}, {"uses": [use("acetone", "clean")]}).keys()


def test_what_is_dried_in_the_oven_is_not_poured_in_it() -> None:
    assert not FIRE & found({"with": "oven", "uses": [use("polyester-resin", "dry")], "wait": "4 h"}).keys()


def test_fire_is_severe_and_no_test_excuses_an_oven() -> None:
    assert rules()["fire-beside-vapor"].severe
    passed = (Tried("r-test", frozenset({"oven", "shellac"}), passed=True),)
    oven = found({"uses": [use("shellac", "seal")]}, {"with": "oven"}, tests=passed)["oven-beside-vapor"]
    assert (oven.open, oven.rule.severe) == (True, False)


@pytest.mark.parametrize(
    ("how", "sprayed"),
    [("spray", True), ("airbrush, thin", True), ("brush", False), ("brush, never spray", False), (None, False)],
)
def test_urethane_is_sprayed_where_the_use_says_so(how: str | None, sprayed: bool) -> None:
    told = use("polyurethane-resin", "coat", **({"how": how} if how else {}))
    assert ("isocyanate-sprayed" in found({"uses": [told]})) is sprayed


@pytest.mark.parametrize("equipment", ["spray-gun", "airbrush"])
def test_urethane_is_sprayed_where_the_gun_stands_in_the_step(equipment: str) -> None:
    step = {"with": equipment, "uses": [use("polyurethane-rubber", "build")]}
    patch = {"uses": [use("polyurethane-rubber", "test")], "wait": "24 h"}
    assert found(step)["isocyanate-sprayed"].open
    assert found(patch, step)["isocyanate-sprayed"].open
    assert "isocyanate-sprayed" not in found({"with": equipment, "uses": [use("sealer", "seal")]})
