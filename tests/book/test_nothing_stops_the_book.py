"""One file that cannot be opened, read or ended never hides the rest of a book: it is told at its place."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from mothermold.book.files import PICTURES
from mothermold.book.library import read_book
from mothermold.book.pictures import Drawing, read_drawing
from mothermold.cli.main import main
from mothermold.desk.check_ahead import foresee
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
A = "recipes/materials/gel-silicone-a.yaml"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


@pytest.fixture
def closed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of files that nobody may read; root may read all, so a file of mode 000 would show nothing."""
    names: list[str] = []
    reads = Path.read_bytes

    def read(path: Path) -> bytes:
        if path.name in names:
            raise PermissionError(13, "Permission denied", str(path))
        return reads(path)

    monkeypatch.setattr(Path, "read_bytes", read)
    return names


def told(book: Path) -> list[tuple[str, str | None]]:
    return [(notice.code, notice.file) for notice in read_book(book).notices]


def test_a_document_nobody_may_read_is_told_and_the_others_stand(book: Path, closed: list[str]) -> None:
    closed.append("gel-silicone-a.yaml")
    assert told(book) == [("cannot-open", A)]
    assert {"cast/cheek", "mold/cheek-mold"} <= set(read_book(book).documents.on("recipe"))


def test_check_and_mix_go_on_where_a_document_may_not_be_read(
    book: Path, closed: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    closed.append("torn-edge.yaml")
    assert main(["check", "-C", str(book), "--format", "json"]) == 1
    assert [each["code"] for each in json.loads(capsys.readouterr().out)["notices"]] == ["no-repository", "cannot-open"]
    assert main(["mix", "cast/cheek", "base", "-C", str(book)]) == 0


def test_settings_nobody_may_read_leave_the_recipes_standing(book: Path, closed: list[str]) -> None:
    closed.append("book.yaml")
    assert told(book) == [("cannot-open", "recipes/book.yaml")]
    assert open_view(book, "private").recipes


def test_the_public_sees_nothing_of_a_document_nobody_may_read(book: Path, closed: list[str]) -> None:
    closed.append("gel-silicone-a.yaml")
    view = open_view(book, "public")
    assert "gel-silicone-a" not in view.documents.on("material")


def test_what_may_not_be_read_is_no_news_where_a_change_is_foreseen(book: Path, closed: list[str]) -> None:
    closed.append("torn-edge.yaml")
    text = (book / A).read_text(encoding="utf-8")
    assert [each.code for each in foresee(book, {A: text}) if each.file] == []


def test_a_folder_nobody_may_open_is_told(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opens = os.scandir

    def scandir(path: str) -> object:
        if str(path).endswith("failures"):
            raise PermissionError(13, "Permission denied", str(path))
        return opens(path)

    monkeypatch.setattr(os, "scandir", scandir)
    assert ("cannot-open", "recipes/failures") in told(book)


def test_links_in_a_circle_or_to_nothing_are_told(book: Path) -> None:
    (book / "recipes/cast/one.yaml").symlink_to("two.yaml")
    (book / "recipes/cast/two.yaml").symlink_to("one.yaml")
    (book / "recipes/cast/gone.yaml").symlink_to("nowhere.yaml")
    (book / "recipes/cast/round").symlink_to("..", target_is_directory=True)
    (book / "recipes/molds/self").symlink_to("self", target_is_directory=True)
    assert told(book) == [
        ("cannot-open", f"recipes/{file}")
        for file in ("cast/gone.yaml", "cast/one.yaml", "cast/round", "cast/two.yaml")
    ]  # fmt: skip


def test_a_book_reached_over_a_circle_of_links_is_no_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "one").symlink_to("two")
    (tmp_path / "two").symlink_to("one")
    assert main(["check", "-C", str(tmp_path / "one")]) == 2
    assert "There is no folder" in capsys.readouterr().err


def test_a_document_of_sixty_thousand_unknown_keys_is_told_in_a_hundred_lines(book: Path) -> None:
    keys = "".join(f"k{number}: 1\n" for number in range(60_000))
    (book / "recipes/materials/list.yaml").write_text(
        f"title: A list\nfamilies: [isopropanol]\n{keys}", encoding="utf-8"
    )
    notices = read_book(book).notices
    assert {notice.file for notice in notices} == {"recipes/materials/list.yaml"}
    assert len(notices) == 101
    assert notices[-1].code == "and-more"
    assert "59,900" in notices[-1].message


def test_a_file_with_as_many_faults_as_are_told_says_nothing_of_more(book: Path) -> None:
    keys = "".join(f"k{number}: 1\n" for number in range(100))
    (book / "recipes/materials/list.yaml").write_text(
        f"title: A list\nfamilies: [isopropanol]\n{keys}", encoding="utf-8"
    )
    assert {notice.code for notice in read_book(book).notices} == {"unknown-key"}


@pytest.mark.parametrize("size", ["inf inf", "1e400 20", "40 -20", "0 0", "nan 20", "1e300 1e300", "9 x"])
def test_a_drawing_of_a_size_no_page_has_is_said(tmp_path: Path, size: str) -> None:
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}"/>'
    (tmp_path / PICTURES).mkdir(parents=True)
    (tmp_path / PICTURES / "thread.svg").write_text(svg, encoding="utf-8")
    said = read_drawing(tmp_path, "thread.svg")
    assert isinstance(said, str)
    assert "viewBox" in said


@pytest.mark.parametrize("depth", [2_000, 70_000])
def test_groups_within_groups_without_end_are_said(tmp_path: Path, depth: int) -> None:
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{"<g>" * depth}{"</g>" * depth}</svg>'
    (tmp_path / PICTURES).mkdir(parents=True)
    (tmp_path / PICTURES / "thread.svg").write_text(svg, encoding="utf-8")
    assert "100 deep" in str(read_drawing(tmp_path, "thread.svg"))


def test_a_drawing_of_usual_depth_is_shown_and_one_nobody_may_read_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0.4 9">{"<g>" * 50}{"</g>" * 50}</svg>'
    (tmp_path / PICTURES).mkdir(parents=True)
    (tmp_path / PICTURES / "thread.svg").write_text(svg, encoding="utf-8")
    said = read_drawing(tmp_path, "thread.svg")
    assert isinstance(said, Drawing)
    assert (said.width, said.height) == (1, 9)

    def refuse(*_words: object, **_named: object) -> str:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_text", refuse)
    assert "could not be opened" in str(read_drawing(tmp_path, "thread.svg"))
