"""A save that says which failure a new version answers says it in the failure note too, and touches nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from desk.answering import Scripted
from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    empty_book,
    recipe,
    start_repository,
)
from mothermold.desk.numbering import Wish
from mothermold.desk.saving import save_book
from mothermold.desk.undoing import undo_save
from mothermold.ground.errors import CannotRunError
from mothermold.view.view import open_view

NOTE = "recipes/failures/air-at-cheek.yaml"
NAME = "air-at-cheek"
HEAD = "title: Air at the cheek\nseen_at: cast\nsymptoms:\n  - round holes on the cheek\n"
NEW = recipe(1, deadener="80 %")
DEED = "Base silicone: Deadener fluid 60 % → 80 % of Platinum gel silicone, part A"
ADDED = f'  - do: "{DEED}"\n    in: cast/cheek@2\n'


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book whose cheek piece has one locked version, and a failure nothing answers yet."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    return repository


def save(repository: Repository, answers: Mapping[str, Any] | None = None, **wish: Any) -> Scripted:
    asking = Scripted(answers)
    save_book(repository.folder, Wish(**wish), asking, asks=answers is not None)
    return asking


def answer(repository: Repository, note: str) -> Scripted:
    """Saves this note, then a second version that answers it."""
    if note != (repository.folder / NOTE).read_text():
        repository.save(SECOND, {NOTE: note})
    repository.write({RECIPE: NEW})
    return save(repository, why="The edge was hard.", fixes=(NAME,))


def text(repository: Repository, file: str = NOTE) -> str:
    return (repository.folder / file).read_bytes().decode()


def codes(repository: Repository) -> list[str]:
    return [notice.code for notice in open_view(repository.folder, "private").notices]


def test_the_note_says_in_the_same_save_which_version_answers_it(repository: Repository) -> None:
    repository.write({RECIPE: NEW})
    asking = save(
        repository,
        {
            "next number": "next",
            "Why does": "The edge was hard.",
            "Which failures": (NAME,),
            "locked?": True,
            "What to do now about “Air at the cheek”": None,
            "Save this": True,
        },
    )
    assert text(repository) == f"{HEAD}fixes:\n{ADDED}"
    assert codes(repository) == []
    assert f"{RECIPE}: version becomes 2, why and fixes are written." in asking.said
    assert f"{NOTE}: a fix is written, “{DEED}”, in cast/cheek@2." in asking.said
    assert f"{NOTE} says now that version 2 answers it." in asking.said
    assert repository.git("show", "--format=", "--name-only", "HEAD").split() == [RECIPE, NOTE]
    message = " ".join(repository.git("log", "-1", "--format=%B").split())
    assert "Failure note changed: Air at the cheek, answered by cast/cheek, version 2 (" in message


def test_undo_takes_both_back(repository: Repository) -> None:
    answer(repository, HEAD)
    undo_save(repository.folder, Scripted(), asks=False)
    assert (text(repository), text(repository, RECIPE)) == (HEAD, recipe(1))
    assert repository.git("status", "--porcelain") == ""


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (f"{HEAD}fixes: []  # open\nharm: rework\n", f"{HEAD}fixes:  # open\n{ADDED}harm: rework\n"),
        (f"{HEAD}fixes: []", f"{HEAD}fixes:\n{ADDED}".rstrip("\n")),
        (f"{HEAD}harm: rework  # at worst\n", f"{HEAD}fixes:\n{ADDED}harm: rework  # at worst\n"),
        (
            f"# mine\n{HEAD}fixes:\n- do: Roll it up the sides\n  in: cast/cheek@1  # seen\n  # tried twice\n\nharm: rework\n",
            f"# mine\n{HEAD}fixes:\n- do: Roll it up the sides\n  in: cast/cheek@1  # seen\n  # tried twice\n"
            f'- do: "{DEED}"\n  in: cast/cheek@2\n\nharm: rework\n',
        ),
        (f"{HEAD}fixes: []\n".replace("\n", "\r\n"), f"{HEAD}fixes:\n{ADDED}".replace("\n", "\r\n")),
        # Words that fit what was changed: the note knew the fix before the recipe did.
        (
            f"{HEAD}fixes:\n  - do: More deadener  # try\n  - do: Warm the mold\n",
            f"{HEAD}fixes:\n  - do: More deadener  # try\n    in: cast/cheek@2\n  - do: Warm the mold\n",
        ),
        (f"{HEAD}fixes: [{{do: Deadener}}]\n", f"{HEAD}fixes: [{{do: Deadener, in: cast/cheek@2}}]\n"),
    ],
    ids=[
        "empty",
        "empty at the end",
        "none",
        "behind another",
        "other line ends",
        "fits",
        "fits in braces",
    ],
)
def test_only_the_lines_that_must_change_are_changed(repository: Repository, before: str, after: str) -> None:
    answer(repository, before)
    assert text(repository) == after
    notices = open_view(repository.folder, "private").notices
    assert [notice.message for notice in notices if "the note does not say so" in notice.message] == []


TWO = f"{HEAD}fixes:\n  - do: Warm the mold\n  - do: Fresh part A\n  - do: Shave it\n    in: cast/cheek@1\n"
ASKED = {"next number": None, "locked?": True, "A word": "", "Save this": True}


def asked(repository: Repository, note: str, answers: Mapping[str, Any]) -> Scripted:
    repository.save(SECOND, {NOTE: note})
    repository.write({RECIPE: NEW})
    return save(repository, ASKED | answers, why="The edge was hard.", fixes=(NAME,))


def test_of_several_fixes_the_one_that_is_meant_is_asked_for(repository: Repository) -> None:
    asking = asked(repository, TWO, {"Which fix of “Air at the cheek” is in cast/cheek@2?": "Fresh part A"})
    assert text(repository) == TWO.replace("Fresh part A\n", "Fresh part A\n    in: cast/cheek@2\n")
    assert "The edge was hard." not in text(repository)
    assert len([each for each in asking.asked if "Which fix" in each]) == 1


def test_a_fix_that_stands_in_no_note_yet_is_told_in_words_of_its_own(repository: Repository) -> None:
    asked(repository, TWO, {"Which fix": "another", "What to do now about": "Tap the mold: twice"})
    assert text(repository) == TWO + '  - do: "Tap the mold: twice"\n    in: cast/cheek@2\n'


@pytest.mark.parametrize(
    "fixes",
    ["fixes:\n  - do: Warm the mold\n", "fixes:\n  - do: More deadener\n  - do: Fresh deadener\n"],
    ids=["fits not", "fits twice"],
)
def test_where_nobody_is_asked_no_fix_is_taken_for_another_and_no_why_is_written(
    repository: Repository, fixes: str
) -> None:
    asking = answer(repository, HEAD + fixes)
    assert text(repository) == HEAD + fixes
    assert "it is not clear which one is meant: type `in: cast/cheek@2` at that one." in asking.told


@pytest.mark.parametrize("fixes", ["fixes: [{do: Warm the mold, in: cast/cheek@1}]\n", "fixes:\n", "symptom: holes\n"])
def test_a_note_that_cannot_be_changed_in_place_is_left_and_the_line_to_type_is_said(
    repository: Repository, fixes: str
) -> None:
    asking = answer(repository, HEAD + fixes)
    assert text(repository) == HEAD + fixes
    assert f"Type `in: cast/cheek@2` at the fix in {NOTE}; it cannot be written there." in asking.said
    assert repository.git("show", "--format=", "--name-only", "HEAD").split() == [RECIPE]


def test_a_note_that_says_it_already_is_not_touched(repository: Repository) -> None:
    note = f"{HEAD}fixes:\n  - do: Another word\n    in: cast/cheek@2\n"
    repository.write({NOTE: note})
    repository.write({RECIPE: NEW})
    save(repository, why="The edge was hard.", fixes=(NAME,))
    assert text(repository) == note


def test_a_note_the_artist_changed_too_keeps_her_words(repository: Repository) -> None:
    repository.write({RECIPE: NEW, NOTE: f"{HEAD}harm: rework\n", "recipes/failures/rim.yaml": HEAD})
    save(repository, why="The edge was hard.", fixes=(NAME, "rim"))
    assert text(repository) == f"{HEAD}fixes:\n{ADDED}harm: rework\n"
    assert "- New failure note: Air at the cheek, answered by cast/cheek, version 2\n" in repository.git("log", "-1")
    assert repository.git("status", "--porcelain") == ""


def test_two_recipes_may_answer_one_note(repository: Repository) -> None:
    repository.save(SECOND, {"recipes/cast/ear.yaml": recipe(1, title="Ear tip")})
    repository.write({RECIPE: NEW, "recipes/cast/ear.yaml": recipe(1, title="Ear tip", deadener="80 %")})
    save(repository, why="The edge was hard.", fixes=(NAME,))
    assert text(repository) == f"{HEAD}fixes:\n{ADDED}{ADDED.replace('cheek', 'ear')}"
    assert codes(repository) == []


def test_a_number_typed_by_hand_answers_too_what_it_says_anew(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", fixes=[NAME], deadener="80 %")})
    save(repository)
    assert text(repository) == f"{HEAD}fixes:\n{ADDED}"
    repository.write({RECIPE: recipe(3, why="Firmer.", fixes=[NAME], deadener="70 %")})
    save(repository)
    assert "cheek@3" not in text(repository), "what was only left from the version before is no claim"


def test_a_draft_answers_nothing_until_it_is_finished(repository: Repository) -> None:
    draft = recipe(2, "draft", why="Softer.", fixes=[NAME], deadener="80 %")
    repository.write({RECIPE: draft})
    save(repository)
    assert text(repository) == HEAD
    repository.write({RECIPE: draft.replace("80 %", "85 %")})
    save(repository, {"draft finished": True, "What to do now about": None, "Save this": True})
    assert "in: cast/cheek@2\n" in text(repository)
    assert codes(repository) == []


def test_a_first_version_without_a_reason_answers_by_its_title(repository: Repository) -> None:
    repository.save(THIRD, {})
    repository.write({"recipes/cast/ear.yaml": recipe(1, title="Ear tip", fixes=[NAME])})
    save(repository)
    assert text(repository) == f"{HEAD}fixes:\n  - do: Ear tip\n    in: cast/ear@1\n"


def test_a_note_changed_while_the_save_asks_is_not_written_over(repository: Repository) -> None:
    mine = f"{HEAD}harm: rework\n"

    class Meddling(Scripted):
        def agree(self, question: str, *, default: bool) -> bool:
            if "Save this" in question:
                repository.write({NOTE: mine})
            return super().agree(question, default=default)

    repository.write({RECIPE: NEW})
    asking = Meddling(
        {"next number": None, "locked?": True, "What to do now about": None, "A word": "", "Save this": True}
    )
    wish = Wish(why="The edge was hard.", fixes=(NAME,))
    with pytest.raises(
        CannotRunError, match=rf"(?s)was changed by someone else.*Already written: {RECIPE} says version 2\."
    ):
        save_book(repository.folder, wish, asking, asks=True)
    assert text(repository) == mine
    save(repository)
    assert text(repository) == f"{HEAD}fixes:\n{ADDED}harm: rework\n", "the next save finishes it"


def test_a_reason_is_never_copied_to_where_more_people_read_it(repository: Repository) -> None:
    asking = answer(repository, HEAD + "visibility: public\n")
    assert text(repository) == HEAD + "visibility: public\n"
    assert any(f"Type `in: cast/cheek@2` at the fix in {NOTE}" in line for line in asking.said)
