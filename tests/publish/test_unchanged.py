"""What did not change is not built again; whatever did is, to the last byte as if nothing had been kept."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from crawl import files_below
from history.repositories import FIRST, SECOND, Repository, empty_book, recipe, start_repository
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.publish import plugin
from mothermold.publish.building import build_site
from mothermold.publish.file_list import LIST
from mothermold.publish.frames import Frame
from mothermold.view.view import View

RECIPE: Final = "recipes/cast/cheek.yaml"
OWN: Final = "site_name: Book\ndocs_dir: site_src\ntheme: {name: material}\nplugins: [mothermold]\n"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    return repository.folder


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The folders the site builder is asked to build into."""
    asked: list[Path] = []
    build_around = plugin.build_around

    def counted(view: View, folder: Path, **more: bool) -> tuple[Frame, ...]:
        asked.append(folder)
        return build_around(view, folder, **more)

    monkeypatch.setattr(plugin, "build_around", counted)
    return asked


def test_a_site_that_is_there_as_it_was_made_is_not_made_again(book: Path, tmp_path: Path, made: list[Path]) -> None:
    first = build_site(book, "private", tmp_path / "site")
    looks = files_below(tmp_path / "site")
    second = build_site(book, "private", tmp_path / "site")
    assert len(made) == 1
    assert "(0 files new or changed)" in second.said
    assert second.said.split("(")[0] == first.said.split("(")[0]
    assert files_below(tmp_path / "site") == looks
    build_site(book, "private", tmp_path / "elsewhere")
    assert len(made) == 2


def _edit(book: Path) -> None:
    (book / RECIPE).write_text(recipe(1, title="Another cheek"), encoding="utf-8")


def _save(book: Path) -> None:
    Repository(book).save(SECOND, {RECIPE: recipe(2, why="Softer.")})


def _prose(book: Path) -> None:
    (book / "site_src").mkdir()
    (book / "site_src" / "hello.md").write_text("# Hello\n", encoding="utf-8")


def _own(book: Path) -> None:
    _prose(book)
    (book / "mkdocs.yml").write_text(OWN, encoding="utf-8")


def _drawing(book: Path) -> None:
    (book / "recipes" / "pictures").mkdir()
    (book / "recipes" / "pictures" / "x.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>', encoding="utf-8")


def _settings(book: Path) -> None:
    path = book / "recipes" / "book.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "notice: Ours.\n", encoding="utf-8")


@pytest.mark.parametrize(
    ("change", "builds"), [(_edit, 1), (_save, 2), (_prose, 2), (_own, 2), (_drawing, 1), (_settings, 2)]
)
def test_whatever_changes_is_seen_and_built_as_if_nothing_were_kept(
    change: Callable[[Path], None], builds: int, book: Path, tmp_path: Path, made: list[Path]
) -> None:
    build_site(book, "private", tmp_path / "site")
    change(book)
    build_site(book, "private", tmp_path / "site")
    # The site builder is asked again only where a frame would say something else.
    assert len(made) == builds
    shutil.rmtree(book / ".git" / "mothermold")
    build_site(book, "private", tmp_path / "anew")
    assert files_below(tmp_path / "site") == files_below(tmp_path / "anew")


@pytest.mark.parametrize("file", ["index.html", "recipes/cast/cheek.html", "assets/mothermold.css", LIST])
def test_a_page_that_went_or_was_changed_comes_back(file: str, book: Path, tmp_path: Path, made: list[Path]) -> None:
    site = tmp_path / "site"
    build_site(book, "private", site)
    whole = files_below(site)
    if file != LIST:
        (site / file).unlink()
        build_site(book, "private", site)
        assert files_below(site) == whole
    (site / file).write_bytes((site / file).read_bytes() + b" ")
    build_site(book, "private", site)
    assert files_below(site) == whole
    assert len(made) == (3 if file.startswith("assets/") else 1)


@pytest.mark.parametrize(
    "own",
    [
        OWN.replace("[mothermold]", "[mothermold, search]"),
        OWN + "hooks: [hook.py]\n",
        OWN.replace("{name: material}", "{name: material, custom_dir: mine}"),
        OWN + "extra: {a: !ENV HOME}\n",
    ],
)
def test_where_a_book_brings_in_more_of_its_own_it_is_built_each_time(
    own: str, book: Path, tmp_path: Path, made: list[Path]
) -> None:
    _prose(book)
    (book / "mine").mkdir()
    (book / "hook.py").write_text("", encoding="utf-8")
    (book / "mkdocs.yml").write_text(own, encoding="utf-8")
    for _ in range(2):
        build_site(book, "private", tmp_path / "site")
    assert len(made) == 2


def test_a_site_is_told_to_forget_each_time_and_made_whole_again(book: Path, tmp_path: Path, made: list[Path]) -> None:
    site = tmp_path / "site"
    build_site(book, "private", site)
    whole = files_below(site)
    build_site(book, "private", site, forget=True)
    assert files_below(site) != whole
    build_site(book, "private", site)
    assert files_below(site) == whole
    assert len(made) == 2


def test_a_strict_build_hears_the_site_builder_though_nothing_changed(book: Path, tmp_path: Path) -> None:
    _prose(book)
    (book / "site_src" / "hello.md").write_text("# Hello\n\nSee [nothing](not-there.md).\n", encoding="utf-8")
    build_site(book, "private", tmp_path / "site")
    with pytest.raises(CannotRunError):
        build_site(book, "private", tmp_path / "site", strict=True)


def test_what_was_kept_of_a_wider_edition_opens_no_folder(book: Path, tmp_path: Path) -> None:
    build_site(book, "private", tmp_path / "site")
    with pytest.raises(RefusedError):
        build_site(book, "public", tmp_path / "site")
