"""Every broken document of tests/data/bad says exactly what was expected of it before there was a reader."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from mothermold.book.library import read_book
from mothermold.view.view import open_view

DATA = Path(__file__).parents[1] / "data"
EXPECTED: list[dict[str, Any]] = yaml.safe_load((DATA / "bad" / "expected.yaml").read_text(encoding="utf-8"))
PARSER_WORDS = (
    "mapping", "scalar", "token", "NoneType", "pydantic", "yaml.", "traceback", "sequence", "node", "parser", "block end",
    "validation", "dict", "null", "regex", "pattern", "string", "integer", "boolean", "schema", "literal", "tuple", "exception",
)  # fmt: skip


@pytest.mark.parametrize("expected", EXPECTED, ids=[entry["file"] for entry in EXPECTED])
def test_a_broken_document_says_what_was_expected(expected: dict[str, Any], tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(DATA / "good", book)
    target = book / expected["at"]
    target.parent.mkdir(parents=True, exist_ok=True)
    if expected.get("make") == "too-large":
        target.write_text("title: A long story\n" + "# and on it goes\n" * 70_000, encoding="utf-8")
    else:
        shutil.copyfile(DATA / "bad" / expected["file"], target)
    notices = open_view(book, "private").notices
    found = [n for n in notices if n.code not in ("no-repository",)]
    told = [(n.code, n.severity, n.file, n.line, n.column, n.message, n.help) for n in found]
    assert len(found) == 1, told
    notice = found[0]
    assert notice.code == expected["code"], told
    assert notice.severity == expected["severity"], told
    assert notice.file == expected["at"], told
    for key in ("line", "column"):
        if expected[key] is not None:
            assert getattr(notice, key) == expected[key], told
    assert str(expected["help"]).casefold() in notice.help.casefold(), told
    for text in (notice.message, notice.help):
        assert text.rstrip('"`')[-1] in ".?", text
        for word in PARSER_WORDS:
            assert word.casefold() not in text.casefold(), (word, text)


def test_the_good_book_says_nothing() -> None:
    assert read_book(DATA / "good").notices == ()


def test_every_broken_document_is_expected_to_say_something() -> None:
    shipped = {path.name for path in (DATA / "bad").iterdir()} - {"expected.yaml"}
    assert shipped == {entry["file"] for entry in EXPECTED if "make" not in entry}
    assert len(EXPECTED) >= 60
