"""Finding in a book: its own words, the sides a search is narrowed down by, and what is no side."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from mothermold.answers.findable import findable
from mothermold.answers.troubles import troubles
from mothermold.cli.main import main
from mothermold.find.related import related
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def found(book: Path, capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    assert main(["-C", str(book), "find", *words, "--format", "json"]) == 0
    return [each["id"] for each in json.loads(capsys.readouterr().out)["results"]]


def test_the_shape_of_an_answer(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(book), "find", "air", "pocket", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["query"] == "air pocket"
    (first, *_) = told["results"]
    assert {"id", "kind", "title", "score", "now"} <= first.keys()
    assert (first["id"], first["kind"], first["title"]) == ("air-at-cheek", "failure", "Air pocket at the cheek")
    assert first["now"][0].startswith("Fill the hole")
    assert (first["stage"], first["harm"], first["answer"]) == ("cast", "piece lost", "too few runs")
    assert isinstance(first["score"], int)
    assert told["unknown"] == []
    assert first["line"] == "Air pocket at the cheek"
    assert all(each["line"] for each in told["results"])


@pytest.fixture
def crowded(tmp_path: Path) -> Path:
    """Thirty failures and one material of one word."""
    (tmp_path / "recipes" / "failures").mkdir(parents=True)
    (tmp_path / "recipes" / "materials").mkdir()
    (tmp_path / "recipes" / "book.yaml").write_text("title: Crowded\ncurrency: EUR\ntime_zone: Europe/Berlin\n")
    for number in range(30):
        note = f"title: Zorblat rim {number}\nseen_at: cast\nsymptoms: [zorblat]\n"
        (tmp_path / "recipes" / "failures" / f"zorblat-{number}.yaml").write_text(note)
    (tmp_path / "recipes" / "materials" / "zorblat.yaml").write_text("title: Zorblat filler\nfamilies: [filler]\n")
    return tmp_path


def test_of_many_hits_twelve_are_told_and_the_best_of_each_kind_is_among_them(
    crowded: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(crowded), "find", "zorblat"]) == 0
    told = capsys.readouterr().out
    assert len(re.findall(r"^failure ", told, re.M)) == 11
    assert len(re.findall(r"^material ", told, re.M)) == 1
    assert "And 19 more: add a word, narrow it down as with --stage cast, or type --all." in told


def test_all_hits_are_told_where_all_are_asked_for_and_always_handed_over(
    crowded: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(crowded), "find", "zorblat", "--all"]) == 0
    told = capsys.readouterr().out
    assert len(re.findall(r"^failure ", told, re.M)) == 30
    assert "more" not in told
    assert len(found(crowded, capsys, "zorblat")) == 31


def test_nothing_found_is_an_answer(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert found(book, capsys, "zeppelin") == []


def test_words_found_nowhere_are_said(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(book), "find", "Zeppelin", "air", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["unknown"] == ["zeppelin"]
    assert told["results"][0]["id"] == "air-at-cheek"
    assert main(["-C", str(book), "find", "zeppelin", "air"]) == 0
    assert capsys.readouterr().out.startswith("Nothing in the book says: zeppelin\nfailure")


def test_somebody_hurt_stands_before_what_the_book_does_not_say(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(book), "find", "glue", "in", "his", "eye", "--format", "json"]) == 0
    (first, *_) = json.loads(capsys.readouterr().out)["results"]
    assert (first["kind"], first["line"]) == ("hurt", "In the eye")
    assert main(["-C", str(book), "find", "glue", "in", "his", "eye", "zeppelin"]) == 0
    assert capsys.readouterr().out.startswith("SOMEBODY IS HURT")


def test_kinds_come_in_their_order(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(book), "find", "cheek", "silicone", "--format", "json"]) == 0
    kinds = list(dict.fromkeys(each["kind"] for each in json.loads(capsys.readouterr().out)["results"]))
    order = ["hurt", "failure", "recipe", "run", "rule", "sum", "piece", "lot", "material", "mold", "build", "course"]
    assert kinds == [kind for kind in order if kind in kinds]
    assert len(kinds) > 4


def test_a_book_adds_rows_of_words_with_one_meaning(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert found(book, capsys, "schmutzloch") == []
    with (book / "recipes/book.yaml").open("a", encoding="utf-8") as settings:
        settings.write("adds:\n  same_words:\n    - [schmutzloch, air pocket]\n")
    assert found(book, capsys, "schmutzloch")[0] == "air-at-cheek"
    assert [notice.code for notice in open_view(book, "private").notices if notice.file == "recipes/book.yaml"] == []


@pytest.mark.parametrize(
    ("query", "kind", "name", "leads"),
    [
        ("urethane on damp stone", "rule", "urethane-on-damp-stone", {"kind": "page", "id": "rules"}),
        ("gypsum water", "sum", "gypsum", {"kind": "page", "id": "sums"}),
        ("pot life", "sum", "pot-life", {"kind": "page", "id": "sums"}),
        ("may this touch that", "sum", "may-touch", {"kind": "page", "id": "touch"}),
    ],
)
def test_rules_and_sums_are_found(
    query: str, kind: str, name: str, leads: dict[str, str], book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(book), "find", *query.split(), "--format", "json"]) == 0
    results = json.loads(capsys.readouterr().out)["results"]
    (hit,) = [each for each in results if (each["kind"], each["id"]) == (kind, name)]
    assert hit["leads_to"] == leads
    assert next(each for each in results if each["kind"] == kind) == hit


@pytest.mark.parametrize(
    ("side", "word", "ids"),
    [
        ("--stage", "cast", ["air-at-cheek", "torn-edge"]), ("--stage", "mold", []),
        ("--answer", "open", ["torn-edge"]), ("--answer", "too few runs", ["air-at-cheek"]),
        ("--harm", "piece lost", ["air-at-cheek"]), ("--harm", "cosmetic", ["torn-edge"]),
    ],
)  # fmt: skip
def test_a_search_is_narrowed_down(
    side: str, word: str, ids: list[str], book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sorted(each for each in found(book, capsys, "edge", side, word) + found(book, capsys, "air", side, word) if each in
                  {"air-at-cheek", "torn-edge"}) == ids  # fmt: skip


def test_the_material_at_the_step_narrows_too(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sides = findable(open_view(book, "private")).sides
    families = sides["recipe", "cast/cheek"].families
    assert "platinum-silicone" in families
    assert "cast/cheek" in found(book, capsys, "cheek", "--family", "platinum-silicone")
    assert found(book, capsys, "cheek", "--family", "alginate") == []


@pytest.mark.parametrize(
    ("side", "word", "near"),
    [("--stage", "csat", "cast"), ("--answer", "opne", "open"), ("--harm", "mold los", "mold lost")],
)
def test_a_side_that_is_none_is_refused_with_the_near_one(
    side: str, word: str, near: str, book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(book), "find", "air", side, word, "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["query"], told["results"]) == (None, [])
    (notice,) = told["notices"]
    assert notice["code"] == "unknown-word"
    assert f"`{near}`" in notice["help"]


def test_a_rescue_that_is_one_plain_text_is_found_in_a_broken_note_too(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = "title: Loose lid\nseen_at: cast\nsymptoms: the lid hangs\nnow: Stop at once.\nharm: dreadful\n"
    (book / "recipes/failures/loose-lid.yaml").write_text(broken, encoding="utf-8")
    assert main(["-C", str(book), "find", "lid", "hangs", "--format", "json"]) == 0
    (first, *_) = json.loads(capsys.readouterr().out)["results"]
    assert (first["id"], first["now"]) == ("loose-lid", ["Stop at once."])


def test_of_the_fixes_in_one_recipe_the_newest_is_told(book: Path) -> None:
    runs = {1: (4, 4), 2: (0, 7), 3: (3, 3), 4: (5, 5)}
    for version, (failed, count) in runs.items():
        for number in range(count):
            name = f"r-2026-0{version}-{number + 1:02d}-back"
            went = "went_wrong: [{failure: came-back, step: open}]\n" if number < failed else ""
            text = f"id: {name}\nrecipe: cast/cheek@{version}\nstarted: 2026-0{version}-{number + 1:02d} 09:00\noutcome: good\n{went}"
            (book / f"recipes/runs/{name}.yaml").write_text(text, encoding="utf-8")
    note = """\
title: It came back
seen_at: cast
noticed: [cast/cheek#open]
symptoms: [again]
fixes:
  - {do: This, in: cast/cheek@2}
  - {do: That, in: cast/cheek@4}
"""
    (book / "recipes/failures/came-back.yaml").write_text(note, encoding="utf-8")
    view = open_view(book, "private")
    assert [fix.verdict for fix in view.evidence.of("came-back").fixes] == ["held", "worse"]
    assert {each.name: each.answer for each in troubles(view)}["came-back"] == "worse"


def test_the_neighbors_of_a_note_share_rare_words_and_a_book_of_two_has_none(book: Path) -> None:
    assert related(findable(open_view(book, "private")).index, "failure") == {}
    for number in range(8):
        text = f"title: Thing number {number}\nseen_at: cast\nsymptoms: [something {number}]\n"
        (book / f"recipes/failures/other-{number}.yaml").write_text(text, encoding="utf-8")
    twin = "title: Pocket of air under the skin of the cheek\nseen_at: cast\nsymptoms: [pinholes along the cheek]\n"
    (book / "recipes/failures/air-again.yaml").write_text(twin, encoding="utf-8")
    near = related(findable(open_view(book, "private")).index, "failure")
    assert [entry.id for entry in near["air-again"]] == ["air-at-cheek"]
    assert [entry.id for entry in near["air-at-cheek"]] == ["air-again"]
