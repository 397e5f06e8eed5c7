"""A recipe is asked for what a casting needs; an amount is refused on the spot, and a percent says of what."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from desk.sitting import begin, small_shop
from mothermold.desk.founding import found_book


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return small_shop(tmp_path / "shop")


HEAD = ["cast", "Chin tip", "", ""]
A, B, DEADENER = "gel-silicone-a", "gel-silicone-b", "deadener-fluid"


def test_enter_skips_everything_but_the_stage_and_the_title(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert begin(shop, "recipe", [*HEAD, "", "", ""], monkeypatch).raw == {
        "format": "1", "title": "Chin tip", "stage": "cast", "version": "1", "status": "draft",
    }  # fmt: skip


def test_a_recipe_may_have_several_mixes_and_one_may_go_into_another(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = [
        *HEAD, "Tinted part A", A, "100", DEADENER, "120 %", "", "", A, "", "1.2 kg", "yes",
        "Base silicone", "tinted-part-a", "220", B, "100", "", "", "185", "10", "", "Fill", "Slowly.", "9", "4 h", "", "", "", "", "",
    ]  # fmt: skip
    recipe = begin(shop, "recipe", answers, monkeypatch).raw
    assert recipe["mixes"] == [
        {
            "id": "tinted-part-a", "title": "Tinted part A", "by": "weight", "batch": "1.2 kg",
            "parts": [{"material": A, "parts": "100"}, {"material": DEADENER, "percent": "120 %", "of": A}],
        },
        {
            "id": "base-silicone", "title": "Base silicone", "by": "weight", "fills": "185 ml", "allowance": "10 %",
            "parts": [{"mix": "tinted-part-a", "parts": "220"}, {"material": B, "parts": "100"}],
        },
    ]  # fmt: skip
    assert recipe["steps"] == [
        {
            "id": "fill", "title": "Fill", "do": "Slowly.", "hands_on": "9 min",
            "uses": [{"mix": "base-silicone", "as": "cast", "on": "mold-face"}], "wait": "4 h",
        },
    ], "what goes into another mix is not asked about"  # fmt: skip


def test_a_percent_asks_of_which_with_every_part_whenever_it_goes_in_and_says_the_grams(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [*HEAD, "Base", A, "100", DEADENER, "60 %", B, "100", "", "", f"{A}, {B}", "", "", "", "", "", ""]
    recipe = begin(shop, "recipe", answers, monkeypatch).raw
    assert recipe["mixes"][0]["parts"][1] == {"material": DEADENER, "percent": "60 %", "of": [A, B]}
    told = capsys.readouterr().out
    listed = told.partition("Measured by")[2].partition("of what")[0]
    assert re.findall(r"\d  ([\w-]+)", listed) == [A, B, "the-rest", "total"]
    # 120 g in 320 g.
    assert f"That is 37.5 g of {DEADENER} in 100 g of the mix." in told


@pytest.mark.parametrize(("of", "grams"), [("the-rest", "37.5"), ("total", "60.0"), (A, "23.1")])
def test_a_percent_is_asked_about_though_only_one_other_part_is_there(
    of: str, grams: str, shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    percent = {"the-rest": "60 %", "total": "60 %", A: "30 %"}[of]
    answers = [*HEAD, "Base", A, "100", DEADENER, percent, "", "", of, "", "", "", "", "", ""]
    assert begin(shop, "recipe", answers, monkeypatch).raw["mixes"][0]["parts"][1]["of"] == of
    assert f"That is {grams} g of {DEADENER} in 100 g of the mix." in capsys.readouterr().out


def test_a_percent_that_cannot_be_reckoned_is_told_and_asked_again(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [*HEAD, "Base", A, "100", DEADENER, "60 %", "", "", f"{A}, the-rest", A, "", "", "", "", "", ""]
    assert begin(shop, "recipe", answers, monkeypatch).raw["mixes"][0]["parts"][1]["of"] == A
    assert "`the-rest` is in a list with others." in capsys.readouterr().out


def test_a_percent_may_stay_open_and_a_draft_says_so(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    alone = begin(shop, "recipe", [*HEAD, "Base", DEADENER, "60 %", "", "", "", "", "", "", ""], monkeypatch)
    assert alone.raw["mixes"][0]["parts"] == [{"material": DEADENER, "percent": "60 %"}]


def test_a_number_in_words_is_refused_and_what_goes_by_eye_is_asked_about(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [
        *HEAD, "Base", A, "a hundred", "sixty percent", "100", B, "a splash", "no", "4 drops", DEADENER, "a pinch", "yes",
        "", "", "", "", "", "", "", "",
    ]  # fmt: skip
    parts = begin(shop, "recipe", answers, monkeypatch).raw["mixes"][0]["parts"]
    assert parts == [
        {"material": A, "parts": "100"}, {"material": B, "amount": "4 drops"}, {"material": DEADENER, "amount": "a pinch"},
    ]  # fmt: skip
    told = capsys.readouterr().out
    assert told.count("Type a number for parts, like 100; a percent, like 60 %; or a weight, like 12 g.") == 3
    assert told.count("by eye, outside the arithmetic? [no]") == 2


def test_a_part_is_in_a_mix_once_and_the_list_keeps_its_numbers(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [*HEAD, "Base", "3", "100", "3", "4", "100", "", "", "", "", "", "", "", ""]
    parts = begin(shop, "recipe", answers, monkeypatch).raw["mixes"][0]["parts"]
    assert [part["material"] for part in parts] == [A, B]
    assert f"`{A}` is in this mix already." in capsys.readouterr().out


def test_a_mix_without_parts_is_left_out(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "mixes" not in begin(shop, "recipe", [*HEAD, "Base", "", "", "", ""], monkeypatch).raw
    assert "A mix without parts is left out." in capsys.readouterr().out


def test_a_no_is_no_mix_and_no_step(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "mixes" not in begin(shop, "recipe", [*HEAD, "n", "", "no", "", ""], monkeypatch).raw
    assert capsys.readouterr().out.count("Type it in words, or Enter.") == 2


def test_more_than_a_day_of_busy_hands_is_asked_about(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    found_book(tmp_path / "book")
    answers = ["cast", "Chin tip", "", "Fill", "", "30 h", "", "30", "", "", ""]
    recipe = begin(tmp_path / "book", "recipe", answers, monkeypatch)
    assert recipe.raw["steps"] == [{"id": "fill", "title": "Fill", "hands_on": "30 min"}]
    assert "30 h is far from how long hands are busy at one step. Keep it? [no]" in capsys.readouterr().out
