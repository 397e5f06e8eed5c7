"""When a book last changed, for whom: a save of what an edition does not show moves no day of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from history.repositories import (
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    SEVENTH,
    SIXTH,
    THIRD,
    Moment,
    Repository,
    empty_book,
    recipe,
    start_repository,
)  # fmt: skip
from mothermold.desk.heard import Heard
from mothermold.desk.opening import open_for
from mothermold.pages.all_pages import all_pages
from mothermold.publish.around import told_to_frames
from mothermold.view.editions import Edition
from mothermold.view.view import open_view

NOTE = "recipes/failures/cracked.yaml"
CRACKED = "title: Cracked\nseen_at: cast\nsymptoms: [snap]\n"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book with one public recipe, opened by its second save."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    open_for(repository.folder, "cast/cheek", "public", Heard(), yes=True, asks=False)
    repository.save(SECOND, {})
    return repository


def day(repository: Repository, edition: Edition) -> str:
    """What every page of an edition says at its foot."""
    told: str = told_to_frames(open_view(repository.folder, edition))["day"]
    return told


def of(moment: Moment) -> str:
    return date.fromisoformat(moment.in_the_book[:10]).isoformat()


def pages(repository: Repository) -> dict[str, str]:
    return {page.address: page.body for page in all_pages(open_view(repository.folder, "public"))}


def opened(text: str) -> str:
    return f"{text}visibility: public\n"


def test_a_save_of_what_is_the_owners_alone_moves_the_owners_day_only(repository: Repository) -> None:
    before = pages(repository)
    assert day(repository, "public") == day(repository, "private") == of(SECOND)
    repository.save(THIRD, {NOTE: CRACKED})
    repository.save(FOURTH, {NOTE: CRACKED + "cause: cold\n", "recipes/pictures/x.svg": "<svg/>"})
    repository.save(SIXTH, {NOTE: None})
    assert (day(repository, "public"), day(repository, "private")) == (of(SECOND), of(SIXTH))
    assert pages(repository) == before


def test_a_save_of_what_all_may_read_moves_both(repository: Repository) -> None:
    repository.save(THIRD, {NOTE: opened(CRACKED)})
    assert (day(repository, "public"), day(repository, "class"), day(repository, "private")) == (of(THIRD),) * 3
    repository.save(SIXTH, {NOTE: None})
    assert day(repository, "public") == of(SIXTH)


def test_what_changed_in_a_document_where_only_the_owner_reads_moves_nothing(repository: Repository) -> None:
    repository.save(THIRD, {NOTE: opened(CRACKED)})
    repository.save(FOURTH, {NOTE: opened("# a remark of mine\n" + CRACKED)})
    assert (day(repository, "public"), day(repository, "private")) == (of(THIRD), of(FOURTH))


def test_what_once_was_public_and_is_not_any_more_says_no_day(repository: Repository) -> None:
    repository.save(THIRD, {NOTE: opened(CRACKED)})
    repository.save(SIXTH, {NOTE: CRACKED})
    repository.save(SEVENTH, {NOTE: CRACKED + "cause: cold\n"})
    assert (day(repository, "public"), day(repository, "private")) == (of(SECOND), of(SEVENTH))


def test_an_edition_that_shows_nothing_has_no_day(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    told = day(repository, "public")
    repository.save(SIXTH, {NOTE: CRACKED})
    assert day(repository, "public") == told
