"""A save that stands is never told as not made, and whatever stops one takes nothing back, not by a `git commit` typed by hand."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, leave_home, recipe, start_repository
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.history import moving
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.plumbing import Plumbing
from mothermold.history.saving import look, save

NOW = datetime(2026, 5, 20, 18, 30, tzinfo=UTC)
NEW = recipe(2, why="Softer.")
Asked = Callable[..., tuple[int, bytes, str]]


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), ".gitignore": "private/\n"})
    repository.write({RECIPE: NEW})
    return repository


def ledger(repository: Repository) -> Ledger:
    opened = open_ledger(repository.folder)
    assert opened is not None
    return opened


def save_all(repository: Repository) -> str:
    opened = ledger(repository)
    return save(opened, look(opened).tree, "Saved\n", NOW)


def saves(repository: Repository) -> int:
    return int(repository.git("rev-list", "--count", "HEAD"))


def at(step: str, happens: Callable[[Asked, Any], tuple[int, bytes, str]], monkeypatch: pytest.MonkeyPatch) -> None:
    """Lets something happen in the place of a step of git."""
    real = Plumbing.ask

    def asked(self: Plumbing, *words: str, **more: Any) -> tuple[int, bytes, str]:
        def step_itself() -> tuple[int, bytes, str]:
            return real(self, *words, **more)

        return happens(step_itself, words) if words[0] == step else step_itself()

    monkeypatch.setattr(Plumbing, "ask", asked)


def failing_after(step: Asked, _words: Any) -> tuple[int, bytes, str]:
    step()
    return 128, b"", "error: unable to append to '.git/logs/HEAD': No space left on device"


def stopped_after(step: Asked, _words: Any) -> tuple[int, bytes, str]:
    step()
    raise KeyboardInterrupt


def gone_after(step: Asked, _words: Any) -> tuple[int, bytes, str]:
    step()
    raise CannotRunError("The program git could not be started: Cannot allocate memory.")


@pytest.mark.parametrize("happens", [failing_after, stopped_after, gone_after])
def test_a_save_that_stands_is_made_whatever_git_says_afterwards(
    repository: Repository, happens: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    at("update-ref", happens, monkeypatch)
    commit = save_all(repository)
    assert (repository.git("rev-parse", "HEAD").strip(), repository.git("status", "--porcelain")) == (commit, "")


def test_where_the_diary_of_git_cannot_be_written_what_is_told_is_true(repository: Repository) -> None:
    """Git itself, with a diary that cannot be written to: on this line, and of the newest place."""
    for name in ("logs/HEAD", "logs/refs/heads/main"):
        whole = shutil.copytree(repository.folder, repository.folder.with_name(name.replace("/", "-")))
        diary = whole / ".git" / name
        diary.unlink()
        diary.mkdir()
        (diary / "in the way").write_text("")
        copy = Repository(whole)
        try:
            commit = save_all(copy)
        except CannotRunError:
            assert saves(copy) == 1, name
        else:
            assert copy.git("rev-parse", "HEAD").strip() == commit, name


def test_where_nobody_can_see_whether_it_stands_that_is_what_is_said(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    def blind(_step: Asked, _words: Any) -> tuple[int, bytes, str]:
        raise CannotRunError("The program git could not be started.")

    repository.git("pack-refs", "--all")
    opened = ledger(repository)
    tree = look(opened).tree
    at("update-ref", blind, monkeypatch)
    at("rev-parse", blind, monkeypatch)
    with pytest.raises(CannotRunError, match="cannot be seen now"):
        save(opened, tree, "Saved\n", NOW)


@pytest.mark.parametrize("step", ["reset", "update-ref"])
@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
def test_a_commit_by_hand_after_a_kill_takes_nothing_back(
    repository: Repository, step: str, after: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(itself: Asked, _words: Any) -> tuple[int, bytes, str]:
        if after:
            itself()
        raise SystemExit

    with monkeypatch.context() as during:
        at(step, killed, during)
        with pytest.raises(SystemExit):
            save_all(repository)
    before = saves(repository)
    try:
        repository.git("commit", "--quiet", "-m", "By hand")
    except RuntimeError:
        assert saves(repository) == before
    told = repository.git("show", f"HEAD:{RECIPE}")
    assert told == (NEW if saves(repository) == 2 else recipe(1))
    repository.write({RECIPE: recipe(3, why="Softer still.")})
    save_all(repository)
    assert repository.git("status", "--porcelain") == ""


def test_a_save_that_was_not_made_leaves_gits_list_as_it_was(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = repository.git("ls-files", "--stage")
    with monkeypatch.context() as during:
        at("update-ref", lambda _step, _words: (128, b"", "fatal: the disk is full"), during)
        with pytest.raises(CannotRunError, match="the disk is full"):
            save_all(repository)
    assert (repository.git("ls-files", "--stage"), saves(repository)) == (before, 1)


KILLED = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from mothermold.history.ledger import open_ledger
from mothermold.history.saving import look, save
real = Path.replace
def dying(self, place):
    if self.name == "index.lock":
        os.kill(os.getpid(), 9)
    return real(self, place)
Path.replace = dying
ledger = open_ledger(Path(sys.argv[1]))
save(ledger, look(ledger).tree, "Saved", datetime.now(UTC))
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no kill -9; CI runs this on Linux")
def test_the_lock_of_a_killed_save_is_known_for_ours_and_opened(repository: Repository) -> None:
    subprocess.run([sys.executable, "-c", KILLED, str(repository.folder)], check=False)
    assert (repository.folder / ".git" / "index.lock").exists()
    save_all(repository)
    assert (repository.git("status", "--porcelain"), saves(repository)) == ("", 2)
    assert list((repository.folder / ".git" / "mothermold").glob("index-*")) == []


def test_what_a_killed_save_left_beside_goes_with_the_next(repository: Repository) -> None:
    own = repository.folder / ".git" / "mothermold"
    own.mkdir(exist_ok=True)
    for name in ("index-99999999", "index-99999999.lock", "index-1"):
        (own / name).write_bytes(b"left")
    save_all(repository)
    assert [each.name for each in own.glob("index-*")] == ["index-1"]


def test_a_lock_that_only_says_the_same_is_not_ours(repository: Repository) -> None:
    own = repository.folder / ".git" / "mothermold"
    own.mkdir(exist_ok=True)
    for place in (own / "index-99999999", repository.folder / ".git" / "index.lock"):
        place.write_bytes(b"the same")
    with pytest.raises(RefusedError, match=r"index\.lock"):
        open_ledger(repository.folder)
    assert (repository.folder / ".git" / "index.lock").exists()


def test_the_lock_of_a_save_that_runs_is_left(repository: Repository) -> None:
    own = repository.folder / ".git" / "mothermold"
    own.mkdir(exist_ok=True)
    (own / f"index-{os.getpid()}").write_bytes(b"being written")
    os.link(own / f"index-{os.getpid()}", repository.folder / ".git" / "index.lock")
    with pytest.raises(RefusedError) as refusal:
        open_ledger(repository.folder)
    assert "mothermold mend" in refusal.value.notices[0].help


def unfinished(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> str:
    """The commit of a save that was never made the newest."""
    made: list[str] = []

    def killed(_step: Asked, words: Any) -> tuple[int, bytes, str]:
        made.append(words[4])
        raise SystemExit

    with monkeypatch.context() as during:
        at("update-ref", killed, during)
        with pytest.raises(SystemExit):
            save_all(repository)
    return made[0]


def test_the_lock_of_the_line_left_by_our_own_save_is_opened(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    commit = unfinished(repository, monkeypatch)
    (repository.folder / ".git" / "refs" / "heads" / "main.lock").write_text(f"{commit}\n")
    (repository.folder / ".git" / "HEAD.lock").write_text("")
    save_all(repository)
    assert (repository.git("status", "--porcelain"), saves(repository)) == ("", 2)


@pytest.mark.parametrize("text", ["", "HEAD", "older", "their own"])
def test_the_lock_of_the_line_of_somebody_else_is_left(repository: Repository, text: str) -> None:
    old = repository.git("rev-parse", "HEAD").strip()
    theirs = repository.git("commit-tree", "-p", old, "-m", "theirs", f"{old}^{{tree}}").strip()
    lock = repository.folder / ".git" / "refs" / "heads" / "main.lock"
    lock.write_text({"HEAD": f"{old}\n", "their own": f"{theirs}\n"}.get(text, text))
    with pytest.raises(RefusedError):
        open_ledger(repository.folder)
    assert lock.exists()


def test_where_the_disk_knows_no_links_git_locks_its_list_itself(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(_one: Path, _other: Path) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(moving.os, "link", no_links)
    save_all(repository)
    assert (repository.git("status", "--porcelain"), saves(repository)) == ("", 2)


def test_what_was_prepared_meanwhile_is_not_lost(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    (repository.folder.parent / "elsewhere.txt").write_text("x")
    real, done = os.link, []

    def prepared(one: Path, other: Path) -> None:
        if not done:
            done.append(other)
            repository.write({"photos/mine.txt": "mine\n"})
            repository.git("add", "photos/mine.txt")
        real(one, other)

    monkeypatch.setattr(moving.os, "link", prepared)
    opened = ledger(repository)
    save(opened, look(opened).tree, "Saved\n", NOW)
    assert len(done) == 1
    assert repository.git("status", "--porcelain") in ("A  photos/mine.txt\n", "?? photos/\n")


def test_a_list_that_is_gone_is_made_anew_with_the_save(repository: Repository) -> None:
    repository.save(SECOND, {"photos/old.txt": "old\n"})
    (repository.folder / ".git" / "index").unlink()
    repository.write({RECIPE: NEW})
    save_all(repository)
    assert repository.git("status", "--porcelain") == ""


def test_a_list_that_is_gone_is_refused_where_only_a_part_is_laid_out(repository: Repository) -> None:
    repository.git("config", "core.sparseCheckout", "true")
    (repository.folder / ".git" / "index").unlink()
    with pytest.raises(RefusedError, match="not all of them are laid out"):
        open_ledger(repository.folder)


def test_a_damaged_list_is_told_in_our_words_with_the_way_out(repository: Repository) -> None:
    (repository.folder / ".git" / "index").write_bytes(b"DIRC damaged")
    with pytest.raises(RefusedError) as refusal:
        open_ledger(repository.folder)
    (notice,) = refusal.value.notices
    assert notice.code == "history-damaged"
    assert "list of its files cannot be read" in notice.message
    assert "mothermold mend" in notice.help
