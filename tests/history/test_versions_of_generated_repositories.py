"""What `versions` tells of histories along one line: every expected answer is worked out by hand.

Merges, awkward places and hostile settings have files of their own beside this one.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from history.command_line import ask, ask_versions, listing, row
from history.repositories import (
    AUTHOR,
    AUTHOR_MAIL,
    FIFTH,
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    SEVENTH,
    SIXTH,
    THIRD,
    Repository,
    empty_book,
    recipe,
    start_repository,
)

ERROR = "error"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    return start_repository(tmp_path / "book")


# Plain histories


def test_a_version_that_stands_in_the_root_commit_is_listed_with_it(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, first))
    assert answer.history_notices() == []


def test_versions_are_ascending_with_the_committers_time_in_the_books_zone(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    saves = [
        repository.save(moment, {RECIPE: recipe(number, why=f"Reason {number}.", hands_on=f"{number} min")})
        for number, moment in [(9, FIRST), (10, SECOND), (11, THIRD), (12, FOURTH), (13, FIFTH), (14, SIXTH)]
    ]

    assert ask_versions(repository.folder).listing() == listing(
        14, *(row(number, save, why=f"Reason {number}.") for number, save in enumerate(saves, start=9))
    )


def test_the_fixes_of_a_version_are_listed(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    text = recipe(2, why="Air sat at the cheek.", fixes=["air-at-cheek"], hands_on="12 min")
    second = repository.save(SECOND, {RECIPE: text})

    assert ask_versions(repository.folder).listing() == listing(
        2, row(1, first), row(2, second, why="Air sat at the cheek.", fixes=["air-at-cheek"])
    )


def test_commits_are_ordered_by_descent_and_never_by_their_clocks(repository: Repository) -> None:
    first = repository.save(SIXTH, empty_book() | {RECIPE: recipe(1, why="As it was first written.")})
    repository.save(FIRST, {RECIPE: recipe(1, why="As it was mended.", hands_on="12 min")})
    third = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", hands_on="14 min")})

    assert ask_versions(repository.folder).listing() == listing(
        2, row(1, first, why="As it was mended.", amended=1), row(2, third, why="Softer.")
    )


def test_authors_are_never_told(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})

    printed = ask_versions(repository.folder).printed

    assert AUTHOR not in printed
    assert AUTHOR_MAIL not in printed


def test_a_recipe_in_a_deeper_folder_is_addressed_by_its_whole_path(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {"recipes/cast/face/brow.yaml": recipe(1)})

    answer = ask_versions(repository.folder, "cast/face/brow")

    assert answer.listing() == listing(1, row(1, first), recipe="cast/face/brow")


def test_a_recipe_that_never_was_is_answered_with_nulls_and_exit_1(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})

    answer = ask(repository.folder, "versions", "cast/nobody")

    assert answer.exit_code == 1
    assert (answer.body["recipe"], answer.body["current"], answer.body["versions"]) == (None, None, [])


# Amendments


def test_a_process_changed_under_its_number_is_an_amendment_and_the_newest_text_is_shown(
    repository: Repository,
) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Opened too early.", hands_on="12 min")})
    repository.save(THIRD, {RECIPE: recipe(2, why="Opened too early, and rushed.", hands_on="15 min")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, second, why="Opened too early, and rushed.", amended=1))
    assert answer.history_notices() == []


@pytest.mark.parametrize(
    "amended_text",
    [
        pytest.param(recipe(2, why="Said better."), id="why"),
        pytest.param(recipe(2, why="Said first.", title="Cheek piece, small"), id="title"),
        pytest.param(recipe(2, why="Said first.", fixes=["air-at-cheek"]), id="fixes"),
        pytest.param(recipe(2, why="Said first.", more="    watch: [air-at-cheek]\n"), id="watch"),
    ],
)
def test_a_note_changed_under_its_number_is_an_amendment_too(repository: Repository, amended_text: str) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Said first.")})
    repository.save(THIRD, {RECIPE: amended_text})

    found = ask_versions(repository.folder).row(2)

    assert (found["amended"], found["commit"], found["date"]) == (1, second.commit, second.date)
    assert found["why"] == ("Said better." if "better" in amended_text else "Said first.")


REORDERED = """\
# The same version in another order.
why: "Softer edge."
fixes:
  - air-at-cheek
status: locked
version: 2
stage:   cast

steps:
  - title: Fill and close
    wait: 120 min   # while it cures
    hands_on: 10 min
    uses:
      - as: fill
        mix: base
    id: fill
mixes:
  - fills: 100 ml
    allowance: 10 %
    id: base
    by: weight
    parts:
      - parts: 100
        material: gel-silicone-a
      - of: gel-silicone-a
        material: deadener
        percent: 60 %
    title: Base silicone
title: Small cheek piece
"""
SOFTER = recipe(2, why="Softer edge.", fixes=["air-at-cheek"])
ACCEPTS = """\
accepts:
  - rule: alcohol-paint-on-alcohol-film
    where: cast/cheek#fill
    because: Sealed twice and tested.
"""


@pytest.mark.parametrize(
    "same_version",
    [
        pytest.param("# A word in front.\n" + SOFTER + "# and a word behind\n", id="comments"),
        pytest.param(REORDERED, id="key order and spacing"),
        pytest.param(SOFTER.replace("\n", "\r\n"), id="line ends"),
        pytest.param(SOFTER.replace("120 min", "2 h"), id="equal time"),
        pytest.param(SOFTER.replace("60 %", "60.0"), id="equal percent"),
        pytest.param(SOFTER.replace("[air-at-cheek]", "air-at-cheek"), id="one name alone"),
        pytest.param(SOFTER + "visibility: public\n", id="visibility"),
        pytest.param(SOFTER + "formerly: [cast/jowl]\n", id="formerly"),
        pytest.param(SOFTER + ACCEPTS, id="accepts"),
    ],
)
def test_a_text_that_says_the_same_is_no_amendment(repository: Repository, same_version: str) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1, deadener="50 %")})
    second = repository.save(SECOND, {RECIPE: SOFTER})
    assert same_version != SOFTER
    repository.save(THIRD, {RECIPE: same_version})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, second, why="Softer edge.", fixes=["air-at-cheek"]))
    assert answer.history_notices() == []


def test_distinct_other_texts_are_counted_and_a_text_that_comes_back_is_not(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1, hands_on="10 min")})
    repository.save(SECOND, {RECIPE: recipe(1, hands_on="11 min")})
    repository.save(THIRD, {RECIPE: recipe(1, hands_on="12 min")})
    assert ask_versions(repository.folder).listing() == listing(1, row(1, first, amended=2))

    repository.save(FOURTH, {RECIPE: recipe(1, hands_on="10 min")})
    assert ask_versions(repository.folder).listing() == listing(1, row(1, first, amended=2))

    repository.save(FIFTH, {RECIPE: recipe(1, hands_on="11 min")})
    assert ask_versions(repository.folder).listing() == listing(1, row(1, first, amended=2))


def test_an_older_number_amended_later_keeps_its_own_row(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", hands_on="12 min")})
    repository.save(THIRD, {RECIPE: recipe(1, hands_on="11 min")})
    repository.save(FOURTH, {RECIPE: recipe(2, why="Softer.", hands_on="12 min")})

    assert ask_versions(repository.folder).listing() == listing(
        2, row(1, first, amended=1), row(2, second, why="Softer.")
    )


# Drafts


def test_a_draft_above_a_locked_version_is_shown_beside_it_and_never_instead(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(2, "draft", why="Trying it softer.", deadener="80 %")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, first), row(2, None, status="draft", why="Trying it softer."))
    assert answer.history_notices() == []


def test_a_recipe_that_is_only_a_draft_has_no_current_version(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1, "draft")})

    assert ask_versions(repository.folder).listing() == listing(None, row(1, None, status="draft"))


def test_the_texts_of_a_draft_are_no_amendments_of_the_version_it_becomes(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1, "draft", hands_on="8 min")})
    repository.save(SECOND, {RECIPE: recipe(1, "draft", hands_on="9 min")})
    third = repository.save(THIRD, {RECIPE: recipe(1, hands_on="10 min")})

    assert ask_versions(repository.folder).listing() == listing(1, row(1, third))


def test_an_abandoned_draft_is_not_listed(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(2, "draft", why="A dead end.", deadener="200 %")})
    repository.save(THIRD, {RECIPE: recipe(1)})

    assert ask_versions(repository.folder).listing() == listing(1, row(1, first))


def test_a_draft_on_a_number_already_locked_is_an_error(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: recipe(2, "draft", why="Softer still.", deadener="90 %")})

    answer = ask_versions(repository.folder)

    assert answer.history_notices() == [("draft-on-locked", ERROR, RECIPE)]
    assert answer.listing() == listing(2, row(1, first), row(2, second, why="Softer."))


def test_an_unsaved_draft_on_a_number_already_locked_is_an_error(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: recipe(1, "draft", deadener="90 %")})

    assert ask_versions(repository.folder).history_notices() == [("draft-on-locked", ERROR, RECIPE)]


# Withdrawn, deleted, retired


def test_a_number_the_file_went_back_from_is_withdrawn(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Too soft.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: recipe(1)})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(1, row(1, first), row(2, second, status="withdrawn", why="Too soft."))
    assert answer.history_notices() == []


def test_a_withdrawn_number_stays_withdrawn_when_the_next_one_follows(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Too soft.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: recipe(1)})
    fourth = repository.save(FOURTH, {RECIPE: recipe(3, why="Between the two.", deadener="70 %")})

    assert ask_versions(repository.folder).listing() == listing(
        3,
        row(1, first),
        row(2, second, status="withdrawn", why="Too soft."),
        row(3, fourth, why="Between the two."),
    )


def test_a_withdrawn_number_that_is_carried_again_is_locked_again(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: recipe(1)})
    repository.save(FOURTH, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})

    assert ask_versions(repository.folder).listing() == listing(2, row(1, first), row(2, second, why="Softer."))


def test_the_versions_of_a_deleted_file_stay_and_none_is_current(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: None})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        None, row(1, first, status="deleted"), row(2, second, status="deleted", why="Softer.")
    )
    assert answer.history_notices() == []


def test_a_file_that_was_deleted_and_came_back_is_listed_as_if_it_had_stayed(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: None})
    third = repository.save(THIRD, {RECIPE: recipe(2, why="Needed after all.", deadener="80 %")})

    assert ask_versions(repository.folder).listing() == listing(
        2, row(1, first), row(2, third, why="Needed after all.")
    )


def test_a_retired_version_keeps_its_commit_and_is_not_current(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(1, "retired")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(None, row(1, first, status="retired"))
    assert answer.history_notices() == []


def test_retiring_a_version_leaves_the_rows_below_it_as_they_were(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(THIRD, {RECIPE: recipe(2, "retired", why="Softer.", deadener="80 %")})

    assert ask_versions(repository.folder).listing()["versions"] == [
        row(1, first),
        row(2, second, status="retired", why="Softer."),
    ]


# Renames

OLD_PATH = "recipes/cast/jowl.yaml"


def test_a_renamed_recipe_keeps_the_versions_of_its_earlier_address(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {OLD_PATH: recipe(1)})
    second = repository.save(SECOND, {OLD_PATH: recipe(2, why="Softer.", deadener="80 %")})
    renamed = recipe(2, why="Softer.", deadener="80 %", formerly=["cast/jowl"])
    repository.save(THIRD, {OLD_PATH: None, RECIPE: renamed})
    text = recipe(3, why="Softer still.", deadener="90 %", formerly=["cast/jowl"])
    fourth = repository.save(FOURTH, {RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, second, why="Softer."), row(3, fourth, why="Softer still.")
    )
    assert answer.history_notices() == []


def test_a_recipe_renamed_twice_lists_both_earlier_addresses(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {"recipes/cast/cheeks.yaml": recipe(1)})
    text = recipe(2, why="Softer.", deadener="80 %", formerly=["cast/cheeks"])
    second = repository.save(SECOND, {"recipes/cast/cheeks.yaml": None, OLD_PATH: text})
    text = recipe(3, why="Softer still.", deadener="90 %", formerly=["cast/cheeks", "cast/jowl"])
    third = repository.save(THIRD, {OLD_PATH: None, RECIPE: text})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        3, row(1, first), row(2, second, why="Softer."), row(3, third, why="Softer still.")
    )
    assert answer.history_notices() == []


def test_an_earlier_address_counts_only_up_to_the_commit_in_which_the_new_one_appears(
    repository: Repository,
) -> None:
    first = repository.save(FIRST, empty_book() | {OLD_PATH: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(1, formerly=["cast/jowl"])})
    repository.save(THIRD, {OLD_PATH: recipe(1, hands_on="40 min")})
    repository.save(FOURTH, {OLD_PATH: recipe(5, why="Went its own way.", deadener="200 %")})
    repository.save(FIFTH, {OLD_PATH: None})
    sixth = repository.save(SIXTH, {RECIPE: recipe(2, why="Softer.", deadener="80 %", formerly=["cast/jowl"])})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, sixth, why="Softer."))
    assert answer.history_notices() == []


def test_an_earlier_address_claimed_by_two_files_is_an_error(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {OLD_PATH: recipe(1)})
    claim = recipe(1, formerly=["cast/jowl"])
    repository.save(SECOND, {OLD_PATH: None, RECIPE: claim, "recipes/cast/chin.yaml": claim})

    # One notice for one cause: it may stand in either file, and it touches both recipes.
    asked = [ask_versions(repository.folder, name) for name in ("cast/cheek", "cast/chin")]
    found = {notice for answer in asked for notice in answer.history_notices()}

    assert found
    assert {(code, severity) for code, severity, _ in found} == {("formerly-twice", ERROR)}
    assert {file for *_, file in found} <= {RECIPE, "recipes/cast/chin.yaml"}


def test_an_earlier_address_that_is_alive_as_another_file_is_an_error(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {OLD_PATH: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(1, formerly=["cast/jowl"])})

    answer = ask_versions(repository.folder)

    assert answer.history_notices() == [("formerly-alive", ERROR, RECIPE)]


# The working tree


@pytest.mark.parametrize("staged", [False, True], ids=["only written", "staged"])
def test_an_unsaved_locked_version_is_listed_as_unsaved_and_is_current(repository: Repository, *, staged: bool) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    if staged:
        repository.git("add", "--all")

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(
        2, row(1, first), row(2, None, why="Softer.", fixes=["air-at-cheek"], working_tree=True)
    )
    assert answer.history_notices() == []


@pytest.mark.parametrize("staged", [False, True], ids=["only written", "staged"])
def test_a_recipe_never_saved_is_listed_as_unsaved(repository: Repository, *, staged: bool) -> None:
    repository.save(FIRST, empty_book())
    repository.write({RECIPE: recipe(1)})
    if staged:
        repository.git("add", "--all")

    assert ask_versions(repository.folder).listing() == listing(1, row(1, None, working_tree=True))


def test_an_unsaved_draft_is_listed_as_unsaved_and_the_locked_version_stays_current(
    repository: Repository,
) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: recipe(2, "draft", why="Trying it softer.", deadener="80 %")})

    assert ask_versions(repository.folder).listing() == listing(
        1, row(1, first), row(2, None, status="draft", why="Trying it softer.", working_tree=True)
    )


@pytest.mark.parametrize(
    "unsaved",
    [
        pytest.param(recipe(2, why="Softer.", deadener="85 %"), id="process"),
        pytest.param(recipe(2, why="Softer at the edge.", deadener="80 %"), id="why"),
    ],
)
def test_an_unsaved_change_under_a_locked_number_is_marked_and_keeps_date_and_commit(
    repository: Repository, unsaved: str
) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.write({RECIPE: unsaved})

    answer = ask_versions(repository.folder)
    found = answer.row(2)

    assert answer.row(1) == row(1, first)
    assert answer.listing()["current"] == 2
    assert found["working_tree"] is True
    assert (found["status"], found["date"], found["commit"]) == ("locked", second.date, second.commit)
    assert found["why"] == ("Softer at the edge." if "edge" in unsaved else "Softer.")


def test_an_unsaved_text_is_counted_as_an_amendment_only_once_it_is_saved(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: recipe(1, hands_on="12 min")})
    assert ask_versions(repository.folder).row(1)["amended"] == 0

    repository.save(SECOND, {})
    assert ask_versions(repository.folder).row(1)["amended"] == 1


def test_an_unsaved_comment_is_no_unsaved_version(repository: Repository) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: "# To be tried in summer.\n" + recipe(1)})

    assert ask_versions(repository.folder).listing() == listing(1, row(1, first))


# Old texts


@pytest.mark.parametrize(
    "unreadable",
    [
        pytest.param(recipe(1, more="lid_color: blue\n"), id="a field of yesterday"),
        pytest.param(recipe(1, hands_on="a while"), id="a value of yesterday"),
        pytest.param(recipe(1).replace("stage: cast", "stage: kitchen"), id="a stage of yesterday"),
        pytest.param(recipe(1).replace("steps:", "steps: none\nactions:"), id="another shape"),
    ],
)
def test_a_version_that_no_longer_fits_is_listed_all_the_same(repository: Repository, unreadable: str) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: unreadable})
    second = repository.save(SECOND, {RECIPE: recipe(2, why="Written anew.")})

    answer = ask_versions(repository.folder)

    assert answer.listing() == listing(2, row(1, first), row(2, second, why="Written anew."))
    assert answer.history_notices() == []


@pytest.mark.parametrize(
    "broken",
    [
        pytest.param("title: [unclosed\n\tversion 1", id="not even a document"),
        pytest.param("", id="empty"),
        pytest.param("- a list\n- of words\n", id="a list"),
        pytest.param("\x00\x01\x02", id="control characters"),
        pytest.param(recipe(1) + "<<<<<<< ours\n=======\n>>>>>>> theirs\n", id="conflict markers"),
        pytest.param(recipe(1).replace("version: 1", "version: one"), id="a number in words"),
        pytest.param("a: " + "[" * 3000 + "]" * 3000 + "\n", id="deep as a well"),
    ],
)
def test_a_broken_text_in_the_past_hides_nothing_of_the_good_ones(repository: Repository, broken: str) -> None:
    first = repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: broken})
    third = repository.save(THIRD, {RECIPE: recipe(2, why="Mended.", deadener="80 %")})

    answer = ask_versions(repository.folder)

    assert answer.row(1) == row(1, first) | {"amended": answer.row(1)["amended"]}
    assert answer.row(2) == row(2, third, why="Mended.")
    assert answer.listing()["current"] == 2


def test_a_broken_document_elsewhere_hides_nothing(repository: Repository) -> None:
    files = {RECIPE: recipe(1), "recipes/cast/chin.yaml": "title: [unclosed\n"}
    first = repository.save(SEVENTH, empty_book() | files)

    assert ask_versions(repository.folder).listing() == listing(1, row(1, first))
