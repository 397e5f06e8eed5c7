"""What `versions` tells where git is incomplete, hidden in a larger repository, or set up to be in the way.

Every expected answer is worked out by hand, from the same texts as in plain places.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

from campaigns.seeds import short
from history.command_line import ask_versions, listing, plain_environment, row
from history.hostile_settings import prepare
from history.repositories import (
    ANOTHER_FILE,
    FIFTH,
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    SIXTH,
    THIRD,
    Repository,
    Save,
    copy_without_git,
    empty_book,
    linked_working_tree,
    placed,
    recipe,
    shallow_clone,
    start_repository,
)

SHALLOW = [("shallow-history", "warning")]


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    return start_repository(tmp_path / "book")


def three_versions(repository: Repository) -> list[Save]:
    """Save versions 1, 2 and 3 along one line."""
    return [
        repository.save(FIRST, empty_book() | {RECIPE: recipe(1)}),
        repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")}),
        repository.save(THIRD, {RECIPE: recipe(3, why="Softer still.", deadener="90 %")}),
    ]


# Shallow clones


def test_a_shallow_clone_lists_what_it_has_and_says_that_history_is_missing(
    repository: Repository, tmp_path: Path
) -> None:
    *_, third = three_versions(repository)
    clone = shallow_clone(repository, tmp_path / "clone", depth=1)

    answer = ask_versions(clone.folder)

    assert answer.listing() == listing(3, row(3, third, why="Softer still."))
    assert answer.codes() == SHALLOW


def test_a_deeper_shallow_clone_lists_more_and_still_says_so(repository: Repository, tmp_path: Path) -> None:
    _, second, third = three_versions(repository)
    clone = shallow_clone(repository, tmp_path / "clone", depth=2)

    answer = ask_versions(clone.folder)

    assert answer.listing() == listing(3, row(2, second, why="Softer."), row(3, third, why="Softer still."))
    assert answer.codes() == SHALLOW


def test_a_whole_clone_has_nothing_to_say(repository: Repository, tmp_path: Path) -> None:
    first, second, third = three_versions(repository)
    repository.git("clone", "--quiet", "--no-local", repository.folder.as_uri(), str(tmp_path / "clone"))

    answer = ask_versions(tmp_path / "clone")

    assert answer.listing() == listing(
        3, row(1, first), row(2, second, why="Softer."), row(3, third, why="Softer still.")
    )
    assert answer.history_notices() == []


# A larger repository, other working trees


def test_a_book_inside_a_larger_repository_tells_of_its_own_files_only(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    # A file of the same address lies at the top, where no book is; names try the reading of lists of files.
    wrong = recipe(9, why="Not of the book.", deadener="5 %")
    shop.save(FIRST, {RECIPE: wrong, 'accounts 2026/b\u00fccher "alt".txt': "1\n"})
    second = shop.save(SECOND, placed(empty_book() | {RECIPE: recipe(1)}, "our books/first"))
    shop.save(THIRD, {'accounts 2026/b\u00fccher "alt".txt': "2\n", RECIPE: recipe(8, hands_on="1 min")})
    side_text = recipe(2, why="Softer.", deadener="80 %")
    shop.branch("side")
    shop.save(FOURTH, placed({RECIPE: side_text}, "our books/first"))
    shop.go_to("main")
    main_text = recipe(2, why="Firmer.", deadener="40 %")
    fifth = shop.save(FIFTH, placed({RECIPE: main_text}, "our books/first"))
    shop.merge_by_hand("side", SIXTH, {"accounts 2026/line\nbreak.txt": "3\n"})
    expected = listing(2, row(1, second), row(2, fifth, why="Firmer."))

    for start in ("our books/first", "our books/first/recipes/cast"):
        answer = ask_versions(shop.folder / start)
        assert answer.listing() == expected
        assert answer.history_notices() == [("version-clash", "error", RECIPE)]


def test_a_book_that_came_into_a_larger_repository_by_a_merge_is_dated_on_our_line(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, {"accounts.txt": "1\n"})
    shop.branch("side")
    second = shop.save(SECOND, placed(empty_book() | {RECIPE: recipe(1)}, "book"))
    text = recipe(2, why="Softer.", deadener="80 %")
    shop.save(THIRD, placed({RECIPE: text}, "book"))
    shop.go_to("main")
    # Our line never held the book before the merge: nothing on it touches the book's files.
    shop.save(FOURTH, {"accounts.txt": "2\n"})
    merge = shop.merge("side", FIFTH)

    answer = ask_versions(shop.folder / "book")

    assert answer.listing() == listing(2, row(1, second), row(2, merge, why="Softer."))
    assert answer.history_notices() == []


def test_two_books_in_one_repository_do_not_mix(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    first = shop.save(FIRST, placed(empty_book() | {RECIPE: recipe(1)}, "one"))
    second = shop.save(SECOND, placed(empty_book() | {RECIPE: recipe(4, why="Of the second book.")}, "one-and-more"))

    assert ask_versions(shop.folder / "one").listing() == listing(1, row(1, first))
    assert ask_versions(shop.folder / "one-and-more").listing() == listing(4, row(4, second, why="Of the second book."))


def test_a_working_tree_linked_to_another_folder_tells_the_same(repository: Repository, tmp_path: Path) -> None:
    first, second, third = three_versions(repository)
    linked = linked_working_tree(repository, tmp_path / "linked")
    linked.write({RECIPE: recipe(4, why="Only here.", deadener="95 %")})

    answer = ask_versions(linked.folder)

    assert answer.listing() == listing(
        4,
        row(1, first),
        row(2, second, why="Softer."),
        row(3, third, why="Softer still."),
        row(4, None, why="Only here.", working_tree=True),
    )
    assert answer.history_notices() == []


def test_history_is_told_from_the_commit_that_is_checked_out(repository: Repository) -> None:
    first, second, _ = three_versions(repository)
    repository.git("checkout", "--quiet", "--detach", second.commit)

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, second, why="Softer."))
    assert answer.history_notices() == []


def test_a_packed_repository_tells_the_same(repository: Repository) -> None:
    first, second, third = three_versions(repository)
    repository.git("gc", "--quiet", "--aggressive", "--prune=now")

    assert ask_versions(repository.folder).listing() == listing(
        3, row(1, first), row(2, second, why="Softer."), row(3, third, why="Softer still.")
    )


# No history at all


def test_without_a_git_program_the_working_tree_is_told_and_one_sentence_says_so(
    repository: Repository, tmp_path: Path
) -> None:
    three_versions(repository)
    nothing = tmp_path / "nothing"
    nothing.mkdir()
    environment = plain_environment(tmp_path / "home") | {"PATH": str(nothing)}

    answer = ask_versions(repository.folder, environment=environment)

    assert answer.listing() == listing(3, row(3, None, why="Softer still.", working_tree=True))
    assert answer.codes() == [("no-git", "advice")]


def test_without_a_repository_the_working_tree_is_told_and_one_sentence_says_so(
    repository: Repository, tmp_path: Path
) -> None:
    three_versions(repository)
    folder = copy_without_git(repository, tmp_path / "copied")

    answer = ask_versions(folder)

    assert answer.listing() == listing(3, row(3, None, why="Softer still.", working_tree=True))
    assert answer.codes() == [("no-repository", "advice")]


def test_without_a_commit_the_working_tree_is_told_and_one_sentence_says_so(repository: Repository) -> None:
    repository.write(empty_book() | {RECIPE: recipe(1)})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, None, working_tree=True))
    assert answer.codes() == [("no-commits", "advice")]


def test_without_history_a_draft_is_told_as_a_draft(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.write(empty_book() | {RECIPE: recipe(1, "draft")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(None, row(1, None, status="draft", working_tree=True))
    assert answer.codes() == [("no-commits", "advice")]


# Settings and variables


def winding_history(repository: Repository) -> dict[str, object]:
    """Make a history with a root that counts, an amendment, a side line, a merge of its own, a rename.

    Returns:
        The answer it should give.
    """
    old = "recipes/cast/jowl.yaml"
    first = repository.save(FIRST, empty_book() | {old: recipe(1)})
    repository.save(SECOND, {old: recipe(1, hands_on="12 min")})
    repository.branch("side")
    side = repository.save(THIRD, {old: recipe(2, why="Firmer.", deadener="40 %")})
    repository.go_to("main")
    repository.save(FOURTH, ANOTHER_FILE)
    third = recipe(3, why="In between.", deadener="55 %")
    merge = repository.merge_by_hand("side", FIFTH, {old: third})
    repository.save(SIXTH, {old: None, RECIPE: third + "formerly: [cast/jowl]\n"})
    unsaved = recipe(4, why="Only written.", deadener="57 %", formerly=["cast/jowl"])
    repository.write({RECIPE: unsaved})
    return listing(
        4,
        row(1, first, amended=1),
        row(2, side, why="Firmer."),
        row(3, merge, why="In between."),
        row(4, None, why="Only written.", working_tree=True),
    )


def test_a_winding_history_in_a_plain_place(repository: Repository) -> None:
    expected = winding_history(repository)

    answer = ask_versions(repository.folder)

    assert answer.listing() == expected
    assert answer.history_notices() == []


posix_only = pytest.mark.skipif(sys.platform == "win32", reason="the settings start a shell script")


@posix_only
@pytest.mark.parametrize("where", short(["everywhere", "home", "repository", "variables"], 1))
def test_no_setting_or_variable_of_gits_changes_the_answer(repository: Repository, tmp_path: Path, where: str) -> None:
    expected = winding_history(repository)
    hostility = prepare(tmp_path, repository)
    plain = plain_environment(tmp_path / "home")
    undisturbed = ask_versions(repository.folder, environment=plain)
    if where in {"repository", "everywhere"}:
        hostility.put_into(repository)
    home = hostility.home if where in {"home", "everywhere"} else tmp_path / "home"
    environment = plain_environment(home)
    if where in {"variables", "everywhere"}:
        environment |= hostility.variables()

    answer = ask_versions(repository.folder, environment=environment)

    assert answer.listing() == expected
    assert answer.body == undisturbed.body
    assert not hostility.told.exists(), "a program named in the settings was run"


@posix_only
def test_a_decoy_repository_in_the_variables_does_not_stand_in_for_a_missing_one(
    repository: Repository, tmp_path: Path
) -> None:
    three_versions(repository)
    folder = copy_without_git(repository, tmp_path / "copied")
    hostility = prepare(tmp_path, repository)
    environment = plain_environment(tmp_path / "home") | hostility.variables()

    answer = ask_versions(folder, environment=environment)

    assert answer.listing() == listing(3, row(3, None, why="Softer still.", working_tree=True))
    assert answer.codes() == [("no-repository", "advice")]


def test_broken_settings_of_the_user_do_no_harm(repository: Repository, tmp_path: Path) -> None:
    expected = winding_history(repository)
    home = tmp_path / "home"
    environment = plain_environment(home)
    (home / ".gitconfig").write_text("[log\nthis is no setting\n")

    assert ask_versions(repository.folder, environment=environment).listing() == expected


# What reading may not do


def test_reading_versions_changes_nothing_in_the_repository(repository: Repository) -> None:
    winding_history(repository)
    before = contents(repository)

    ask_versions(repository.folder)

    assert contents(repository) == before
    assert repository.git("worktree", "list", "--porcelain").count("worktree ") == 1


def contents(repository: Repository) -> dict[str, bytes]:
    """Every file of the recipes and of `.git`; git itself may refresh the index, and our answers lie in a folder of their own."""
    places = [*(repository.folder / "recipes").rglob("*"), *(repository.folder / ".git").rglob("*")]
    found = {place.relative_to(repository.folder).as_posix(): place for place in places if place.is_file()}
    return {
        name: place.read_bytes()
        for name, place in found.items()
        if name != ".git/index" and not name.startswith(".git/mothermold/")
    }


@posix_only
def test_the_number_of_git_processes_does_not_grow_with_the_book(tmp_path: Path) -> None:
    small = start_repository(tmp_path / "small")
    three_versions(small)
    large = start_repository(tmp_path / "large")
    three_versions(large)
    for number in range(4, 16):
        text = recipe(number, why="Once more.", deadener=f"{number} %")
        large.save(FOURTH, {RECIPE: text, f"recipes/cast/other-{number}.yaml": recipe(1)})

    few, many = git_processes(small, tmp_path / "few"), git_processes(large, tmp_path / "many")
    assert many == few


def git_processes(repository: Repository, folder: Path) -> int:
    """Count how often the git program is started for one answer."""
    real = shutil.which("git")
    assert real is not None
    folder.mkdir()
    counted, stand_in = folder / "counted", folder / "git"
    stand_in.write_text(f"#!/bin/sh\necho once >> '{counted}'\nexec '{real}' \"$@\"\n")
    stand_in.chmod(0o755)
    environment = plain_environment(folder / "home")
    environment["PATH"] = os.pathsep.join([str(folder), environment["PATH"]])
    ask_versions(repository.folder, environment=environment)
    return len(counted.read_text().splitlines())
