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
from mothermold.view.editions import EDITIONS, Edition
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
            for since in ("2000-01-01", "2026-02-10", *view.documents.on("course"))
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
    note = "title: Holes\nseen_at: cast\nsymptoms: [holes]\nnoticed: [cast/brow@1#fill]\nvisibility: public\n"
    repository.save(THIRD, {old: None, RECIPE: moved, "recipes/failures/holes.yaml": note})

    view = open_view(repository.folder, "public")

    assert _numbers(view) == [1, 2]
    assert view.versions("cast/brow") is view.versions("cast/cheek")
    assert view.documents.on("recipe")["cast/cheek"].said["formerly"] == ["cast/brow"]
    assert view.documents.on("failure")["holes"].said["noticed"] == ["cast/brow@1#fill"]


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

    assert view.documents.on("mold")["face"].said["made"] == "unknown"
    assert view.documents.on("course")["term"].said["pins"] == []
    assert check_book(view).ok


def test_a_slip_is_told_where_its_words_need_nothing_hidden(repository: Repository) -> None:
    note = "title: Holes\nseen_at: cast\nsymptoms: [holes]\nnoticed: [cast/cheeks]\nvisibility: public\n"
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public"), "recipes/failures/holes.yaml": note})
    assert [notice.code for notice in open_view(repository.folder, "public").notices] == ["unknown-reference"]

    repository.save(THIRD, {RECIPE: _recipe(1, "For everybody", "private")})
    assert open_view(repository.folder, "public").notices == ()


# What stays with the owner of an open document


_OPEN = {
    "recipes/materials/deadener.yaml": (
        "title: Deadener fluid\nfamilies: [silicone-deadener]\ndensity: 0.97 g/ml\n"
        "sds: {where: binder 1, dated: 2026-01-08}\nvisibility: public\n"
        "packs:\n  - {size: 1 kg, price: 73.19}\nlots:\n  - {lot: LOT-77, opened: 2026-02-01, left: 640 g}\n"
    ),
    "recipes/runs/r-1.yaml": (
        "id: r-1\nrecipe: cast/cheek@1\nstarted: 2026-02-01 09:00\nvisibility: public\n"
        "lots:\n  - {material: deadener, lot: LOT-77}\n"
    ),
    "recipes/courses/term.yaml": (
        "title: Term\npins: cast/cheek@1\nvisibility: public\n"
        "sessions:\n  - questions:\n      - {question: Why soft?, answer: For the lip.}\n"
    ),
    "recipes/builds/b/build.yaml": (
        "title: B\nvisibility: public\nwearers: [W1]\nthings:\n  - {id: piece, recipe: cast/cheek@1}\n"
        "cleared:\n  - {wearer: W1, on: 2026-02-20, products: [deadener], lots: [{material: deadener, lot: LOT-77}]}\n"
    ),
}


@pytest.mark.parametrize("edition", ["class", "public"])
def test_lots_prices_and_a_teachers_answers_stay_with_the_owner(edition: Edition, repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public"), **_OPEN})
    private, shown = open_view(repository.folder, "private"), open_view(repository.folder, edition)
    kept = ("LOT-77", "640 g", "73.19", "For the lip.")

    assert all(word in str(export_book(private).data) for word in kept)
    assert [word for word in kept if word in str(list(printed(shown)) + list(reachable(shown, ())))] == []
    assert shown.documents.on("material")["deadener"].said["packs"] == [{"size": "1 kg"}]
    assert shown.documents.on("course")["term"].said["sessions"] == [{"questions": [{"question": "Why soft?"}]}]
    assert "lots" not in shown.documents.on("run")["r-1"].said
    assert shown.documents.on("build")["b"].said["cleared"][0]["products"] == ["deadener"]


@pytest.mark.parametrize("edition", ["class", "public"])
def test_the_reason_of_a_version_stands_where_the_version_stands(edition: Edition, repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "Kept to myself", "private")})
    repository.save(THIRD, {RECIPE: _recipe(2, "For everybody", "public")})
    view = open_view(repository.folder, edition)

    assert [row.why for row in view.versions("cast/cheek").rows] == ["For everybody why"]  # type: ignore[union-attr]


def test_nothing_is_said_of_a_lot_outside_the_private_edition(repository: Repository) -> None:
    tried = _OPEN["recipes/builds/b/build.yaml"]
    worn = "id: r-2\nrecipe: cast/cheek@1\nstarted: 2026-02-21 09:00\nvisibility: public\nlots:\n  - {material: deadener, lot: LOT-78}\n"
    repository.save(
        SECOND,
        {RECIPE: _recipe(1, "For everybody", "public"), **_OPEN, "recipes/builds/b/runs/r-2.yaml": worn}
        | {"recipes/builds/b/build.yaml": tried},
    )

    assert "LOT-78" in str(open_view(repository.folder, "private").notices)
    assert "LOT-78" not in str(open_view(repository.folder, "public").notices)


@pytest.mark.parametrize(("visibility", "known"), [("public", True), ("class", False), ("private", False)])
def test_another_lines_text_of_a_version_is_shown_where_it_was_open(
    visibility: str, known: bool, repository: Repository
) -> None:
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public")})
    repository.branch("side")
    repository.save(THIRD, {RECIPE: recipe(2, title="The other", hands_on="7 min", more=f"visibility: {visibility}\n")})
    repository.go_to("main")
    repository.save(THIRD, {RECIPE: _recipe(2, "For everybody", "public")})
    repository.merge_by_hand("side", FOURTH, {})

    def clash(edition: Edition) -> str | None:
        versions = open_view(repository.folder, edition).versions("cast/cheek")
        assert versions is not None
        row = versions.get(2)
        assert row is not None
        return row.clash.said["title"] if row.clash is not None else None

    assert clash("private") == "The other"
    assert clash("public") == ("The other" if known else None)


@pytest.mark.parametrize(("visibility", "known"), [("public", True), ("private", False)])
def test_an_earlier_address_that_is_a_recipe_again_is_told_where_that_is_held(
    visibility: str, known: bool, repository: Repository
) -> None:
    again = _recipe(1, "Another brow", visibility)
    moved = recipe(1, formerly=["cast/brow"], more="visibility: public\n")
    repository.save(SECOND, {"recipes/cast/brow.yaml": again, RECIPE: moved})

    shown = open_view(repository.folder, "public").documents.on("recipe")["cast/cheek"]

    assert shown.said.get("formerly", []) == ["cast/brow"] * known


@pytest.mark.parametrize(("edition", "known"), [("private", True), ("class", True), ("public", False)])
def test_whom_the_shop_calls_is_told_to_a_class_and_not_to_everybody(
    edition: Edition, known: bool, repository: Repository
) -> None:
    repository.write({"recipes/book.yaml": "title: A book\nemergency: {call: 0123 456, address: Mill Lane 4}\n"})
    assert ("Mill Lane 4" in str(open_view(repository.folder, edition).settings)) == known


def test_an_earlier_address_is_known_where_one_of_its_texts_was_open(repository: Repository) -> None:
    old = "recipes/cast/brow.yaml"
    repository.save(SECOND, {old: _recipe(1, "Kept to myself", "private")})
    repository.save(THIRD, {old: _recipe(2, "For everybody", "public")})
    moved = recipe(3, why="Told.", formerly=["cast/brow"], hands_on="7 min", more="visibility: public\n")
    repository.save(FOURTH, {old: None, RECIPE: moved})
    shown = open_view(repository.folder, "public").documents.on("recipe")["cast/cheek"]
    assert shown.said["formerly"] == ["cast/brow"]


def test_of_several_lots_a_build_tried_nothing_is_said_of_any(repository: Repository) -> None:
    lots = "  - {wearer: W1, on: 2026-02-20, lots: [{material: MATERIAL, lot: LOT-77}]}\n"
    build = "title: B\nvisibility: public\nwearers: [W1]\nthings: [{id: piece, recipe: cast/cheek@1}]\ncleared:\n"
    build += "".join(lots.replace("MATERIAL", name) for name in ("deadener", "nobodys-gel"))
    repository.save(SECOND, {RECIPE: _recipe(1, "For everybody", "public"), "recipes/builds/b/build.yaml": build})

    def said(edition: Edition) -> list[str]:
        notices = open_view(repository.folder, edition).notices
        return [each.message for each in notices if "nobodys-gel" in each.message]

    assert len(said("private")) == 1
    assert said("public") == []
