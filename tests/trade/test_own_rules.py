"""A rule a book adds bites, and is kept by each of its three ways unless that comes too late."""

from __future__ import annotations

from typing import Any

import pytest

from mothermold.model.additions import OwnWords
from mothermold.model.build import Build
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.chains import assess_build, assess_recipe
from mothermold.trade.findings import Finding, Tried
from mothermold.trade.own_rules import own_rules
from mothermold.trade.rules import BODIES, rules

RULE: dict[str, Any] = {
    "id": "bio-gel-on-latex",
    "title": "Bio gel on latex.",
    "weighs": "damages the result",
    "use": {"families": "bio-gel"},
    "meets": {"families": ["natural-latex"]},
    "kept_by": [{"layer": ["barrier"]}, {"done": "soap"}, {"waited": "30 min"}],
    "happens": "it stays tacky\n  where they touch.",
    "instead": "Use a cap of another material",
}
MATERIALS = {
    family: Material.model_validate({"title": family, "families": [family]})
    for family in ("bio-gel", "natural-latex", "barrier", "soap", "cloth")
}


def step(name: str, material: str, role: str, **more: Any) -> dict[str, Any]:
    use = {"material": material, "as": role, "on": "cap"}
    return {"id": name, "title": name, "hands_on": "5 min", "uses": [use], **more}


def written(**changes: Any) -> OwnWords:
    rule = {key: value for key, value in (RULE | changes).items() if value is not None}
    return OwnWords.model_validate({"families": ["bio-gel"], "rules": [rule]})


def recipe_of(steps: list[dict[str, Any]], stage: str = "cast") -> Recipe:
    told = {"title": "A cap", "stage": stage, "version": "1", "status": "locked", "steps": steps}
    return Recipe.model_validate(told | {"surfaces": [{"id": "cap", "material": "cloth"}]})


def found(
    steps: list[dict[str, Any]], tests: tuple[Tried, ...] = (), stage: str = "cast", **changes: Any
) -> Finding | None:
    own = tuple(own_rules(written(**changes)).values())
    findings = assess_recipe(recipe_of(steps, stage), "cast/cap", MATERIALS, tests, own)
    return next((each for each in findings if each.rule.id == "bio-gel-on-latex"), None)


LATEX = step("latex", "natural-latex", "coat", wait="10 min")
GEL = step("gel", "bio-gel", "cast")
REMEDIES = {
    "layer": step("between", "barrier", "coat"),
    "done": step("wash", "soap", "clean"),
    "waited": {"id": "rest", "title": "Let it rest", "wait": "20 min"},
}


def test_it_bites_and_says_so_as_the_tools_own_do() -> None:
    finding = found([LATEX, GEL])
    assert finding is not None
    assert finding.bites
    assert (finding.used, finding.meets, finding.surface) == ("bio-gel", "natural-latex", "cap")
    rule = finding.rule
    assert (rule.severity, rule.severe, rule.used.roles) == ("warning", False, BODIES)
    assert (rule.title, rule.happens) == ("Bio gel on latex", "it stays tacky where they touch")
    assert (rule.instead, rule.because, rule.source) == ("Use a cap of another material.", "", "this book")


@pytest.mark.parametrize("way", REMEDIES)
def test_each_way_keeps_it_unless_it_comes_too_late(way: str) -> None:
    remedy = REMEDIES[way]
    kept = found([LATEX, remedy, GEL])
    assert kept is not None
    assert kept.kept_by is not None
    assert kept.kept_by.step == remedy["id"]
    late = found([LATEX, GEL, remedy])
    assert late is not None
    assert late.bites


@pytest.mark.parametrize("way", REMEDIES)
def test_what_is_no_way_of_this_rule_does_not_keep_it(way: str) -> None:
    others = [each for each in RULE["kept_by"] if way not in each]
    finding = found([LATEX, REMEDIES[way], GEL], kept_by=others)
    # What lies between with a thickness of its own is met instead, so there is no finding at all.
    assert finding is None if way == "layer" else finding is not None and finding.bites


def test_a_way_with_several_keys_asks_for_all_of_them() -> None:
    both = [{"done": ["soap"], "waited": "30 min"}]
    for steps, bites in (
        ([LATEX, REMEDIES["done"], GEL], True),
        ([LATEX, REMEDIES["waited"], GEL], True),
        ([LATEX, REMEDIES["done"], REMEDIES["waited"], GEL], False),
    ):
        finding = found(steps, kept_by=both)
        assert finding is not None
        assert finding.bites == bites


def test_roles_and_stages_narrow_it() -> None:
    assert found([LATEX, step("gel", "bio-gel", "paint")]) is None
    assert found([LATEX, step("gel", "bio-gel", "paint")], use={"families": "bio-gel", "as": "paint"}) is not None
    assert found([LATEX, GEL], use={"families": "bio-gel", "stages": ["finish"]}) is None
    assert found([LATEX, GEL], stage="finish", use={"families": "bio-gel", "stages": ["finish"]}) is not None
    assert found([LATEX, GEL], meets={"families": "natural-latex", "as": "lay"}) is None


def test_without_something_met_the_use_itself_is_the_matter() -> None:
    alone = found([GEL], meets=None, kept_by=[{"done": ["soap"]}])
    assert alone is not None
    assert (alone.bites, alone.meets) == (True, "")
    washed = found([REMEDIES["done"], GEL], meets=None, kept_by=[{"done": ["soap"]}])
    assert washed is not None
    assert not washed.open


@pytest.mark.parametrize("way", [{"layer": ["barrier"]}, {"waited": "30 min"}, {"layer": []}, {}])
def test_a_way_that_cannot_be_keeps_nothing(way: dict[str, Any]) -> None:
    finding = found([REMEDIES["layer"], REMEDIES["waited"], GEL], meets=None, kept_by=[way])
    assert finding is not None
    assert finding.bites


def test_a_passed_test_counts_as_tried_first() -> None:
    finding = found([LATEX, GEL], (Tried("r-test", frozenset({"bio-gel", "natural-latex"}), passed=True),))
    assert finding is not None
    assert finding.tested == "r-test"


def test_it_is_followed_along_the_things_of_a_build() -> None:
    gives = {"what": "cap", "surfaces": [{"id": "cap", "material": "natural-latex"}]}
    cap = Recipe.model_validate(
        {"title": "Cap", "stage": "cast", "version": "1", "status": "locked", "gives": gives, "steps": [LATEX]}
    )
    worn = Recipe.model_validate(
        {
            "title": "Worn",
            "stage": "cast",
            "version": "1",
            "status": "locked",
            "surfaces": [{"id": "cap", "from": "cap", "surface": "cap"}],
            "steps": [GEL],
        }
    )
    texts = {"cast/cap": cap, "cast/worn": worn}
    things = [{"id": "cap", "recipe": "cast/cap@1"}, {"id": "worn", "recipe": "cast/worn@1", "from": "cap"}]
    build = Build.model_validate({"title": "Nobody", "things": things})
    own = tuple(own_rules(written(kept_by=None)).values())
    links = assess_build(build, lambda ref: texts.get(ref.address), MATERIALS, (), own)
    (finding,) = [each for link in links for each in link.findings if each.rule.id == "bio-gel-on-latex"]
    assert (finding.at.thing, finding.since.thing if finding.since else None) == ("worn", "cap")


def test_of_one_id_the_tools_rule_comes_first_then_the_first_written() -> None:
    own = OwnWords.model_validate({"rules": [RULE | {"id": "platinum-on-tin"}, RULE, RULE | {"title": "Another"}]})
    assert {name: rule.title for name, rule in own_rules(own).items()} == {"bio-gel-on-latex": "Bio gel on latex"}
    assert "bio-gel-on-latex" not in rules()
    assert own_rules(None) == {}
