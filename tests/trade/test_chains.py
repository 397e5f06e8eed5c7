"""What one thing of a build leaves is what the next one meets."""

from __future__ import annotations

from typing import Any

import pytest

from mothermold.model.build import Build
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.trade.chains import Link, assess_build
from mothermold.trade.findings import Finding
from mothermold.trade.vocabulary import FAMILIES

MATERIALS = {family: Material.model_validate({"title": family, "families": [family]}) for family in FAMILIES}


def use(material: str, role: str, on: str | list[str]) -> dict[str, Any]:
    return {"material": material, "as": role, "on": on}


def step(name: str, *uses: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"id": name, "title": name.capitalize(), "uses": list(uses), **more}


def recipe(stage: str, surfaces: list[Any], gives: list[Any], *steps: dict[str, Any]) -> Recipe:
    told = {"title": "A recipe", "stage": stage, "version": "1", "status": "locked", "surfaces": surfaces}
    return Recipe.model_validate(told | {"gives": {"what": "thing", "surfaces": gives}, "steps": list(steps)})


def surface(name: str, material: str) -> dict[str, str]:
    return {"id": name, "material": material}


FACE = surface("piece-face", "encapsulant-acetone")
WASH = step("wash", use("soap", "degrease", "piece-face"), use("water", "degrease", "piece-face"))
TEXTS = {
    # A mold, jellied; a piece cast in it; trimmed; haired; mended; painted: the fifth thing after the mold meets its jelly.
    "mold/shell": recipe(
        "mold", [], [surface("mold-face", "polyurethane-resin")],
        step("build", use("polyurethane-resin", "build", "mold-face"), wait="24 h"),
    ),
    "cast/piece": recipe(
        "cast", [surface("mold-face", "polyurethane-resin")], [FACE],
        step("release", use("petroleum-jelly", "release", "mold-face"), wait="20 min"),
        step("film", use("encapsulant-acetone", "coat", "mold-face"), wait="60 min"),
        step("fill", use("platinum-silicone", "cast", "mold-face"), wait="4 h"),
    ),
    "cast/bare": recipe(
        "cast", [surface("mold-face", "polyurethane-resin")], [surface("piece-face", "platinum-silicone")],
        step("release", use("petroleum-jelly", "release", "mold-face"), wait="20 min"),
        step("fill", use("platinum-silicone", "cast", "mold-face"), wait="4 h"),
    ),
    "finish/trim": recipe("finish", [FACE], [FACE], step("trim")),
    "finish/trim-and-wash": recipe("finish", [FACE], [FACE], step("trim"), WASH),
    "finish/hair": recipe("finish", [FACE], [FACE], step("punch", use("hair", "attach", "piece-face"))),
    "finish/paint": recipe(
        "finish", [FACE], [surface("piece-face", "paint-acrylic-adhesive")],
        step("color", use("paint-acrylic-adhesive", "paint", "piece-face"), wait="12 min"),
    ),
}  # fmt: skip


def chain(finish: str, **texts: Recipe) -> list[Link]:
    build = Build.model_validate(
        {
            "title": "Nobody",
            "things": [
                # Written out of order: a thing comes after what it is made from all the same.
                {"id": "painted", "recipe": "finish/paint@1", "from": "haired"},
                {"id": "shell", "recipe": "mold/shell@1"},
                {"id": "piece", "recipe": "cast/piece@1", "from": "shell"},
                {"id": "trimmed", "recipe": f"finish/{finish}@1", "from": "piece"},
                {"id": "haired", "recipe": "finish/hair@1", "from": "trimmed"},
            ],
        }
    )
    known = TEXTS | {name.replace("__", "/"): text for name, text in texts.items()}
    return assess_build(build, lambda ref: known.get(ref.address), MATERIALS)


def finding(links: list[Link], thing: str, rule: str) -> Finding | None:
    found = [each for link in links if link.thing == thing for each in link.findings if each.rule.id == rule]
    return found[0] if found else None


def test_release_of_the_mold_is_met_five_things_on() -> None:
    bitten = finding(chain("trim"), "painted", "paint-on-release")
    assert bitten is not None
    assert bitten.open
    assert (bitten.at.recipe, bitten.at.step, bitten.surface) == ("finish/paint", "color", "piece-face")
    assert bitten.since is not None
    assert (bitten.since.thing, bitten.since.step) == ("piece", "film")


def test_the_step_of_an_earlier_thing_that_keeps_it_is_named() -> None:
    kept = finding(chain("trim-and-wash"), "painted", "paint-on-release")
    assert kept is not None
    assert kept.kept_by is not None
    assert (kept.kept_by.thing, kept.kept_by.step) == ("trimmed", "wash")


def test_a_wash_after_the_paint_comes_too_late() -> None:
    late = recipe(
        "finish", [FACE], [FACE],
        step("color", use("paint-acrylic-adhesive", "paint", "piece-face"), wait="12 min"), WASH,
    )  # fmt: skip
    bitten = finding(chain("trim", finish__paint=late), "painted", "paint-on-release")
    assert bitten is not None
    assert bitten.open


def test_without_release_in_the_mold_there_is_nothing_to_wash_off() -> None:
    bare = recipe(
        "cast", [surface("mold-face", "polyurethane-resin")], [FACE],
        step("film", use("encapsulant-acetone", "coat", "mold-face"), wait="60 min"),
    )  # fmt: skip
    links = chain("trim", cast__piece=bare)
    assert finding(links, "painted", "paint-on-release") is None
    missed = finding(links, "piece", "film-without-release")
    assert missed is not None
    assert missed.open


STONE = surface("mold-face", "gypsum-cement")


def stone_mold(*more: dict[str, Any]) -> Recipe:
    return recipe(
        "mold",
        [surface("clay", "clay-sulfur")],
        [STONE],
        step("pour", use("gypsum-cement", "cast", "clay"), wait="2 h"),
        *more,
    )


def stone_chain(mold: Recipe, cast: Recipe) -> list[Link]:
    things = [
        {"id": "sculpt", "recipe": "sculpt/face@1"},
        {"id": "mold", "recipe": "mold/face@1", "from": "sculpt"},
        {"id": "face", "recipe": "cast/face@1", "from": "mold"},
    ]
    sculpt = recipe("sculpt", [], [surface("clay", "clay-sulfur")], step("model"))
    texts = {"sculpt/face": sculpt, "mold/face": mold, "cast/face": cast}
    build = Build.model_validate({"title": "Nobody", "things": things})
    return assess_build(build, lambda ref: texts.get(ref.address), MATERIALS)


POUR = recipe("cast", [STONE], [], step("fill", use("platinum-silicone", "cast", "mold-face"), wait="4 h"))


def test_damp_stone_and_the_sulfur_of_its_clay_reach_the_casting() -> None:
    links = stone_chain(stone_mold(), POUR)
    damp = finding(links, "face", "platinum-on-damp-stone")
    sulfur = finding(links, "face", "platinum-on-stone-from-sulfur-clay")
    assert damp is not None
    assert damp.open
    assert sulfur is not None
    assert sulfur.open


@pytest.mark.parametrize("lies_beneath", ["gypsum-cement", "polyurethane-resin"])
def test_what_lies_beneath_unnamed_is_met_though_what_is_named_is_of_the_same(lies_beneath: str) -> None:
    dry = step("dry", **{"with": "oven", "wait": "72 h"})
    core = recipe(
        "core",
        [],
        [surface("core-face", lies_beneath)],
        step("pour", use(lies_beneath, "build", "core-face"), wait="2 h"),
    )
    things = [
        {"id": "mold", "recipe": "mold/face@1"},
        {"id": "core", "recipe": "core/face@1"},
        {"id": "face", "recipe": "cast/face@1", "from": ["mold", "core"]},
    ]
    texts = {"mold/face": stone_mold(dry), "core/face": core, "cast/face": POUR}
    build = Build.model_validate({"title": "Nobody", "things": things})
    damp = [
        each
        for link in assess_build(build, lambda ref: texts.get(ref.address), MATERIALS)
        for each in link.findings
        if each.rule.id == "platinum-on-damp-stone" and each.at.thing == "face" and each.open
    ]
    assert [each.surface for each in damp] == ["core-face"] * (lies_beneath == "gypsum-cement")


def test_drying_the_mold_keeps_the_one_and_not_the_other() -> None:
    links = stone_chain(stone_mold(step("dry", **{"with": "oven", "wait": "72 h"})), POUR)
    damp = finding(links, "face", "platinum-on-damp-stone")
    sulfur = finding(links, "face", "platinum-on-stone-from-sulfur-clay")
    assert damp is not None
    assert damp.kept_by is not None
    assert (damp.kept_by.thing, damp.kept_by.step) == ("mold", "dry")
    assert sulfur is not None
    assert sulfur.open


HEAD_FACE = surface("head-face", "gypsum-cement")


@pytest.mark.parametrize("clay", ["clay-sulfur", "clay-sulfur-free"])
def test_sulfur_goes_on_from_stone_to_stone_and_reaches_the_rubber_over_the_second(clay: str) -> None:
    things = [
        {"id": "sculpt", "recipe": "sculpt/head@1"},
        {"id": "waste", "recipe": "mold/waste@1", "from": "sculpt"},
        {"id": "head", "recipe": "core/head@1", "from": "waste"},
        {"id": "rubber", "recipe": "mold/rubber@1", "from": "head"},
    ]
    texts = {
        "sculpt/head": recipe("sculpt", [], [surface("clay", clay)], step("model")),
        "mold/waste": recipe(
            "mold", [surface("clay", clay)], [STONE], step("pour", use("gypsum-cement", "cast", "clay"), wait="2 h")
        ),
        "core/head": recipe(
            "core", [STONE], [HEAD_FACE], step("pour", use("gypsum-cement", "cast", "mold-face"), wait="2 h")
        ),
        "mold/rubber": recipe(
            "mold", [HEAD_FACE], [], step("brush", use("platinum-silicone", "coat", "head-face"), wait="4 h")
        ),
    }
    build = Build.model_validate({"title": "Nobody", "things": things})
    links = assess_build(build, lambda ref: texts.get(ref.address), MATERIALS)
    bitten = finding(links, "rubber", "platinum-on-stone-from-sulfur-clay")
    assert (bitten is not None and bitten.open) is (clay == "clay-sulfur")


def test_a_mold_soaked_again_is_damp_again() -> None:
    soaked = recipe(
        "cast", [STONE], [],
        step("soak", use("water", "soak", "mold-face")),
        step("fill", use("platinum-silicone", "cast", "mold-face"), wait="4 h"),
    )  # fmt: skip
    damp = finding(
        stone_chain(stone_mold(step("dry", **{"with": "oven", "wait": "72 h"})), soaked),
        "face",
        "platinum-on-damp-stone",
    )
    assert damp is not None
    assert damp.open


def look(removal: Recipe, piece: str = "cast/piece@1") -> list[Link]:
    application = recipe(
        "application", [{"id": "back", "from": "piece", "surface": "piece-face"}], [],
        step("prime", use("adhesive-acrylic", "prime", "back"), wait="6 min"),
        step("glue", use("adhesive-silicone", "glue", ["skin", "back"]), wait="3 min"),
    )  # fmt: skip
    texts = TEXTS | {"application/on": application, "removal/off": removal}
    build = Build.model_validate(
        {
            "title": "Nobody",
            "things": [
                {"id": "shell", "recipe": "mold/shell@1"},
                {"id": "piece", "recipe": piece, "from": "shell"},
            ],
            "looks": [
                {
                    "id": "full",
                    "pieces": [{"thing": "piece"}],
                    "application": "application/on@1",
                    "removal": "removal/off@1",
                }
            ],
        }
    )
    return assess_build(build, lambda ref: texts.get(RecipeRef(ref).address), MATERIALS)


def test_the_glue_of_the_morning_is_met_by_the_remover_of_the_evening() -> None:
    wrong = recipe("removal", [], [], step("off", use("alcohol", "remove", "skin")))
    bitten = finding(look(wrong), "full: removal", "silicone-adhesive-wrong-remover")
    assert bitten is not None
    assert bitten.open
    right = recipe(
        "removal", [], [],
        step("loosen", use("remover-silicone", "remove", "skin")), step("off", use("alcohol", "remove", "skin")),
    )  # fmt: skip
    kept = finding(look(right), "full: removal", "silicone-adhesive-wrong-remover")
    assert kept is not None
    assert kept.kept_by is not None
    assert kept.kept_by.step == "loosen"


def test_the_layer_of_acrylic_on_the_piece_keeps_the_silicone_adhesive_off_it() -> None:
    links = look(recipe("removal", [], [], step("off")), "cast/bare@1")
    kept = finding(links, "full: application", "silicone-adhesive-on-bare-piece")
    assert kept is not None
    assert kept.kept_by is not None
    assert kept.kept_by.step == "prime"


GRAY = recipe("sculpt", [], [surface("sculpt-face", "clay-sulfur")], step("model"))


def unnamed_chain(sculpt: Recipe, mold: Recipe, cast: Recipe = POUR) -> list[Link]:
    """A mold whose recipe names no surface of the sculpture it is made from."""
    things = [
        {"id": "sculpt", "recipe": "sculpt/face@1"},
        {"id": "mold", "recipe": "mold/face@1", "from": "sculpt"},
        {"id": "face", "recipe": "cast/face@1", "from": "mold"},
    ]
    texts = {"sculpt/face": sculpt, "mold/face": mold, "cast/face": cast}
    build = Build.model_validate({"title": "Nobody", "things": things})
    return assess_build(build, lambda ref: texts.get(ref.address), MATERIALS)


def bare(material: str, role: str) -> dict[str, Any]:
    return {"material": material, "as": role}


MOLDS = {
    "poured on nothing named": recipe("mold", [], [STONE], step("pour", bare("gypsum-cement", "cast"), wait="2 h")),
    "built as its own face": recipe(
        "mold", [], [STONE],
        step("splash", use("gypsum-cement", "coat", "mold-face"), wait="10 min"),
        step("thicken", use("gypsum-cement", "build", "mold-face"), wait="2 h"),
    ),
    "poured into a box": recipe(
        "mold", [surface("box", "vacuum-formed-sheet")], [STONE],
        step("pour", use("gypsum-cement", "cast", "box"), wait="2 h"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("mold", MOLDS.values(), ids=MOLDS.keys())
def test_sulfur_of_a_sculpture_no_surface_names_reaches_the_casting(mold: Recipe) -> None:
    bitten = finding(unnamed_chain(GRAY, mold), "face", "platinum-on-stone-from-sulfur-clay")
    assert bitten is not None
    assert bitten.open
    clean = recipe("sculpt", [], [surface("sculpt-face", "clay-sulfur-free")], step("model"))
    assert finding(unnamed_chain(clean, mold), "face", "platinum-on-stone-from-sulfur-clay") is None


def test_a_silicone_mold_meets_the_sculpture_it_does_not_name() -> None:
    gives = [surface("mold-face", "platinum-silicone")]
    pour = step("pour", use("platinum-silicone", "coat", "mold-face"), wait="6 h")
    film = step("film", bare("barrier", "lay"))
    for steps in ([pour], [pour, film]):
        bitten = finding(unnamed_chain(GRAY, recipe("mold", [], gives, *steps)), "mold", "platinum-on-sulfur-clay")
        assert bitten is not None
        assert (bitten.open, bitten.surface, bitten.meets) == (True, "sculpt-face", "clay-sulfur")
    kept = finding(unnamed_chain(GRAY, recipe("mold", [], gives, film, pour)), "mold", "platinum-on-sulfur-clay")
    assert kept is not None
    assert kept.kept_by is not None
    assert kept.kept_by.step == "film"


def test_a_sculpture_that_says_nothing_of_its_surfaces_is_what_was_modeled() -> None:
    silent = Recipe.model_validate(
        {"title": "A face", "stage": "sculpt", "version": "1", "status": "locked"}
        | {"steps": [step("model", bare("clay-sulfur", "build"))]}
    )
    assert finding(
        unnamed_chain(silent, MOLDS["poured on nothing named"]), "face", "platinum-on-stone-from-sulfur-clay"
    )


def test_a_recipe_that_names_what_it_is_poured_over_is_taken_at_its_word() -> None:
    # It names the positive by its own name, and releases it: the same stone is not met a second time, bare.
    positive = recipe("sculpt", [], [surface("head-face", "gypsum-cement")], step("carve"))
    released = recipe(
        "mold", [surface("model", "gypsum-cement")], [STONE],
        step("soap", use("release-soap", "release", "model")),
        step("pour", use("gypsum-cement", "cast", "model"), wait="2 h"),
    )  # fmt: skip
    parted = finding(unnamed_chain(positive, released), "mold", "stone-on-stone-without-separator")
    assert parted is not None
    assert not parted.open
