"""Every rule with a recipe that breaks it, one that differs by the remedy's step alone, and one where that comes too late.

The cases were written from practice by someone who had not seen the rules' own table; only which rule a case is about is
said here.
"""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

import pytest
import yaml

from campaigns.many import through
from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Recipe
from mothermold.trade.chains import assess_recipe
from mothermold.trade.findings import Finding, Tried
from mothermold.trade.rules import WEIGHTS, rules
from mothermold.trade.vocabulary import FAMILIES, ROLES

CASES = Path(__file__).parents[1] / "data" / "rules" / "cases.yaml"
# Which rules each case is about, by its number in the list of the trade's rules or by its word.
MEANT = {
    "1": ["platinum-on-sulfur-clay"], "2": ["platinum-on-tin"], "3": ["tin-on-platinum"],
    "4": ["platinum-on-latex", "latex-gloves-at-platinum"], "5": ["platinum-on-tape"], "6": ["platinum-on-epoxy"],
    "7": ["platinum-on-printed-resin"], "8": ["platinum-on-fresh-resin"], "9": ["platinum-on-damp-stone"],
    "10": ["platinum-on-platinum-without-release"], "11": ["soft-gel-without-film"], "13": ["water-color-in-platinum"],
    "14": ["undried-flock-in-platinum"], "15": ["urethane-on-damp-stone"], "16": ["undried-filler-in-urethane"],
    "17": ["urethane-on-bare-stone"], "18": ["clear-urethane-in-tin"], "19": ["urethane-on-wet-release"],
    "20": ["stone-on-stone-without-separator"], "21": ["stone-on-dry-stone"], "25": ["pour-into-waiting-alginate"],
    "26": ["alginate-on-set-alginate"], "27": ["bandage-on-bare-hair"], "28": ["gypsum-mass-on-body"],
    "29": ["acetone-floods-vinyl-film"], "30": ["alcohol-blends-vinyl-film"], "31": ["alcohol-on-alcohol-film"],
    "32": ["alcohol-paint-on-alcohol-film"], "33": ["film-on-wet-release"], "34": ["gel-on-wet-film"],
    "35": ["gel-on-old-film"], "36": ["acetone-on-acrylic-paint"], "37": ["paint-on-bare-silicone"],
    "38": ["silicone-paint-on-film"], "39": ["work-on-wet-adhesive"], "40": ["glue-on-grease"],
    "41": ["silicone-adhesive-wrong-remover"], "42": ["silicone-adhesive-on-bare-piece"], "43": ["spirit-gum-on-sweat"],
    "44": ["powder-on-deadened-gel"], "45": ["water-soluble-separator-on-damp-stone"], "46": ["grease-on-latex"],
    "47": ["acetone-on-lace"], "48": ["cold-silicone"], "sealer-not-dry": ["silicone-on-wet-sealer"],
    "paint-on-release": ["paint-on-release"], "flashing-before-glue": ["flashing-melted-before-glue"],
    "polyester-on-gypsum": ["polyester-on-bare-stone"], "epoxy-on-gypsum": ["epoxy-without-release"],
    "film-on-bare-mold": ["film-without-release"],
    "polyurethane-on-polyurethane": ["urethane-on-urethane-without-release"],
    "silicone-on-skin": ["silicone-on-body-untested"], "alginate-on-hair": ["alginate-on-bare-hair"],
    "resin-on-skin": ["resin-on-body"], "stone-from-sulfur-clay": ["platinum-on-stone-from-sulfur-clay"],
    "stone-on-separator": ["stone-on-water-soluble-separator"], "gypsum-built-up": ["gypsum-built-on-body"],
    "tin-on-skin": ["tin-silicone-on-body"], "silicone-on-hair": ["silicone-on-bare-hair"],
    "naphtha-on-skin": ["naphtha-on-body"], "platinum-on-dry-stone": ["platinum-on-bare-stone"],
    "soap-on-glue": ["glue-with-soap-alone"], "resin-on-resin": ["resin-on-other-resin-without-release"],
    "silicone-remover-on-acrylic": ["acrylic-adhesive-wrong-remover"], "glue-after-remover": ["glue-after-remover"],
    "water-on-gelatin": ["water-on-gelatin"], "spirit-gum-on-silicone": ["spirit-gum-on-silicone"],
    "latex-on-grease": ["latex-on-grease"], "latex-in-tight-mold": ["latex-in-tight-mold"],
    "latex-on-hair": ["latex-on-bare-hair"], "acetone-on-skin": ["acetone-on-body"],
    "silicone-paint-on-skin": ["silicone-paint-on-body"], "hot-melt-on-skin": ["hot-melt-on-body"],
    "urethane-sprayed": ["isocyanate-sprayed"], "fire-beside-vapor": ["fire-beside-vapor"],
    "oven-beside-vapor": ["oven-beside-vapor"], "sparks-beside-vapor": ["sparks-beside-vapor"],
    "tin-on-tin": ["tin-on-tin-without-release"], "tin-on-stone": ["tin-on-bare-stone"],
    "polyester-on-urethane": ["polyester-on-urethane-without-release"],
    "acrylic-without-release": ["acrylic-resin-without-release"], "solvent-on-sheet": ["solvent-on-formed-sheet"],
    "alcohol-on-shellac": ["alcohol-on-shellac"], "gelatin-in-bare-mold": ["gelatin-without-release"],
    "glue-on-powder": ["glue-on-powder"], "alginate-on-dry-stone": ["alginate-on-dry-stone"],
    "sealer-on-damp-stone": ["sealer-on-damp-stone"], "film-on-cured-silicone": ["film-on-bare-silicone"],
}  # fmt: skip
# Releases come thinned with something that evaporates.
THINNED = {"petroleum-jelly", "release-wax", "release-silicone", "release-silicone-free"}


@functools.lru_cache(maxsize=1)
def materials() -> dict[str, Material]:
    """One material of each family, called as the family is."""
    return {
        family: Material.model_validate(
            {"title": family, "families": [family], "vapor": [{"substance": "naphtha"}] if family in THINNED else []}
        )
        for family in FAMILIES
    }


def recipe_of(case: dict[str, Any], steps: list[dict[str, Any]]) -> Recipe:
    told = {"title": "A case", "stage": case.get("stage", "cast"), "version": "1", "status": "locked", "steps": steps}
    return Recipe.model_validate(told | {key: case[key] for key in ("surfaces", "mixes", "gives") if case.get(key)})


def found(case: dict[str, Any], steps: list[dict[str, Any]], tests: tuple[Tried, ...] = ()) -> dict[str, Finding]:
    findings = assess_recipe(recipe_of(case, steps), "cast/case", materials(), tests)
    return {each.rule.id: each for each in findings if each.at.step == "contact"}


def cases() -> list[dict[str, Any]]:
    told: list[dict[str, Any]] = yaml.load(CASES.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    return told


EVERY = [(case, rule) for case in cases() for rule in MEANT[case["trade"]] if case["trade"] != "4"] + [
    (case, rule) for case, rule in zip([c for c in cases() if c["trade"] == "4"], MEANT["4"], strict=True)
]


KEPT = [(case, rule) for case, rule in EVERY if "remedy" in case]
NEVER_KEPT = [(case, rule) for case, rule in EVERY if "remedy" not in case]


@through(("case", "rule"), KEPT)
def test_a_rule_bites_until_its_remedy_comes_first(case: dict[str, Any], rule: str) -> None:
    before, remedy, contact = case.get("before") or [], case["remedy"], case["contact"]
    assert found(case, [*before, contact])[rule].open
    kept = found(case, [*before, remedy, contact])[rule]
    assert not kept.open
    assert kept.kept_by is not None
    assert kept.kept_by.step == "remedy"
    assert found(case, [*before, contact, remedy])[rule].open


@pytest.mark.parametrize(("case", "rule"), NEVER_KEPT, ids=[rule for _case, rule in NEVER_KEPT])
def test_what_nothing_keeps_is_done_otherwise(case: dict[str, Any], rule: str) -> None:
    before, instead, contact = case["before"], case["instead"], case["contact"]
    # A test says nothing about what is breathed: it is severe, or can at most be accepted with a reason.
    assert rules()[rule].severe or not rules()[rule].tried
    assert rules()[rule].kept_by == ()
    assert found(case, [*before, contact])[rule].open
    assert rule not in found(case, [*before, instead | {"id": "contact"}])
    assert found(case, [*before, instead, contact])[rule].open


def test_every_rule_is_shown_and_there_are_enough() -> None:
    assert {rule for _case, rule in EVERY} == rules().keys()
    assert len(rules()) >= 45


@through("rule", rules().values(), ids=lambda rule: rule.id)
def test_a_rule_is_told_whole(rule: Any) -> None:
    named = (
        rule.used.families
        | rule.used.beside
        | {family for way in rule.kept_by for each in way for family in each.families}
    )
    roles = rule.used.roles | {role for way in rule.kept_by for each in way for role in each.roles}
    if rule.met is not None:
        named |= rule.met.families | rule.met.traces | rule.met.through | rule.met.worn | rule.met.near
        roles |= rule.met.roles - {"base"}
    assert named - set(FAMILIES) - BODY_SURFACES == set()
    assert roles - set(ROLES) == set()
    assert rule.weighs in WEIGHTS
    assert rule.source
    assert len(rule.title) <= 60
    for sentence in (rule.instead, rule.because):
        assert sentence[0].isupper()
        assert sentence.endswith(".")
    assert "safe" not in f"{rule.title} {rule.happens} {rule.instead} {rule.because}".casefold().split()


def case_of(trade: str) -> dict[str, Any]:
    return next(case for case in cases() if case["trade"] == trade)


def test_a_passed_test_of_the_two_counts_as_tried_first() -> None:
    case = case_of("2")
    both = frozenset({"platinum-silicone", "tin-silicone"})
    finding = found(case, [case["contact"]], (Tried("r-test", both, passed=True),))["platinum-on-tin"]
    assert (finding.open, finding.tested) == (False, "r-test")


def test_a_failed_test_is_named_and_a_test_of_something_else_says_nothing() -> None:
    case = case_of("2")
    both = frozenset({"platinum-silicone", "tin-silicone"})
    failed = found(case, [case["contact"]], (Tried("r-test", both, passed=False),))["platinum-on-tin"]
    assert (failed.open, failed.failed) == (True, "r-test")
    other = frozenset({"platinum-silicone", "epoxy"})
    elsewhere = found(case, [case["contact"]], (Tried("r-test", other, passed=True),))["platinum-on-tin"]
    assert (elsewhere.open, elsewhere.tested, elsewhere.failed) == (True, None, None)


def test_no_test_excuses_what_can_hurt_badly() -> None:
    case = case_of("28")
    both = frozenset({"gypsum-cement", "gypsum-plaster", "skin"})
    assert found(case, [case["contact"]], (Tried("r-test", both, passed=True),))["gypsum-mass-on-body"].open


def test_a_remedy_on_a_side_branch_is_not_certain_to_come_first() -> None:
    case = case_of("10")
    start = {"id": "start", "title": "Begin"}
    remedy, contact = case["remedy"] | {"after": "start"}, case["contact"] | {"after": "start"}
    assert found(case, [start, remedy, contact])["platinum-on-platinum-without-release"].open
    joined = case["contact"] | {"after": ["start", "remedy"]}
    assert not found(case, [start, remedy, joined])["platinum-on-platinum-without-release"].open


def test_a_remedy_on_another_surface_does_not_count() -> None:
    case = case_of("10")
    surface = case["contact"]["uses"][0]["on"]
    other = {"id": "elsewhere", "material": "platinum-silicone"}
    remedy = case["remedy"] | {"uses": [use | {"on": "elsewhere"} for use in case["remedy"]["uses"]]}
    assert surface != "elsewhere"
    wider = case | {"surfaces": [*case["surfaces"], other]}
    assert found(wider, [remedy, case["contact"]])["platinum-on-platinum-without-release"].open


def test_the_latest_test_of_the_two_wins() -> None:
    case = case_of("2")
    both = frozenset({"platinum-silicone", "tin-silicone"})
    tests = (Tried("r-march", both, passed=True), Tried("r-may", both, passed=False))
    finding = found(case, [case["contact"]], tests)["platinum-on-tin"]
    assert (finding.open, finding.failed) == (True, "r-may")


def test_a_spot_tried_an_hour_before_is_no_test() -> None:
    case = case_of("2")
    assert found(case, [case["remedy"] | {"wait": "1 h"}, case["contact"]])["platinum-on-tin"].open


@pytest.mark.parametrize(
    ("trade", "rule", "instead"),
    [
        ("40", "glue-on-grease", {"material": "water", "as": "degrease", "on": "skin"}),
        ("40", "glue-on-grease", {"material": "disposable", "as": "clean", "on": "skin"}),
        ("43", "spirit-gum-on-sweat", {"material": "water", "as": "degrease", "on": "skin"}),
        ("paint-on-release", "paint-on-release", {"material": "water", "as": "clean", "on": "piece-face"}),
        ("glue-after-remover", "glue-after-remover", {"material": "water", "as": "clean", "on": "skin"}),
        # What loosens the one glue does not loosen the other.
        ("41", "silicone-adhesive-wrong-remover", {"material": "remover-ester", "as": "remove", "on": "skin"}),
        ("soap-on-glue", "glue-with-soap-alone", {"material": "remover-silicone", "as": "remove", "on": "skin"}),
    ],
)
def test_what_does_not_do_it_keeps_nothing(trade: str, rule: str, instead: dict[str, Any]) -> None:
    case = case_of(trade)
    remedy = case["remedy"] | {"uses": [instead]}
    assert found(case, [*case.get("before", []), remedy, case["contact"]])[rule].open


def test_no_test_of_the_two_washes_anything_off() -> None:
    case = case_of("paint-on-release")
    both = frozenset({"petroleum-jelly", "paint-acrylic-adhesive"})
    steps = [*case["before"], case["contact"]]
    assert found(case, steps, (Tried("r-test", both, passed=True),))["paint-on-release"].open


def test_what_was_left_behind_is_what_is_met() -> None:
    case = case_of("stone-from-sulfur-clay")
    finding = found(case, [*case["before"], case["contact"]])["platinum-on-stone-from-sulfur-clay"]
    assert (finding.used, finding.meets) == ("platinum-silicone", "clay-sulfur")
    # A test on that stone with something else in between says nothing of the clay.
    stone = frozenset({"platinum-silicone", "gypsum-cement"})
    tried = found(case, [*case["before"], case["contact"]], (Tried("r-test", stone, passed=True),))
    assert tried["platinum-on-stone-from-sulfur-clay"].open


@pytest.mark.parametrize(
    ("trade", "rule"), [("silicone-on-skin", "silicone-on-body-untested"), ("43", "spirit-gum-on-sweat")]
)
def test_a_patch_on_a_body_takes_48_hours_and_a_spot_on_a_mold_a_day(trade: str, rule: str) -> None:
    case = case_of(trade)
    assert found(case, [case["remedy"] | {"wait": "47 h"}, case["contact"]])[rule].open
    assert not found(case, [case["remedy"] | {"wait": "48 h"}, case["contact"]])[rule].open
    spot = case_of("2")
    assert not found(spot, [spot["remedy"] | {"wait": "24 h"}, spot["contact"]])["platinum-on-tin"].open


def test_a_patch_whose_place_is_not_named_was_on_the_body_that_is_worked_on() -> None:
    case = case_of("silicone-on-skin")
    patch = case["remedy"] | {"uses": [{"material": "platinum-silicone", "as": "test"}]}
    assert not found(case, [patch, case["contact"]])["silicone-on-body-untested"].open
