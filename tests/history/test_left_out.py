"""Documents no save takes in are told by `check`, each cause once, and git is asked no more than it must be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, placed, recipe, start_repository
from mothermold.ground.notices import Notice
from mothermold.history import repository as reading
from mothermold.view.view import open_view

NEW = "recipes/materials/new-one.yaml"
TEXT = "title: Water, boiled\nfamilies: [water]\n"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    return repository


def left_out(book: Path) -> list[Notice]:
    return [each for each in open_view(book, "private").notices if each.code == "left-out"]


@pytest.mark.parametrize(
    ("list_", "line", "shown"),
    [
        (".gitignore", "*.txt\nnew-*", "Line 2 of `.gitignore`, `new-*`"),
        ("recipes/.gitignore", "materials/new*", "Line 1 of `recipes/.gitignore`"),
        ("recipes/materials/.gitignore", "new-one.yaml", "Line 1 of `recipes/materials/.gitignore`"),
        (".git/info/exclude", "new-*", "of `.git/info/exclude`, `new-*`"),
    ],
)
def test_a_list_that_leaves_documents_out_is_named_with_its_line(
    repository: Repository, list_: str, line: str, shown: str
) -> None:
    repository.write({NEW: TEXT, list_: f"{line}\n"})
    notices = left_out(repository.folder)
    assert [(each.severity, each.file) for each in notices] == [("warning", NEW)]
    assert shown in notices[0].message
    assert f"`{NEW}`" in notices[0].message


def test_one_line_that_leaves_out_many_is_told_once(repository: Repository) -> None:
    repository.write({".gitignore": "runs/\nnew-*\n"} | {NEW.replace("one", str(at)): TEXT for at in range(7)})
    notices = left_out(repository.folder)
    assert len(notices) == 1
    assert "7 documents" in notices[0].message
    assert "and 2 more" in notices[0].message


def test_a_document_that_is_saved_is_left_out_by_no_list(repository: Repository) -> None:
    repository.save(SECOND, {NEW: TEXT})
    repository.write({".gitignore": "new-*\n"})
    assert left_out(repository.folder) == []


def test_a_line_that_takes_it_in_again_counts(repository: Repository) -> None:
    repository.write({NEW: TEXT, ".gitignore": "new-*\n!new-one.yaml\n"})
    assert left_out(repository.folder) == []


def test_what_the_user_ignores_everywhere_is_no_matter(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "ignore").write_text("new-*\n")
    (tmp_path / "config").write_text(f"[core]\n\texcludesFile = {tmp_path / 'ignore'}\n")
    monkeypatch.setenv("HOME", str(tmp_path))
    (tmp_path / ".gitconfig").write_text((tmp_path / "config").read_text())
    repository.write({NEW: TEXT})
    assert left_out(repository.folder) == []


def test_before_the_first_save_lists_count_as_well(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book() | {".gitignore": "failures/\n"})
    assert [each.file for each in left_out(repository.folder)] == ["recipes/failures/air-at-cheek.yaml"]


def test_a_book_in_a_larger_history_is_told_of_the_list_where_it_lies(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "shop")
    repository.save(FIRST, placed(empty_book(), "book"))
    repository.write({f"book/{NEW}": TEXT, ".gitignore": "new-*\n"})
    notices = left_out(repository.folder / "book")
    assert [each.file for each in notices] == [NEW]
    assert "`../.gitignore`" in notices[0].message


def test_a_book_its_larger_history_leaves_out_whole_gets_its_own(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "shop")
    repository.save(FIRST, {"notes.txt": "x", ".gitignore": "book/\n"})
    repository.write(placed(empty_book(), "book"))
    assert left_out(repository.folder / "book") == []


def test_a_history_within_the_book_is_told_with_what_lies_in_it(repository: Repository) -> None:
    repository.git("init", "--quiet", "recipes/materials/mine")
    repository.write({"recipes/materials/mine/new.yaml": TEXT})
    notices = left_out(repository.folder)
    assert [each.file for each in notices] == ["recipes/materials/mine/new.yaml"]
    assert "`recipes/materials/mine` has a history of its own" in notices[0].message


def test_what_is_not_laid_out_is_told_once_and_not_called_gone(repository: Repository) -> None:
    repository.git("sparse-checkout", "set", "--no-cone", "/*", "!/recipes/materials/")
    notices = open_view(repository.folder, "private").notices
    assert [each.code for each in notices if each.code in ("left-out", "document-gone", "unknown-reference")] == [
        "left-out"
    ]
    assert "2 documents" in left_out(repository.folder)[0].message


@pytest.mark.parametrize("many", [1, 12])
def test_git_is_asked_once_more_for_files_that_are_not_saved_and_once_for_those_gone(
    repository: Repository, many: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, ...]] = []
    execute = reading.execute

    def counted(folder: Path, words: tuple[str, ...], *more: Any) -> Any:
        asked.append(words)
        return execute(folder, words, *more)

    monkeypatch.setattr(reading, "execute", counted)
    open_view(repository.folder, "private")
    assert len(asked) == 6
    asked.clear()
    repository.write({NEW.replace("one", str(at)): TEXT for at in range(many)})
    open_view(repository.folder, "private")
    assert len(asked) == 3
    asked.clear()
    repository.write({"recipes/materials/gel-silicone-a.yaml": None, RECIPE: None})
    open_view(repository.folder, "private")
    assert len(asked) == 4
