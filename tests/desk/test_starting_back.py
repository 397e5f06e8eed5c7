"""No answer costs all others: there is a way back from every question, and nothing is written on it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from desk.sitting import NOW, Answers, begin, files
from mothermold.cli.asking import Terminal
from mothermold.desk.asking import BackError, StoppedError
from mothermold.desk.founding import found_book
from mothermold.desk.starting import start
from mothermold.desk.walking import HINT


@pytest.fixture
def book(tmp_path: Path) -> Path:
    found_book(tmp_path / "book")
    return tmp_path / "book"


def test_one_step_back_asks_the_question_before_again_and_keeps_the_rest(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = ["Wax", "", "wax", "<", "water", "1.1", "", "20E5", "<", "<", "1 kg", "9.00", "", "", "", "", "", ""]
    document = begin(book, "material", answers, monkeypatch)
    assert document.raw == {
        "title": "Wax", "families": ["water"], "density": "1.1 g/ml", "packs": [{"size": "1 kg", "price": "9.00"}],
        "lots": [{"lot": "20E5"}],
    }  # fmt: skip
    told = capsys.readouterr().out
    assert told.count("What it is, without a brand") == 1
    assert told.count("Which family") == 2


def test_every_question_of_a_sitting_leads_back_to_the_first(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    there = ["Mold 1", "", "", "negative", "lid", "", "W1", "97", "casting", "8", "C3"]
    again = ["Mold 2", "", "", "core", "-", "W2", "", "-", "", "", ""]
    document = begin(book, "mold", [*there, *["<"] * len(there), *again], monkeypatch)
    assert document.address == "mold-2", "a name is proposed anew from a new title"
    assert document.raw == {
        "title": "Mold 2", "made": "unknown", "parts": [{"what": "core"}], "wearer": "W2", "cavity": {"volume": "97 ml"},
        "bolts": "8", "shelf": "C3",
    }  # fmt: skip


@pytest.mark.parametrize("back", ["<", "back"])
def test_at_the_end_one_can_go_back_too(
    back: str, book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    document = begin(book, "course", ["First term", "", "", "11", back, "12", ""], monkeypatch)
    assert document.raw["students"] == "12"
    assert capsys.readouterr().out.count("Write it? (yes, no, or back)") == 2


def test_the_kind_can_be_taken_back(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = ["mold", "<", "course", "First term", "", "", "", ""]
    assert begin(book, None, answers, monkeypatch).kind == "course"


def test_before_the_first_question_there_is_none(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    begin(book, "course", ["<", "<", "First term", "", "", "", ""], monkeypatch)
    told = capsys.readouterr().out
    assert told.count("This is the first question.") == 2
    assert told.startswith(f"{HINT}\n")
    assert told.count(HINT) == 1, "it is said once"


def test_going_back_and_stopping_writes_nothing(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = files(book)
    monkeypatch.setattr(sys, "stdin", Answers(["Wax", "", "<"]))
    with pytest.raises(StoppedError, match="nothing was written"):
        start(book, Terminal(), "material", now=NOW)
    assert files(book) == before


def test_where_nothing_leads_back_it_stops_as_ctrl_c_does() -> None:
    assert issubclass(BackError, StoppedError)
