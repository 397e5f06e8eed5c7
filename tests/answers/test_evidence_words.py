"""How the record of a fix is said."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mothermold.answers.evidence import fix_words, weigh_evidence
from mothermold.answers.troubles import troubles
from mothermold.cli.commands import question_of
from mothermold.pages.documents import document_page
from mothermold.reckon.proportions import Tally
from mothermold.view.evidence import FixRecord
from mothermold.view.view import View, open_view


@pytest.mark.parametrize(
    ("recipe", "before", "after", "makings", "said"),
    [
        ("cast/cheek", (2, 4), (0, 4), (0, 0), "2 of 4 before, none of 4 since; 8 more clean runs would settle it"),
        ("cast/cheek", (2, 2), (0, 4), (0, 0), "2 of 2 before, none of 4 since; 1 more clean run would settle it"),
        ("cast/cheek", (3, 4), (0, 8), (0, 0), "3 of 4 before, none of 8 since"),
        ("cast/cheek", (1, 4), (4, 4), (0, 0), "1 of 4 before, 4 of 4 since"),
        ("cast/cheek", (0, 3), (1, 2), (0, 0), "none of 3 before, 1 of 2 since; it never failed before, so runs cannot settle it"),
        ("cast/cheek", (0, 0), (0, 2), (0, 0), "no run before, none of 2 since; nothing was counted before, so runs cannot settle it"),
        ("cast/cheek", (1, 400), (0, 1), (0, 0), "1 of 400 before, none of 1 since; the runs will not tell"),
        ("cast/cheek", (1, 5), (0, 1), (0, 0), "1 of 5 before, none of 1 since; the runs will not tell"),
        ("mold/shell", (6, 7), (0, 3), (2, 1), "6 of 7 before (2 molds), none of 3 since (1 mold)"),
        ("lifecast/head", (3, 4), (0, 8), (1, 2), "3 of 4 before (1 cast of the head), none of 8 since (2 casts of the head)"),
        ("finish/wash", (3, 4), (0, 8), (3, 8), "3 of 4 before, none of 8 since"),
    ],
)  # fmt: skip
def test_a_record_is_said_in_plain_counts(
    recipe: str, before: tuple[int, int], after: tuple[int, int], makings: tuple[int, int], said: str
) -> None:
    assert fix_words(FixRecord(recipe, 2, Tally(*before), Tally(*after), (), makings)) == said


FIXED = """\
title: Air
seen_at: cast
noticed: [cast/cheek#open]
symptoms: [a hole]
fixes: [{do: Roll it up, in: cast/cheek@2}]
"""


def laid_out(folder: Path, note: str, *runs: tuple[str, str]) -> View:
    """A book with one recipe, one failure note, and runs: each its version and what else it says."""
    recipe = (
        "title: Cheek\nstage: cast\nversion: 2\nwhy: Rolled.\nstatus: locked\nsteps:\n  - {id: open, title: Open}\n"
    )
    files = {"book": "title: A book\n", "cast/cheek": recipe, "failures/air": note}
    for number, (version, more) in enumerate(runs):
        files[f"runs/r-{number}"] = (
            f"id: r-{number}\nrecipe: cast/cheek@{version}\nstarted: 2026-03-{number + 1:02} 09:00\n{more}"
        )
    for name, text in files.items():
        path = folder / f"recipes/{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return open_view(folder, "private")


GOOD = "outcome: good\n"
WENT = "went_wrong: [{failure: air}]\n"
HURT = "went_wrong: [{failure: air, harm: somebody hurt}]\n"


def test_pulls_and_tests_that_failed_stand_beside_never_failed_before(tmp_path: Path) -> None:
    runs = (("1", GOOD), ("1", f"kind: pull\noutcome: usable\n{WENT}"), ("1", f"kind: test\n{WENT}"), ("2", GOOD))
    view = laid_out(tmp_path, FIXED, *runs)
    said = weigh_evidence(view, "air").data["fixes"][0]["words"]
    assert said == (
        "none of 1 before, none of 1 since; it never failed before, so runs cannot settle it "
        "(it happened in 1 first pull and 1 test, which are not counted)"
    )


def test_a_pull_that_failed_since_the_fix_is_not_told_as_before_it(tmp_path: Path) -> None:
    view = laid_out(tmp_path, FIXED, ("1", GOOD), ("2", f"kind: pull\noutcome: good\n{WENT}"), ("2", GOOD))
    assert weigh_evidence(view, "air").data["fixes"][0]["words"].endswith("runs cannot settle it")


@pytest.mark.parametrize("by", ["note", "run"])
def test_where_somebody_was_hurt_nothing_boasts_of_clean_faces(by: str, tmp_path: Path) -> None:
    note = FIXED + ("harm: somebody hurt\n" if by == "note" else "")
    bad = GOOD + (HURT if by == "run" else WENT)
    view = laid_out(tmp_path, note, ("1", bad), ("1", bad), ("1", bad), *[("2", GOOD)] * 9)
    result = weigh_evidence(view, "air")
    fix = result.data["fixes"][0]
    assert (fix["verdict"], fix["before"], fix["after"]) == ("held", [3, 3], [0, 9])
    said = "it happened 3 times before; somebody was hurt, and clean faces prove nothing for the next one"
    assert fix["words"] == said
    text = question_of("evidence").text(result)
    page = re.sub(r"<[^>]+>", " ", document_page(view, "failure", "air").body)
    for told in (text, page):
        assert said in " ".join(told.split())
        for boast in ("fix held", "of 9", "of 12", "clean run ", "p = 0", "12 runs"):
            assert boast not in told
    (trouble,) = troubles(view)
    assert trouble.keeps_going_wrong


def test_of_many_runs_the_last_forty_stand_in_the_chart_and_the_rest_is_said(tmp_path: Path) -> None:
    recipe = "title: Cheek\nstage: cast\nversion: 1\nstatus: locked\nsteps:\n  - {id: open, title: Open}\n"
    note = "title: Air\nseen_at: cast\nnoticed: [cast/cheek#open]\nsymptoms: [a hole]\n"
    for name, text in (("book", "title: A book\n"), ("cast/cheek", recipe), ("failures/air", note)):
        path = tmp_path / f"recipes/{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (tmp_path / "recipes/runs").mkdir()
    for number in range(45):
        name, went = f"r-{number}", "went_wrong: [{failure: air}]\n" if number in (0, 44) else ""
        text = f"id: {name}\nrecipe: cast/cheek@1\nstarted: 2026-03-01 {number // 60:02d}:{number % 60:02d}\noutcome: good\n{went}"
        (tmp_path / f"recipes/runs/{name}.yaml").write_text(text, encoding="utf-8")
    body = document_page(open_view(tmp_path, "private"), "failure", "air").body
    assert (body.count('class="failed" cx'), body.count('class="clean" cx')) == (1, 39)
    assert "5 older ones left out" in body
