"""What changed in the whole book since a day or since what a course teaches, and what an edition says of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from history.repositories import FIRST, FOURTH, RECIPE, SECOND, SIXTH, Repository, empty_book, recipe, start_repository
from mothermold.answers.changes import changes_since
from mothermold.cli.main import main
from mothermold.view.editions import Edition
from mothermold.view.view import open_view

OTHER = "recipes/cast/brow.yaml"
NOTE, SECRET = "recipes/failures/sticky-rim.yaml", "recipes/failures/zq-secret.yaml"
NOTE_TEXT = """\
title: Sticky rim
visibility: class
seen_at: cast
symptoms: [rim stays tacky]
now:
  - Stop and keep the cup.
  - Wipe the rim with {wipe}.
"""
COURSE = """\
title: First term
visibility: class
pins: [cast/cheek@1]
"""
MATERIAL = "title: {title}\nvisibility: class\nfamilies: [platinum-silicone]\n"


def shown(text: str, visibility: str = "class") -> str:
    return text.replace("stage: cast", f"stage: cast\nvisibility: {visibility}")


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A course saved in February with version 1 pinned; in March version 2, a second recipe and a reworded note."""
    repository = start_repository(tmp_path / "book")
    materials = {
        f"recipes/materials/{name}.yaml": MATERIAL.format(title=title)
        for name, title in (("gel-silicone-a", "A"), ("deadener", "Deadener"))
    }
    first = {RECIPE: shown(recipe(1)), NOTE: NOTE_TEXT.format(wipe="acetone"), "recipes/courses/term.yaml": COURSE}
    repository.save(FIRST, empty_book() | materials | first)
    repository.save(SECOND, {})
    repository.save(
        FOURTH,
        {
            RECIPE: shown(recipe(2, why="Too firm.", deadener="80 %")),
            OTHER: shown(recipe(1, title="Brow")),
            NOTE: NOTE_TEXT.format(wipe="isopropanol") + "harm: rework\n",
            SECRET: NOTE_TEXT.format(wipe="zqsecret").replace("class", "private"),
        },
    )
    return repository


def told(repository: Repository, since: str, edition: Edition = "private") -> tuple[list[Any], list[Any]]:
    data = changes_since(open_view(repository.folder, edition), since).data
    return (
        [(row["recipe"], row["from"], row["to"], row["why"], row["sentences"]) for row in data["recipes"]],
        [(row["failure"], row["what"]) for row in data["failures"]],
    )


CHEEK = ("cast/cheek", 1, 2, "Too firm.", ["Base silicone: Deadener 60 % → 80 % of A."])
BROW = ("cast/brow", None, 1, None, ["New since then."])
STICKY = (
    "sticky-rim",
    "What to do now: reworded “rim with acetone” → “rim with isopropanol”. The worst it can cost: added “rework”.",
)


def test_versions_and_notes_since_a_day_are_told_in_words(repository: Repository) -> None:
    recipes, failures = told(repository, "2026-03-01")

    assert recipes == [BROW, CHEEK]
    assert failures == [STICKY, ("zq-secret", "New since then.")]


def test_the_day_itself_is_included_and_the_day_after_is_quiet(repository: Repository) -> None:
    assert told(repository, "2026-03-29")[0] == [BROW, CHEEK]
    assert told(repository, "2026-03-30") == ([], [])


def test_before_the_first_save_everything_is_new(repository: Repository) -> None:
    recipes, failures = told(repository, "2026-01-01")

    assert [(row[0], row[1], row[2]) for row in recipes] == [("cast/brow", None, 1), ("cast/cheek", None, 2)]
    assert {what for _name, what in failures} == {"New since then."}


def test_since_a_course_counts_from_the_versions_it_pins_and_from_its_first_save(repository: Repository) -> None:
    # The pin was put back to 1 after version 2 was locked: the class still knows version 1.
    recipes, failures = told(repository, "term")

    assert recipes == [BROW, CHEEK]
    assert failures == [STICKY, ("zq-secret", "New since then.")]

    repository.write({"recipes/courses/term.yaml": COURSE.replace("@1", "@2")})
    assert told(repository, "term")[0] == [BROW]


def test_an_edition_says_nothing_of_what_it_does_not_hold(repository: Repository) -> None:
    answer = changes_since(open_view(repository.folder, "class"), "term")

    assert [row["failure"] for row in answer.data["failures"]] == ["sticky-rim"]
    assert "zq" not in json.dumps(dict(answer.data)) + str(answer.notices)
    assert changes_since(open_view(repository.folder, "public"), "2026-01-01").data["recipes"] == []


def test_a_note_that_was_private_then_is_new_to_the_class_and_its_old_words_are_not_told(
    repository: Repository,
) -> None:
    repository.save(SIXTH, {SECRET: NOTE_TEXT.format(wipe="a cloth")})

    assert told(repository, "2026-04-01", "class")[1] == [("zq-secret", "New since then.")]
    (private,) = told(repository, "2026-04-01")[1]
    assert "zqsecret" in private[1]


def test_what_was_retired_or_deleted_since_is_told(repository: Repository) -> None:
    later = FOURTH.__class__("2026-05-04T04:30:00+0530", "2026-05-04T01:00:00+02:00")
    retired = shown(recipe(1, "retired", title="Brow"))
    repository.save(later, {OTHER: retired, NOTE: None})

    recipes, failures = told(repository, "2026-04-01")

    assert recipes == [("cast/brow", 1, None, None, ["No longer in use."])]
    assert failures == [("sticky-rim", "Deleted.")]


def test_a_correction_under_the_same_number_is_told(repository: Repository) -> None:
    repository.save(SIXTH, {RECIPE: shown(recipe(2, why="Too firm.", deadener="82 %"))})

    assert told(repository, "2026-04-01")[0] == [
        ("cast/cheek", 2, 2, None, ["Base silicone: Deadener 80 % → 82 % of A."])
    ]


def test_a_photo_of_a_note_is_told_by_what_it_shows_and_to_nobody_who_may_not_see_it(repository: Repository) -> None:
    photos = "photos:\n  - {file: a.jpg, alt: A rim, caption: Threads at the rim., as: bad, face: no}\n  - {file: b.jpg, alt: zqface}\n"
    repository.save(SIXTH, {NOTE: NOTE_TEXT.format(wipe="isopropanol") + "harm: rework\n" + photos})
    told = {}
    for edition in ("private", "class"):
        data = changes_since(open_view(repository.folder, edition), "2026-05-01").data  # type: ignore[arg-type]
        (told[edition],) = [each["what"] for each in data["failures"] if each["failure"] == "sticky-rim"]
    assert told["class"] == "Photos: added “Threads at the rim (A rim, bad)”."
    assert "zqface" in told["private"]


def test_it_can_be_read_aloud(repository: Repository, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(repository.folder), "changes", "--since", "term", "--for", "class"]) == 0

    assert capsys.readouterr().out.startswith(
        "What changed since the versions taught in “First term”, and in everything else since 2026-02-09,\n"
        "when the course was first saved.\n"
        "\n"
        "Brow (cast/brow), version 1\n"
        "  - New since then.\n"
        "\n"
        "Small cheek piece (cast/cheek), version 1 to 2\n"
        "  Why: Too firm.\n"
        "  - Base silicone: Deadener 60 % → 80 % of A.\n"
        "\n"
        "Failure notes\n"
        "  - Sticky rim (sticky-rim): What to do now: reworded “rim with acetone” → “rim with\n"
        "    isopropanol”. The worst it can cost: added “rework”.\n"
    )


def test_a_course_that_was_never_saved_says_that_no_day_is_known(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.write({"recipes/courses/new.yaml": COURSE.replace("First", "Second")})

    assert told(repository, "new") == ([CHEEK], [])
    assert main(["-C", str(repository.folder), "changes", "--since", "new"]) == 0
    assert "The course was never saved" in capsys.readouterr().out


def test_a_pin_to_a_version_the_book_does_not_hold_is_said_and_not_called_new(repository: Repository) -> None:
    repository.write({"recipes/courses/term.yaml": COURSE.replace("@1", "@7")})

    told_of = {row[0]: row for row in told(repository, "term")[0]}

    assert told_of["cast/cheek"][1:] == (
        7, 2, None, ["Version 7, which the course teaches, is not in the book, so what changed since cannot be told."],
    )  # fmt: skip
