"""Books in real repositories: commit messages, authors and old texts tell nothing an edition does not hold."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

import pytest

from history.repositories import FIRST, FOURTH, RECIPE, SECOND, THIRD, Repository, empty_book, recipe, start_repository
from mothermold.answers.changes import changes_since
from mothermold.answers.check import check_book
from mothermold.answers.export import export_book
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from view.books import make_book
from view.reading import printed, reachable
from view.saved import save_book

_HIDDEN: Final = {
    "private": re.compile(r"zqauthor|zqmessage"),
    "class": re.compile(r"zq-?(private|comment|author|message)[\w-]*"),
    "public": re.compile(r"zq-?(private|class|comment|author|message)[\w-]*"),
}


@pytest.mark.parametrize("seed", [0, 4, 10, 22])
def test_messages_and_authors_are_never_read_and_old_texts_keep_their_readers(seed: int, tmp_path: Path) -> None:
    book = make_book(seed)
    save_book(book, start_repository(tmp_path))
    views = {edition: open_view(tmp_path, edition) for edition in EDITIONS}

    assert any(len(each.rows) > 1 for each in map(views["private"].versions, views["private"].recipes) if each)
    for edition, view in views.items():
        told = [
            (f"changes --since {since}", json.dumps(dict(changes_since(view, since).data), ensure_ascii=False))
            for since in ("2000-01-01", "2026-02-10", *view.documents["course"])
        ]
        everything = [*printed(view), *reachable(view, views["private"].recipes), *told]
        assert [(place, text) for place, text in everything if _HIDDEN[edition].search(text)] == []


# Old texts, by hand


def _recipe(version: int, title: str, visibility: str) -> str:
    return recipe(version, title=title, why=f"{title} why", more=f"visibility: {visibility}\n")


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    repository = start_repository(tmp_path)
    book = empty_book()
    shown = {file: f"{text}visibility: public\n" for file, text in book.items() if "book.yaml" not in file}
    repository.save(FIRST, book | shown)
    return repository


def _numbers(view: View) -> list[int]:
    versions = view.versions("cast/cheek")
    return [row.number for row in versions.rows] if versions else []


def test_a_private_old_text_of_a_public_recipe_stays_private(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "Kept to myself", "private")})
    repository.save(THIRD, {RECIPE: _recipe(2, "For everybody", "public")})

    view = open_view(repository.folder, "public")

    assert _numbers(view) == [2]
    assert "Kept to myself" not in str(export_book(view).data)


def test_a_public_old_text_of_a_private_recipe_is_private_too(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public")})
    repository.save(THIRD, {RECIPE: _recipe(2, "Kept to myself", "private")})

    view = open_view(repository.folder, "class")

    assert _numbers(view) == []
    assert "cast/cheek" not in str(export_book(view).data)


def test_a_recipe_made_private_before_it_was_deleted_stays_private(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public")})
    repository.save(THIRD, {RECIPE: recipe(2, "draft", more="visibility: private\n")})
    repository.save(FOURTH, {RECIPE: None})

    assert _numbers(open_view(repository.folder, "private")) == [1]
    assert _numbers(open_view(repository.folder, "public")) == []


def test_an_earlier_address_at_which_all_was_private_is_not_told(repository: Repository) -> None:
    old = "recipes/cast/secret-character.yaml"
    repository.save(SECOND, {old: _recipe(1, "Kept to myself", "private")})
    moved = recipe(
        2, title="For everybody", why="Told.", formerly=["cast/secret-character"], more="visibility: public\n"
    )
    repository.save(THIRD, {old: None, RECIPE: moved})

    told = {edition: str(export_book(open_view(repository.folder, edition)).data) for edition in EDITIONS}

    assert "secret-character" in told["private"]
    assert "secret-character" not in told["public"]


def test_an_earlier_address_that_was_public_stays_known(repository: Repository) -> None:
    old = "recipes/cast/brow.yaml"
    repository.save(SECOND, {old: _recipe(1, "For everybody", "public")})
    moved = recipe(2, title="For everybody", why="Told.", formerly=["cast/brow"], more="visibility: public\n")
    repository.save(THIRD, {old: None, RECIPE: moved})

    view = open_view(repository.folder, "public")

    assert _numbers(view) == [1, 2]
    assert view.versions("cast/brow") is view.versions("cast/cheek")


def test_a_mold_made_in_a_hidden_run_says_its_making_is_unknown(repository: Repository) -> None:
    repository.save(
        SECOND,
        {
            RECIPE: _recipe(1, "For everybody", "public"),
            "recipes/runs/r-1.yaml": "id: r-1\nrecipe: cast/cheek@1\nstarted: 2026-02-01 09:00\n",
            "recipes/molds/face.yaml": "title: Face mold\nmade: r-1\nvisibility: public\n",
            "recipes/courses/term.yaml": "title: Term\npins: cast/hidden@1\nvisibility: public\n",
            "recipes/cast/hidden.yaml": _recipe(1, "Kept to myself", "private"),
        },
    )

    view = open_view(repository.folder, "public")

    assert view.documents["mold"]["face"].said["made"] == "unknown"
    assert view.documents["course"]["term"].said["pins"] == []
    assert check_book(view).ok


def test_a_slip_is_told_where_its_words_need_nothing_hidden(repository: Repository) -> None:
    note = "title: Holes\nseen_at: cast\nsymptoms: [holes]\nnoticed: [cast/cheeks]\nvisibility: public\n"
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public"), "recipes/failures/holes.yaml": note})
    assert [notice.code for notice in open_view(repository.folder, "public").notices] == ["unknown-reference"]

    repository.save(THIRD, {RECIPE: _recipe(1, "For everybody", "private")})
    assert open_view(repository.folder, "public").notices == ()
