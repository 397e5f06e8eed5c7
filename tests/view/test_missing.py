"""What is spoken of and not there is said once, with where it went and how it comes back."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    copy_without_git,
    empty_book,
    recipe,
    start_repository,
)
from mothermold.ground.notices import Notice
from mothermold.view.view import open_view

RUN = "recipes/runs/r-2026-02-10-cheek-{0}.yaml"
NOTE = "recipes/failures/air-at-cheek.yaml"
DEADENER = "recipes/materials/deadener.yaml"
COURSE = "recipes/courses/spring.yaml"


def runs(*numbers: int) -> dict[str, str | None]:
    return {
        RUN.format(
            number
        ): f"id: r-2026-02-10-cheek-{number}\nstarted: 2026-02-10 09:00\nrecipe: cast/cheek@1\noutcome: good\n"
        for number in numbers
    }


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book whose cheek piece three documents speak of."""
    repository = start_repository(tmp_path / "book")
    course: dict[str, str | None] = {COURSE: "title: Spring\npins: [cast/cheek@1]\n"}
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)} | runs(1, 2) | course)
    return repository


def told(repository: Repository, *codes: str) -> list[Notice]:
    found = open_view(repository.folder, "private").notices
    return [each for each in found if each.code in codes or each.severity == "error"]


def one(repository: Repository) -> Notice:
    found = told(repository, "document-gone")
    assert len(found) == 1, found
    return found[0]


def moved(repository: Repository, to: str, file: str = RECIPE) -> None:
    (repository.folder / to).parent.mkdir(parents=True, exist_ok=True)
    (repository.folder / file).rename(repository.folder / to)


def test_the_book_is_in_order_while_the_recipe_is_there(repository: Repository) -> None:
    assert told(repository, "document-gone") == []


def test_a_recipe_that_vanished_is_said_once_and_how_it_comes_back(repository: Repository) -> None:
    repository.write({RECIPE: None})
    notice = one(repository)
    assert (notice.code, notice.severity) == ("document-gone", "error")
    assert notice.file in {*runs(1, 2), COURSE}
    assert notice.line
    assert "`cast/cheek`" in notice.message
    assert "2 runs and 1 course speak of it" in notice.message
    assert "`mothermold undo --unsaved`" in notice.help
    assert "`status: retired`" in notice.help


def test_a_recipe_that_vanished_and_nobody_speaks_of_is_no_matter(repository: Repository) -> None:
    repository.write({RECIPE: None, COURSE: None} | dict.fromkeys(runs(1, 2)))
    assert told(repository, "document-gone") == []


@pytest.mark.parametrize(
    "name", ["cheek.yaml.txt", "cheek (1).yaml", "cheek.yaml~", "Copy of cheek.yaml", "cheek copy.yaml"]
)
def test_a_recipe_that_was_renamed_is_told_its_name(repository: Repository, name: str) -> None:
    moved(repository, f"recipes/cast/{name}")
    if name.endswith(".yaml"):
        # A name no document may have is told by itself.
        notice = one(repository)
        assert (notice.code, notice.help[:30]) == ("bad-file-name", "Rename it back to `cheek.yaml`")
        return
    notice = one(repository)
    assert f"`recipes/cast/{name}`" in notice.message
    assert "`cheek.yaml`" in notice.help
    assert told(repository, "no-document") == [notice], "what is named there is not listed again"


def test_a_renamed_file_is_found_where_there_is_no_history(repository: Repository, tmp_path: Path) -> None:
    copy = copy_without_git(repository, tmp_path / "copy")
    (copy / DEADENER).rename(copy / f"{DEADENER}.txt")
    errors = [each for each in open_view(copy, "private").notices if each.severity == "error"]
    assert [(each.code, "deadener.yaml" in each.help) for each in errors] == [("document-gone", True)]


def test_a_suffix_that_is_told_already_is_not_told_to_readers(repository: Repository) -> None:
    moved(repository, "recipes/cast/cheek.yml")
    assert one(repository).code == "wrong-suffix"


def test_a_recipe_in_the_folder_of_another_stage_is_told_to_go_back(repository: Repository) -> None:
    moved(repository, "recipes/mold/cheek.yaml")
    notice = one(repository)
    assert (notice.code, notice.file) == ("wrong-stage", "recipes/mold/cheek.yaml")
    assert notice.help.startswith(f"Move it back to `{RECIPE}`; 2 runs and 1 course speak of it there")


def test_a_recipe_in_the_folder_of_another_kind_is_told_to_go_back(repository: Repository) -> None:
    moved(repository, "recipes/materials/cheek.yaml")
    notice = one(repository)
    assert (notice.code, notice.file) == ("wrong-folder", "recipes/materials/cheek.yaml")
    assert f"`{RECIPE}`" in notice.help


def test_a_recipe_above_all_folders_is_told_to_go_back(repository: Repository) -> None:
    moved(repository, "recipes/cheek.yaml")
    notice = one(repository)
    assert (notice.code, notice.file) == ("wrong-folder", "recipes/cheek.yaml")
    assert f"`{RECIPE}`" in notice.help


def test_a_material_in_the_folder_of_another_kind_is_told_to_go_back(repository: Repository) -> None:
    moved(repository, "recipes/molds/deadener.yaml", DEADENER)
    notice = one(repository)
    assert (notice.code, notice.file) == ("wrong-folder", "recipes/molds/deadener.yaml")
    assert notice.help == f"Move it back to `{DEADENER}`; 1 recipe speaks of it there."


def test_a_material_in_a_wrong_folder_is_told_where_there_is_no_history(repository: Repository, tmp_path: Path) -> None:
    copy = copy_without_git(repository, tmp_path / "copy")
    (copy / "recipes/molds").mkdir()
    (copy / DEADENER).rename(copy / "recipes/molds/deadener.yaml")
    errors = [each for each in open_view(copy, "private").notices if each.severity == "error"]
    assert [(each.code, f"`{DEADENER}`" in each.help) for each in errors] == [("wrong-folder", True)]


def test_a_recipe_moved_within_its_stage_may_say_what_it_was_called(repository: Repository) -> None:
    moved(repository, "recipes/cast/old/cheek.yaml")
    notice = one(repository)
    assert "now lies at `recipes/cast/old/cheek.yaml`" in notice.message
    assert f"`{RECIPE}`" in notice.help
    assert "`formerly: [cast/cheek]`" in notice.help
    path = repository.folder / "recipes/cast/old/cheek.yaml"
    path.write_text(path.read_text() + "formerly: [cast/cheek]\n")
    assert told(repository, "document-gone") == []


def test_a_material_that_vanished_is_said_once_with_how_it_comes_back(repository: Repository) -> None:
    repository.save(SECOND, {"recipes/cast/chin.yaml": recipe(1)})
    repository.write({DEADENER: None})
    notice = one(repository)
    assert notice.code == "document-gone"
    assert "2 recipes speak of it" in notice.message
    assert "`mothermold undo --unsaved`" in notice.help


def test_every_reader_of_a_missing_document_hears_of_it(repository: Repository) -> None:
    repository.save(SECOND, {"recipes/cast/chin.yaml": recipe(1)})
    repository.write({DEADENER: None})
    view = open_view(repository.folder, "private")
    for file in (RECIPE, "recipes/cast/chin.yaml"):
        assert "document-gone" in [each.code for each in view.touching([file])], file
    assert "document-gone" not in [each.code for each in view.touching([NOTE])]


def test_a_recipe_deleted_by_a_save_is_advice_and_its_versions_stay(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: None})
    last = repository.git("rev-parse", "HEAD").strip()
    notice = one(repository)
    assert (notice.code, notice.severity) == ("document-gone", "advice")
    assert "2026-02-16" in notice.message
    assert f"`git restore --source={last[:10]}~1 {RECIPE}`" in notice.help
    repository.git("restore", f"--source={last[:10]}~1", RECIPE)
    assert told(repository, "document-gone") == []


def test_a_material_deleted_by_a_save_stays_an_error(repository: Repository) -> None:
    repository.save(SECOND, {DEADENER: None})
    notice = one(repository)
    assert (notice.code, notice.severity) == ("document-gone", "error")
    assert "git restore" in notice.help


def test_a_name_that_never_was_is_told_where_it_stands(repository: Repository) -> None:
    repository.save(THIRD, {COURSE: "title: Spring\npins: [cast/chek@1]\n"})
    notice = one(repository)
    assert (notice.code, notice.file) == ("unknown-reference", COURSE)
    assert "`cast/cheek@1`" in notice.help


def test_no_other_edition_hears_of_what_vanished(repository: Repository) -> None:
    repository.write({RECIPE: None, "recipes/cast/secret.jpg": "x"})
    for edition in ("class", "public"):
        codes = {each.code for each in open_view(repository.folder, edition).notices}  # type: ignore[arg-type]
        assert not codes & {"document-gone", "no-document", "left-out"}


# Files that are no document


def test_files_nobody_reads_are_listed_once(repository: Repository) -> None:
    names = ["cast/a.jpg", "cast/cheek (1).yaml", "cast/cheek.yaml~", "runs/notes.docx", "runs/x.txt", "b.png"]
    repository.write({f"recipes/{name}": recipe(1) for name in names})
    found = told(repository, "no-document")
    assert [(each.code, each.severity) for each in found] == [("no-document", "advice")]
    assert "6 files" in found[0].message
    assert "and 1 more" in found[0].message
    assert found[0].message.count("`recipes/") == 5


def test_what_belongs_beside_documents_is_not_listed(repository: Repository) -> None:
    names = [
        "README.md", "recipes/README.md", "recipes/.gitkeep", "recipes/cast/.cheek.yaml.swp", "recipes/Thumbs.db",
        "recipes/pictures/to-come.svg", "recipes/builds/b/photos/1.jpg", "private/faces.jpg", "inbox/run.yaml",
        "site/private/index.html", "recipes/cast/#cheek.yaml#", "mkdocs.yml",
    ]  # fmt: skip
    repository.write(dict.fromkeys(names, "x"))
    assert told(repository, "no-document") == []


def test_a_drawing_a_step_shows_is_not_listed(repository: Repository) -> None:
    shown = recipe(2).replace("    wait: 120 min", "    wait: 120 min\n    pictures: [{file: a.png}]")
    repository.write({"recipes/pictures/a.png": "x", "recipes/pictures/b.png": "x", RECIPE: shown})
    listed = [each.message for each in told(repository, "no-document") if each.code == "no-document"]
    assert [("a.png" in each, "b.png" in each) for each in listed] == [(False, True)]
