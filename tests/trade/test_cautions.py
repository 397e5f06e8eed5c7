"""What can hurt stands at the step where it can hurt, and nowhere else."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from statistics import median
from typing import Any, cast

import pytest
import yaml

from campaigns.many import through
from mothermold.book.library import read_book
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe, Surface
from mothermold.trade import cautions as trade
from mothermold.trade.cautions import NO_STEP, PICTOGRAMS, read_rows, recipe_cautions, sheets, step_cautions

ROOT = Path(__file__).parents[2]
DRAWINGS = ROOT / "tools/mothermold/pages/templates/icons/ghs"
TABLE = Path(trade.__file__).with_name("cautions.yaml").read_text(encoding="utf-8")
ROWS = {row.caution.id: row.caution for row in read_rows(TABLE)}

# Row: a step that calls for it, and one close by that does not. In short: a family used, and what else the step says.
CALLS: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "lifecast-airway": (
        {"family": "alginate", "on": "skin", "stage": "lifecast", "step": 1},
        {"family": "alginate", "on": "positive", "stage": "core", "step": 1},
    ),
    "lifecast-two-people": ({"stage": "lifecast"}, {"stage": "core"}),
    "lifecast-ask-first": ({"stage": "lifecast"}, {"stage": "lifecast", "step": 1}),
    "ask-first": ({"stage": "application"}, {"stage": "wear"}),
    "gypsum-burns": ({"family": "gypsum-plaster"}, {"family": "plaster-bandage", "stage": "core"}),
    "isocyanates": ({"family": "polyurethane-rubber"}, {"family": "epoxy"}),
    "peroxide-catalyst": ({"family": "polyester-resin"}, {"family": "polyurethane-resin"}),
    "flammable-vapor": ({"family": "petroleum-jelly", "vapor": "light naphtha"}, {"family": "petroleum-jelly"}),
    "wearer-mouth-and-nose": (
        {"zone": "corners of the mouth", "stage": "wear", "step": 1},
        {"zone": "corners of the mouth", "stage": "finish"},
    ),
    "wearer": ({"stage": "removal"}, {"stage": "finish"}),
    "off-fast": ({"stage": "application"}, {"stage": "application", "step": 1}),
    "eyes": ({"family": "remover-ester", "on": "skin"}, {"family": "remover-ester", "on": "hair"}),
    "lenses": ({"title": "Lenses in"}, {"title": "Clean the lens of the camera"}),
    "open-flame": ({"with": "flame"}, {"with": "heat-gun"}),
    "spray-can": ({"family": "release-silicone", "how": "from a can"}, {"family": "release-silicone", "how": "can do"}),
    "gas-under-pressure": ({"do": "Open the gas cylinder."}, {"do": "Open the window to let gas out."}),
    "pressure-pot": ({"with": "pressure-pot"}, {"with": "vacuum-chamber"}),
    "spray": ({"with": "airbrush"}, {"with": "oven"}),
    "polyester-resin": ({"family": "polyester-resin"}, {"family": "epoxy"}),
    "acrylic-resin": ({"family": "acrylic-resin"}, {"family": "adhesive-acrylic"}),
    "epoxy": ({"family": "epoxy"}, {"family": "wax"}),
    "photopolymer-resin": ({"family": "photopolymer-resin"}, {"family": "acrylic-resin"}),
    "naphtha-nerves": ({"family": "release-wax", "vapor": "light naphtha"}, {"family": "alcohol", "vapor": "ethanol"}),
    "citrus-remover": ({"family": "remover-citrus"}, {"family": "remover-ester"}),
    "latex": ({"family": "foam-latex"}, {"family": "gelatin"}),
    "adhesive-on-skin": (
        {"family": "adhesive-acrylic", "on": "skin"},
        {"family": "adhesive-acrylic", "on": "piece-face", "stage": "finish"},
    ),
    "spirit-gum": ({"family": "adhesive-spirit-gum"}, {"family": "adhesive-acrylic"}),
    "removal-skin": ({"stage": "removal"}, {"stage": "wear"}),
    "resin-leftovers": ({"family": "polyurethane-resin"}, {"family": "platinum-silicone"}),
    "plaster-bandage": (
        {"family": "plaster-bandage", "on": "impression", "stage": "lifecast"},
        {"family": "plaster-bandage", "on": "positive", "stage": "core"},
    ),
    "hot-melts": ({"family": "wax", "as": "cast"}, {"family": "wax", "as": "release"}),
    "heat-gun": ({"with": "heat-gun"}, {"with": "oven"}),
    "oven": ({"with": "oven"}, {"with": "drill"}),
    "vacuum-chamber": ({"with": "vacuum-chamber"}, {"with": "pressure-pot"}),
    "lifting": ({"with": "lifting"}, {"with": "blade"}),
    "sander": ({"with": "sander"}, {"with": "drill"}),
    "drill": ({"with": "drill"}, {"with": "needle"}),
    "blade": ({"with": "blade"}, {"with": "sander"}),
    "needle": ({"with": "needle"}, {"with": "blade"}),
    "silicone-uncured": ({"family": "tin-silicone"}, {"family": "silicone-pigment"}),
    "tin-catalyst": ({"family": "tin-silicone"}, {"family": "platinum-silicone"}),
    "dust": ({"family": "alginate"}, {"family": "fiber"}),
    "powder": ({"family": "talc"}, {"family": "soap"}),
    "hygiene": ({"stage": "removal"}, {"stage": "finish"}),
    "gypsum-drain": ({"family": "gypsum-cement"}, {"family": "clay-water-based"}),
    "open-mixing": ({"with": "open-mixing"}, {"with": "lifting"}),
}  # fmt: skip

# Read by hand against the sample book: recipe, step, all that stands there.
SEEN = [
    ("lifecast/head", "ask", "lifecast-airway lifecast-two-people lifecast-ask-first gypsum-burns lenses"),
    ("lifecast/head", "lay", "lifecast-airway dust open-mixing"),
    ("lifecast/head", "shell", "lifecast-airway gypsum-burns plaster-bandage gypsum-drain"),
    ("lifecast/head", "calipers", ""),
    ("core/altered-positive", "copy", "dust open-mixing"),
    ("core/altered-positive", "touch-up", "gypsum-burns dust gypsum-drain open-mixing"),
    ("core/nose-core", "mix", "isocyanates resin-leftovers dust open-mixing"),
    ("core/nose-core", "pour", "isocyanates resin-leftovers"),
    ("core/nose-core", "true-back", "sander drill dust"),
    ("core/nose-core", "seal", "flammable-vapor"),
    ("mold/nose-mold", "wax", "flammable-vapor naphtha-nerves"),
    ("mold/face-mold", "open", "lifting"),
    ("cast/nose-piece", "encapsulate", "flammable-vapor spray"),
    ("cast/nose-piece", "mix", "vacuum-chamber silicone-uncured dust"),
    ("cast/nose-piece", "fill", "silicone-uncured"),
    ("cast/face-piece", "fill", "lifting silicone-uncured"),
    ("finish/hair-punching", "roots", ""),
    ("finish/hair-punching", "punch", "needle"),
    ("application/nose", "ask", "ask-first wearer off-fast lenses hygiene"),
    ("application/nose", "wings", "flammable-vapor wearer-mouth-and-nose adhesive-on-skin open-mixing"),
    ("application/full-face", "bands", "eyes adhesive-on-skin"),
    ("application/full-face", "blend", "flammable-vapor eyes open-mixing"),
    ("wear/full-day", "bag", "wearer off-fast lenses hygiene"),
    ("wear/full-day", "drain", "eyes adhesive-on-skin"),
    ("removal/nose", "settle", "wearer lenses removal-skin hygiene"),
    ("removal/nose", "wings", "flammable-vapor wearer-mouth-and-nose eyes open-mixing"),
    ("removal/full-face", "rinse-lace", "flammable-vapor eyes open-mixing"),
    ("sculpt/face", "mass", ""),
]


def built(said: Mapping[str, Any]) -> tuple[Recipe, dict[str, Material], str]:
    """A recipe of a plain first step and the step described, or of that step alone."""
    step = {
        "id": "it",
        "title": said.get("title", "Do it"),
        **{k: said[k] for k in ("with", "zone", "do") if k in said},
    }
    if "family" in said:
        how = {"how": said["how"]} if "how" in said else {}
        step["uses"] = [{"material": "stuff", "as": said.get("as", "cast"), "on": said.get("on", "mold-face"), **how}]
    before = [{"id": "before", "title": "Before"}] if said.get("step") else []
    recipe = {"title": "A recipe", "stage": said.get("stage", "mold"), "version": "1", "status": "draft"}
    stuff = {"title": "Stuff", "families": [said.get("family", "water")]}
    if "vapor" in said:
        stuff["vapor"] = {"substance": said["vapor"]}
    materials = {"stuff": Material.model_validate(stuff)}
    return Recipe.model_validate({**recipe, "steps": [*before, step]}), materials, "it"


def called(said: Mapping[str, Any]) -> list[str]:
    recipe, materials, step = built(said)
    return [caution.id for caution in step_cautions(recipe, materials).get(step, ())]


def mixing(*, starts: bool) -> tuple[Recipe, dict[str, Material]]:
    families = {"a": "platinum-silicone", "flock": "flocking", "b": "platinum-silicone", "water": "water"}
    sheet = {"sds": {"where": "binder 2"}}
    materials = {
        name: Material.model_validate({"title": name, "families": [family], **(sheet if name == "a" else {})})
        for name, family in families.items()
    }
    return Recipe.model_validate({
        "title": "A piece", "stage": "cast", "version": "1", "status": "draft",
        "mixes": [
            {"id": "base", "parts": [{"mix": "tinted", "parts": "1"}, {"material": "b", "parts": "1"}]},
            {"id": "tinted", "parts": [{"material": "a", "parts": "100"}, {"material": "flock", "parts": "1"}]},
        ],
        "steps": [
            {"id": "mix", "title": "Mix", **({"starts": "base"} if starts else {})},
            {"id": "tip", "title": "Brush the tip", "uses": [{"mix": "base", "as": "cast"}]},
            {"id": "fill", "title": "Fill", "uses": [{"mix": "base", "as": "cast"}, {"material": "water", "as": "clean"}]},
        ],
    }), materials  # fmt: skip


@lru_cache(maxsize=1)
def sample() -> tuple[dict[str, Recipe], dict[str, Material]]:
    documents = read_book(ROOT).documents
    recipes = {name: cast("Recipe", document.model) for name, document in documents.on("recipe").items()}
    return recipes, {name: cast("Material", document.model) for name, document in documents.on("material").items()}


def test_every_row_has_a_step_that_calls_for_it() -> None:
    assert set(CALLS) == set(ROWS)


@through("row", CALLS)
def test_a_row_stands_where_it_is_called_for_and_not_close_by(row: str) -> None:
    yes, no = CALLS[row]
    assert row in called(yes)
    assert row not in called(no)


@through("words", ["both nostrils", "no straws", "two people", "stop sign", "upright", "to cut it off",
                                   "asthma", "child", "lenses", "dentures", "longest time", "cool running water", "pregnancy", "allergy", "doctor",
                                   "finger, hand or limb", "bandage over alginate", "piercings", "hearing aids", "lashes",
                                   "surgery", "injections", "by hand"])  # fmt: skip
def test_a_life_cast_never_goes_without_its_words(words: str) -> None:
    recipe, materials, _ = built({"stage": "lifecast"})
    told = " ".join(
        word for caution in recipe_cautions(recipe, step_cautions(recipe, materials)) for word in caution.words
    ).lower()
    assert words in told


def said_by(row: str) -> str:
    return " ".join((ROWS[row].title, *ROWS[row].words)).lower()


def test_whoever_meets_isocyanate_reads_what_to_do_for_skin_and_for_breath_that_comes_short_at_night() -> None:
    for words in (
        "wipe",
        "soap",
        "water",
        "hours later",
        "short breath",
        "emergency number",
        "say isocyanate",
        "training",
    ):
        assert words in said_by("isocyanates"), words


def test_tin_is_named_only_where_tin_is() -> None:
    assert [row for row in ROWS if re.search(r"\btin\b", said_by(row))] == ["tin-catalyst"]


def test_a_patch_test_is_read_after_48_hours_wherever_it_says_when() -> None:
    assert "read after 48 h" in said_by("adhesive-on-skin")
    assert not any(re.search(r"\ba day (or more )?(ahead|before)\b|\b24 h\b", said_by(row)) for row in ROWS)


def test_what_is_lifted_is_weighed_and_nothing_is_said_of_the_weight_of_a_mold_nobody_has_seen() -> None:
    assert "weigh" in said_by("lifting")
    # The revised lifting equation of NIOSH: 23 kg close to the body, times 25/50 with the hands 50 cm away.
    assert re.findall(r"\d+(?:\.\d+)? kg", said_by("lifting")) == ["23 kg", "11.5 kg"]
    assert 23 * 25 / 50 == 11.5


def test_the_eyes_are_kept_under_a_dry_pad_and_no_row_says_another_way() -> None:
    assert "dry pad" in said_by("eyes")
    assert not any(re.search(r"damp pad|wet pad|shield of card", said_by(row)) for row in ROWS)


def test_what_a_stage_calls_for_stands_even_before_there_is_a_step() -> None:
    recipe = built({"stage": "wear"})[0].model_copy(update={"steps": ()})
    assert [caution.id for caution in recipe_cautions(recipe, step_cautions(recipe, {}))] == [
        "wearer",
        "off-fast",
        "hygiene",
    ]


def test_fibers_fly_where_they_are_mixed_in_and_silicone_is_uncured_until_it_is_closed() -> None:
    recipe, materials = mixing(starts=True)
    found = {step: [each.id for each in told] for step, told in step_cautions(recipe, materials).items()}
    assert found == {
        "mix": ["silicone-uncured", "dust"],
        "tip": ["silicone-uncured"],
        "fill": ["silicone-uncured"],
    }


def test_without_a_step_of_mixing_it_is_mixed_where_it_is_first_used() -> None:
    recipe, materials = mixing(starts=False)
    found = {step: [each.id for each in told] for step, told in step_cautions(recipe, materials).items()}
    assert found == {"tip": ["silicone-uncured", "dust"], "fill": ["silicone-uncured"]}


MATERIALS_AT_HAND = {
    name: Material.model_validate({"title": name, "families": [name]})
    for name in ("platinum-silicone", "silicone-deadener", "foam-latex", "adhesive-acrylic", "remover-ester", "alcohol", "wax", "water")
}  # fmt: skip


def named(stage: str, steps: list[dict[str, Any]], **more: Any) -> dict[str, list[str]]:
    """The cautions by step of a recipe of a mix of gel and deadener, unless told otherwise."""
    gel = {
        "id": "gel",
        "parts": [{"material": "platinum-silicone", "parts": "1"}, {"material": "silicone-deadener", "parts": "1"}],
    }
    said = {"title": "It", "stage": stage, "version": "1", "status": "draft", "steps": steps} | (
        {"mixes": [gel]} | more
    )
    found = step_cautions(Recipe.model_validate(said), MATERIALS_AT_HAND)
    return {step: [each.id for each in told] for step, told in found.items()}


PLAIN_STEPS = [{"id": "clean", "title": "Clean"}, {"id": "rest", "title": "Rest"}]
GEL_USED = {"id": "fill", "title": "Fill", "uses": [{"mix": "gel", "as": "cast", "on": "mold-face"}]}


def test_what_stands_in_a_mix_no_step_uses_is_told_at_the_first_step() -> None:
    assert named("cast", PLAIN_STEPS) == {"clean": ["silicone-uncured"]}


def test_it_is_told_where_it_is_used_as_soon_as_a_step_uses_or_mixes_it() -> None:
    assert named("cast", [*PLAIN_STEPS, GEL_USED]) == {"fill": ["silicone-uncured"]}
    assert named("cast", [*PLAIN_STEPS, {"id": "mix", "title": "Mix", "starts": "gel"}]) == {
        "mix": ["silicone-uncured"]
    }


def test_what_a_recipe_names_is_told_before_it_has_a_step() -> None:
    recipe, materials = mixing(starts=False)
    bare = recipe.model_copy(update={"steps": ()})
    assert [each.id for each in recipe_cautions(bare, step_cautions(bare, materials))] == ["silicone-uncured", "dust"]
    assert named("wear", []) == {NO_STEP: ["wearer", "off-fast", "silicone-uncured", "hygiene"]}


def test_an_amount_outside_the_arithmetic_counts_and_so_does_a_premix_of_an_idle_mix() -> None:
    alone = {"id": "foam", "parts": [{"material": "foam-latex", "amount": "a splash"}]}
    outer = {"id": "outer", "parts": [{"mix": "foam", "amount": "12 g"}]}
    assert named("cast", PLAIN_STEPS, mixes=[alone, outer]) == {"clean": ["latex"]}


@pytest.mark.parametrize("where", [{"surfaces": [{"id": "piece", "material": "foam-latex"}]},
                                   {"gives": {"surfaces": [{"id": "piece", "material": "foam-latex"}]}}])  # fmt: skip
def test_a_surface_no_step_names_counts(where: dict[str, Any]) -> None:
    assert named("finish", PLAIN_STEPS, mixes=[], **where) == {"clean": ["latex"]}
    used = {"id": "coat", "title": "Coat", "uses": [{"material": "wax", "as": "release", "on": "piece"}]}
    assert named("finish", [*PLAIN_STEPS, used], mixes=[], **where) == {}


@pytest.mark.parametrize(
    ("stage", "material", "wanted"),
    [
        ("application", "adhesive-acrylic", ["ask-first", "wearer", "off-fast", "eyes", "adhesive-on-skin", "hygiene"]),
        ("finish", "adhesive-acrylic", []),
        ("removal", "remover-ester", ["wearer", "eyes", "removal-skin", "hygiene"]),
        ("mold", "remover-ester", []),
        ("cast", "wax", ["hot-melts"]),
        ("finish", "alcohol", ["flammable-vapor"]),
    ],
)
def test_of_what_no_step_uses_the_role_is_not_known_and_neither_is_the_place_on_someone(
    stage: str, material: str, wanted: list[str]
) -> None:
    idle = {"id": "it", "parts": [{"material": material, "parts": "1"}]}
    assert named(stage, PLAIN_STEPS, mixes=[idle]).get("clean", []) == wanted


def test_the_sheet_of_what_only_a_surface_names_is_to_be_read_too() -> None:
    recipe = built({})[0].model_copy(
        update={"surfaces": (Surface.model_validate({"id": "piece", "material": "foam-latex"}),)}
    )
    assert [sheet.material for sheet in sheets(recipe, MATERIALS_AT_HAND)] == ["foam-latex"]


def test_the_sheets_to_read_go_through_premixes_and_leave_water_out() -> None:
    recipe, materials = mixing(starts=True)
    assert [(sheet.material, sheet.where) for sheet in sheets(recipe, materials)] == [
        ("a", "binder 2"), ("flock", None), ("b", None),
    ]  # fmt: skip


def test_a_mix_inside_itself_and_an_unknown_material_do_not_stop_it() -> None:
    recipe, materials = mixing(starts=True)
    round_and_round = recipe.mixes[1].model_copy(update={"parts": recipe.mixes[0].parts})
    endless = recipe.model_copy(update={"mixes": (recipe.mixes[0], round_and_round)})
    del materials["a"]
    assert [sheet.material for sheet in sheets(endless, materials)] == ["b"]
    assert [caution.id for caution in recipe_cautions(endless, step_cautions(endless, materials))] == [
        "silicone-uncured"
    ]


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ("statements: [H242,", "statements: [H999,", "peroxide-catalyst: no text for H999"),
        ("pictograms: [gas-cylinder]", "pictograms: [skull]", "gas-under-pressure: no such pictogram: skull"),
        ("[remover-citrus]}]", "[remover-lemon]}]", "citrus-remover: families cannot be remover-lemon"),
        ("{equipment: [oven]}", "{machine: [oven]}", "oven: machine cannot be oven"),
    ],
)
def test_a_row_that_means_nothing_is_refused(was: str, becomes: str, says: str) -> None:
    assert TABLE.count(was) == 1
    with pytest.raises(ValueError, match=re.escape(says)):
        read_rows(TABLE.replace(was, becomes))


def test_every_statement_of_the_table_is_used() -> None:
    used = {code for caution in ROWS.values() for code, _text in caution.statements}
    assert used == set(yaml.safe_load(TABLE)["hazard_statements"])


def test_every_pictogram_is_used_and_drawn_in_shapes_alone() -> None:
    assert {name for caution in ROWS.values() for name in caution.pictograms} == set(PICTOGRAMS)
    assert {file.stem for file in DRAWINGS.glob("*.svg")} == set(PICTOGRAMS)
    for name in PICTOGRAMS:
        drawing = (DRAWINGS / f"{name}.svg").read_text(encoding="utf-8")
        assert set(re.findall(r"<(\w+)", drawing)) <= {"path", "circle"}
        assert "style" not in drawing
        assert 'fill="#fff" stroke="#d4000f"' in drawing


@through("caution", ROWS.values())
def test_a_caution_is_short_plain_and_promises_nothing(caution: trade.Caution) -> None:
    told = " ".join((caution.title, *caution.words))
    assert not re.search(r"\b(safe|safely|safer|safety|harmless|no risk)\b|!", told.lower())
    assert len(caution.title) < 40
    assert 1 <= len(caution.words) <= 4
    assert all(len(words) <= 120 and words.endswith(".") for words in caution.words)
    assert bool(caution.source)
    assert bool(caution.statements) == bool(caution.pictograms)


@through(("recipe", "step", "wanted"), SEEN)
def test_a_step_of_the_sample_book_has_what_was_found_by_hand(recipe: str, step: str, wanted: str) -> None:
    recipes, materials = sample()
    assert step in {each.id for each in recipes[recipe].steps}
    assert [each.id for each in step_cautions(recipes[recipe], materials).get(step, ())] == wanted.split()


def test_no_step_of_the_sample_book_drowns_in_cautions() -> None:
    recipes, materials = sample()
    counts = [
        len(step_cautions(recipe, materials).get(step.id, ())) for recipe in recipes.values() for step in recipe.steps
    ]
    assert max(counts) <= 5
    assert median(counts) <= 2
