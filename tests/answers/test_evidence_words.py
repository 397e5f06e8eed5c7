"""How the record of a fix is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.answers.evidence import fix_words
from mothermold.reckon.proportions import Tally
from mothermold.site.documents import document_page
from mothermold.view.evidence import FixRecord
from mothermold.view.view import open_view


@pytest.mark.parametrize(
    ("recipe", "before", "after", "makings", "said"),
    [
        ("cast/cheek", (2, 4), (0, 4), (0, 0), "2 of 4 before, none of 4 since; 8 more clean runs would settle it"),
        ("cast/cheek", (2, 2), (0, 4), (0, 0), "2 of 2 before, none of 4 since; 1 more clean run would settle it"),
        ("cast/cheek", (3, 4), (0, 8), (0, 0), "3 of 4 before, none of 8 since"),
        ("cast/cheek", (1, 4), (4, 4), (0, 0), "1 of 4 before, 4 of 4 since"),
        ("cast/cheek", (0, 3), (1, 2), (0, 0), "none of 3 before, 1 of 2 since; as it never failed before, runs cannot settle it"),
        ("cast/cheek", (0, 0), (0, 2), (0, 0), "no run before, none of 2 since; as it never failed before, runs cannot settle it"),
        ("cast/cheek", (1, 400), (0, 1), (0, 0), "1 of 400 before, none of 1 since; even 200 more clean runs would not settle it"),
        ("mold/shell", (6, 7), (0, 3), (2, 1), "6 of 7 before (2 molds), none of 3 since (1 mold)"),
        ("lifecast/head", (3, 4), (0, 8), (1, 2), "3 of 4 before (1 cast of the head), none of 8 since (2 casts of the head)"),
        ("finish/wash", (3, 4), (0, 8), (3, 8), "3 of 4 before, none of 8 since"),
    ],
)  # fmt: skip
def test_a_record_is_said_in_plain_counts(
    recipe: str, before: tuple[int, int], after: tuple[int, int], makings: tuple[int, int], said: str
) -> None:
    assert fix_words(FixRecord(recipe, 2, Tally(*before), Tally(*after), (), makings)) == said


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
