"""What git knows of a book is read whatever the user's settings say, and the same from what was kept of it before."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, leave_home, recipe, start_repository
from mothermold.history.ledger import open_ledger
from mothermold.history.repository import read_log


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    leave_home(tmp_path / "nobody", monkeypatch)
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: None})
    return repository


def test_a_broken_setting_of_the_user_changes_nothing(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read_log(repository.folder)
    home = tmp_path / "someone"
    home.mkdir()
    (home / ".gitconfig").write_text("[core\nnonsense")
    monkeypatch.setenv("HOME", str(home))
    found = read_log(repository.folder)
    assert (found.commits, found.notices) == (before.commits, ())
    shutil.rmtree(repository.folder / ".git")
    assert [notice.code for notice in read_log(repository.folder).notices] == ["no-repository"]


def test_what_is_kept_of_the_commits_says_what_git_says(repository: Repository) -> None:
    read = [read_log(repository.folder) for _ in range(2)]
    shutil.rmtree(repository.folder / ".git" / "mothermold")
    read.append(read_log(repository.folder))
    assert read[0].commits == read[1].commits == read[2].commits
    assert len(read[0].commits) == 2
    assert read[0].commits[0].changed == {RECIPE: None}
    assert dict(read[0].blobs) == dict(read[1].blobs) == dict(read[2].blobs)
    assert recipe(1).encode() in read[1].blobs.values()


def test_a_text_that_was_never_there_has_no_bytes(repository: Repository) -> None:
    ledger = open_ledger(repository.folder)
    assert ledger is not None
    blob = repository.git("rev-parse", f"HEAD~1:{RECIPE}").strip()
    assert ledger.blobs(["0" * 40, blob, blob]) == {blob: recipe(1).encode()}
