"""What an edition lacks for a course or a recipe is told to the owner by name, and to the edition as a number alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import FIRST, RECIPE, SECOND, THIRD, Repository, empty_book, recipe, start_repository
from mothermold.ground.notices import Notice
from mothermold.model.names import RecipeRef
from mothermold.view.editions import Edition
from mothermold.view.needs import Needs, Opening
from mothermold.view.view import open_view

COURSE = "recipes/courses/term.yaml"
OTHER = "recipes/cast/nose.yaml"


def text(version: int, visibility: str = "private", **more: str) -> str:
    return recipe(version, why=f"Reason {version}", more=f"visibility: {visibility}\n", **more)


def course(*pins: str, visibility: str = "class") -> str:
    return f"title: Term\nvisibility: {visibility}\npins: [{', '.join(pins)}]\n"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A private book: two recipes of two materials."""
    repository = start_repository(tmp_path)
    repository.save(FIRST, empty_book() | {RECIPE: text(1), OTHER: text(1)})
    return repository


def opened(*names: str) -> dict[str, str | None]:
    files = empty_book()
    return {
        f"recipes/materials/{name}.yaml": f"{files[f'recipes/materials/{name}.yaml']}visibility: public\n"
        for name in names
    }


def told(repository: Repository, edition: Edition, code: str) -> list[Notice]:
    return [each for each in open_view(repository.folder, edition).notices if each.code == code]


def needs(repository: Repository, reference: str, edition: Edition = "class") -> Needs:
    view = open_view(repository.folder, "private")
    return Opening(view.documents, view.versions, edition).recipe(RecipeRef(reference))


def files(needed: Needs) -> list[str]:
    return [each.file.removeprefix("recipes/") for each in needed.opens]


# What is needed


def test_a_recipe_needs_itself_and_its_materials(repository: Repository) -> None:
    needed = needs(repository, "cast/cheek@1")
    assert files(needed) == ["cast/cheek.yaml", "materials/gel-silicone-a.yaml", "materials/deadener.yaml"]
    assert (needed.closed, needed.unsaved, needed.met) == ((), (), False)


def test_what_is_open_already_is_not_needed(repository: Repository) -> None:
    repository.write(opened("gel-silicone-a"))
    assert files(needs(repository, "cast/cheek@1")) == ["cast/cheek.yaml", "materials/deadener.yaml"]


def test_what_is_open_to_a_class_is_not_open_to_the_public(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(1, "class")})
    assert needs(repository, "cast/cheek@1").met
    assert files(needs(repository, "cast/cheek@1", "public")) == ["cast/cheek.yaml"]


def test_an_older_version_saved_as_private_stays_closed(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(2, "class", deadener="70 %")})
    assert needs(repository, "cast/cheek@2").met
    (closed,) = needs(repository, "cast/cheek@1").closed
    assert (closed.what, closed.why) == ("cast/cheek@1", "version 1 was saved as private, and what is saved stays so")
    assert closed.advice == "Show version 2 instead, open and saved."


def test_an_older_version_saved_open_opens_with_todays_file(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(1, "class")})
    repository.save(THIRD, {RECIPE: text(2, deadener="70 %")})
    needed = needs(repository, "cast/cheek@1")
    assert (files(needed), needed.closed) == (["cast/cheek.yaml"], ())


def test_the_notes_a_recipe_names_are_left_to_be_opened_by_themselves(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    needed = needs(repository, "cast/cheek@2")
    assert [each.address for each in needed.leaves] == ["air-at-cheek"]
    assert "failures/air-at-cheek.yaml" not in files(needed)


def test_a_deleted_recipe_saved_as_private_stays_closed(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: None})
    (closed,) = needs(repository, "cast/cheek@1").closed
    assert closed.why == "the recipe was deleted, and it was saved as private"


def test_what_was_never_there_is_said(repository: Repository) -> None:
    assert [each.why for each in needs(repository, "cast/nobody@1").closed] == ["no recipe is called `cast/nobody`"]
    assert [each.why for each in needs(repository, "cast/cheek@7").closed] == ["the book has no such version"]


@pytest.mark.parametrize(
    ("before", "is_known"), [(["private", "class"], True), (["class"], True), (["private"], False)]
)
def test_an_earlier_name_is_known_where_anything_said_under_it_was_open(
    repository: Repository, before: list[str], is_known: bool
) -> None:
    old = "recipes/cast/jowl.yaml"
    for number, visibility in enumerate(before, start=1):
        repository.save(SECOND, {old: text(number, visibility, deadener=f"{60 + number} %")})
    moved = recipe(5, why="Moved.", formerly=["cast/jowl"], more="visibility: class\n", title="Jowl")
    repository.save(THIRD, {old: None, "recipes/cast/jowls.yaml": moved, **opened("gel-silicone-a", "deadener")})
    closed = needs(repository, "cast/jowl@5").closed
    assert ["it was never open" in each.why for each in closed] == [True] * (not is_known)


# Open in the file, not saved so yet


def test_what_is_open_and_not_saved_so_is_said_to_the_edition_that_asks(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener"))
    repository.write({RECIPE: text(1, "class")})

    assert open_view(repository.folder, "class").versions("cast/cheek") is None
    (notice,) = told(repository, "class", "open-not-saved")
    assert (
        notice.message
        == "`cast/cheek` is open to the class in its file, and version 1 has not been saved that way yet."
    )
    assert notice.help == "Type `mothermold save`: save it, and the class sees it."
    assert told(repository, "public", "open-not-saved") == []
    assert needs(repository, "cast/cheek@1").unsaved == ("cast/cheek@1",)

    repository.save(THIRD, {})
    assert told(repository, "class", "open-not-saved") == []
    assert open_view(repository.folder, "class").versions("cast/cheek") is not None


# A course


def test_a_course_names_to_its_owner_what_the_class_cannot_see_and_why(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(2, "class", deadener="70 %")})
    repository.write({COURSE: course("cast/cheek@1", "cast/cheek@2", "cast/nose@1")})

    (notice,) = told(repository, "private", "pins-not-open")
    assert notice.message == (
        "2 of 3 sheets are not open to the class: `cast/cheek@1`, because version 1 was saved as private, "
        "and what is saved stays so; `cast/nose@1`, because `cast/nose` is private."
    )
    assert "`mothermold open term --to class`" in notice.help
    assert (notice.severity, notice.file, notice.line) == ("warning", COURSE, 3)


def test_the_class_is_told_how_many_and_no_name(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(2, "class", deadener="70 %")})
    repository.write({COURSE: course("cast/cheek@1", "cast/cheek@2", "cast/nose@1")})
    view = open_view(repository.folder, "class")

    (notice,) = told(repository, "class", "pins-not-open")
    assert notice.message == "2 of 3 sheets are not open to the class."
    assert view.pins == {"term": (2, 3)}
    assert "nose" not in str(view.notices)


def test_a_course_of_which_all_is_seen_has_nothing_to_say(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a", "deadener") | {RECIPE: text(1, "class")})
    repository.write({COURSE: course("cast/cheek@1")})
    assert [told(repository, edition, "pins-not-open") for edition in ("private", "class")] == [[], []]


def test_a_private_course_lacks_nothing(repository: Repository) -> None:
    repository.write({COURSE: course("cast/cheek@1", visibility="private")})
    assert told(repository, "private", "pins-not-open") == []


# A material


def test_a_material_that_is_not_open_is_named_to_the_owner_alone(repository: Repository) -> None:
    repository.save(SECOND, opened("gel-silicone-a") | {RECIPE: text(1, "public")})

    (notice,) = told(repository, "private", "invisible-material")
    assert notice.message == (
        "`cast/cheek` is open to the public and uses what is not: `deadener` is private. So it is not shown."
    )
    assert notice.severity == "warning"
    for edition in ("class", "public"):
        (notice,) = told(repository, edition, "invisible-material")
        assert notice.severity == "error"
        assert "deadener" not in notice.message + notice.help
        assert f"`mothermold open cast/cheek --to {edition}`" in notice.help
