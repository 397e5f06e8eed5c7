"""Settings that cannot be read are said by every command whose answer they can change, in text and JSON."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from history.repositories import FIRST, RECIPE, empty_book, recipe, start_repository
from mothermold.cli.main import main

COMMANDS = (
    ["check"],
    ["export"],
    ["find", "air", "at", "cheek"],
    ["find", "xyzzy"],
    ["evidence", "air-at-cheek"],
    ["versions", "cast/cheek"],
    ["versions", "cast/nobody"],
    ["diff", "cast/cheek", "1", "2"],
    ["mix", "cast/cheek"],
    ["mix", "cast/cheek", "--fill", "50 ml"],
    ["vapor", "cast/cheek", "--room", "40 m3", "--changes", "2"],
    ["vapor", "cast/cheek"],
)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    repository = start_repository(tmp_path_factory.mktemp("settings") / "book")
    shown = {file: f"{text}visibility: class\n" for file, text in empty_book().items() if "book.yaml" not in file}
    settings = "title: A shop\ntime_zone: Mars\nemergency: {call: secret-number}\n"
    repository.save(FIRST, shown | {RECIPE: recipe(1, more="visibility: class\n"), "recipes/book.yaml": settings})
    repository.write({RECIPE: recipe(2, deadener="80 %", more="visibility: class\n")})
    return repository.folder


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("edition", ["private", "class"])
def test_a_command_says_that_the_settings_cannot_be_read(
    book: Path, words: list[str], edition: str, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["-C", str(book), *words, "--for", edition, "--format", "json"])
    notices = [each for each in json.loads(capsys.readouterr().out)["notices"] if each["file"] == "recipes/book.yaml"]
    assert [(each["code"], each["severity"]) for each in notices] == [
        ("unknown-word" if edition == "private" else "settings-unread", "error")
    ]
    assert edition == "private" or "Mars" not in str(notices)


@pytest.mark.parametrize("words", [each for each in COMMANDS if each[0] != "export"], ids=" ".join)
def test_a_command_says_so_to_a_reader(book: Path, words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    main(["-C", str(book), *words])
    told = capsys.readouterr()
    assert (told.out + told.err).count("`Mars` is not a time zone known here.") == 1


def test_settings_that_can_be_read_are_no_matter(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = Path(shutil.copytree(book, tmp_path / "book"))
    (copy / "recipes/book.yaml").write_text("title: A shop\n")
    for edition in ("private", "class"):
        main(["-C", str(copy), "find", "air", "--for", edition, "--format", "json"])
        assert json.loads(capsys.readouterr().out)["notices"] == []
