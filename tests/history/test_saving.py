"""Saving moves the history on in one step, with the book's own files and nothing else, whatever the user's settings."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from history.hostile_settings import prepare
from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    Repository,
    empty_book,
    leave_home,
    linked_working_tree,
    placed,
    recipe,
    shallow_clone,
    start_repository,
)
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.plumbing import Plumbing
from mothermold.history.saving import look, save

NOW = datetime(2026, 5, 20, 18, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), ".gitignore": "private/\n"})
    return repository


def ledger(folder: Path) -> Ledger:
    opened = open_ledger(folder)
    assert opened is not None
    return opened


def save_all(folder: Path, message: str = "Saved by hand\n") -> str:
    opened = ledger(folder)
    return save(opened, look(opened).tree, message, NOW)


def state(repository: Repository) -> tuple[str, dict[str, bytes]]:
    """All branches, and every file outside git's folder."""
    files = {str(path): path.read_bytes() for path in repository.folder.rglob("*") if path.is_file()}
    kept = {name: data for name, data in files.items() if "/.git/" not in name or name.endswith("/.git/HEAD")}
    return repository.git("for-each-ref"), kept


def deeds(folder: Path) -> list[tuple[str, str, str]]:
    return [(each.action, each.file, each.earlier) for each in look(ledger(folder)).changes]


# What changed


def test_new_changed_deleted_and_renamed_files_are_told_apart(repository: Repository) -> None:
    repository.write(
        {
            RECIPE: None,
            "recipes/cast/jowl.yaml": recipe(1, title="Small jowl piece"),
            "recipes/materials/deadener.yaml": None,
            "recipes/book.yaml": "title: Another name\n",
            "photos of May/two \u00e4pfel.txt": "new\n",
        }
    )
    assert sorted(deeds(repository.folder)) == [
        ("changed", "recipes/book.yaml", "recipes/book.yaml"),
        ("deleted", "recipes/materials/deadener.yaml", "recipes/materials/deadener.yaml"),
        ("new", "photos of May/two \u00e4pfel.txt", "photos of May/two \u00e4pfel.txt"),
        ("renamed", "recipes/cast/jowl.yaml", RECIPE),
    ]


def test_ignored_files_litter_and_histories_within_are_left_out(repository: Repository) -> None:
    repository.write({"private/health.txt": "x\n", ".DS_Store": "x", "recipes/cast/.cheek.yaml.ab12.new": "x"})
    inner = start_repository(repository.folder / "somebody elses")
    inner.save(FIRST, {"a.txt": "a\n"})
    assert deeds(repository.folder) == []


def test_a_history_within_that_was_saved_by_hand_stays_as_it_was_saved(repository: Repository) -> None:
    inner = start_repository(repository.folder / "somebody elses")
    first = inner.save(FIRST, {"a.txt": "a\n"})
    repository.save(SECOND, {})
    kept = repository.git("ls-tree", "HEAD", "somebody elses")
    assert first.commit in kept
    inner.save(SECOND, {"a.txt": "b\n"})
    repository.write({RECIPE: recipe(2, why="Softer.")})
    assert deeds(repository.folder) == [("changed", RECIPE, RECIPE)]
    save_all(repository.folder)
    assert repository.git("ls-tree", "HEAD", "somebody elses") == kept


def test_a_file_that_became_a_history_of_its_own_goes(repository: Repository) -> None:
    repository.save(SECOND, {"somebody elses": "a file\n"})
    repository.write({"somebody elses": None})
    start_repository(repository.folder / "somebody elses").save(FIRST, {"a.txt": "a\n"})
    assert deeds(repository.folder) == [("deleted", "somebody elses", "somebody elses")]


def test_looking_changes_nothing_in_the_history_or_in_gits_own_list(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.")})
    before = state(repository), (repository.folder / ".git" / "index").read_bytes()
    assert len(deeds(repository.folder)) == 1
    assert (state(repository), (repository.folder / ".git" / "index").read_bytes()) == before


# The save itself


def test_a_save_needs_no_identity_and_stores_none(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer."), "recipes/materials/deadener.yaml": None})
    commit = save_all(repository.folder, "Two things\n\n# not a comment\n")
    told = repository.git("log", "-1", "--format=%H|%an|%ae|%cn|%ce|%aI|%cI|%B").strip()
    person = "The book|book@localhost"
    assert (
        told
        == f"{commit}|{person}|{person}|2026-05-20T18:30:00+00:00|2026-05-20T18:30:00+00:00|Two things\n\n# not a comment"
    )
    assert repository.git("status", "--porcelain") == ""
    assert repository.git("show", f"HEAD:{RECIPE}") == recipe(2, why="Softer.")
    assert deeds(repository.folder) == []


def test_the_first_save_of_all_begins_the_history(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book())
    save_all(repository.folder)
    assert repository.git("rev-list", "--count", "HEAD").strip() == "1"
    assert repository.git("status", "--porcelain") == ""
    assert repository.git("symbolic-ref", "HEAD").strip() == "refs/heads/main"


def test_hooks_signing_and_broken_settings_of_the_user_do_not_matter(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "someone"
    hooks = home / "hooks"
    hooks.mkdir(parents=True)
    for place in (hooks, repository.folder / ".git" / "hooks"):
        place.mkdir(exist_ok=True)
        for name in ("pre-commit", "commit-msg", "reference-transaction", "post-index-change"):
            (place / name).write_text(f"#!/bin/sh\necho run >> '{home}/told'\nexit 1\n")
            (place / name).chmod(0o755)
    settings = f"[core]\n\thooksPath = {hooks}\n\tsafecrlf = true\n[commit]\n\tgpgSign = true\n[user]\n\tuseConfigOnly = true\n"
    (home / ".gitconfig").write_text(settings)
    monkeypatch.setenv("HOME", str(home))
    repository.write({RECIPE: recipe(2, why="Softer.")})
    save_all(repository.folder)
    (home / ".gitconfig").write_text("[core\nnonsense")
    repository.write({RECIPE: recipe(3, why="Softer still.")})
    save_all(repository.folder)
    assert not (home / "told").exists()
    assert repository.git("rev-list", "--count", "HEAD").strip() == "3"
    assert "gpgsig" not in repository.git("cat-file", "commit", "HEAD")


def test_a_document_is_saved_as_it_is_read_under_the_worst_settings(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hostility = prepare(tmp_path, repository)
    hostility.put_into(repository)
    for name, value in hostility.variables().items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("HOME", str(hostility.home))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(hostility.home))
    new = {RECIPE: recipe(2, why="Softer."), "recipes/cast/jowl.yaml": recipe(1, title="Jowl")}
    repository.write(new)
    assert sorted(deeds(repository.folder)) == [
        ("changed", RECIPE, RECIPE),
        ("new", "recipes/cast/jowl.yaml", "recipes/cast/jowl.yaml"),
    ]
    save_all(repository.folder)
    for file, text in new.items():
        blob = repository.git("rev-parse", f"HEAD:{file}").strip()
        assert repository.git("cat-file", "blob", blob) == text
    assert repository.git("log", "-1", "--format=%cI").strip() == "2026-05-20T18:30:00+00:00"
    assert not hostility.told.exists()


def test_line_ends_a_user_lets_git_convert_are_no_change(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "windows"
    home.mkdir()
    (home / ".gitconfig").write_text("[core]\n\tautocrlf = true\n")
    monkeypatch.setenv("HOME", str(home))
    for path in (repository.folder / "recipes").rglob("*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert deeds(repository.folder) == []
    (repository.folder / RECIPE).write_bytes(recipe(2, why="Softer.").replace("\n", "\r\n").encode())
    save_all(repository.folder)
    assert repository.git("show", f"HEAD:{RECIPE}") == recipe(2, why="Softer.")
    assert b"\r\n" in (repository.folder / RECIPE).read_bytes()


# A book in a larger repository


def test_a_larger_history_keeps_its_own_changes_and_what_was_prepared_in_it(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(
        FIRST, placed(empty_book(), "our books/first") | {"accounts.txt": "1\n", "letters.txt": "1\n", RECIPE: "x\n"}
    )
    shop.write({"accounts.txt": "2\n", "letters.txt": "2\n", "new letter.txt": "1\n", RECIPE: "y\n"})
    shop.git("add", "accounts.txt", "new letter.txt")
    shop.write({"accounts.txt": "3\n"})
    book = shop.folder / "our books" / "first"
    shop.write(placed({RECIPE: recipe(1)}, "our books/first"))
    assert deeds(book) == [("new", RECIPE, RECIPE)]

    save_all(book)

    assert shop.git("show", "--format=", "--name-only", "HEAD").split("\n")[:-1] == [f"our books/first/{RECIPE}"]
    prepared = sorted(shop.git("status", "--porcelain", "-uall").split("\n"))[1:]
    assert prepared == sorted(["MM accounts.txt", " M letters.txt", 'A  "new letter.txt"', f" M {RECIPE}"])
    assert (shop.folder / "accounts.txt").read_text() == "3\n"


def test_a_larger_history_that_leaves_the_book_out_is_none_of_the_book(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, {".gitignore": "my-book/\n"})
    shop.write(placed(empty_book(), "my-book"))
    assert open_ledger(shop.folder / "my-book") is None


def test_a_folder_without_a_history_has_none(tmp_path: Path) -> None:
    assert open_ledger(tmp_path) is None


# What stands in the way


def leave(name: str) -> Callable[[Repository], None]:
    def left(repository: Repository) -> None:
        path = repository.folder / ".git" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(repository.git("rev-parse", "HEAD"))

    return left


def a_half_done_merge(repository: Repository) -> None:
    repository.branch("side")
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.")})
    repository.go_to("main")
    repository.save(SECOND, {RECIPE: recipe(2, why="Firmer.")})
    with pytest.raises(RuntimeError):
        repository.git("merge", "side")


def two_texts_of_a_file(repository: Repository) -> None:
    a_half_done_merge(repository)
    (repository.folder / ".git" / "MERGE_HEAD").unlink()


def an_older_state(repository: Repository) -> None:
    repository.git("checkout", "--quiet", "--detach")


@pytest.mark.parametrize(
    "happens",
    [
        a_half_done_merge, two_texts_of_a_file, an_older_state, leave("CHERRY_PICK_HEAD"), leave("REVERT_HEAD"),
        leave("rebase-merge/done"), leave("rebase-apply/next"), leave("index.lock"), leave("HEAD.lock"),
        leave("refs/heads/main.lock"), leave("packed-refs.lock"),
    ],
    ids=["merge", "unmerged", "detached", "pick", "revert", "rebase", "apply", "index", "head", "branch", "packed"],
)  # fmt: skip
def test_nothing_is_touched_while_something_half_done_stands_in_the_way(
    repository: Repository, happens: Callable[[Repository], None]
) -> None:
    happens(repository)
    before = state(repository)
    with pytest.raises(RefusedError) as refusal:
        open_ledger(repository.folder)
    assert [notice.code for notice in refusal.value.notices] == ["history-busy"]
    assert state(repository) == before


def test_a_history_cut_short_is_refused(repository: Repository, tmp_path: Path) -> None:
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.")})
    clone = shallow_clone(repository, tmp_path / "clone", depth=1)
    with pytest.raises(RefusedError) as refusal:
        open_ledger(clone.folder)
    assert refusal.value.notices[0].code == "shallow-history"


def broken(repository: Repository) -> None:
    (repository.folder / ".git" / "HEAD").unlink()


def without_files(repository: Repository) -> None:
    repository.git("config", "core.bare", "true")


def unreadable_tip(repository: Repository) -> None:
    (repository.folder / ".git" / "refs" / "heads" / "main").write_bytes(b"\0" * 41)


def left_out(repository: Repository) -> None:
    repository.write({".gitignore": "recipes/\n"})
    repository.git("rm", "-r", "--quiet", "--cached", "recipes")


@pytest.mark.parametrize("happens", [broken, without_files, unreadable_tip, left_out])
def test_a_history_that_cannot_be_written_is_told_and_left_alone(
    repository: Repository, happens: Callable[[Repository], None]
) -> None:
    happens(repository)
    before = {path: path.read_bytes() for path in repository.folder.rglob("*") if path.is_file()}
    with pytest.raises(RefusedError) as refusal:
        open_ledger(repository.folder)
    assert refusal.value.notices[0].code == "history-damaged"
    assert {path: path.read_bytes() for path in repository.folder.rglob("*") if path.is_file()} == before


def test_another_working_folder_on_a_line_of_its_own_can_be_saved(repository: Repository, tmp_path: Path) -> None:
    other = linked_working_tree(repository, tmp_path / "other")
    other.branch("trial")
    other.write({RECIPE: recipe(2, why="Softer.")})
    save_all(other.folder)
    assert other.git("rev-list", "--count", "trial").strip() == "2"
    assert repository.git("rev-list", "--count", "main").strip() == "1"


def test_without_git_nothing_can_be_saved(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))
    with pytest.raises(CannotRunError, match="git is not on this computer"):
        open_ledger(repository.folder)


# Interrupted


def test_a_save_made_meanwhile_by_somebody_else_stays_the_newest(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.")})
    opened = ledger(repository.folder)
    tree = look(opened).tree
    theirs = repository.save(SECOND, {"recipes/book.yaml": "title: Theirs\n"})
    with pytest.raises(RefusedError) as refusal:
        save(opened, tree, "Ours\n", NOW)
    assert refusal.value.notices[0].code == "changed-meanwhile"
    assert repository.git("rev-parse", "HEAD").strip() == theirs.commit


@pytest.mark.parametrize(("at", "saves"), [("commit-tree", 1), ("reset", 1), ("update-ref", 1)])
def test_a_crash_leaves_the_old_history_or_the_new_one(
    repository: Repository, monkeypatch: pytest.MonkeyPatch, at: str, saves: int
) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.")})
    real = Plumbing.ask

    def crash(self: Plumbing, *words: str, **more: object) -> tuple[int, bytes, str]:
        if words[0] == at:
            raise SystemExit
        return real(self, *words, **more)  # type: ignore[arg-type]

    with monkeypatch.context() as during:
        during.setattr(Plumbing, "ask", crash)
        with pytest.raises(SystemExit):
            save_all(repository.folder)
    assert repository.git("rev-list", "--count", "HEAD").strip() == str(saves)
    assert (len(deeds(repository.folder)), (repository.folder / RECIPE).read_text()) == (
        2 - saves,
        recipe(2, why="Softer."),
    )
    repository.write({RECIPE: recipe(3, why="Softer still.")})
    save_all(repository.folder)
    assert repository.git("status", "--porcelain") == ""


@pytest.mark.skipif(os.name == "nt", reason="names on Windows are no bytes; CI runs this on Linux")
def test_a_file_whose_name_nobody_can_read_is_saved_too(repository: Repository) -> None:
    name = os.fsencode(repository.folder) + b"/notes \xff.txt"
    Path(os.fsdecode(name)).write_text("kept\n")
    save_all(repository.folder)
    assert deeds(repository.folder) == []
    assert repository.git("status", "--porcelain") == ""


def test_a_file_may_take_the_place_of_a_folder(repository: Repository) -> None:
    repository.save(SECOND, {"notes/a.txt": "a\n", "notes/b.txt": "b\n"})
    shutil.rmtree(repository.folder / "notes")
    repository.write({"notes": "one file now\n"})
    save_all(repository.folder)
    assert repository.git("show", "HEAD:notes") == "one file now\n"
