"""Which recipes a book has or ever had, and by which name."""

from __future__ import annotations

from pathlib import Path

from history.repositories import FIRST, RECIPE, SECOND, THIRD, empty_book, recipe, start_repository
from mothermold.view.view import open_view

MATERIAL = "title: Clay\nfamilies: [clay-sulfur-free]\n"


def test_renamed_deleted_and_torn_recipes_are_listed_and_what_never_counted_is_not(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    first = {"cast/cheek": recipe(1), "cast/gone": recipe(1), "cast/sketch": recipe(1, "draft"), "cast/brow": recipe(1)}
    files = {f"recipes/{address}.yaml": text for address, text in first.items()}
    repository.save(FIRST, empty_book() | files | {"recipes/materials/clay.yaml": MATERIAL})
    moved: dict[str, str | None] = {
        "recipes/cast/cheek.yaml": None,
        "recipes/cast/chin.yaml": recipe(1, formerly=["cast/cheek"]),
        "recipes/cast/gone.yaml": None,
        "recipes/cast/sketch.yaml": None,
    }
    repository.save(SECOND, moved)
    repository.write({"recipes/cast/torn.yaml": "title: [\n"})
    # One that was renamed goes by its name of today; a draft that was dropped again never was one.
    assert list(open_view(tmp_path / "book", "private").recipes) == ["cast/brow", "cast/chin", "cast/gone", "cast/torn"]


def test_a_past_text_is_shown_in_an_edition_only_where_it_was_open_itself(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    file = "recipes/materials/clay.yaml"
    repository.save(FIRST, empty_book() | {file: MATERIAL + "visibility: private\n"})
    repository.save(SECOND, {file: MATERIAL + "visibility: public\n"})
    for edition, shown in (("private", [True, True]), ("class", [True, False]), ("public", [True, False])):
        past = open_view(tmp_path / "book", edition).past("material")["clay"]
        assert [text is not None for _moment, text in past] == shown


def test_what_an_earlier_address_said_from_the_move_on_is_no_version(tmp_path: Path) -> None:
    repository = start_repository(tmp_path)
    old, new = "recipes/cast/jowl.yaml", RECIPE
    repository.save(FIRST, empty_book() | {old: recipe(1)})
    moved = recipe(2, why="Moved.", formerly=["cast/jowl"], deadener="70 %")
    repository.save(SECOND, {new: moved, old: recipe(3, why="Left behind.", deadener="80 %")})
    repository.save(THIRD, {old: None})
    versions = open_view(tmp_path, "private").versions("cast/cheek")
    assert versions is not None
    assert [row.number for row in versions.rows] == [1, 2]
