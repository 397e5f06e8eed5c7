"""The terminal asks plainly: Enter takes what is shown, a few letters find an offer, a wrong answer is asked again."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Callable

import pytest

from mothermold.cli.asking import Terminal
from mothermold.desk.asking import BackError, Offer, StoppedError
from mothermold.trade.vocabulary import FAMILIES as FAMILIES_OF_THE_TRADE

STAGES = [Offer(word) for word in ("lifecast", "sculpt", "core", "mold", "cast", "finish")]
RECIPES = [
    Offer("cast/face-piece", "Cheeks and chin"),
    Offer("mold/face-mold", "Two-part mold"),
    Offer("cast/brow-bands", "Brow bands"),
]
Typed = Callable[..., Terminal]


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Typed:
    def terminal(*answers: str) -> Terminal:
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{answer}\n" for answer in answers)))
        return Terminal()

    return terminal


def test_a_text_takes_its_default_for_enter_and_shows_it(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("").text("Begun", default="09:10") == "09:10"
    assert capsys.readouterr().out == "Begun [09:10]: "
    assert typed("  10:00 ").text("Begun", default="09:10") == "10:00"


def test_a_yes_to_a_proposal_takes_it(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("y").text("Its name", default="chin-tip") == "chin-tip"
    assert "  -> chin-tip\n" in capsys.readouterr().out
    assert typed("y").text("Its name") == "y"
    assert typed("Yes").choose("Stage", STAGES, default="mold") == "mold"


def test_a_letter_in_the_middle_of_a_word_means_nothing(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    harms = [Offer("cosmetic"), Offer("piece lost"), Offer("somebody hurt")]
    assert typed("y", "").choose("The worst", harms) == ""
    assert "Did you mean" not in capsys.readouterr().out


def test_a_needed_text_and_a_wrong_one_are_asked_for_again(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    def check(answer: str) -> str:
        return "" if answer.isdigit() else f"`{answer}` is no number."

    assert typed("", "two", "2").text("How many", needed=True, check=check) == "2"
    assert capsys.readouterr().out.split("How many: ")[1:] == [
        "  An answer is needed here.\n", "  `two` is no number.\n", ""
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "chosen"),
    [("5", "cast"), ("cast", "cast"), ("CAST", "cast"), ("fin", "finish"), ("scul", "sculpt"), ("life", "lifecast")],
)
def test_an_offer_is_chosen_by_number_name_or_the_beginning_of_a_word(answer: str, chosen: str, typed: Typed) -> None:
    assert typed(answer).choose("Stage", STAGES) == chosen


@pytest.mark.parametrize(
    ("answer", "meant"),
    [("f", "finish"), ("fi", "finish"), ("ulp", "sculpt"), ("cas", "cast"), ("m", "mold"), ("scluptt", "sculpt")],
)
def test_a_letter_or_two_a_middle_and_a_slip_are_asked_about(
    answer: str, meant: str, typed: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    assert typed(answer, "").choose("Stage", STAGES) == meant
    assert f"Did you mean `{meant}`? [yes]" in capsys.readouterr().out
    assert typed(answer, "no", "core").choose("Stage", STAGES) == "core"


def test_what_was_not_typed_in_full_is_shown(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    for answers, shown in (
        (("5",), ["  -> cast"]), (("fin",), ["  -> finish"]), (("m", "y"), ["  -> mold"]), (("cast",), []), (("",), [])
    ):  # fmt: skip
        typed(*answers).choose("Stage", STAGES)
        assert re.findall(r"  -> \w+", capsys.readouterr().out) == shown
    typed("1, fin, core").several("Stages", STAGES)
    assert re.findall(r"  -> \w+", capsys.readouterr().out) == ["  -> lifecast", "  -> finish"]


@pytest.mark.parametrize(
    ("answer", "chosen"),
    [
        ("gel a", "gel-a"),
        ("Gel A", "gel-a"),
        ("Gél a", "gel-a"),
        ("soft gel", "gel-soft"),
        ("gel, part a", "gel-thick"),
    ],
)
def test_a_name_or_a_title_in_full_wins_at_once(answer: str, chosen: str, typed: Typed) -> None:
    gels = [
        Offer("gel-a-old", "Gel A, before"),
        Offer("gel-a"),
        Offer("gel-soft", "Soft gel"),
        Offer("gel-thick", "Gel, part A"),
    ]
    assert typed(answer).choose("Which", gels) == chosen
    assert typed(answer).choose("Which", gels, own=True) == chosen


FAMILIES = [Offer(word) for word in FAMILIES_OF_THE_TRADE]


def test_a_number_counts_in_the_list_that_is_in_sight(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("silicon", "2").choose("Family", FAMILIES) == "tin-silicone"
    narrowed = capsys.readouterr().out.partition("fit `silicon`")[2]
    held = [offer.value for offer in FAMILIES if "silicone" in offer.value]
    for number, value in enumerate(held[:12], start=1):
        assert f"{number:>5}  {value}\n" in narrowed
    assert f"and {len(held) - 12} more" in narrowed
    assert typed("silicon", "12").choose("Family", FAMILIES) == held[11]
    assert typed("face", "1").choose("Recipe", RECIPES) == "cast/face-piece"
    recipes = [*RECIPES[2:], *RECIPES[:2]]
    assert typed("face", "1").choose("Recipe", recipes) == "cast/face-piece"
    assert typed("face", "?", "1").choose("Recipe", recipes) == "cast/brow-bands"
    assert typed("face, 1", "2").several("Recipe", recipes) == ("mold/face-mold", "cast/brow-bands")


def test_a_number_that_stands_in_no_list_in_sight_chooses_nothing(
    typed: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    assert typed("62", "?", "62").choose("Family", FAMILIES) == "lace"
    assert "`62` is not in the list you see. Type a number from 1 to 12" in capsys.readouterr().out
    assert typed("62", "1").choose("Family", FAMILIES, own=True) == "platinum-silicone"
    assert typed("62", "62").choose("Family", FAMILIES, own=True) == "62"


def test_a_question_mark_lists_everything(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("?", "1").choose("Family", FAMILIES) == "platinum-silicone"
    assert "   69  disposable\n" in capsys.readouterr().out
    assert typed("?", "69").several("Family", FAMILIES, own=True) == ("disposable",)
    assert "   69  disposable\n" in capsys.readouterr().out
    assert typed("silicon", "?", "69").choose("Family", FAMILIES, own=True) == "disposable"
    assert typed("?", "a title").text("Title") == "a title"
    assert "There is no list here" in capsys.readouterr().out


def test_a_slip_is_asked_about_where_own_words_may_stand(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("platnum", "y").several("Family", FAMILIES, own=True) == ("platinum-silicone",)
    assert "Nothing here is called `platnum`.\nDid you mean `platinum-silicone`? [yes]" in capsys.readouterr().out
    assert typed("platnum", "n").several("Family", FAMILIES, own=True) == ("platnum",)
    assert typed("silcone", "silcone").choose("Family", FAMILIES, own=True) == "silcone"
    assert "13 of them fit `silcone`; type it again to keep it as typed:" in capsys.readouterr().out
    assert typed("bio-gel").choose("Family", FAMILIES, own=True) == "bio-gel"
    assert typed("cast/fcae-piece", "").choose("What", RECIPES, own=True) == "cast/face-piece"
    assert typed("a tear at the chin").choose("What", RECIPES, own=True) == "a tear at the chin"


def test_a_way_back_is_asked_for_at_every_question(typed: Typed) -> None:
    for ask in (
        lambda: typed("<").text("a", needed=True),
        lambda: typed("<").choose("a", STAGES),
        lambda: typed("glue", "<").choose("a", STAGES),
        lambda: typed("<").several("a", STAGES),
        lambda: typed("<").agree("a", default=True),
        lambda: typed("back").agree("a", default=True),
    ):
        with pytest.raises(BackError):
            ask()
    # Where the question only asks what an answer meant, the way back is to the answer.
    assert typed("m", "<", "core").choose("Stage", STAGES) == "core"
    assert typed("s", "<", "core").several("Stage", STAGES) == ("core",)


@pytest.mark.parametrize(
    ("answer", "chosen"),
    [("brow", "cast/brow-bands"), ("two-part", "mold/face-mold"), ("chin cheeks", "cast/face-piece")],
)
def test_a_name_without_its_folder_and_words_of_a_title_find_it(answer: str, chosen: str, typed: Typed) -> None:
    assert typed(answer).choose("Recipe", RECIPES) == chosen


def test_letters_that_fit_several_narrow_the_list(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("face", "2").choose("Recipe", RECIPES) == "mold/face-mold"
    assert "2 of them fit `face`:" in capsys.readouterr().out


def test_enter_chooses_the_default_or_nothing_and_never_where_an_answer_is_needed(typed: Typed) -> None:
    assert typed("").choose("Stage", STAGES, default="mold") == "mold"
    assert typed("").choose("Stage", STAGES) == ""
    assert typed("", "mold").choose("Stage", STAGES, needed=True) == "mold"


def test_what_is_no_offer_is_told_with_how_to_answer(typed: Typed, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed("9", "glue", "1").choose("Stage", STAGES) == "lifecast"
    out = capsys.readouterr().out
    assert "  Nothing here is called `9`. Type a number from 1 to 6, or letters of a name; `?` lists all.\n" in out
    assert "  Nothing here is called `glue`." in out


def test_own_words_are_an_answer_where_they_may_be(typed: Typed) -> None:
    assert typed("a tear").choose("What", RECIPES, own=True) == "a tear"
    assert typed("cheeks", "y").choose("What", RECIPES, own=True) == "cast/face-piece"
    assert typed("cheeks", "n").choose("What", RECIPES, own=True) == "cheeks"
    assert typed("face", "face").choose("What", RECIPES, own=True) == "face"
    assert typed("cast/face-piece").choose("What", RECIPES, own=True) == "cast/face-piece"


def test_a_long_list_is_shown_short_and_every_entry_of_it_can_be_found(
    typed: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    many = [Offer(f"family-{number}") for number in range(40)]
    assert typed("family-33").choose("Family", many) == "family-33"
    out = capsys.readouterr().out
    assert out.count("\n") == 13
    assert "and 28 more; type a few letters to find one" in out
    assert typed("ily-3", "family-33").choose("Family", many) == "family-33"
    assert "11 of them fit `ily-3`:" in capsys.readouterr().out


def test_the_same_list_is_not_printed_twice_and_long_words_are_cut(
    typed: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    offers = [*STAGES, Offer("wear", "on set " * 40)]
    terminal = typed("1", "2")
    terminal.choose("Stage", offers)
    first = capsys.readouterr().out
    assert max(len(line) for line in first.split("\n")) <= 114
    assert terminal.choose("Stage", offers) == "sculpt"
    assert capsys.readouterr().out == "       1 to 7 as listed above; `?` lists them again\nStage:   -> sculpt\n"


def test_several_are_chosen_with_commas_each_as_one_is(typed: Typed) -> None:
    assert typed("brow, 1, cast/brow-bands").several("Which", RECIPES) == ("cast/brow-bands", "cast/face-piece")
    assert typed("").several("Which", RECIPES) == ()
    assert typed("face, brow", "2").several("Which", RECIPES) == ("mold/face-mold", "cast/brow-bands")
    assert typed("glue", "brow").several("Which", RECIPES) == ("cast/brow-bands",)
    assert typed("glue, brow", "").several("Which", RECIPES, own=True) == ("glue", "cast/brow-bands")


@pytest.mark.parametrize(("answer", "meant"), [("y", True), ("Yes", True), ("n", False), ("NO", False), ("", True)])
def test_a_yes_or_a_no(answer: str, meant: bool, typed: Typed) -> None:
    assert typed("maybe", answer).agree("Write it?", default=True) is meant


def test_a_letter_in_another_encoding_is_asked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    keyboard = io.TextIOWrapper(io.BytesIO(b"M\xfcller\nMueller\n"), encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", keyboard)
    assert Terminal().text("Title") == "Mueller"


def test_the_end_of_the_input_stops_every_question(typed: Typed) -> None:
    terminal = typed()
    for ask in (
        lambda: terminal.text("a", needed=True),
        lambda: terminal.choose("a", STAGES),
        lambda: terminal.several("a", STAGES),
        lambda: terminal.agree("a", default=True),
    ):
        with pytest.raises(StoppedError, match=r"^Stopped; nothing was written\.$"):
            ask()
