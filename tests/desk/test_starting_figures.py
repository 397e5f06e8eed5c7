"""What is hardly meant is asked about at the question itself: figures, families, names, labels, the worst harm."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from desk.sitting import NOW, Answers, begin, small_shop
from mothermold.answers.recipes import find_version, readable
from mothermold.cli.asking import Terminal
from mothermold.desk.asking import Offer
from mothermold.desk.drafts.likely import doubt, doubt_weighed
from mothermold.desk.founding import found_book
from mothermold.desk.matching import alike
from mothermold.desk.shop import Shop
from mothermold.desk.starting import start
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.trade.vocabulary import FAMILIES
from mothermold.view.view import open_view


@pytest.fixture
def book(tmp_path: Path) -> Path:
    found_book(tmp_path / "book")
    return tmp_path / "book"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return small_shop(tmp_path / "shop")


@pytest.mark.parametrize(
    ("figure", "likely", "unlikely"),
    [
        ("density", ["0.3 g/ml", "9 g/ml", "1060 kg/m3"], ["0.29 g/ml", "9.1 g/ml", "1.06 kg/m3"]),
        ("room", ["5 degC", "40 degC", "70 degF", "18-22 degC"], ["4 degC", "96.4 degC", "18-41 degC"]),
        ("material_temp", ["23 degC"], ["60 degC"]),
        ("mold_temp", ["60 degC", "90 degC"], ["4 degC", "91 degC"]),
        ("humidity", ["0 %", "48 %", "48", "100 %"], ["148 %", "480"]),
        ("percent", ["60 %", "300 %"], ["301 %", "600 %"]),
        ("hands_on", ["10 min", "24 h"], ["24 h 1 min", "30 h", "10 d"]),
    ],
)
def test_a_figure_out_of_all_bounds_is_doubted_and_no_other(
    figure: str, likely: list[str], unlikely: list[str]
) -> None:
    assert [each for each in likely if doubt(figure)(each)] == []
    assert [each for each in unlikely if not doubt(figure)(each)] == []


def test_a_batch_is_doubted_at_three_times_and_a_third_of_what_the_recipe_reckons(shop: Path) -> None:
    view = open_view(shop, "private")
    recipe = readable(*find_version(view, "cast/cheek")).model
    assert isinstance(recipe, Recipe)
    film, softened, base = recipe.mixes
    doubted = doubt_weighed(recipe.mixes, base, view.models(Material))
    # 96 ml, a tenth more, of 0.984 g/ml, and 15 g in the cups: about 119 g.
    assert doubted("119 g") == doubted("350 g") == doubted("41 g") == doubted("0.119 kg") == ""
    assert doubted("370 g") == doubted("37 g") == "the 119 g the recipe comes to"
    assert doubted("1 l") == "the 121 ml the recipe comes to"
    assert doubt_weighed(recipe.mixes, film, view.models(Material))("700 ml") == "the 80 ml the recipe comes to"
    assert doubt_weighed(recipe.mixes, softened, {})("500 g") == ""
    assert doubt_weighed(recipe.mixes, base, {})("1 g") == "", "what cannot be reckoned is not doubted"


def test_an_unlikely_figure_is_asked_again_or_kept(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run = begin(book, "run", ["test", "", "96.4", "", "21", "148 %", "no", "48", "2", "y", *[""] * 5], monkeypatch)
    assert run.raw["conditions"] == {"room": "21 degC", "humidity": "48 %", "material_temp": "2 degC"}
    told = capsys.readouterr().out
    assert "96.4 degC is far from what a room has. Keep it? [no]" in told
    assert "148 % is far from what air can hold. Keep it? [no]" in told
    material = begin(book, "material", ["Wax", "", "wax", "1060", "", "1.06", "", "", "", ""], monkeypatch)
    assert material.raw["density"] == "1.06 g/ml"


def test_a_batch_far_from_the_recipe_is_asked_about(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = ["", "none", "cast/cheek@2", "", "", "", "", "1.2 kg", "", "120 g", *[""] * 6]
    run = begin(shop, "run", answers, monkeypatch)
    assert run.raw["batch"] == [{"mix": "base", "weighed": "120 g"}]
    assert "1.2 kg is far from the 119 g the recipe comes to. Keep it? [no]" in capsys.readouterr().out


def test_without_a_look_at_the_thermometer_the_rest_of_the_air_is_not_asked_for(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    begin(book, "run", ["test", *[""] * 7], monkeypatch)
    assert "How humid" not in capsys.readouterr().out


# Families


def test_a_family_nobody_knows_is_asked_about_before_it_is_written(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    document = begin(book, "material", ["Gel", "", "platnum", "", "", "", "", "", ""], monkeypatch)
    assert document.raw["families"] == ["platinum-silicone"]
    document = begin(
        book, "material", ["Gel 2", "", "platnum", "no", "", "platnum", "no", "yes", "", "", "", "", ""], monkeypatch
    )
    assert document.raw["families"] == ["platnum"]
    told = capsys.readouterr().out
    assert "No family is called `platnum`, so no cautions and no rules would apply to it." in told
    assert "Add `platnum` as a family of your own? [no]" in told


def test_a_family_like_no_other_is_asked_about_too_and_the_known_ones_beside_it_stay(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = begin(book, "material", ["Gel", "", "Bio gel, water", "", "", "", "", "", ""], monkeypatch)
    assert document.raw["families"] == ["water"]
    document = begin(book, "material", ["Gel", "", "Bio gel, water", "y", "", "", "", "", ""], monkeypatch)
    assert document.raw["families"] == ["bio-gel", "water"]


def test_the_families_stand_in_one_order_whatever_the_book_uses(book: Path, shop: Path) -> None:
    for folder in (book, shop):
        assert [offer.value for offer in Shop(open_view(folder, "private")).families()] == list(FAMILIES)


# Names, labels, packs, money, harm


@pytest.mark.parametrize(
    ("title", "name"),
    [("Café gel", "cafe-gel"), ("Rötlich, Straße 2", "rotlich-strasse-2"), ("Smørbrød", "smorbrod"), ("ÉTÉ", "ete")],
)
def test_letters_lose_their_accents_in_a_name(
    title: str, name: str, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert begin(book, "material", [title, "", "water", "", "", "", "", ""], monkeypatch).address == name


def test_a_yes_is_no_name_and_no_label(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [
        "",
        "none",
        "cast/cheek@2",
        "",
        "",
        "",
        "",
        "",
        "good",
        "",
        "",
        "y",
        "N",
        "F-07",
        "",
        "",
        "",
        "",
        "n",
        "",
        "",
    ]
    run = begin(shop, "run", answers, monkeypatch)
    assert run.raw["kept"] == [{"piece": "F-07"}]
    assert run.address == "r-2026-06-01-cheek-2"
    told = capsys.readouterr().out
    assert told.count("Type the piece's label, like F-07, or Enter.") == 2
    assert "Type a name, or Enter for what is proposed." in told


def test_the_size_of_a_pack_is_refused_with_what_fits_there(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = ["Gel", "", "water", "", "1 stone", "20", "6 pieces", "", "", "", ""]
    assert begin(book, "material", answers, monkeypatch).raw["packs"] == [{"size": "6 pieces"}]
    told = capsys.readouterr().out
    for wrong in ("1 stone", "20"):
        help_ = "Type a weight, like 1 kg; a volume, like 500 ml; or 6 pieces."
        assert f"  `{wrong}` is not the size of a pack. {help_}\n" in told


def test_the_money_is_named_only_where_the_settings_say_it(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = ["Gel", "", "water", "", "1 kg", "24.50", "", "", ""]
    begin(book, "material", answers, monkeypatch)
    assert "Its price, in EUR as book.yaml says (like 24.50):" in capsys.readouterr().out
    settings = book / "recipes" / "book.yaml"
    settings.write_text(settings.read_text().replace("currency: EUR\n", ""))
    begin(book, "material", ["Wax", *answers[1:]], monkeypatch)
    assert "Its price (like 24.50):" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("answer", "sure", "harm"), [("s", ["y", "y"], "somebody hurt"), ("5", ["n", "rework"], "rework")]
)
def test_that_somebody_was_hurt_is_always_asked_again(
    answer: str,
    sure: list[str],
    harm: str,
    book: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    answers = ["soft", "", "", "cast", "", answer, *sure, "", "", ""]
    assert begin(book, "failure", answers, monkeypatch).raw["harm"] == harm
    assert "That is the worst there is. Was somebody hurt? [no]" in capsys.readouterr().out


def test_an_enter_never_says_that_somebody_was_hurt(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", Answers(["soft", "", "", "cast", "", "5", "", "", "", "", ""]))
    path = start(book, Terminal(), "failure", now=NOW)
    assert path is not None
    assert "harm" not in path.read_text()


def test_a_day_to_come_is_asked_about_because_it_stays_in_the_runs_name(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [
        "",
        "none",
        "cast/cheek@2",
        "2027-05-30 09:00",
        "no",
        "2026-05-30 09:00",
        *[""] * 5,
        "no",
        "n",
        *[""] * 5,
    ]
    run = begin(shop, "run", answers, monkeypatch)
    assert run.raw["started"] == "2026-05-30 09:00"
    assert run.raw["id"].startswith("r-2026-05-30-")
    told = capsys.readouterr().out
    assert "2027-05-30 is still to come. Keep it?" in told
    assert "the recipe comes to 119 g" in told


def test_part_b_is_never_taken_for_a_slip_of_part_a() -> None:
    offers = [Offer("gel-a", "Gel silicone, part A"), Offer("deadener", "Deadener fluid")]
    assert alike("gel-b", offers) == alike("Gel silicone, part B", offers) == ()
    assert alike("gal-a", offers) == alike("Gel silcone, part A", offers) == (offers[0],)
