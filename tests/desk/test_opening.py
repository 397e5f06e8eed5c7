"""`open` opens what a class or the public needs for a course or a recipe, all of it after one yes, and nothing else."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from desk.answering import Scripted, files, noon
from history.repositories import FIRST, RECIPE, SECOND, THIRD, Repository, empty_book, recipe, start_repository
from mothermold.answers.result import Result
from mothermold.cli.main import main
from mothermold.desk.asking import StoppedError
from mothermold.desk.numbering import Wish
from mothermold.desk.opening import open_for
from mothermold.desk.saving import save_book
from mothermold.ground.errors import RefusedError
from mothermold.view.editions import Edition
from mothermold.view.view import open_view

COURSE = "recipes/courses/term.yaml"
GEL = "recipes/materials/gel-silicone-a.yaml"
THINNER = "recipes/materials/deadener.yaml"
PINNED = "# for the autumn\ntitle: Term   # short\npins: [cast/cheek@1]\n"
YES = {"Open these": True}


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A private book: a course that pins one recipe of two materials."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), COURSE: PINNED})
    return repository


def opened(
    repository: Repository, asked: str, to: str | None = "class", answers: Any = None, *, yes: bool = False
) -> tuple[Result, Scripted]:
    asking = Scripted(answers)
    return open_for(repository.folder, asked, to, asking, yes=yes, asks=answers is not None), asking


def seen(repository: Repository, edition: Edition = "class") -> list[str]:
    """Which recipes and versions an edition shows."""
    view = open_view(repository.folder, edition)
    return [f"{each}@{row.number}" for each in view.recipes for row in view.versions(each).rows]  # type: ignore[union-attr]


def rows(result: Result) -> list[tuple[str, str, str]]:
    return [(row["kind"], row["id"], row["file"]) for row in result.data["opens"]]


ALL = [
    ("course", "term", COURSE),
    ("recipe", "cast/cheek", RECIPE),
    ("material", "gel-silicone-a", GEL),
    ("material", "deadener", THINNER),
]


def test_a_course_is_opened_with_all_it_needs_after_one_yes_and_seen_once_saved(repository: Repository) -> None:
    result, asking = opened(repository, "term", answers=YES)
    assert (rows(result), result.data["to"], result.data["opened"]) == (ALL, "class", True)
    assert asking.asked == ["Open these 4 documents to the class?"]
    assert all(file in asking.told for _kind, _name, file in ALL)

    repository.save(SECOND, {})
    assert seen(repository) == ["cast/cheek@1"]
    assert seen(repository, "public") == []
    assert open_view(repository.folder, "class").pins == {"term": (0, 1)}


def test_only_the_line_of_visibility_is_touched(repository: Repository) -> None:
    before = files(repository.folder)
    opened(repository, "term", yes=True)
    after = files(repository.folder)
    assert {name for name in after if after[name] != before[name]} == {file for _kind, _name, file in ALL}
    for _kind, _name, file in ALL:
        lines = after[file].decode().split("\n")
        lines.remove("visibility: class")
        assert "\n".join(lines) == before[file].decode()


def test_a_narrower_word_is_replaced_and_its_comment_stays(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "visibility: class  # until June\n"})
    opened(repository, "term", "public", yes=True)
    assert (repository.folder / COURSE).read_text().endswith("visibility: public  # until June\n")


def test_without_a_yes_nothing_is_opened(repository: Repository) -> None:
    before = files(repository.folder)
    with pytest.raises(StoppedError):
        opened(repository, "term", answers={"Open these": False})
    result, asking = opened(repository, "term")
    assert (rows(result), result.data["opened"], asking.said) == (ALL, False, [])
    assert files(repository.folder) == before


def test_a_recipe_is_opened_with_its_materials_and_no_course(repository: Repository) -> None:
    result, _asking = opened(repository, "cheek", yes=True)
    assert rows(result) == ALL[1:]


def test_what_is_open_already_is_left_alone(repository: Repository) -> None:
    opened(repository, "term", "public", yes=True)
    before = files(repository.folder)
    result, _asking = opened(repository, "term", "class", yes=True)
    assert (rows(result), files(repository.folder)) == ([], before)


def test_an_old_version_saved_as_private_is_said_and_the_rest_opened(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(2, deadener="80 %")})
    result, _asking = opened(repository, "term", yes=True)
    assert rows(result) == ALL
    (notice,) = [each for each in result.notices if each.code == "stays-closed"]
    assert notice.message == (
        "`cast/cheek@1` stays closed: version 1 was saved as private, and what is saved stays so."
    )
    repository.save(THIRD, {})
    assert seen(repository) == ["cast/cheek@2"]


def test_what_can_be_read_besides_is_said_before_the_question(repository: Repository) -> None:
    repository.save(SECOND, {RECIPE: recipe(1, more="visibility: class\n")})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    _result, asking = opened(repository, "cast/cheek@2", answers={"Open these": True})
    assert "Of cast/cheek, versions 1 and 2 can be read, with the reason (`why`) of each." in asking.said
    assert any("lots and prices; those stay with you" in line for line in asking.said)
    assert any("stay closed" in line and "air-at-cheek" in line for line in asking.said)


@pytest.mark.parametrize(
    ("asked", "to", "code"),
    [
        ("nobody", "class", "unknown-recipe"),
        ("cast/cheek@9", "class", "version-missing"),
        ("term", "private", "unknown-edition"),
        ("term", None, "unknown-edition"),
    ],
)
def test_what_cannot_be_asked_is_refused_and_nothing_opened(
    asked: str, to: str | None, code: str, repository: Repository
) -> None:
    before = files(repository.folder)
    with pytest.raises(RefusedError) as refused:
        opened(repository, asked, to, yes=True)
    assert [each.code for each in refused.value.notices] == [code]
    assert files(repository.folder) == before


def test_a_file_changed_by_hand_in_other_ways_keeps_all_of_it(repository: Repository) -> None:
    flow = "{title: Deadener fluid, families: [silicone-deadener]}  # one line\r\n"
    repository.write({THINNER: flow})
    opened(repository, "term", yes=True)
    changed = (repository.folder / THINNER).read_bytes().decode()
    assert changed.replace(", visibility: class", "") == flow


# The command


def test_the_command_answers_in_the_promised_shape(repository: Repository, capsys: pytest.CaptureFixture[str]) -> None:
    before = files(repository.folder)
    words = ["-C", str(repository.folder), "open", "term", "--to", "class", "--format", "json"]
    assert main(words) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["to"] == "class"
    assert answer["opens"] == [{"kind": kind, "id": name, "file": file} for kind, name, file in ALL]
    assert files(repository.folder) == before
    assert main([*words, "--yes"]) == 0
    assert json.loads(capsys.readouterr().out)["opened"] is True
    assert "visibility: class" in (repository.folder / COURSE).read_text()


def test_the_command_refuses_with_the_same_keys(repository: Repository, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(repository.folder), "open", "nobody", "--to", "class", "--format", "json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert (answer["to"], answer["opens"], answer["opened"]) == (None, [], None)


def test_the_command_says_how_to_open_where_it_may_not_ask(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(repository.folder), "open", "term", "--to", "class"]) == 0
    said = capsys.readouterr().out
    assert all(file in said for _kind, _name, file in ALL)
    assert "Nothing was opened. Type it again with `--yes` to open all of it." in said


# While saving


def save(repository: Repository, answers: Any = None) -> Scripted:
    asking = Scripted(answers)
    save_book(repository.folder, Wish(), asking, asks=answers is not None, clock=noon)
    return asking


def test_save_asks_once_for_what_an_open_course_needs_and_saves_it_with_the_rest(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "visibility: class\n"})
    asking = save(repository, {"Open these 3 documents too?": True, "A word on why": "", "Save this?": True})
    assert asking.asked[0] == "Open these 3 documents too?"
    assert "term is open to the class, and what it needs is not: cast/cheek, gel-silicone-a, deadener." in asking.said
    assert seen(repository) == ["cast/cheek@1"]
    assert repository.git("status", "--porcelain") == ""


def test_save_opens_nothing_without_a_yes(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "visibility: class\n"})
    save(repository, {"Open these": False, "A word on why": "", "Save this?": True})
    assert seen(repository) == []


def test_save_says_it_where_it_may_not_ask(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "visibility: class\n"})
    asking = save(repository)
    assert "Type `mothermold open term --to class` to open it too." in asking.said
    assert seen(repository) == []


def test_save_asks_nothing_where_nothing_is_open(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "term: autumn\n"})
    assert save(repository, {"A word on why": "", "Save this?": True}).asked == [
        "A word on why? Enter for none",
        "Save this?",
    ]


def test_save_opens_each_as_wide_as_the_widest_that_needs_it(repository: Repository) -> None:
    repository.write({COURSE: PINNED + "visibility: class\n", RECIPE: recipe(1, more="visibility: public\n")})
    save(repository, {"Open these": True, "A word on why": "", "Save this?": True})
    assert seen(repository, "public") == ["cast/cheek@1"]
