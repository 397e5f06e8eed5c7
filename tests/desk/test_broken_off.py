"""What a deed left that was stopped half way is finished, or taken back, before the next deed begins; never saved half."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from desk.answering import Scripted, files, noon
from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, leave_home, recipe, start_repository
from mothermold.cli.main import main
from mothermold.desk import putting_back, undoing
from mothermold.desk.aside import ASIDE
from mothermold.desk.broken_off import finish_broken_off
from mothermold.desk.numbering import Wish
from mothermold.desk.putting_back import put_back
from mothermold.desk.saving import save_book
from mothermold.desk.undoing import undo_save
from mothermold.ground.errors import CannotRunError
from mothermold.history.journal import Journal
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import open_view

ODD = {"deed": "nothing of ours", "commit": "", "files": [], "aside": ""}
NOTES = tuple(f"recipes/notes/{name}.txt" for name in "abc")


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(
        FIRST, empty_book() | {RECIPE: recipe(1), ".gitignore": "private/\n"} | dict.fromkeys(NOTES, "old\n")
    )
    new: dict[str, str | None] = {
        RECIPE: recipe(2, why="Softer."),
        NOTES[0]: "new\n",
        NOTES[1]: None,
        "recipes/d.txt": "d\n",
    }
    repository.save(SECOND, new)
    return repository


def stopped(
    deed: Callable[[], None], module: object, after: int, monkeypatch: pytest.MonkeyPatch, problem: BaseException
) -> None:
    """Does a deed that ends when so many files are written."""
    real, count = module.replace_bytes, iter(range(100))  # type: ignore[attr-defined]

    def dying(path: Path, data: bytes, *, replaces: bytes | None) -> None:
        if next(count) == after:
            raise problem
        real(path, data, replaces=replaces)

    with monkeypatch.context() as during:
        during.setattr(module, "replace_bytes", dying)
        with pytest.raises(type(problem)):
            deed()


def undo(repository: Repository) -> None:
    undo_save(repository.folder, Scripted(), asks=False, clock=noon)


def back(repository: Repository) -> None:
    put_back(repository.folder, Scripted(), asks=False, clock=noon)


def tree(repository: Repository, of: str) -> str:
    return repository.git("rev-parse", f"{of}^{{tree}}").strip()


@pytest.fixture(params=[SystemExit(), CannotRunError("The disk is full.")], ids=["killed", "disk full"])
def problem(request: pytest.FixtureRequest) -> BaseException:
    problem: BaseException = request.param
    return problem


@pytest.mark.parametrize("after", [0, 1, 2])
def test_a_save_after_a_stopped_undo_finds_it_finished(
    repository: Repository,
    after: int,
    problem: BaseException,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    stopped(lambda: undo(repository), undoing, after, monkeypatch, problem)
    assert main(["-C", str(repository.folder), "save", "--yes"]) == 0
    assert "An undo was stopped half way; it is finished now." in capsys.readouterr().out
    assert (tree(repository, "HEAD"), repository.git("status", "--porcelain")) == (tree(repository, "HEAD~2"), "")
    assert repository.git("rev-list", "--count", "HEAD").strip() == "3"
    assert Journal(repository.folder).begun() is None


def test_the_undo_typed_again_undoes_once(
    repository: Repository, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stopped(lambda: undo(repository), undoing, 1, monkeypatch, SystemExit())
    assert main(["-C", str(repository.folder), "undo", "--yes"]) == 0
    assert "finished now" in capsys.readouterr().out
    assert tree(repository, "HEAD") == tree(repository, "HEAD~2")


def test_where_a_file_was_changed_by_hand_since_the_undo_is_taken_back_and_the_change_kept(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    saved = files(repository.folder)
    stopped(lambda: undo(repository), undoing, 2, monkeypatch, SystemExit())
    assert files(repository.folder) != saved
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="99 %")})
    asking = Scripted()
    assert finish_broken_off(repository.folder, asking) == "undo"
    assert files(repository.folder) == saved | {RECIPE: recipe(2, why="Softer.", deadener="99 %").encode()}
    assert RECIPE in asking.told
    assert "taken back" in asking.told


def test_where_somebody_saved_since_nothing_more_is_done(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    stopped(lambda: undo(repository), undoing, 2, monkeypatch, SystemExit())
    repository.git("add", "--all")
    repository.git("commit", "--quiet", "-m", "By hand.")
    before = files(repository.folder)
    finish_broken_off(repository.folder, Scripted())
    assert (files(repository.folder), Journal(repository.folder).begun()) == (before, None)


@pytest.mark.parametrize("after", [0, 1, 2])
def test_a_save_after_a_stopped_putting_back_finds_it_finished(
    repository: Repository, after: int, problem: BaseException, monkeypatch: pytest.MonkeyPatch
) -> None:
    saved = files(repository.folder)
    mine = {RECIPE: recipe(2, why="Softer.", deadener="77 %"), NOTES[0]: "mine\n", "recipes/d.txt": None}
    repository.write(mine)
    stopped(lambda: back(repository), putting_back, after, monkeypatch, problem)
    asking = Scripted()
    assert finish_broken_off(repository.folder, asking) == "put-back"
    save_book(repository.folder, Wish(), asking, asks=False, clock=noon)
    assert "Nothing changed since the last save." in asking.told
    now = files(repository.folder)
    assert {file: data for file, data in now.items() if not file.startswith(ASIDE)} == saved
    aside = {file.split("/", 2)[2]: data.decode() for file, data in now.items() if file.startswith(f"{ASIDE}/2026")}
    assert aside == {file: text for file, text in mine.items() if text}


def test_a_file_changed_by_hand_since_it_was_to_be_put_back_stays_and_is_said(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="77 %"), NOTES[0]: "mine\n"})
    stopped(lambda: back(repository), putting_back, 1, monkeypatch, SystemExit())
    repository.write({NOTES[0]: "newer\n"})
    asking = Scripted()
    finish_broken_off(repository.folder, asking)
    assert (repository.folder / NOTES[0]).read_text() == "newer\n"
    assert f"{NOTES[0]} was changed since and stays as it is." in asking.told


def test_what_a_stopped_write_left_goes_with_the_next_deed_and_not_what_is_written_now(repository: Repository) -> None:
    folder = repository.folder / "recipes" / "cast"
    for process in ("99999999", str(os.getpid())):
        (folder / f".cheek.yaml.{process}-abcd1234.new").write_text("half")
    finish_broken_off(repository.folder, Scripted())
    assert [path.name for path in folder.glob(".*")] == [f".cheek.yaml.{os.getpid()}-abcd1234.new"]


def test_a_journal_that_says_nothing_to_be_understood_stops_nothing(repository: Repository) -> None:
    place = repository.folder / ".git" / "mothermold"
    Journal(repository.folder).begin(undoing.Begun("undo", "no such save"))
    note = next(place.glob("begun-*.json"))
    for text in ("", "[", "[" * 100_000, json.dumps({"deed": "undo"}), json.dumps(ODD), "\0"):
        note.write_text(text)
        assert finish_broken_off(repository.folder, Scripted()) is None
        assert "broken-off" not in codes(repository, "private")
    assert main(["-C", str(repository.folder), "save", "--yes"]) == 0


def test_a_deed_for_a_program_says_nothing_between(
    repository: Repository, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stopped(lambda: undo(repository), undoing, 1, monkeypatch, SystemExit())
    main(["-C", str(repository.folder), "open", "cast/cheek", "--to", "public", "--format", "json"])
    assert json.loads(capsys.readouterr().out)["to"] == "public"


@pytest.mark.parametrize(
    ("deed", "module", "said"), [(undo, undoing, "An undo was"), (back, putting_back, "Files were")]
)
def test_check_tells_the_owner_that_a_deed_was_stopped_and_what_ends_it(
    repository: Repository,
    deed: Callable[[Repository], None],
    module: object,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    repository.write({NOTES[0]: "mine\n"} if deed is back else {})
    told = {edition: codes(repository, edition) for edition in EDITIONS}
    stopped(lambda: deed(repository), module, 0, monkeypatch, SystemExit())
    assert {edition: codes(repository, edition) for edition in EDITIONS} == told | {
        "private": sorted([*told["private"], "broken-off"])
    }
    main(["-C", str(repository.folder), "check"])
    heard = capsys.readouterr().out
    assert said in heard
    assert "Type `mothermold mend`" in heard
    assert main(["-C", str(repository.folder), "mend", "--yes"]) == 0
    assert codes(repository, "private") == [each for each in told["private"] if each != "broken-off"]


def test_check_tells_it_of_the_book_it_is_of_and_in_a_linked_folder(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.git("worktree", "add", "--quiet", "-b", "other", str(tmp_path / "linked"))
    linked = Repository(tmp_path / "linked")
    stopped(lambda: undo(linked), undoing, 1, monkeypatch, SystemExit())
    assert "broken-off" in codes(linked, "private")
    assert "broken-off" not in codes(repository, "private")


def codes(repository: Repository, edition: Edition) -> list[str]:
    return sorted(each.code for each in open_view(repository.folder, edition).notices)
