"""Where an edition is asked for, what it lacks is said: by build, by serve, and by every reading command with `--for`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from history.repositories import FIRST, RECIPE, Repository, empty_book, leave_home, recipe, start_repository
from mothermold.cli import publishing
from mothermold.cli.main import main

COURSE = "recipes/courses/term.yaml"
UNSAVED = "`cast/cheek` is open to the class in its file, and version 1 has not been saved that way yet."


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """A book whose materials are open, whose recipe is open in its file only, and whose course pins a private one too."""
    leave_home(tmp_path / "nobody", monkeypatch)
    repository = start_repository(tmp_path / "book")
    book = {
        file: text if file.endswith("book.yaml") else f"{text}visibility: public\n"
        for file, text in empty_book().items()
    }
    repository.save(FIRST, book | {RECIPE: recipe(1), "recipes/cast/secret-nose.yaml": recipe(1)})
    pins = "pins: [cast/cheek@1, cast/secret-nose@1]\n"
    repository.write({RECIPE: recipe(1, more="visibility: class\n"), COURSE: f"title: Term\nvisibility: class\n{pins}"})
    return repository


def said(repository: Repository, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    assert main(["-C", str(repository.folder), *words]) == 0
    return capsys.readouterr().out


def test_check_for_the_class_says_what_is_not_saved_open_and_how_many_sheets_are_missing(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    told = said(repository, capsys, "check", "--for", "class")
    assert UNSAVED in told
    assert "2 of 2 sheets are not open to the class." in told
    assert "secret" not in told


def test_a_reading_command_says_it_of_the_documents_it_used(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    told = json.loads(said(repository, capsys, "export", "--for", "class", "--format", "json"))["notices"]
    assert {"open-not-saved", "pins-not-open"} <= {each["code"] for each in told}


def test_build_and_serve_say_it_before_anybody_looks(
    repository: Repository, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publishing, "_serve_here", lambda *_asked, **_how: None)
    for command in ("build", "serve"):
        told = said(repository, capsys, command, "--for", "class")
        assert UNSAVED in told, command
        assert "2 of 2 sheets are not open to the class." in told, command
        assert "mothermold open RECIPE --to class" in told, command
        assert "secret" not in told, command


def test_the_page_of_a_course_says_that_none_is_open_and_names_none(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    said(repository, capsys, "build", "--for", "class")
    page = (repository.folder / "site" / "class" / "courses" / "term.html").read_text()
    assert "<p>2 of 2 sheets are not open to the class.</p>" in page
    assert "secret" not in page
    said(repository, capsys, "build", "--for", "private")
    page = (repository.folder / "site" / "private" / "courses" / "term.html").read_text()
    assert "because <code>cast/secret-nose</code> is private" in page
