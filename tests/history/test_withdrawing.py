"""The last save and what lay before it: which files it changed, what was changed since, and the state without it."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import (
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    empty_book,
    leave_home,
    placed,
    recipe,
    start_repository,
)
from mothermold.ground.errors import RefusedError
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.saving import look
from mothermold.history.withdrawing import file_before, last_save, tree_before, unsaved_among

NEW, GONE = "recipes/runs/r-1.yaml", "notes.txt"
RUN = "id: r-1\nstarted: 2026-04-01\nkind: test\n"


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book whose last save changed a file, added one and took one away."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), GONE: "old\n"})
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer."), NEW: RUN, GONE: None})
    return repository


def ledger(folder: Path) -> Ledger:
    opened = open_ledger(folder)
    assert opened is not None
    return opened


def tree(repository: Repository, of: str) -> str:
    return repository.git("rev-parse", f"{of}^{{tree}}").strip()


def since(folder: Path) -> list[str]:
    opened = ledger(folder)
    return unsaved_among(opened, folder, last_save(opened), look(opened))


def test_the_state_before_is_what_was_saved_before(repository: Repository) -> None:
    opened = ledger(repository.folder)
    last = last_save(opened)
    assert sorted((each.action, each.file) for each in last.changes) == [
        ("changed", RECIPE), ("deleted", GONE), ("new", NEW),
    ]  # fmt: skip
    assert (last.title, last.before) == ("Saved", repository.git("rev-parse", "HEAD~1").strip())
    assert tree_before(opened, last) == tree(repository, "HEAD~1")


def test_what_others_saved_since_outside_the_book_stays(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, placed(empty_book(), "book") | {"accounts.txt": "1\n"})
    shop.save(SECOND, {f"book/{RECIPE}": recipe(1)})
    shop.save(THIRD, {"accounts.txt": "2\n"})
    opened = ledger(shop.folder / "book")
    before = tree_before(opened, last_save(opened))
    assert shop.git("ls-tree", "-r", "--name-only", before).split() == sorted(
        ["accounts.txt", *placed(empty_book(), "book")]
    )
    assert shop.git("show", f"{before}:accounts.txt") == "2\n"


def test_a_file_has_the_bytes_it_had(repository: Repository) -> None:
    opened = ledger(repository.folder)
    last = last_save(opened)
    old = {each.file: each for each in last.changes}
    assert file_before(opened, last.before, old[RECIPE]) == recipe(1).encode()
    assert file_before(opened, last.before, old[GONE]) == b"old\n"


def test_a_document_has_the_bytes_it_was_read_with_whatever_git_makes_of_them(repository: Repository) -> None:
    repository.git("config", "filter.loud.smudge", "tr a-z A-Z")
    (repository.folder / ".git" / "info" / "attributes").write_text("* filter=loud\n")
    opened = ledger(repository.folder)
    last = last_save(opened)
    old = {each.file: each for each in last.changes}
    assert file_before(opened, last.before, old[RECIPE]) == recipe(1).encode()
    assert file_before(opened, last.before, old[GONE]) == b"OLD\n"


@pytest.mark.parametrize(
    ("mine", "told"),
    [
        ({}, []),
        ({RECIPE: recipe(2, why="Firmer.")}, [RECIPE]),
        ({RECIPE: recipe(1)}, []),
        ({NEW: None}, []),
        ({NEW: f"{RUN}asks: This\n"}, [NEW]),
        ({GONE: "old\n"}, []),
        ({GONE: "another\n"}, [GONE]),
        ({"other.txt": "mine\n"}, []),
    ],
)
def test_what_says_neither_the_one_nor_the_other_was_changed_since(
    repository: Repository, mine: dict[str, str | None], told: list[str]
) -> None:
    repository.write(mine)
    assert since(repository.folder) == told


def test_an_ignored_file_in_the_place_of_one_that_went_was_changed_since(repository: Repository) -> None:
    repository.save(THIRD, {".gitignore": f"{GONE}\n{NEW}\n"})
    repository.save(FOURTH, {RECIPE: recipe(3, why="Firmer.")})
    repository.git("rm", "--quiet", "--cached", NEW)
    repository.git("commit", "--quiet", "-m", "Saved")
    assert since(repository.folder) == [NEW]
    (repository.folder / NEW).unlink()
    assert since(repository.folder) == []


def refusal(folder: Path) -> tuple[str, str]:
    with pytest.raises(RefusedError) as refused:
        last_save(ledger(folder))
    return refused.value.notices[0].code, refused.value.notices[0].message


def test_before_the_first_save_there_is_nothing_to_go_back_to(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book())
    assert refusal(repository.folder) == ("nothing-to-undo", "Nothing has been saved in this book yet.")
    repository.save(FIRST, {})
    assert refusal(repository.folder)[0] == "nothing-to-undo"
    repository.save(SECOND, {RECIPE: recipe(1)})
    assert last_save(ledger(repository.folder)).title == "Saved"


def test_a_save_that_joined_two_lines_cannot_be_taken_back(repository: Repository) -> None:
    repository.branch("side")
    repository.save(THIRD, {RECIPE: recipe(3, why="Firmer.")})
    repository.go_to("main")
    repository.save(THIRD, {"recipes/book.yaml": "title: Ours\n"})
    repository.merge("side", FOURTH)
    assert refusal(repository.folder)[0] == "cannot-undo"
