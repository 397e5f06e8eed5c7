"""Whoever adds a kind of document writes its model and one row: on a throw-away copy of the package it is done."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from history.repositories import FIRST, empty_book, recipe, start_repository

PACKAGE = Path(__file__).resolve().parents[2] / "tools" / "mothermold"

MODEL = '''"""A swatch: a sample of a color, kept to match the next one by."""

from __future__ import annotations

from mothermold.model.parts import DocumentModel, must, some
from mothermold.model.scalars import Prose, Text


class Swatch(DocumentModel):
    """A sample of a color."""

    title: Text = must("What it is called.", "Cheek, second coat")
    color: Prose = must("What it looks like, beside what.", "A shade redder than the cheek.")
    tile: Text | None = some("Where it hangs.", "Tile 4")
'''
QUESTIONS = '''"""What is asked for a swatch."""

from __future__ import annotations

from typing import Final

from mothermold.desk.drafts.questions import NAME
from mothermold.desk.question import Ask, Node

QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("title", "What it is the color of", needed=True),
    NAME,
    Ask("color", "What it looks like", needed=True),
    Ask("tile", "Where it hangs (like Tile 4)", when=lambda said: "tile" in said["color"]),
)
'''
ROW = '        Kind("swatch", Swatch, "swatches", "a sample of a color"),\n'
GOOD = "title: Cheek, second coat\ncolor: A shade redder than the zinnober tile.\ntile: Board 2\nvisibility: public\n"


@pytest.fixture(scope="module")
def tools(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with a model more, and a row more in the table of kinds."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(PACKAGE, folder / "mothermold", ignore=shutil.ignore_patterns("__pycache__", "story"))
    (folder / "mothermold/model/swatch.py").write_text(MODEL, encoding="utf-8")
    kinds = folder / "mothermold/model/kinds.py"
    text = kinds.read_text(encoding="utf-8")
    settings, last = "from mothermold.model.settings import Settings\n", '        Kind("book", Settings'
    assert text.count(settings) == text.count(last) == 1
    text = text.replace(settings, f"{settings}from mothermold.model.swatch import Swatch\n").replace(last, ROW + last)
    kinds.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with a swatch, not saved yet."""
    repository = start_repository(tmp_path_factory.mktemp("book"))
    repository.save(FIRST, empty_book() | {"recipes/cast/cheek.yaml": recipe(1)})
    swatch = repository.folder / "recipes" / "swatches" / "cheek-red.yaml"
    swatch.parent.mkdir()
    swatch.write_text(GOOD, encoding="utf-8")
    return repository.folder


def told(tools: Path, *words: str, answers: str = "") -> str:
    """What the copy says."""
    done = subprocess.run(
        [sys.executable, "-m", "mothermold", *words],
        env={**os.environ, "PYTHONPATH": str(tools)},
        input=answers,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_it_is_read_and_checked_and_a_slip_in_it_is_told(tools: Path, book: Path, tmp_path: Path) -> None:
    codes = [each["code"] for each in json.loads(told(tools, "-C", str(book), "check", "--format", "json"))["notices"]]
    assert not {"wrong-folder", "no-document"} & set(codes)
    broken = Path(shutil.copytree(book, tmp_path / "book"))
    (broken / "recipes/swatches/cheek-red.yaml").write_text("title: Cheek\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "mothermold", "-C", str(broken), "check"],
        env={**os.environ, "PYTHONPATH": str(tools)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "recipes/swatches/cheek-red.yaml" in done.stdout
    assert "missing-key" in done.stdout


def test_it_is_found_shown_to_whom_it_is_open_and_has_a_schema(tools: Path, book: Path) -> None:
    found = json.loads(told(tools, "-C", str(book), "find", "zinnober", "--format", "json"))["results"]
    assert [(each["kind"], each["id"]) for each in found] == [("swatch", "cheek-red")]
    public = json.loads(told(tools, "-C", str(book), "export", "--for", "public", "--format", "json"))["documents"]
    assert [each["address"] for each in public if each["kind"] == "swatch"] == ["cheek-red"]
    assert "color" in json.loads(told(tools, "schema", "--format", "json"))["swatch"]["properties"]


def test_it_has_a_page_and_a_list_that_home_leads_to(tools: Path, book: Path, tmp_path: Path) -> None:
    told(tools, "-C", str(book), "build", "--for", "public", "--out", str(tmp_path / "site"))
    page = (tmp_path / "site/swatches/cheek-red.html").read_text(encoding="utf-8")
    assert "A shade redder than the zinnober tile." in page
    assert "Board 2" in page
    assert "swatches/cheek-red.html" in (tmp_path / "site/swatches.html").read_text(encoding="utf-8")
    assert "swatches.html" in (tmp_path / "site/index.html").read_text(encoding="utf-8")


def test_it_is_saved_by_its_name_and_begun_by_questions(tools: Path, book: Path, tmp_path: Path) -> None:
    own = Path(shutil.copytree(book, tmp_path / "book"))
    begun = told(tools, "-C", str(own), "new", "swatch", answers="Nose, first coat\nDull beside the tile.\n\ny\n")
    assert "recipes/swatches/nose-first-coat.yaml is written." in begun
    assert "color: Dull beside the tile." in (own / "recipes/swatches/nose-first-coat.yaml").read_text(encoding="utf-8")
    (own / "recipes/swatches/nose-first-coat.yaml").unlink()
    told(tools, "-C", str(own), "save", "--yes")
    log = subprocess.run(
        ["git", "-C", str(own), "log", "-1", "--format=%s"], capture_output=True, text=True, check=True
    )
    assert log.stdout.strip() == "New swatch: Cheek, second coat"


def test_questions_of_its_own_are_a_table(tools: Path, book: Path, tmp_path: Path) -> None:
    own = Path(shutil.copytree(book, tmp_path / "book"))
    table = tools / "mothermold/desk/drafts/swatch.py"
    table.write_text(QUESTIONS, encoding="utf-8")
    answers = ["Nose, first coat", "", "", "Dull, like its tile", "<", "Dull beside the tile.", "Board 2", "y"]
    begun = told(tools, "-C", str(own), "new", "swatch", answers="\n".join([*answers, ""]))
    table.unlink()
    assert "An answer is needed here." in begun
    assert "What it looks like [Dull, like its tile]" in begun
    text = (own / "recipes/swatches/nose-first-coat.yaml").read_text(encoding="utf-8")
    assert text.endswith("title: Nose, first coat\ncolor: Dull beside the tile.\ntile: Board 2\n")


OWN = '''"""The page of a swatch."""

from __future__ import annotations

from mothermold.book.document import Document
from mothermold.model.swatch import Swatch
from mothermold.pages.content import Content, Remark
from mothermold.pages.saying import para, said, section, words
from mothermold.view.view import View


def content(view: View, document: Document[Swatch]) -> Content:
    """What the page of a swatch shows."""
    swatch = document.model
    look = section("look", "How it looks", para(said(color=Remark(swatch.color))))
    return Content(swatch.title, words("Sample"), words(document.address), (look,))
'''


def test_it_has_a_page_of_its_own_by_one_module(tools: Path, book: Path, tmp_path: Path) -> None:
    shutil.copytree(tools, tmp_path / "tools")
    (tmp_path / "tools/mothermold/pages/swatches.py").write_text(OWN, encoding="utf-8")
    told(tmp_path / "tools", "-C", str(book), "build", "--for", "public", "--out", str(tmp_path / "site"))
    page = (tmp_path / "site/swatches/cheek-red.html").read_text(encoding="utf-8")
    assert '<a href="../swatches.html">Sample</a>' in page
    assert re.search(r"<h2>How it looks</h2>\s*<p>A shade redder than the zinnober tile.</p>", page)
    assert re.findall(r"<dt>(\w+)</dt><dd>([^<]*)</dd>", page) == [("tile", "Board 2")]
