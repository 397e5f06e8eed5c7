"""What was changed since the last save can be taken back, and not a word of it is lost."""

from __future__ import annotations

import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from desk.answering import STOP, Scripted, files, noon
from history.repositories import FIRST, RECIPE, Repository, empty_book, placed, recipe, start_repository
from mothermold.desk import putting_back
from mothermold.desk.aside import Aside
from mothermold.desk.asking import StoppedError
from mothermold.desk.putting_back import put_back
from mothermold.ground.errors import CannotRunError, RefusedError

ASIDE = "set-aside/2026-05-20-120000"
MINE = recipe(1, deadener="70 %")
NOTE = "recipes/failures/air-at-cheek.yaml"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), "photos/a.txt": "a\n"})
    return repository


def back(folder: Path, answers: Mapping[str, Any] | None = None) -> Scripted:
    asking = Scripted(answers)
    put_back(folder, asking, asks=answers is not None, clock=noon)
    return asking


def test_changed_and_deleted_files_are_as_last_saved_and_their_texts_lie_aside(repository: Repository) -> None:
    before = files(repository.folder)
    repository.write({RECIPE: MINE, NOTE: None, "photos/a.txt": "b\n", "recipes/cast/new.yaml": "half a thought"})
    asking = back(repository.folder, {"Take this back": True})
    assert files(repository.folder) == before | {
        "recipes/cast/new.yaml": b"half a thought",
        "set-aside/.gitignore": b"*\n",
        f"{ASIDE}/{RECIPE}": MINE.encode(),
        f"{ASIDE}/photos/a.txt": b"b\n",
    }
    assert repository.git("status", "--porcelain") == "?? recipes/cast/new.yaml\n"
    assert repository.git("rev-list", "--count", "HEAD").strip() == "1"
    assert f"  - {NOTE}, which is gone" in asking.said
    assert f"{RECIPE} is as it was last saved." in asking.said
    assert asking.said[-1] == f"What they said before lies in {ASIDE}, which no save takes in."


def test_nothing_that_lay_aside_before_is_written_over(repository: Repository) -> None:
    for word in ("70 %", "75 %"):
        repository.write({RECIPE: recipe(1, deadener=word)})
        back(repository.folder)
    assert (repository.folder / ASIDE / RECIPE).read_text() == recipe(1, deadener="70 %")
    assert (repository.folder / f"{ASIDE}-2" / RECIPE).read_text() == recipe(1, deadener="75 %")


def test_where_nothing_saved_was_changed_nothing_is_done(repository: Repository) -> None:
    repository.write({"recipes/cast/new.yaml": "mine"})
    before = files(repository.folder)
    assert back(repository.folder, {}).said == [
        "Nothing that was saved has changed since; there is nothing to take back."
    ]
    assert files(repository.folder) == before


@pytest.mark.parametrize("answer", [STOP, False])
def test_without_a_yes_nothing_is_changed(repository: Repository, answer: object) -> None:
    repository.write({RECIPE: MINE})
    before = files(repository.folder)
    with pytest.raises(StoppedError):
        back(repository.folder, {"Take this back": answer})
    assert files(repository.folder) == before


def test_what_stands_in_the_place_of_a_file_is_not_written_over(repository: Repository) -> None:
    repository.write({"photos/a.txt": None, RECIPE: MINE})
    repository.write({"photos/a.txt/inside.txt": "mine"})
    before = files(repository.folder)
    with pytest.raises(RefusedError, match=r"in the place of photos/a\.txt"):
        back(repository.folder)
    assert files(repository.folder) == before


def test_everything_lies_aside_before_anything_is_written_over(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.write({RECIPE: MINE, "photos/a.txt": "b\n"})

    def fail(_path: Path, _data: bytes, *, replaces: bytes | None) -> None:
        raise CannotRunError("The disk is full.")

    monkeypatch.setattr(putting_back, "replace_bytes", fail)
    with pytest.raises(CannotRunError):
        back(repository.folder)
    assert (repository.folder / RECIPE).read_text() == MINE
    assert (repository.folder / ASIDE / RECIPE).read_text() == MINE
    assert (repository.folder / ASIDE / "photos/a.txt").read_text() == "b\n"


def test_a_file_changed_between_the_look_and_the_deed_is_left(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.write({RECIPE: MINE})
    real = Aside.keep

    def slow(self: Aside, called: str, data: bytes) -> None:
        real(self, called, data)
        repository.write({RECIPE: recipe(1, deadener="99 %")})

    monkeypatch.setattr(Aside, "keep", slow)
    with pytest.raises(RefusedError, match="Changed while"):
        back(repository.folder)
    assert (repository.folder / RECIPE).read_text() == recipe(1, deadener="99 %")


def test_how_a_file_may_be_used_is_put_back_too(repository: Repository) -> None:
    (repository.folder / RECIPE).chmod(0o755)
    back(repository.folder)
    assert not (repository.folder / RECIPE).stat().st_mode & stat.S_IXUSR
    assert repository.git("status", "--porcelain") == ""


def test_before_the_first_save_there_is_nothing_to_go_back_to(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book())
    for folder in (repository.folder, tmp_path):
        with pytest.raises(RefusedError, match="Nothing has been saved in this book yet"):
            back(folder)


def test_in_a_larger_history_only_the_book_is_put_back(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, placed(empty_book() | {RECIPE: recipe(1)}, "book") | {"accounts.txt": "1\n"})
    shop.write(placed({RECIPE: MINE}, "book") | {"accounts.txt": "2\n"})
    back(shop.folder / "book")
    assert shop.git("status", "--porcelain") == " M accounts.txt\n"
