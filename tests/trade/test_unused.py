"""What no step uses is said, in words of the bench, and a use that is seen stays quiet. Each code has a pair in the meanings."""

from __future__ import annotations

from typing import Any

import pytest

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.habit_reading import Slip
from mothermold.trade.likely_uses import likely_step, likely_use
from mothermold.trade.rules import rules
from mothermold.trade.unused import find_unused, idle_stuff

MATERIALS = {
    name: Material.model_validate({"title": name, "families": [family]})
    for name, family in {
        "gel-a": "platinum-silicone", "gel-b": "platinum-silicone", "deadener": "silicone-deadener", "stone": "gypsum-cement",
        "resin": "polyurethane-resin", "resin-a": "polyurethane-resin", "clay": "clay-sulfur", "gloves": "disposable",
        "glue": "adhesive-acrylic", "jute": "fiber", "jelly": "petroleum-jelly", "cream": "barrier", "ester": "remover-ester",
    }.items()
}  # fmt: skip
PREMIX = {"id": "soft-a", "parts": [{"material": "gel-a", "parts": "1"}, {"material": "deadener", "parts": "1"}]}
BASE = {"id": "base", "title": "Base", "parts": [{"mix": "soft-a", "parts": "2"}, {"material": "gel-b", "parts": "1"}]}
DROPS = {"id": "drops", "parts": [{"material": "deadener", "amount": "4 drops"}]}
MOLD = {"id": "mold-face", "material": "resin"}


def step(name: str = "fill", *uses: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"id": name, "title": name.capitalize(), "uses": list(uses), **more}


def recipe(*steps: dict[str, Any], stage: str = "cast", **more: Any) -> Recipe:
    told = {"title": "It", "stage": stage, "version": "1", "status": "draft", "steps": list(steps)}
    return Recipe.model_validate(told | more)


def slips(*steps: dict[str, Any], stage: str = "cast", **more: Any) -> list[Slip]:
    return list(find_unused(recipe(*steps, stage=stage, **more), MATERIALS, rules().values()))


def codes(*steps: dict[str, Any], stage: str = "cast", **more: Any) -> list[str]:
    return [slip.code for slip in slips(*steps, stage=stage, **more)]


def test_a_mix_no_step_uses_is_said_once_with_what_to_type() -> None:
    (slip,) = slips(step(), mixes=[PREMIX, BASE])
    assert (slip.code, slip.path) == ("mix-unused", ("mixes", 1)), "the premix is used where the mix is"
    assert slip.message == "No step uses the mix `base`; rules cannot judge what no step uses."
    assert "`uses: [{mix: base, as: cast, on: mold-face}]`" in slip.help


def test_a_mix_of_amounts_alone_counts_too_and_so_does_one_before_any_step() -> None:
    assert codes(step(), mixes=[DROPS]) == codes(mixes=[DROPS]) == ["mix-unused"]


def test_a_premix_inside_a_used_mix_is_used() -> None:
    assert codes(step("fill", {"mix": "base", "as": "cast"}), mixes=[PREMIX, BASE]) == []


def test_what_is_only_mixed_is_said_as_that() -> None:
    (slip,) = slips(step("stir", starts="base"), step("wait", wait={"demold": "base"}), mixes=[BASE, PREMIX])
    assert slip.message.startswith("`base` is mixed in `stir`, and no step uses it;")


def test_mixes_in_a_circle_end() -> None:
    around = [{"id": "a", "parts": [{"mix": "b", "parts": "1"}]}, {"id": "b", "parts": [{"mix": "a", "parts": "1"}]}]
    assert codes(step(), mixes=around) == []
    assert idle_stuff(recipe(step(), mixes=around), MATERIALS) == []


def test_a_surface_no_step_names_is_said_unless_its_name_is_mistyped() -> None:
    jelly = {"material": "jelly", "as": "release"}
    assert codes(step("release", {**jelly, "on": "core-face"}), surfaces=[MOLD]) == [], "that is told as the slip it is"
    assert codes(step("release", {**jelly, "on": "skin"}), surfaces=[MOLD]) == ["surface-unused"]
    assert codes(step("release", {**jelly, "on": "mold-face"}), surfaces=[MOLD]) == []
    assert codes(step("release", {**jelly, "on": "skin"}), surfaces=[{"id": "x", "from": "face", "surface": "y"}]) == []


def test_what_a_recipe_gives_is_used_where_anything_of_its_family_is() -> None:
    gives = {"what": "mold", "surfaces": [{"id": "mold-face", "material": "resin"}]}
    assert codes(step(), gives=gives, stage="mold") == ["material-unused"]
    assert codes(step("pour", {"material": "resin-a", "as": "cast"}), gives=gives, stage="mold") == []
    assert (
        codes(step("clean", {"material": "ester", "as": "clean", "on": "mold-face"}), gives=gives, stage="mold") == []
    )
    assert codes(gives=gives, stage="mold") == [], "without a step that is what is missing"


@pytest.mark.parametrize(
    ("use", "told"),
    [
        ({"material": "jelly", "as": "release"}, ["no-surface"]),
        ({"material": "jelly", "as": "release", "on": "skin"}, []),
        ({"material": "gloves", "as": "protect"}, []),
        ({"material": "cream", "as": "protect"}, []),
        ({"material": "jute", "as": "back"}, []),
        ({"material": "ester", "as": "clean"}, []),
    ],
)
def test_what_is_laid_says_on_what_where_a_rule_would_ask(use: dict[str, Any], told: list[str]) -> None:
    here = {"material": "clay", "as": "fill", "on": "mold-face"}
    assert codes(step("lay", here, use), surfaces=[MOLD]) == told
    assert codes(step("lay", use)) == [], "where the recipe has no surfaces nothing is asked"


@pytest.mark.parametrize(
    ("stage", "mix", "role", "surface"),
    [
        ("cast", {"id": "gel", "parts": [{"material": "gel-a"}, {"material": "deadener"}]}, "cast", "mold-face"),
        ("cast", {"id": "film", "title": "Thin film", "parts": [{"material": "gel-a"}]}, "coat", "mold-face"),
        ("mold", {"id": "it", "parts": [{"material": "stone"}]}, "cast", "sculpture-face"),
        ("finish", {"id": "seam", "parts": [{"material": "gel-a"}]}, "fill", "piece-face"),
        ("application", {"id": "it", "parts": [{"material": "glue"}]}, "glue", "skin"),
        ("removal", {"id": "it", "parts": [{"material": "ester"}, {"material": "jelly"}]}, "remove", "skin"),
        ("lifecast", {"id": "it", "parts": [{"material": "gel-a"}]}, "cast", "skin"),
        ("cast", {"id": "it", "parts": [{"material": "nobody-knows-it"}]}, "cast", "mold-face"),
    ],
)
def test_a_guess_comes_from_words_families_and_stage(stage: str, mix: dict[str, Any], role: str, surface: str) -> None:
    guessed = likely_use(made := recipe(stage=stage, mixes=[mix]), made.mixes[0], MATERIALS)
    assert (guessed.role, guessed.surface) == (role, surface)


@pytest.mark.parametrize(
    ("titles", "role", "words", "step_guessed"),
    [
        (["Mix the base", "Fill and close", "Open"], "cast", "Base", "s1"),
        (["Mix and pour", "Wait"], "cast", "Base", "s0"),
        (["Release the mold", "Spray the film", "Fill"], "coat", "Film", "s1"),
        (["Release the mold", "Silicone in", "Open"], "cast", "Base silicone", "s1"),
        (["Begin", "End"], "cast", "Base", "s0"),
        (["Clean the skin", "Glue the edges"], "glue", "", "s1"),
    ],
)
def test_the_step_is_guessed_by_its_title(titles: list[str], role: str, words: str, step_guessed: str) -> None:
    assert likely_step({f"s{place}": title for place, title in enumerate(titles)}, role, words) == step_guessed


def test_a_mix_that_names_itself_is_not_used_by_that() -> None:
    round_about = {"id": "round", "parts": [{"mix": "round", "parts": "1"}, {"material": "gel-a", "parts": "1"}]}
    assert "mix-unused" in codes(step(), mixes=[round_about])
