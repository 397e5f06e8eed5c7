"""The rules a book adds, as notices of the book: where they bite, how they are accepted, and what is wrong with them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from history.repositories import FIRST, SECOND, empty_book, start_repository
from mothermold.answers.difference import explain_difference
from mothermold.answers.result import Result
from mothermold.cli.commands import question_of
from mothermold.ground.notices import Notice
from mothermold.view.editions import EDITIONS
from mothermold.view.view import open_view
from view.own_rule import ADDS, CAP, MATERIAL, RULE, add, lay_out, write

PLACE = ("recipes/finish/cap.yaml", 18)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "book")


def told(book: Path, *, edition: str = "private") -> list[Notice]:
    return [each for each in open_view(book, edition).notices if each.code != "no-repository"]  # type: ignore[arg-type]


@pytest.mark.parametrize("edition", EDITIONS)
def test_it_is_a_notice_on_the_use_where_it_bites_in_every_edition(book: Path, edition: str) -> None:
    (notice,) = told(book, edition=edition)
    assert (notice.code, notice.severity, notice.file, notice.line) == (RULE, "warning", *PLACE)
    assert notice.message == "`gel` meets `latex` on `cap` in step `edge`: it stays tacky where they touch."
    assert notice.help == "Use a cap of another material."


def test_what_can_hurt_is_an_error_and_can_be_accepted_all_the_same(book: Path) -> None:
    add(book, ADDS.replace("damages the result", "can hurt"))
    assert [(each.code, each.severity) for each in told(book)] == [(RULE, "error")]
    write(book, "finish/cap", CAP + f"accepts:\n  - {{rule: {RULE}, where: '#edge', because: Tried on a spare.}}\n")
    assert told(book) == []


def test_it_is_accepted_with_a_reason_and_not_in_vain(book: Path) -> None:
    accepted = f"accepts:\n  - {{rule: {RULE}, where: 'finish/cap#STEP', because: Tried on a spare.}}\n"
    write(book, "finish/cap", CAP + accepted.replace("STEP", "edge"))
    assert told(book) == []
    view = open_view(book, "public")
    (document,) = [view.documents.on("recipe")["finish/cap"]]
    found = view.ruling.of_recipe("finish/cap", document.model)  # type: ignore[arg-type]
    assert [each.accepted for each in found if each.rule.id == RULE] == ["Tried on a spare."]
    write(book, "finish/cap", CAP + accepted.replace("STEP", "latex"))
    assert [each.code for each in told(book)] == [RULE, "nothing-to-accept"]


def test_a_slip_in_its_name_is_offered_the_right_one(book: Path) -> None:
    write(book, "finish/cap", CAP + "accepts:\n  - {rule: bio-gel-on-latx, where: '#edge', because: Tried.}\n")
    assert [each.help for each in told(book) if each.code == "unknown-rule"] == [f"Did you mean `{RULE}`?"]


def test_that_a_test_of_it_failed_is_told_only_where_the_test_may_be_seen(book: Path) -> None:
    trial = """\
id: r-2026-03-01-cap
kind: test
started: 2026-03-01 10:00
asks: cure
between: [gel, latex]
cups:
  - {result: RESULT}
"""
    write(book, "runs/r-2026-03-01-cap", trial.replace("RESULT", "failed"))
    assert "`r-2026-03-01-cap` did not pass" in told(book)[0].help
    assert [each.help for each in told(book, edition="public")] == ["Use a cap of another material."]
    write(book, "runs/r-2026-03-01-cap", trial.replace("RESULT", "passed"))
    assert told(book) == told(book, edition="public") == []


@pytest.mark.parametrize(
    ("right", "wrong", "code", "word"),
    [
        ("layer: [barrier]", "layer: [barier]", "unknown-family", "barier"),
        ("families: [natural-latex]", "families: [natural-latx]", "unknown-family", "natural-latx"),
        ("as: [cast, coat]", "as: [cast, cot]", "unknown-word", "cot"),
        ("id: bio-gel-on-latex", "id: platinum-on-tin", "duplicate-id", "platinum-on-tin"),
        ("id: bio-gel-on-latex", "id: straws", "duplicate-id", "straws"),
        ("weighs: damages", "weigh: damages", "unknown-key", "weigh"),
        ("happens: it stays tacky where they touch", 'happens: ""', "empty-value", '""'),
    ],
)
def test_a_slip_in_it_comes_first_and_alone(book: Path, right: str, wrong: str, code: str, word: str) -> None:
    # Neither that the rule bites is said then, for a remedy may be the slip, nor that it cannot be accepted.
    write(book, "finish/cap", CAP + f"accepts:\n  - {{rule: {RULE}, where: '#latex', because: Tried.}}\n")
    add(book, ADDS.replace(right, wrong))
    (notice,) = told(book)
    text = (book / "recipes" / "book.yaml").read_text(encoding="utf-8").split("\n")
    line = next(number for number, each in enumerate(text, 1) if wrong in each)
    assert (notice.code, notice.file, notice.line) == (code, "recipes/book.yaml", line)
    assert text[line - 1][(notice.column or 0) - 1 :].startswith(word)


def test_a_settings_file_without_any_slip_says_nothing_of_skin_and_own_words(book: Path) -> None:
    own = ADDS.replace("families: [natural-latex]", "families: [skin, hair, bio-gel]")
    add(book, own.replace("as: [cast, coat]", "as: burnish, stages: repair") + "  as: burnish\n  stages: [repair]\n")
    assert told(book) == []


def test_a_difference_tells_it_by_its_title(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    settings = {"recipes/book.yaml": "title: A book\n" + ADDS}
    materials = {
        f"recipes/materials/{name}.yaml": MATERIAL.format(family=family)
        for name, family in (("gel", "bio-gel"), ("latex", "natural-latex"))
    }
    repository.save(FIRST, empty_book() | settings | materials | {"recipes/finish/cap.yaml": CAP})
    newer = CAP.replace("version: 1", "version: 2\nwhy: Another try.")
    repository.save(SECOND, {"recipes/finish/cap.yaml": newer.replace("wait: 10 min", "wait: 40 min", 1)})
    gone = explain_difference(open_view(tmp_path / "book", "private"), "finish/cap", "1", "2")
    assert [row["sentence"] for row in rule_rows(gone)] == ["No longer breaks: Bio gel on latex."]
    uses = "    uses:\n      - {{material: {material}, as: coat, on: cap, amount: 1 g}}\n"
    once_more = "".join(
        f"  - id: {name}-again\n    title: More {name}\n{uses.format(material=name)}" for name in ("latex", "gel")
    )
    repository.write({"recipes/finish/cap.yaml": newer.replace("surfaces:", f"{once_more}surfaces:")})
    twice = explain_difference(open_view(tmp_path / "book", "private"), "finish/cap", "1", "working")
    rows = [(row["before"], row["after"], row["title"], row["sentence"]) for row in rule_rows(twice)]
    assert rows == [(1.0, 2.0, "Bio gel on latex", "")]
    assert "rule broken: Bio gel on latex" in question_of("diff").text(twice)


def rule_rows(result: Result) -> list[dict[str, Any]]:
    return [row for row in result.data["consequences"] if row["what"] == f"rule:{RULE}"]
