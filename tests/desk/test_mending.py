"""`mend` knows a way out of every state a book gets into: it finds, says, asks, mends, and keeps a copy of what it takes away."""

from __future__ import annotations

import json
import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from campaigns.seeds import thinned
from desk.answering import Scripted, noon
from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    empty_book,
    leave_home,
    linked_working_tree,
    recipe,
    start_repository,
)
from mothermold.cli.main import main
from mothermold.desk.mending import Mended, mend_book
from mothermold.desk.numbering import Wish
from mothermold.desk.saving import save_book
from mothermold.ground.errors import MothermoldError
from mothermold.history.mishap import Mishap

NOTE = "recipes/failures/cracked.yaml"
CRACKED = "title: Cracked\nseen_at: cast\nsymptoms: [snap]\n"
OLD = 3600


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book with two saves, and some work that is not saved."""
    repository = start_repository(tmp_path / "book")
    start: dict[str, str | None] = {
        RECIPE: recipe(1),
        NOTE: CRACKED,
        ".gitignore": "private/\n",
        ".gitattributes": "* text=auto\n",
    }
    repository.save(FIRST, empty_book() | start)
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.")})
    return repository


def mended(repository: Repository, *, agrees: bool = True) -> tuple[list[Mended], str]:
    asking = Scripted()
    found = mend_book(repository.folder, asking, agrees=lambda _trouble: agrees, clock=lambda: noon(None))
    return found, asking.told


def whats(found: list[Mended]) -> list[tuple[str, bool]]:
    return [(each.mishap.what, each.done) for each in found]


def aside(repository: Repository) -> dict[str, bytes]:
    top = repository.folder / "set-aside"
    found = (path for path in top.rglob("*") if path.is_file()) if top.exists() else ()
    return {path.relative_to(top).as_posix().split("/", 1)[-1]: path.read_bytes() for path in found}


def saves(repository: Repository) -> int:
    return int(repository.git("rev-list", "--count", "HEAD"))


def save(repository: Repository) -> str:
    asking = Scripted()
    save_book(repository.folder, Wish("So."), asking, asks=False, clock=noon)
    return asking.told


def own(repository: Repository, name: str) -> Path:
    return repository.folder / ".git" / name


def left(path: Path, text: str | bytes = b"", age: float = OLD) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    os.utime(path, (time.time() - age, time.time() - age))
    return path


# The states


def damaged_list(repository: Repository) -> None:
    own(repository, "index").write_bytes(b"DIRC damaged")


def missing_list(repository: Repository) -> None:
    own(repository, "index").unlink()


def empty_list(repository: Repository) -> None:
    own(repository, "index").write_bytes(b"")


def locked(name: str) -> Callable[[Repository], None]:
    def happens(repository: Repository) -> None:
        left(own(repository, name))

    happens.__name__ = name
    return happens


def halfway(repository: Repository, *words: str) -> None:
    """Two lines changed the same words, and what was to bring them together stopped there."""
    repository.git("checkout", "--quiet", "-b", "side", "HEAD~1")
    repository.save(THIRD, {RECIPE: recipe(2, why="Firmer.")})
    repository.go_to("main")
    with pytest.raises(RuntimeError):
        repository.git(*words, "side")


def half_merge(repository: Repository) -> None:
    halfway(repository, "merge")


def half_rebase(repository: Repository) -> None:
    halfway(repository, "rebase")


def half_pick(repository: Repository) -> None:
    halfway(repository, "cherry-pick")


def half_revert(repository: Repository) -> None:
    repository.save(THIRD, {RECIPE: recipe(3, why="Firmer.")})
    with pytest.raises(RuntimeError):
        repository.git("revert", "--no-edit", "HEAD~1")


def half_patch(repository: Repository) -> None:
    repository.git("checkout", "--quiet", "-b", "side", "HEAD~1")
    repository.save(THIRD, {RECIPE: recipe(2, why="Firmer.")})
    patch = repository.git("format-patch", "--stdout", "-1")
    repository.go_to("main")
    (repository.folder.parent / "it.patch").write_text(patch)
    with pytest.raises(RuntimeError):
        repository.git("am", "--3way", str(repository.folder.parent / "it.patch"))


def shell_of_a_rebase(repository: Repository) -> None:
    left(own(repository, "rebase-merge/done"), "pick\n")


def mark_of_a_pick(repository: Repository) -> None:
    own(repository, "CHERRY_PICK_HEAD").write_text(repository.git("rev-parse", "HEAD"))


def two_texts(repository: Repository) -> None:
    half_merge(repository)
    own(repository, "MERGE_HEAD").unlink()


def saved_with_both_texts(repository: Repository) -> None:
    two_texts(repository)
    repository.git("reset", "--quiet")


def older_state(repository: Repository) -> None:
    repository.git("checkout", "--quiet", "--detach", "HEAD~1")


def state_of_its_own(repository: Repository) -> None:
    repository.git("checkout", "--quiet", "--detach", "HEAD~1")
    repository.save(THIRD, {"recipes/mine.txt": "mine\n"})


def empty_head(repository: Repository) -> None:
    own(repository, "HEAD").write_bytes(b"")


def head_of_zeros(repository: Repository) -> None:
    own(repository, "HEAD").write_bytes(b"\0" * 21)


def gone_head(repository: Repository) -> None:
    own(repository, "HEAD").unlink()


def gone_refs(repository: Repository) -> None:
    repository.git("pack-refs", "--all")
    shutil.rmtree(own(repository, "refs"))


def damaged_settings(repository: Repository) -> None:
    own(repository, "config").write_bytes(b"\0" * 90)


def empty_line(repository: Repository) -> None:
    own(repository, "refs/heads/main").write_bytes(b"")


def line_of_zeros(repository: Repository) -> None:
    own(repository, "refs/heads/main").write_bytes(b"\0" * 41)


def copied_line(repository: Repository) -> None:
    shutil.copy(own(repository, "refs/heads/main"), own(repository, "refs/heads/main (conflicted copy 2026-05-20)"))


def empty_pieces(repository: Repository) -> None:
    """As a power cut leaves the newest save: commit, tree and text of it."""
    for sha in repository.git("rev-parse", "HEAD", "HEAD^{tree}", f"HEAD:{RECIPE}").split():
        path = own(repository, f"objects/{sha[:2]}/{sha[2:]}")
        path.chmod(0o644)
        path.write_bytes(b"")


def empty_text(repository: Repository) -> None:
    sha = repository.git("rev-parse", f"HEAD:{RECIPE}").strip()
    path = own(repository, f"objects/{sha[:2]}/{sha[2:]}")
    path.chmod(0o644)
    path.write_bytes(b"")


def read_only(repository: Repository) -> None:
    (repository.folder / RECIPE).chmod(0o444)
    (repository.folder / "recipes" / "cast").chmod(0o555)
    own(repository, "objects").chmod(0o555)


def nested(repository: Repository) -> None:
    inner = start_repository(repository.folder / "recipes" / "cast" / "old")
    inner.save(FIRST, {"nose.yaml": recipe(1, title="Nose")})


def conflict_copy(repository: Repository) -> None:
    (repository.folder / "recipes/failures/cracked (conflicted copy 2026-05-20).yaml").write_text("title: Cracked\n")


def conflict_copy_by_another(repository: Repository) -> None:
    (repository.folder / "recipes/failures/cracked.sync-conflict-20260520-101500-ABC.yaml").write_text(CRACKED)


def other_line_ends(repository: Repository) -> None:
    (repository.folder / ".gitattributes").unlink()
    repository.git("rm", "--quiet", "--cached", ".gitattributes")
    repository.git("commit", "--quiet", "-m", "Without")
    for path in (repository.folder / "recipes").rglob("*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))


STATES = [
    damaged_list, missing_list, empty_list, locked("index.lock"), locked("HEAD.lock"), locked("refs/heads/main.lock"),
    locked("packed-refs.lock"), locked("config.lock"), half_merge, half_rebase, half_pick, half_revert, half_patch, shell_of_a_rebase,
    mark_of_a_pick, two_texts, saved_with_both_texts, older_state, state_of_its_own, empty_head, head_of_zeros, gone_head, gone_refs,
    damaged_settings, empty_line, line_of_zeros, copied_line, empty_pieces, empty_text, read_only, nested, conflict_copy,
    conflict_copy_by_another, other_line_ends,
]  # fmt: skip
KINDS = {
    "damaged_list": "list", "missing_list": "list", "empty_list": "list", "shell_of_a_rebase": "half-done", "mark_of_a_pick": "half-done",
    "half_merge": "half-done", "half_rebase": "half-done", "half_pick": "half-done", "half_revert": "half-done", "half_patch": "half-done",
    "two_texts": "half-done", "saved_with_both_texts": "two-texts", "older_state": "older", "state_of_its_own": "older",
    "empty_head": "head", "head_of_zeros": "head", "gone_head": "head", "gone_refs": "history", "damaged_settings": "settings",
    "empty_line": "tip", "line_of_zeros": "tip", "copied_line": "copy", "empty_pieces": "empty", "empty_text": "empty",
    "read_only": "read-only", "nested": "nested", "conflict_copy": "copy", "conflict_copy_by_another": "copy", "other_line_ends": "line-ends",
}  # fmt: skip


@pytest.mark.parametrize("happens", STATES, ids=lambda each: each.__name__)
def test_there_is_a_way_out(repository: Repository, happens: Callable[[Repository], None]) -> None:
    """It is found, mended, found no more; afterwards the next save is made, and no text of the artist is lost."""
    happens(repository)
    texts = {
        data for path in repository.folder.rglob("*.yaml") if ".git" not in path.parts for data in (path.read_bytes(),)
    }
    texts -= {recipe(1).encode(), recipe(2, why="Softer.").encode()}  # the history has them
    found, told = mended(repository)
    assert whats(found)[0] == (KINDS.get(happens.__name__, "lock"), True), told
    assert all(each.done for each in found), told
    assert mended(repository)[0] == []
    kept = {path.read_bytes() for path in repository.folder.rglob("*.yaml") if ".git" not in path.parts}
    assert {text.replace(b"\r\n", b"\n") for text in texts} <= {text.replace(b"\r\n", b"\n") for text in kept}
    repository.write({"recipes/later.txt": "later\n"})
    before = saves(repository)
    save(repository)
    assert (saves(repository), repository.git("status", "--porcelain")) == (before + 1, "")
    assert repository.git("symbolic-ref", "HEAD").strip() == "refs/heads/main"
    assert repository.git("fsck", "--no-dangling", "--no-progress") == ""


@pytest.mark.parametrize("happens", thinned(STATES, 4), ids=lambda each: each.__name__)
def test_without_a_yes_it_is_said_and_nothing_is_touched(
    repository: Repository, happens: Callable[[Repository], None]
) -> None:
    happens(repository)
    before = {path: (path.stat().st_mode, path.read_bytes()) for path in repository.folder.rglob("*") if path.is_file()}
    found, told = mended(repository, agrees=False)
    assert found
    assert not any(each.done for each in found)
    assert told.count("\n  ") == len(found)
    after = {path: (path.stat().st_mode, path.read_bytes()) for path in repository.folder.rglob("*") if path.is_file()}
    touched = {path for path in before | after if before.get(path) != after.get(path)} - {own(repository, "index")}
    # What git was asked to look at it keeps a copy of, until it tidies up.
    assert all(path not in before and path.is_relative_to(own(repository, "objects")) for path in touched)


REFUSED = [
    each
    for each in STATES
    if KINDS.get(each.__name__, "lock") in ("list", "lock", "half-done", "older", "head", "tip", "history")
]


@pytest.mark.parametrize(
    "happens",
    thinned([each for each in REFUSED if each.__name__ not in ("missing_list", "config.lock", "gone_refs")], 3),
    ids=lambda each: each.__name__,
)
def test_a_save_in_such_a_state_says_the_way_out(
    repository: Repository, happens: Callable[[Repository], None], capsys: pytest.CaptureFixture[str]
) -> None:
    happens(repository)
    repository.write({"recipes/later.txt": "later\n"})
    assert main(["-C", str(repository.folder), "save", "--yes", "-m", "So."]) in (1, 2)
    told = capsys.readouterr().err
    assert "mothermold mend" in told
    assert "fatal" not in told


def test_a_healthy_book_has_nothing_to_mend_and_that_is_said_with_what_was_looked_at(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(repository.folder), "mend"]) == 0
    told = capsys.readouterr().out
    assert "Nothing is wrong that can be mended here." in told
    assert "mothermold check" in told


def test_a_book_without_a_history_has_nothing_to_mend(tmp_path: Path, good_book: Path) -> None:
    assert mended(Repository(good_book))[0] == []


def test_the_command_ends_with_1_while_something_is_left_and_with_0_when_all_is_mended(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    damaged_list(repository)
    words = ["-C", str(repository.folder), "mend"]
    assert main(words) == 1
    told = capsys.readouterr().out
    assert "Git's list of the book's files cannot be read." in told
    assert "Type `mothermold mend --yes`" in told
    assert main([*words, "--yes"]) == 0
    assert "1 mended." in capsys.readouterr().out
    assert main(words) == 0


def test_for_programs_it_is_one_object(repository: Repository, capsys: pytest.CaptureFixture[str]) -> None:
    left(own(repository, "index.lock"))
    words = ["-C", str(repository.folder), "mend", "--format", "json"]
    assert main(words) == 1
    (row,) = json.loads(capsys.readouterr().out)["found"]
    assert (row["what"], row["where"], row["done"]) == ("lock", ".git/index.lock", False)
    assert main([*words, "--yes"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert ([row["done"] for row in told["found"]], told["notices"]) == ([True], [])


def test_a_young_lock_is_never_taken_away(repository: Repository) -> None:
    left(own(repository, "index.lock"), age=1)
    found, told = mended(repository)
    assert whats(found) == [("lock", False)]
    assert "may be at work now" in told
    assert own(repository, "index.lock").exists()


def test_what_was_changed_by_hand_lies_aside_after_a_deed_is_given_up(repository: Repository) -> None:
    half_rebase(repository)
    both = (repository.folder / RECIPE).read_bytes()
    assert b"<<<<<<<" in both
    mended(repository)
    assert aside(repository)[RECIPE] == both
    assert (repository.folder / RECIPE).read_text() == recipe(2, why="Softer.")
    assert saves(repository) == 2


def test_work_that_is_not_saved_lies_aside_when_an_older_state_is_left(repository: Repository) -> None:
    older_state(repository)
    repository.write({NOTE: "title: Mine\n", "recipes/new.txt": "new\n"})
    found, told = mended(repository)
    assert whats(found) == [("older", True)], told
    assert aside(repository)[NOTE] == b"title: Mine\n"
    assert (repository.folder / "recipes/new.txt").read_text() == "new\n"
    assert (repository.folder / RECIPE).read_text() == recipe(2, why="Softer.")


def test_a_file_in_the_way_of_the_newest_state_stays_and_is_named(repository: Repository) -> None:
    repository.save(THIRD, {"recipes/later.txt": "saved\n"})
    older_state(repository)
    repository.write({"recipes/later.txt": "never saved\n"})
    found, told = mended(repository)
    assert whats(found) == [("older", False)]
    assert "It could not be done" in told
    assert (repository.folder / "recipes/later.txt").read_text() == "never saved\n"


def test_what_was_saved_upon_an_older_state_is_kept_as_a_line_of_its_own(repository: Repository) -> None:
    state_of_its_own(repository)
    save = repository.git("rev-parse", "HEAD").strip()
    mended(repository)
    assert (
        repository.git("branch", "--contains", save, "--format=%(refname:short)").strip() == f"laid-aside-{save[:10]}"
    )


def test_after_a_power_cut_the_history_goes_back_and_the_files_stay(repository: Repository) -> None:
    empty_pieces(repository)
    repository.write({NOTE: CRACKED + "why: cold\n"})
    found, told = mended(repository)
    assert whats(found) == [("empty", True), ("tip", True)], told
    assert saves(repository) == 1
    assert (repository.folder / RECIPE).read_text() == recipe(2, why="Softer.")
    assert "2026-02-09" in told


def test_a_text_the_power_cut_took_is_written_again_from_the_file(repository: Repository) -> None:
    empty_text(repository)
    assert whats(mended(repository)[0]) == [("empty", True)]
    assert (saves(repository), repository.git("status", "--porcelain")) == (2, "")


def test_where_no_save_is_whole_it_says_so_and_touches_nothing(repository: Repository) -> None:
    shutil.rmtree(own(repository, "objects"))
    own(repository, "objects").mkdir()
    found, told = mended(repository)
    assert [each.done for each in found if each.mishap.what == "tip"] == [False], told
    assert "lay the book out afresh" in told


def test_two_lines_and_no_head_are_not_guessed(repository: Repository) -> None:
    repository.git("branch", "-m", "one")
    repository.git("branch", "two")
    own(repository, "HEAD").unlink()
    found, told = mended(repository)
    assert whats(found) == [("head", False)]
    assert "git symbolic-ref HEAD" in told
    assert not own(repository, "HEAD").exists()


def test_a_document_saved_with_both_texts_in_it_is_left_to_the_artist(repository: Repository) -> None:
    saved_with_both_texts(repository)
    repository.git("commit", "--quiet", "--all", "-m", "Both")
    found, told = mended(repository)
    assert whats(found) == [("two-texts", False)]
    assert "Keep one of the two in it" in told
    assert "from line" in told


def test_a_history_within_that_was_joined_on_purpose_is_left(repository: Repository) -> None:
    nested(repository)
    repository.git("add", "recipes/cast/old")
    repository.git("commit", "--quiet", "-m", "Joined")
    found, _told = mended(repository)
    assert whats(found) == [("nested", False)]
    assert (repository.folder / "recipes/cast/old/.git").is_dir()


def test_a_numbered_copy_the_artist_may_have_meant_is_no_trouble(repository: Repository) -> None:
    shutil.copy(repository.folder / NOTE, repository.folder / "recipes/failures/cracked-2.yaml")
    shutil.copy(repository.folder / NOTE, repository.folder / "recipes/failures/conflict-of-lots.yaml")
    assert mended(repository)[0] == []


def test_in_a_linked_working_folder_it_is_its_own_list_that_is_mended(repository: Repository, tmp_path: Path) -> None:
    other = linked_working_tree(repository, tmp_path / "other")
    other.branch("trial")
    (own(repository, "worktrees") / "other" / "index").write_bytes(b"DIRC damaged")
    assert whats(mended(other)[0]) == [("list", True)]
    assert other.git("status", "--porcelain").replace("?? set-aside/\n", "") == ""


def test_no_identity_and_hooks_that_refuse_are_no_matter(repository: Repository) -> None:
    half_rebase(repository)
    repository.git("config", "user.useConfigOnly", "true")
    for name in ("pre-commit", "pre-rebase", "post-checkout", "reference-transaction"):
        left(own(repository, f"hooks/{name}"), "#!/bin/sh\nexit 1\n").chmod(0o755)
    assert all(each.done for each in mended(repository)[0])
    repository.write({"recipes/later.txt": "later\n"})
    save(repository)
    assert saves(repository) == 3


def test_what_mend_does_not_know_it_says_and_leaves(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(MothermoldError, match="git is not on this computer"):
        mended(repository)


def test_a_trouble_that_comes_again_and_again_ends(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    always = Mishap("lock", ".git/x.lock", "It is locked.", "It is laid aside.", lambda _aside: None)
    monkeypatch.setattr("mothermold.desk.mending._FINDERS", (lambda _root: [always],))
    assert whats(mended(repository)[0]) == [("lock", True)]
