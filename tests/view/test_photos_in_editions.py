"""Who sees a photo: never more people than its document, and with a face in it only those somebody named."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

import pytest

from history.repositories import FIRST, RECIPE, SECOND, empty_book, recipe, start_repository
from mothermold.answers.export import export_book
from mothermold.answers.open_needs import find_needs, lines_of, tell_needs
from mothermold.model.pictures import pictures_of
from mothermold.model.run import Run
from mothermold.view.editions import EDITIONS
from mothermold.view.view import open_view

RUN: Final = "id: r-a\nkind: test\nstarted: 2026-02-03 09:00\nvisibility: {}\nphotos:\n  - file: a.jpg\n    alt: What is seen\n{}"


def seen(root: Path) -> list[str]:
    """The editions that show the photo of the run."""
    return [
        edition for edition in EDITIONS for run in open_view(root, edition).models(Run).values() if pictures_of(run)
    ]


@pytest.mark.parametrize(
    ("run", "says", "shown"),
    [
        ("public", "", ["private"]),
        ("public", "    face: yes\n", ["private"]),
        ("public", "    face: no\n", ["private", "class", "public"]),
        ("public", "    face: yes\n    visibility: class\n", ["private", "class"]),
        ("public", "    visibility: public\n", ["private", "class", "public"]),
        ("public", "    face: no\n    visibility: private\n", ["private"]),
        ("public", "    face: no\n    visibility: class\n", ["private", "class"]),
        ("class", "    face: yes\n    visibility: public\n", ["private", "class"]),
        ("class", "    face: no\n", ["private", "class"]),
        ("private", "    face: no\n    visibility: public\n", ["private"]),
    ],
)
def test_a_photo_is_no_wider_than_its_document_and_a_face_no_wider_than_somebody_said(
    run: str, says: str, shown: list[str], tmp_path: Path
) -> None:
    (tmp_path / "recipes/runs").mkdir(parents=True)
    (tmp_path / "recipes/book.yaml").write_text("title: A book\n", encoding="utf-8")
    (tmp_path / "recipes/runs/r-a.yaml").write_text(RUN.format(run, says), encoding="utf-8")
    assert seen(tmp_path) == shown
    for edition in EDITIONS:
        said = json.dumps(export_book(open_view(tmp_path, edition)).data)
        assert ("What is seen" in said) == (edition in shown)
        # With the entry goes that there was one.
        assert ("photos" in said) == (edition in shown)


def test_what_somebody_says_today_of_a_face_holds_for_older_texts_and_other_documents_too(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    gone_public = {
        path: f"{text}visibility: public\n" if "materials" in path else text for path, text in empty_book().items()
    }
    picture = "    pictures:\n      - file: cheek.jpg\n        face: {}\n"
    first = recipe(1) + picture.format("no") + "visibility: public\n"
    repository.save(FIRST, gone_public | {RECIPE: first})
    assert _in_public(repository.folder) == {1: ["cheek.jpg"]}
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.") + picture.format("yes") + "visibility: public\n"})
    assert _in_public(repository.folder) == {1: [], 2: []}
    repository.write({RECIPE: recipe(2, why="Softer.") + picture.format("no") + "visibility: public\n"})
    assert _in_public(repository.folder)[1] == ["cheek.jpg"]
    repository.write({"recipes/runs/r-a.yaml": RUN.format("private", "    face: yes\n").replace("a.jpg", "cheek.jpg")})
    assert _in_public(repository.folder)[1] == []


def _in_public(root: Path) -> dict[int, list[str]]:
    versions = open_view(root, "public").versions("cast/cheek")
    assert versions is not None
    return {
        row.number: [str(each.file) for each in pictures_of(row.recipe).values()] if row.recipe else []
        for row in versions.rows
    }


def test_who_opens_a_recipe_is_told_which_photos_stay(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    pictures = (
        "    pictures: [{file: even.svg}, {file: yes.jpg, face: yes}, {file: no.jpg, face: no}, {file: open.jpg}]\n"
    )
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1) + pictures})
    view = open_view(repository.folder, "private")
    told = tell_needs(view, find_needs(view, "cast/cheek", "class"), "class")
    assert told.data["photos"] == ["yes.jpg", "open.jpg"]
    lines = "\n".join(lines_of(told.data))
    assert "These photos stay with you; the sheets are shown without them: yes.jpg, open.jpg." in lines
    assert "Type `face: no` at one where nobody's face is to be seen" in lines
    plain = start_repository(tmp_path / "plain")
    plain.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    other = open_view(plain.folder, "private")
    assert "photos" not in "\n".join(
        lines_of(tell_needs(other, find_needs(other, "cast/cheek", "class"), "class").data)
    )
