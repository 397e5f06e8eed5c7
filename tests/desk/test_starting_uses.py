"""A recipe is asked where its mixes go, so that rules and cautions see them: a guess first, and Enter takes it."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

from desk.sitting import NOW, Answers, begin, small_shop
from mothermold.cli.asking import Terminal
from mothermold.cli.main import main
from mothermold.desk.asking import StoppedError
from mothermold.desk.starting import start
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.cautions import step_cautions
from mothermold.view.view import open_view

A, B, DEADENER = "gel-silicone-a", "gel-silicone-b", "deadener-fluid"
# Stage, title, start from nothing, name; the mix; batch.
GEL = ["Soft gel", A, "100", B, "100", DEADENER, "60 %", "", "", f"{A}, {B}", "", "200", ""]
STEPS = ["Mix twice", "", "10", "", "Pour slowly", "", "5", "4 h", ""]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return small_shop(tmp_path / "shop")


def head(stage: str, title: str = "Chin tip") -> list[str]:
    return [stage, title, "", ""]


def test_enter_takes_the_guess_and_the_recipe_is_seen_by_rules_and_cautions(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [*head("cast"), *GEL, *STEPS, "", "polyurethane-resin", "25 min at 23", ""]
    document = begin(shop, "recipe", answers, monkeypatch)
    mix, pour = document.raw["steps"]
    assert document.raw["surfaces"] == [{"id": "mold-face", "material": "polyurethane-resin"}]
    assert pour["uses"] == [{"mix": "soft-gel", "as": "cast", "on": "mold-face"}]
    assert mix["starts"] == "soft-gel"
    assert document.raw["mixes"][0]["pot_life"] == {"time": "25 min", "at": "23 degC"}
    assert "“Soft gel” goes in at “Pour slowly”, as cast, on mold-face. Right? [yes]" in capsys.readouterr().out
    assert isinstance(document.model, Recipe)
    view = open_view(shop, "private")
    assert {step: [each.id for each in told] for step, told in step_cautions(document.model, view.models(Material)).items()} == {
        "mix-twice": ["silicone-uncured"], "pour-slowly": ["silicone-uncured"],
    }  # fmt: skip
    told = {(notice.code, notice.severity) for notice in view.notices if notice.file == document.file}
    assert told == {("still-to-write", "advice"), ("soft-gel-without-film", "warning")}, "rules see what the gel meets"
    assert main(["-C", str(shop), "check"]) == 0


def test_a_complete_first_recipe_asks_no_more_than_three_questions_more(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    begin(shop, "recipe", [*head("cast"), *GEL, *STEPS, "", "", "", ""], monkeypatch)
    told = capsys.readouterr().out
    asked = re.findall(r"Right\? \[yes\]|What mold-face is made of|Pot life of|As what|On what|Which step", told)
    assert asked == ["Right? [yes]", "What mold-face is made of", "Pot life of"]


def test_a_no_asks_each_with_the_guess_as_its_default_and_lists(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    uses = ["no", "?", "mix-twice", "back", "Glass & rails", "glass", "", "-5 min", "12 min"]
    document = begin(shop, "recipe", [*head("cast"), *GEL, *STEPS, *uses, ""], monkeypatch)
    assert document.raw["steps"][0]["uses"] == [{"mix": "soft-gel", "as": "back", "on": "glass"}]
    assert document.raw["surfaces"] == [{"id": "glass"}]
    assert document.raw["mixes"][0]["pot_life"] == {"time": "12 min"}
    told = capsys.readouterr().out
    assert "Which step uses “Soft gel” [pour-slowly]" in told
    assert "As what [cast]" in told
    assert "On what (or a name of your own) [mold-face]" in told
    assert "`Glass & rails` cannot be a name" in told


def test_no_step_and_no_surface_can_be_answered_and_are_said_afterward(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for answers, code in ((["no", "none", ""], "mix-unused"), (["no", "", "", "nothing", ""], "")):
        title = f"Chin {code or 'other'}"
        document = begin(shop, "recipe", [*head("cast", title), *GEL, *STEPS, *answers, ""], monkeypatch)
        assert "surfaces" not in document.raw
        told = {notice.code for notice in open_view(shop, "private").notices if notice.file == document.file}
        assert ("mix-unused" in told) == (code == "mix-unused")


def test_before_there_is_a_step_only_the_pot_life_is_asked(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = begin(shop, "recipe", [*head("cast"), *GEL, "", "25", ""], monkeypatch)
    assert document.raw["mixes"][0]["pot_life"] == {"time": "25 min"}
    assert "steps" not in document.raw


def test_what_does_not_set_has_no_pot_life_and_skin_needs_no_material(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wash = ["Degreaser", "isopropanol-99", "100", "", "", "", "20 ml", ""]
    document = begin(
        shop, "recipe", [*head("removal", "Take it off"), *wash, "Wipe", "", "5", "", "", "", ""], monkeypatch
    )
    assert document.raw["steps"][0]["uses"] == [{"mix": "degreaser", "as": "clean", "on": "skin"}]
    assert "surfaces" not in document.raw


def test_one_can_go_back_from_a_guess_and_the_next_mix_knows_the_surface(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    film = ["Film", "encapsulant-alcohol", "1", "isopropanol-99", "3", "", "", "", "80", "yes"]
    steps = ["Spray the film", "", "20", "", *STEPS]
    answers = [*head("cast"), *film, *GEL, *steps, "", "<", "", "polyurethane-resin", "", "<", "<", "", "", "", ""]
    document = begin(shop, "recipe", answers, monkeypatch)
    uses = [use for step in document.raw["steps"] for use in step.get("uses", ())]
    assert uses == [
        {"mix": "film", "as": "coat", "on": "mold-face"}, {"mix": "soft-gel", "as": "cast", "on": "mold-face"},
    ]  # fmt: skip
    assert document.raw["surfaces"] == [{"id": "mold-face", "material": "polyurethane-resin"}]


def test_stopping_at_the_guess_writes_nothing(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", Answers([*head("cast"), *GEL, *STEPS], interrupted=True))
    with pytest.raises(StoppedError, match="nothing was written"):
        start(shop, Terminal(), "recipe", now=NOW)
    assert not (shop / "recipes/cast/chin-tip.yaml").exists()
