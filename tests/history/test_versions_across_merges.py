"""What `versions` tells where lines of history meet: clashes, side lines, merges that take or make a version.

Every expected answer is worked out by hand. "Our line" is the line of first parents from the newest commit.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from history.command_line import ask_versions, listing, row
from history.repositories import (
    ANOTHER_FILE,
    FIFTH,
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    SEVENTH,
    SIXTH,
    THIRD,
    Repository,
    Save,
    empty_book,
    recipe,
    start_repository,
)

CLASH_NOW = ("version-clash", "error", RECIPE)
CLASH_SETTLED = ("version-clash", "advice", RECIPE)

OURS = recipe(2, why="Softer at the edge.", deadener="80 %")
THEIRS = recipe(2, why="Firmer for the stage.", deadener="40 %")


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    return start_repository(tmp_path / "book")


def fork(repository: Repository, *, theirs: str, ours: str | None) -> tuple[Save, Save, Save]:
    """Lock version 1, save `theirs` on a side line, then `ours` (or only another file) on our line."""
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.branch("side")
    side = repository.save(SECOND, {RECIPE: theirs})
    repository.go_to("main")
    main = repository.save(THIRD, ANOTHER_FILE if ours is None else {RECIPE: ours})
    return first, side, main


# Clashes


def test_a_number_locked_twice_is_an_error_while_it_is_the_highest(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Softer at the edge."))
    assert answer.history_notices() == [CLASH_NOW]
    (notice,) = [notice for notice in answer.body["notices"] if notice["code"] == "version-clash"]
    assert "3" in notice["help"]


def test_a_clash_is_only_advice_once_a_higher_number_is_locked_on_our_line(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})
    fifth = repository.save(FIFTH, {RECIPE: recipe(3, why="The best of both.", deadener="60 %")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, main, why="Softer at the edge."), row(3, fifth, why="The best of both.")
    )
    assert answer.history_notices() == [CLASH_SETTLED]


def test_a_clash_is_only_advice_when_the_merge_itself_locks_the_next_number(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    text = recipe(3, why="The best of both.", deadener="60 %")
    merge = repository.merge_by_hand("side", FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, main, why="Softer at the edge."), row(3, merge, why="The best of both.")
    )
    assert answer.history_notices() == [CLASH_SETTLED]


def test_a_higher_draft_does_not_settle_a_clash(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})
    repository.save(FIFTH, {RECIPE: recipe(3, "draft", why="The best of both.", deadener="60 %")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        2,
        row(1, first),
        row(2, main, why="Softer at the edge."),
        row(3, None, status="draft", why="The best of both."),
    )
    assert answer.history_notices() == [CLASH_NOW]


@pytest.mark.parametrize(
    "theirs",
    [
        pytest.param(OURS, id="the same text"),
        pytest.param(recipe(2, why="Said otherwise.", deadener="80 %"), id="another why"),
        pytest.param(OURS.replace("Small cheek piece", "Cheek piece, small"), id="another title"),
        pytest.param("# Copied.\n" + OURS.replace("120 min", "2 h"), id="equal units"),
    ],
)
def test_the_same_process_locked_on_two_lines_is_no_clash(repository: Repository, theirs: str) -> None:
    first, _, main = fork(repository, theirs=theirs, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Softer at the edge."))
    assert answer.history_notices() == []


def test_only_the_last_text_on_the_other_line_can_clash(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.branch("side")
    repository.save(SECOND, {RECIPE: THEIRS})
    repository.save(THIRD, {RECIPE: OURS})
    repository.go_to("main")
    main = repository.save(FOURTH, {RECIPE: OURS})
    repository.merge_by_hand("side", FIFTH, {})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Softer at the edge."))
    assert answer.history_notices() == []


def test_taking_over_the_other_lines_text_afterwards_ends_the_clash(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})
    repository.save(FIFTH, {RECIPE: THEIRS})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Firmer for the stage.", amended=1))
    assert answer.history_notices() == []


def test_a_side_line_that_only_carries_an_older_text_along_is_no_clash(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.branch("side")
    repository.save(SECOND, ANOTHER_FILE)
    repository.go_to("main")
    repository.save(THIRD, {RECIPE: recipe(1, why="Timed again.", hands_on="12 min")})
    repository.merge("side", FOURTH)

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, first, why="Timed again.", amended=1))
    assert answer.history_notices() == []


def test_a_branch_that_was_never_merged_counts_for_nothing(repository: Repository) -> None:
    first, _, main = fork(repository, theirs=THEIRS, ours=OURS)
    repository.go_to("side")
    repository.save(FOURTH, {RECIPE: recipe(7, why="Far ahead.", deadener="200 %")})
    repository.go_to("main")

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Softer at the edge."))
    assert answer.history_notices() == []


# Versions that are only on a side line


def test_a_version_only_on_a_merged_side_line_is_found_there(repository: Repository) -> None:
    first, side, _ = fork(repository, theirs=THEIRS, ours=None)
    text = recipe(3, why="The best of both.", deadener="60 %")
    merge = repository.merge_by_hand("side", FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, side, why="Firmer for the stage."), row(3, merge, why="The best of both.")
    )
    assert answer.history_notices() == []


def test_a_version_only_on_a_side_line_is_found_when_our_line_was_already_ahead(
    repository: Repository,
) -> None:
    ahead = recipe(3, why="Jumped a number.", deadener="90 %")
    first, side, main = fork(repository, theirs=THEIRS, ours=ahead)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, side, why="Firmer for the stage."), row(3, main, why="Jumped a number.")
    )
    assert answer.history_notices() == []


def test_a_version_only_on_a_side_line_is_found_when_the_merge_kept_a_lower_number(
    repository: Repository,
) -> None:
    first, side, _ = fork(repository, theirs=THEIRS, ours=None)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert answer.row(1) == row(1, first)
    found = answer.row(2)
    assert (found["commit"], found["date"]) == (side.commit, side.date)
    assert (found["why"], found["amended"], found["working_tree"]) == ("Firmer for the stage.", 0, False)
    assert answer.history_notices() == []


def test_a_version_left_out_by_a_merge_is_locked_and_current_since_our_line_never_went_back(
    repository: Repository,
) -> None:
    # Withdrawn is a number the file went back from along first parents, and there it never stood.
    fork(repository, theirs=THEIRS, ours=None)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert (answer.row(2)["status"], answer.listing()["current"]) == ("locked", 2)


def test_of_a_version_only_on_a_side_line_the_oldest_commit_and_the_newest_text_count(
    repository: Repository,
) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.branch("side")
    # The clock of that machine ran backward: descent counts.
    side = repository.save(SIXTH, {RECIPE: THEIRS})
    repository.save(SECOND, {RECIPE: recipe(2, why="Firmer, and timed.", deadener="40 %", hands_on="9 min")})
    repository.go_to("main")
    text = recipe(3, why="The best of both.", deadener="60 %")
    merge = repository.merge_by_hand("side", FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    # Amendments are other texts on our line; there version 2 never stood.
    assert answer.listing() == listing(
        3, row(1, first), row(2, side, why="Firmer, and timed."), row(3, merge, why="The best of both.")
    )
    assert answer.history_notices() == []


def test_a_draft_on_a_side_line_is_not_listed(repository: Repository) -> None:
    draft = recipe(2, "draft", why="Only a try.", deadener="200 %")
    first, _, main = fork(repository, theirs=draft, ours=OURS)
    repository.merge_by_hand("side", FOURTH, {})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, main, why="Softer at the edge."))
    assert answer.history_notices() == []


def test_a_whole_recipe_that_came_in_from_a_side_line_is_dated_by_the_merge(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    repository.branch("side")
    side = repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: OURS})
    repository.go_to("main")
    repository.save(FOURTH, ANOTHER_FILE)
    merge = repository.merge("side", FIFTH)

    answer = ask_versions(repository.folder)

    # Version 1 never stood on our line, so it is dated where it stood.
    assert answer.listing() == listing(2, row(1, side), row(2, merge, why="Softer at the edge."))
    assert answer.history_notices() == []


# Merges that take over or make a version


def test_a_merge_that_takes_over_the_other_lines_version_is_its_commit_on_our_line(
    repository: Repository,
) -> None:
    first, _, _ = fork(repository, theirs=THEIRS, ours=None)
    merge = repository.merge("side", FOURTH)

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, merge, why="Firmer for the stage."))
    assert answer.history_notices() == []


def test_a_merge_that_words_the_other_lines_version_anew_shows_its_own_text(repository: Repository) -> None:
    first, _, _ = fork(repository, theirs=THEIRS, ours=None)
    text = recipe(2, why="Firmer, as agreed.", deadener="40 %")
    merge = repository.merge_by_hand("side", FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, merge, why="Firmer, as agreed."))
    assert answer.history_notices() == []


def test_a_merge_that_changes_the_other_lines_version_clashes_with_it(repository: Repository) -> None:
    first, _, _ = fork(repository, theirs=THEIRS, ours=None)
    text = recipe(2, why="Something in between.", deadener="55 %")
    merge = repository.merge_by_hand("side", FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, merge, why="Something in between."))
    assert answer.history_notices() == [CLASH_NOW]


def test_an_amendment_that_comes_in_by_a_merge_is_an_amendment(repository: Repository) -> None:
    amended = recipe(1, why="Timed again.", hands_on="12 min")
    first, _, _ = fork(repository, theirs=amended, ours=None)
    repository.merge("side", FOURTH)

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, first, why="Timed again.", amended=1))
    assert answer.history_notices() == []


def test_lines_that_meet_twice_are_read_once(repository: Repository) -> None:
    first, _, _ = fork(repository, theirs=THEIRS, ours=None)
    second = repository.merge("side", FOURTH)
    repository.go_to("side")
    third = recipe(3, why="Firmer still.", deadener="30 %")
    repository.save(FIFTH, {RECIPE: third})
    repository.go_to("main")
    repository.save(SIXTH, dict.fromkeys(ANOTHER_FILE))
    again = repository.merge("side", SEVENTH)

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, second, why="Firmer for the stage."), row(3, again, why="Firmer still.")
    )
    assert answer.history_notices() == []
