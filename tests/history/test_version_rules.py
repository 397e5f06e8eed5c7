"""The rules of versions on states of a recipe as git would give them: two side lines, amendments, numbers taken back."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from history.repositories import recipe
from mothermold.book.document import Document, read_document
from mothermold.history.log import Commit
from mothermold.history.versions import State, Versions, list_versions, said_version

START = datetime(2026, 1, 5, 12, tzinfo=UTC)
OURS, THEIRS, THIRD = recipe(2, deadener="60 %"), recipe(2, deadener="80 %"), recipe(2, deadener="90 %")


def document(text: str) -> Document:
    return read_document("recipe", "cast/cheek", "recipes/cast/cheek.yaml", text.encode())


def state(sha: str, text: str | None, *parents: str, first: bool = True) -> State:
    """What the file said after a commit; its name's number is its day."""
    moment = START + timedelta(days=int(sha[-1]))
    commit = Commit(sha, parents, moment, {}, first)
    if text is None:
        return State(commit, None, None, None)
    read = document(text)
    return State(commit, read, *said_version(read))


def listed(line: list[State], side: list[State], working: str | None) -> Versions:
    parents = {each.commit.sha: each.commit.parents for each in (*line, *side)}
    return list_versions("cast/cheek", line, side, document(working) if working else None, parents)


def clash_of(versions: Versions, number: int) -> str | None:
    row = versions.get(number)
    assert row is not None
    return row.clash.text if row.clash is not None else None


def codes(versions: Versions) -> list[tuple[str, str]]:
    return [(notice.code, str(notice.severity)) for notice in versions.notices]


ROOT = state("c0", recipe(1))


@pytest.mark.parametrize(
    ("one", "other", "clash"),
    [(THEIRS, THIRD, THIRD), (THEIRS, THEIRS, None), (THEIRS, recipe(2, why="Said.", deadener="80 %"), None)],
)
def test_two_side_lines_clash_with_each_other_where_our_line_has_none_of_the_number(
    one: str, other: str, clash: str | None
) -> None:
    side = [state("s2", one, "c0", first=False), state("t1", other, "c0", first=False)]
    versions = listed([ROOT], side, recipe(1))
    assert clash_of(versions, 2) == clash
    assert codes(versions) == [("version-clash", "error")] * (clash is not None)
    row = versions.get(2)
    assert row is not None
    assert row.document.text == one


def test_an_earlier_text_of_the_same_side_line_clashes_with_nothing() -> None:
    side = [state("s2", THEIRS, "s1", first=False), state("s1", THIRD, "c0", first=False)]
    assert clash_of(listed([ROOT], side, recipe(1)), 2) is None
    # Two commits on, through one that did not touch it.
    far = [state("s3", THEIRS, "s2", first=False), state("s1", THIRD, "c0", first=False)]
    parents = {"s3": ("s2",), "s2": ("s1",), "s1": ("c0",)}
    row = list_versions("cast/cheek", [ROOT], far, document(recipe(1)), parents).get(2)
    assert row is not None
    assert row.clash is None


def test_the_second_of_two_side_lines_clashes_with_ours_though_the_first_agrees() -> None:
    line = [state("c3", OURS, "c0"), ROOT]
    side = [state("s2", OURS, "c0", first=False), state("t1", THEIRS, "c0", first=False)]
    assert clash_of(listed(line, side, OURS), 2) == THEIRS
    # A text our line once had and amended since is no clash.
    line = [state("c4", OURS, "c3"), state("c3", THEIRS, "c0"), ROOT]
    assert clash_of(listed(line, side, OURS), 2) is None


@pytest.mark.parametrize(("top", "severity"), [(2, "error"), (3, "advice")])
def test_a_clash_is_settled_by_a_higher_locked_number_only(top: int, severity: str) -> None:
    line = [*([state("c4", recipe(3), "c3")] if top == 3 else []), state("c3", OURS, "c0"), ROOT]
    side = [state("s2", THEIRS, "c0", first=False)]
    assert codes(listed(line, side, line[0].document.text if line[0].document else None)) == [
        ("version-clash", severity)
    ]
    draft = [state("c4", recipe(3, "draft"), "c3"), *line[-2:]]
    assert ("version-clash", "error") in codes(listed(draft, side, recipe(3, "draft")))


@pytest.mark.parametrize(
    ("newest", "status"),
    [
        (recipe(1), "withdrawn"),
        (recipe(1, "draft"), "withdrawn"),
        (recipe(3), "locked"),
        (recipe(2, "retired"), "retired"),
    ],
)
def test_a_number_is_withdrawn_where_the_line_went_back_below_it(newest: str, status: str) -> None:
    line = [state("c2", newest, "c1"), state("c1", OURS, "c0"), ROOT]
    row = listed(line, [], newest).get(2)
    assert row is not None
    assert row.status == status


def test_a_text_without_a_number_takes_nothing_back() -> None:
    line = [state("c2", "title: Torn\n", "c1"), state("c1", OURS, "c0"), ROOT]
    row = listed(line, [], None).get(2)
    assert row is not None
    assert row.status == "deleted"
    kept = listed(line, [], OURS).get(2)
    assert kept is not None
    assert kept.status == "locked"


def test_each_other_text_under_a_number_is_one_amendment_newest_first() -> None:
    one, two = recipe(2, deadener="60 %"), recipe(2, deadener="70 %")
    line = [
        state("c5", one, "c4"), state("c4", two, "c3"), state("c3", one, "c2"), state("c2", two, "c1"),
        state("c1", "# A word\n" + OURS, "c0"), ROOT,
    ]  # fmt: skip
    row = listed(line, [], one).get(2)
    assert row is not None
    assert [(moment.day, text.text) for moment, text in row.amendments] == [(9, two)]
    assert (row.commit, row.moment) == ("c1", START + timedelta(days=1))


def test_the_file_as_it_is_counts_as_saved_where_any_line_says_the_same_of_it() -> None:
    line = [state("c1", OURS, "c0"), ROOT]
    same = listed(line, [], "# A word\n" + OURS).get(2)
    assert same is not None
    assert (same.working_tree, same.saved) == (False, None)
    other = listed(line, [], THEIRS)
    row = other.get(2)
    assert row is not None
    assert row.working_tree
    assert row.saved is not None
    assert codes(other) == [("locked-changed", "warning")]
    back = row.as_saved()
    assert (back.document.text, back.saved, back.working_tree) == (OURS, None, False)
    # A note that changed is no other version, and waits to be saved all the same.
    noted = listed(line, [], recipe(2, why="Said.", deadener="60 %"))
    waiting = noted.get(2)
    assert waiting is not None
    assert waiting.working_tree
    assert codes(noted) == []
    # What a side line says of the number was saved, too.
    side = [state("s2", THEIRS, "c0", first=False)]
    taken = listed(line, side, THEIRS).get(2)
    assert taken is not None
    assert not taken.working_tree


def test_a_draft_is_saved_only_by_a_text_of_its_own_number() -> None:
    draft, other = recipe(3, "draft"), recipe(4, "draft")
    line = [state("c1", draft, "c0"), ROOT]
    saved = listed(line, [], draft).get(3)
    assert saved is not None
    assert (saved.working_tree, saved.saved_draft is not None) == (False, True)
    fresh = listed(line, [], other).get(4)
    assert fresh is not None
    assert (fresh.working_tree, fresh.saved_draft) == (True, None)


def test_a_locked_number_cannot_be_a_draft_again() -> None:
    versions = listed([state("c1", OURS, "c0"), ROOT], [], recipe(2, "draft", deadener="60 %"))
    assert codes(versions) == [("draft-on-locked", "error")]
    assert "`version: 3`" in versions.notices[0].help


@pytest.mark.parametrize(
    ("working", "highest", "current"),
    [(recipe(7, "draft"), 7, 2), (recipe(1), 2, 2), (None, 2, None), (recipe(2, "retired", deadener="60 %"), 2, 1)],
)
def test_the_highest_number_counts_drafts_and_the_current_one_is_the_highest_locked(
    working: str | None, highest: int, current: int | None
) -> None:
    versions = listed([state("c1", OURS, "c0"), ROOT], [], working)
    assert versions.highest == highest
    assert (versions.current.number if versions.current else None) == current


@pytest.mark.parametrize(
    ("said", "number"),
    [("1", 1), ("999999999", 999999999), ("1000000000", None), ("0", None), ("01", None), ("1.5", None), ("", None)],
)
def test_a_number_is_a_whole_one_of_at_most_nine_digits(said: str, number: int | None) -> None:
    assert said_version(document(f"title: A piece\nversion: {said}\nstatus: locked\n"))[0] == number


def test_a_text_that_was_saved_as_a_draft_alone_is_not_saved_as_a_version() -> None:
    again = state("c1", recipe(1, "draft", hands_on="7 min"), "c0")
    row = listed([again, ROOT], [], recipe(1, hands_on="7 min")).get(1)
    assert row is not None
    assert (row.working_tree, row.saved is not None) == (True, True)
    kept = listed([state("c1", recipe(1, hands_on="7 min"), "c0"), ROOT], [], recipe(1, hands_on="7 min")).get(1)
    assert kept is not None
    assert not kept.working_tree


def test_a_clash_of_a_recipe_that_was_deleted_is_told_where_its_file_was() -> None:
    line = [state("c3", None, "c2"), state("c2", OURS, "c0"), ROOT]
    (clash,) = listed(line, [state("c1", THEIRS, "c0", first=False)], None).notices
    assert (clash.code, clash.file) == ("version-clash", "recipes/cast/cheek.yaml")
