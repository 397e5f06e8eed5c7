"""What runs say in plain counts: how they ended, and how often a failure happened at which version."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import FIRST, SECOND, THIRD, Repository, start_repository
from mothermold.answers.records import record_of, run_title, runs_of, runs_with, went_wrong_in
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.view.view import View, open_view

RECIPE = """\
title: Cheek, {title}
stage: cast
version: {version}
status: locked
why: Because.
steps:
  - id: open
    title: Open
    hands_on: 5 min
"""
FAILURE = """\
title: Air at the cheek
seen_at: cast
symptoms: a bubble
noticed: cast/cheek#open
"""
RUN = """\
id: {id}
kind: {kind}
recipe: cast/cheek@{version}
started: 2026-0{version}-0{day} 09:00
{rest}"""
WENT = "went_wrong:\n  - {failure: air}\n"


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    repository: Repository = start_repository(tmp_path_factory.mktemp("book"))
    files = {"recipes/book.yaml": "title: A book\n", "recipes/failures/air.yaml": FAILURE}
    for version, moment in ((1, FIRST), (2, SECOND)):
        files["recipes/cast/cheek.yaml"] = RECIPE.format(title=f"text {version}", version=version)
        repository.save(moment, files)
    ends = [
        ("a", "run", 1, "outcome: good\n" + WENT), ("b", "run", 1, "outcome: scrapped\n" + WENT), ("c", "run", 1, "outcome: usable\n"),
        ("d", "run", 2, "outcome: good\n"), ("e", "run", 2, ""), ("f", "pull", 2, "outcome: good\n" + WENT), ("g", "test", 2, ""),
    ]  # fmt: skip
    for day, (name, kind, version, rest) in enumerate(ends, start=1):
        files[f"recipes/runs/{name}.yaml"] = RUN.format(id=name, kind=kind, version=version, day=day, rest=rest)
    repository.save(THIRD, files)
    return open_view(repository.folder, "private")


def test_runs_are_counted_by_how_they_ended_pulls_and_tests_apart(view: View) -> None:
    assert str(record_of(runs_of(view, "cast/cheek", 1))) == "3 runs: 1 good, 1 usable, 1 scrapped"
    newest = record_of(runs_of(view, "cast/cheek", 2))
    assert str(newest) == "1 run: 1 good; 1 first pull"
    assert newest.pulls == 1
    assert str(record_of([])) == "no run yet"


def test_a_failure_is_counted_by_version_over_runs_with_an_outcome(view: View) -> None:
    failure = view.documents.on("failure")["air"].model
    assert isinstance(failure, Failure)
    rows = [(row.recipe, row.version, row.tally.failed, row.tally.runs) for row in view.evidence.of("air").by_version]
    assert rows == [("cast/cheek", 1, 2, 3), ("cast/cheek", 2, 0, 1)]


def test_where_it_happened_comes_newest_first_pulls_too(view: View) -> None:
    assert [run.id for run, _entry in runs_with(view, "air")] == ["f", "b", "a"]
    assert went_wrong_in(runs_of(view, "cast/cheek")) == {"air": 3}


def test_a_run_is_called_by_what_the_version_it_did_was_called(view: View) -> None:
    titles = {
        name: run_title(view, each.model)
        for name, each in view.documents.on("run").items()
        if isinstance(each.model, Run)
    }
    assert titles["a"] == "Cheek, text 1"
    assert titles["f"] == "First pull: Cheek, text 2"
    assert titles["g"] == "Test: Cheek, text 2"


def test_the_book_has_nothing_else_to_say(view: View) -> None:
    assert [notice.code for notice in view.notices if notice.severity == "error"] == []
    assert isinstance(view.root, Path)
