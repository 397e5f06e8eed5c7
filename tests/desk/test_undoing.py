"""`undo` withdraws the last save by a new one, and writes over nothing that was not saved."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from desk.answering import STOP, Scripted, files, noon
from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    empty_book,
    placed,
    recipe,
    start_repository,
)
from mothermold.desk import undoing
from mothermold.desk.asking import StoppedError
from mothermold.desk.numbering import Wish
from mothermold.desk.saving import save_book
from mothermold.desk.undoing import undo_save
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.history.plumbing import Plumbing
from mothermold.view.view import open_view

PICTURE = bytes(range(256)) * 8


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book whose last save changed, added and took away."""
    repository = start_repository(tmp_path / "book")
    old = {RECIPE: recipe(1), "photos/old one.txt": "old\n", ".gitignore": "private/\n"}
    repository.save(FIRST, empty_book() | old)
    (repository.folder / "photos" / "piece.jpg").write_bytes(PICTURE)
    repository.save(SECOND, {"photos/seen.txt": "seen\n"})
    repository.git("rm", "--quiet", "photos/piece.jpg", "photos/old one.txt", "photos/seen.txt")
    new = {
        RECIPE: recipe(2, why="Softer.", deadener="80 %"),
        "recipes/runs/may/r-1.yaml": "id: r-1\nstarted: 2026-04-01\nkind: test\n",
    }
    repository.save(THIRD, new)
    return repository


def undo(folder: Path, answers: Mapping[str, Any] | None = None) -> Scripted:
    asking = Scripted(answers)
    undo_save(folder, asking, asks=answers is not None, clock=noon)
    return asking


def tree(repository: Repository, of: str) -> str:
    return repository.git("rev-parse", f"{of}^{{tree}}").strip()


def head(repository: Repository) -> str:
    return repository.git("rev-parse", "HEAD").strip()


def refusal(folder: Path) -> tuple[str, str]:
    with pytest.raises(RefusedError) as refused:
        undo(folder)
    return refused.value.notices[0].code, refused.value.notices[0].message


def test_the_files_are_again_what_they_were_before_the_last_save(repository: Repository) -> None:
    asking = undo(repository.folder, {"Bring these files back": True})
    assert tree(repository, "HEAD") == tree(repository, "HEAD~2")
    assert repository.git("rev-list", "--count", "HEAD").strip() == "4"
    assert repository.git("status", "--porcelain") == ""
    assert files(repository.folder)["photos/piece.jpg"] == PICTURE
    assert not (repository.folder / "recipes" / "runs" / "may").exists(), "empty folders go"
    assert (repository.folder / "recipes" / "runs").is_dir(), "but those of the book itself stay"
    assert repository.git("log", "-1", "--format=%an|%s").strip() == "The book|Withdraw: Saved"
    assert asking.said[-1] == "Look at it with `mothermold versions cast/cheek`."


def test_what_becomes_of_each_file_is_said_in_its_own_words(repository: Repository) -> None:
    asking = undo(repository.folder)
    run, picture = "recipes/runs/may/r-1.yaml", "photos/piece.jpg"
    assert {f"  - {run}: goes away again", f"  - {picture}: comes back", f"  - {RECIPE}: as it was before"} <= set(
        asking.said
    )
    asking = undo(repository.folder)
    assert {f"  - {run}: comes back", f"  - {picture}: goes away again"} <= set(asking.said)
    assert f"  - {RECIPE}: comes back as it was saved" in asking.said


def test_the_number_is_withdrawn_and_never_given_again(repository: Repository) -> None:
    undo(repository.folder)
    versions = open_view(repository.folder, "private").versions("cast/cheek")
    assert versions is not None
    assert [(row.number, row.status) for row in versions.rows] == [(1, "locked"), (2, "withdrawn")]
    repository.write({RECIPE: recipe(1, deadener="85 %")})
    save_book(repository.folder, Wish(why="Softer again."), Scripted(), asks=False)
    assert "version: 3\n" in (repository.folder / RECIPE).read_text()


def test_an_undo_of_an_undo_brings_it_back_and_says_so(repository: Repository) -> None:
    withdrawn = tree(repository, "HEAD")
    undo(repository.folder)
    asking = undo(repository.folder)
    assert tree(repository, "HEAD") == withdrawn
    assert repository.git("log", "-1", "--format=%s").strip() == "Bring back: Saved"
    assert "What had been withdrawn is back." in asking.said
    undo(repository.folder)
    assert repository.git("log", "-1", "--format=%s").strip() == "Withdraw: Saved"


def test_other_unsaved_work_is_left_as_it_is_and_stays_unsaved(repository: Repository) -> None:
    repository.write({"recipes/book.yaml": "title: Mine\n", "new note.txt": "mine\n"})
    undo(repository.folder)
    assert repository.git("status", "--porcelain") == ' M recipes/book.yaml\n?? "new note.txt"\n'
    assert (repository.folder / "recipes/book.yaml").read_text() == "title: Mine\n"


@pytest.mark.parametrize(
    "mine",
    [
        {RECIPE: recipe(2, why="Softer, I mean.", deadener="80 %")},
        {RECIPE: None},
        {"photos/old one.txt": "another\n"},
        {"recipes/runs/may/r-1.yaml": "id: r-1\nstarted: 2026-04-02\nkind: test\n"},
        {"photos/seen.txt/inside.txt": "a folder now\n"},
    ],
    ids=["changed", "deleted", "in the place of a deleted one", "a new one changed", "a folder in its place"],
)
def test_what_was_changed_since_is_never_written_over(repository: Repository, mine: dict[str, str | None]) -> None:
    repository.write(mine)
    before = files(repository.folder), head(repository)
    code, message = refusal(repository.folder)
    assert code == "changed-since-save"
    (name,) = mine
    assert f"`{name.removesuffix('/inside.txt')}`" in message
    assert (files(repository.folder), head(repository)) == before


def test_an_ignored_file_in_the_place_of_a_deleted_one_is_not_written_over(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {"notes.txt": "old\n"})
    repository.save(SECOND, {"notes.txt": None, ".gitignore": "notes.txt\n"})
    repository.write({"notes.txt": "health facts\n"})
    assert refusal(repository.folder)[0] == "changed-since-save"
    assert (repository.folder / "notes.txt").read_text() == "health facts\n"


def test_a_save_that_joined_two_lines_is_not_undone(repository: Repository) -> None:
    repository.branch("side")
    repository.save(THIRD, {"side.txt": "1\n"})
    repository.go_to("main")
    repository.save(THIRD, {"main.txt": "1\n"})
    repository.merge("side", THIRD)
    before = files(repository.folder), head(repository)
    assert refusal(repository.folder)[0] == "cannot-undo"
    assert (files(repository.folder), head(repository)) == before


def test_the_first_save_stays(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book())
    assert refusal(repository.folder) == ("nothing-to-undo", "Nothing has been saved in this book yet.")
    repository.save(FIRST, {})
    assert refusal(repository.folder)[0] == "nothing-to-undo"
    assert refusal(tmp_path)[0] == "nothing-to-undo"


def test_the_save_that_brought_the_book_into_a_larger_history_stays(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, {"accounts.txt": "1\n"})
    shop.save(SECOND, placed(empty_book(), "book"))
    assert refusal(shop.folder / "book")[0] == "nothing-to-undo"


def test_in_a_larger_history_only_the_books_last_save_is_withdrawn(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, placed(empty_book() | {RECIPE: recipe(1)}, "book") | {"accounts.txt": "1\n"})
    shop.save(SECOND, placed({RECIPE: recipe(1, deadener="70 %")}, "book") | {"accounts.txt": "2\n"})
    shop.save(THIRD, {"accounts.txt": "3\n"})
    shop.write({"accounts.txt": "4\n"})
    shop.git("add", "accounts.txt")
    undo(shop.folder / "book")
    assert (shop.folder / "book" / RECIPE).read_text() == recipe(1)
    assert shop.git("show", "--format=", "--name-only", "HEAD") == f"book/{RECIPE}\n"
    assert shop.git("show", "HEAD:accounts.txt") == "3\n"
    assert shop.git("status", "--porcelain") == "M  accounts.txt\n"


def test_line_ends_come_back_as_the_user_has_them(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "windows"
    home.mkdir()
    (home / ".gitconfig").write_text("[core]\n\tautocrlf = true\n")
    monkeypatch.setenv("HOME", str(home))
    undo(repository.folder)
    assert (repository.folder / RECIPE).read_bytes() == recipe(1).replace("\n", "\r\n").encode()


@pytest.mark.parametrize("answer", [STOP, False])
def test_without_a_yes_nothing_is_changed(repository: Repository, answer: object) -> None:
    before = files(repository.folder), head(repository)
    with pytest.raises(StoppedError):
        undo(repository.folder, {"Bring these files back": answer})
    assert (files(repository.folder), head(repository)) == before


def test_an_undo_broken_off_half_way_is_finished_by_the_next(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    placed_so_far: list[Path] = []
    real = undoing.replace_bytes

    def crash(path: Path, data: bytes, *, replaces: bytes | None) -> None:
        if placed_so_far:
            raise SystemExit
        placed_so_far.append(path)
        real(path, data, replaces=replaces)

    with monkeypatch.context() as during:
        during.setattr(undoing, "replace_bytes", crash)
        with pytest.raises(SystemExit):
            undo(repository.folder)
    assert repository.git("rev-list", "--count", "HEAD").strip() == "3"
    undo(repository.folder)
    assert tree(repository, "HEAD") == tree(repository, "HEAD~2")
    assert repository.git("status", "--porcelain") == ""


def test_an_undo_that_cannot_be_saved_says_where_the_files_stand(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Plumbing.ask

    def fail(self: Plumbing, *words: str, **more: Any) -> tuple[int, bytes, str]:
        return (1, b"", "fatal: the disk is full") if words[0] == "update-ref" else real(self, *words, **more)

    with monkeypatch.context() as during:
        during.setattr(Plumbing, "ask", fail)
        with pytest.raises(CannotRunError, match=r"(?s)the disk is full.*not saved yet"):
            undo(repository.folder)
    undo(repository.folder)
    assert tree(repository, "HEAD") == tree(repository, "HEAD~2")
