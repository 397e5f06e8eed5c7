"""A locked version that was changed and not saved is told, and its saved text stays what its number means."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.command_line import ask
from history.repositories import FIRST, RECIPE, SECOND, Repository, empty_book, recipe, start_repository


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    return repository


def codes(repository: Repository) -> list[str]:
    notices = ask(repository.folder, "check").body["notices"]
    return [notice["code"] for notice in notices if notice["file"] == RECIPE]


def test_a_changed_amount_under_a_locked_number_is_a_warning(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="90 %")})

    answer = ask(repository.folder, "check")

    (notice,) = [each for each in answer.body["notices"] if each["file"] == RECIPE]
    assert (notice["code"], notice["severity"]) == ("locked-changed", "warning")
    assert "version: 3" in notice["help"]
    assert answer.exit_code == 0


def test_a_changed_word_or_the_next_number_is_none(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer at the edge.", deadener="80 %")})
    assert codes(repository) == []
    repository.write({RECIPE: recipe(3, why="Softer still.", deadener="90 %")})
    assert codes(repository) == []


def test_a_slip_is_told_as_the_slip_it_is(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="90 %").replace("hands_on:", "hands-on:")})
    assert codes(repository) == ["unknown-key"]


def test_a_number_means_its_saved_text_and_working_the_file(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="90 %")})

    (change,) = ask(repository.folder, "diff", "cast/cheek", "2", "working").body["changes"]
    assert (change["before"], change["after"]) == ("80 %", "90 %")
    (change,) = ask(repository.folder, "diff", "cast/cheek").body["changes"]
    assert (change["before"], change["after"]) == ("60 %", "80 %")

    changed = ask(repository.folder, "diff", "cast/cheek", "working").body
    assert (changed["from"], changed["to"]) == (2, "working")
    assert [change["after"] for change in changed["changes"]] == ["90 %"]

    def deadener(version: str) -> float:
        parts = ask(repository.folder, "mix", f"cast/cheek{version}").body["parts"]
        return next(part["percent_of_total"] for part in parts if part["material"] == "deadener")

    assert deadener("@2") == deadener("") == pytest.approx(100 * 80 / 180)
    assert deadener("@working") == pytest.approx(100 * 90 / 190)


def test_the_only_version_is_compared_with_its_file_where_that_was_changed(tmp_path: Path) -> None:
    book = start_repository(tmp_path / "one")
    book.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    assert ask(book.folder, "diff", "cast/cheek").exit_code == 1
    book.write({RECIPE: recipe(1, deadener="90 %")})
    answer = ask(book.folder, "diff", "cast/cheek").body
    assert (answer["from"], answer["to"], len(answer["changes"])) == (1, "working", 1)


# Drafts


def draft(deadener: str) -> str:
    return recipe(1, deadener=deadener).replace("status: locked", "status: draft")


def test_a_saved_draft_that_never_was_locked_can_be_compared_with_its_file(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "drafts")
    repository.save(FIRST, empty_book() | {RECIPE: draft("60 %")})

    same = ask(repository.folder, "diff", "cast/cheek", "working")
    assert (same.exit_code, same.body["from"], same.body["to"], same.body["changes"]) == (0, 1, "working", [])

    repository.write({RECIPE: draft("80 %")})

    for words in (("working",), ("1", "working")):
        (change,) = ask(repository.folder, "diff", "cast/cheek", *words).body["changes"]
        assert (change["before"], change["after"]) == ("60 %", "80 %")
    assert ask(repository.folder, "diff", "cast/cheek", "1", "1").body["changes"] == []


def test_a_saved_draft_above_a_locked_version_is_compared_with_that_one(repository: Repository) -> None:
    third = recipe(3, why="Softest.", deadener="90 %").replace("status: locked", "status: draft")
    repository.save(SECOND, {RECIPE: third})

    answer = ask(repository.folder, "diff", "cast/cheek", "working").body

    assert (answer["from"], answer["to"]) == (2, "working")
    assert [change["after"] for change in answer["changes"]] == ["90 %"]


def test_a_draft_that_was_never_saved_has_nothing_to_be_compared_with(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "drafts")
    repository.save(FIRST, empty_book())
    repository.write({RECIPE: draft("60 %")})

    answer = ask(repository.folder, "diff", "cast/cheek", "working")

    assert answer.exit_code == 1
    assert [notice["code"] for notice in answer.body["notices"]] == ["nothing-to-compare"]
