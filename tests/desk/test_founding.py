"""A new folder becomes a book that has nothing wrong with it."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from campaigns.seeds import short
from mothermold.cli.main import main
from mothermold.desk.founding import Whereabouts
from mothermold.desk.whereabouts import known_whereabouts
from mothermold.view.view import open_view


def test_an_empty_book_passes_check_without_a_commit_or_an_identity(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path / "nobody"))
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "none"))
    book = tmp_path / "my book"
    assert main(["init", str(book)]) == 0
    assert "is a book now" in capsys.readouterr().out
    assert main(["-C", str(book), "check", "--format", "json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["errors"], answer["warnings"]) == (0, 0)
    assert [notice["code"] for notice in answer["notices"]] == ["no-commits"]
    log = subprocess.run(["git", "-C", str(book), "rev-parse", "--verify", "HEAD"], capture_output=True, check=False)
    assert log.returncode != 0


def test_a_new_book_helps_editors_and_keeps_private_things_out(tmp_path: Path) -> None:
    book = tmp_path / "book"
    main(["init", str(book)])
    assert {"private/", "/inbox/"} <= set((book / ".gitignore").read_text().split("\n"))
    assert "eol=lf" in (book / ".gitattributes").read_text()
    first, second = (book / "recipes" / "book.yaml").read_text().split("\n")[:2]
    assert first == "# yaml-language-server: $schema=../schema/book.schema.json"
    assert second == "# $schema: ../schema/book.schema.json"
    for schema in json.loads((book / ".vscode" / "settings.json").read_text())["yaml.schemas"]:
        assert (book / schema).is_file()


class AtTheDesk(io.StringIO):
    """A keyboard somebody sits at."""

    def isatty(self) -> bool:
        return True


def settings(book: Path) -> tuple[str, str, str | None]:
    told = open_view(book, "private").settings
    return str(told.title), told.time_zone, told.currency


def test_title_zone_and_money_are_asked_with_what_the_computer_knows_as_the_offer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TZ", "America/Denver")
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    monkeypatch.setattr(sys, "stdin", AtTheDesk("\n\n\n"))
    assert main(["init", str(tmp_path / "wax-and-gel")]) == 0
    assert settings(tmp_path / "wax-and-gel") == ("Wax and gel", "America/Denver", "USD")
    out = capsys.readouterr().out
    for offer in ("[Wax and gel]", "[America/Denver]", "[USD]"):
        assert offer in out
    monkeypatch.setattr(sys, "stdin", AtTheDesk("Gel: a book # mine\nBerlin\n<\n\nEurope/Berlin\n€\nchf\n"))
    assert main(["init", str(tmp_path / "other")]) == 0
    assert settings(tmp_path / "other") == ("Gel: a book # mine", "Europe/Berlin", "CHF")
    assert (
        "`€` is not how a currency is written here. Type its three letters, like USD or EUR." in capsys.readouterr().out
    )
    assert main(["-C", str(tmp_path / "other"), "check"]) == 0


def test_who_is_no_terminal_is_not_asked_and_the_offers_are_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    monkeypatch.setenv("LC_ALL", "en_NZ.UTF-8")
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    assert main(["init", str(tmp_path / "no")]) == 0
    assert settings(tmp_path / "no") == ("No", "Pacific/Auckland", "NZD")
    assert "called" not in capsys.readouterr().out
    assert main(["-C", str(tmp_path / "no"), "check"]) == 0


def test_what_the_computer_does_not_know_is_as_usual(tmp_path: Path) -> None:
    known = known_whereabouts(tmp_path / "-_-", {"TZ": "Nowhere/Land", "LANG": "C.UTF-8"}, tmp_path / "none")
    assert known == Whereabouts()
    (tmp_path / "zoneinfo/Europe").mkdir(parents=True)
    (tmp_path / "zoneinfo/Europe/Paris").write_text("")
    (tmp_path / "clock").symlink_to(tmp_path / "zoneinfo/Europe/Paris")
    known = known_whereabouts(tmp_path / "book", {"LANG": "fr_FR.UTF-8"}, tmp_path / "clock")
    assert known == Whereabouts("Book", "Europe/Paris", "EUR")


def test_a_folder_that_is_taken_is_refused_before_anything_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "sketch.txt").write_text("mine")
    monkeypatch.setattr(sys, "stdin", AtTheDesk(""))
    assert main(["init", str(tmp_path)]) == 1
    assert "called" not in capsys.readouterr().out


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "sketch.txt").write_text("mine")
    assert main(["init", str(tmp_path)]) == 1
    assert "is not empty" in capsys.readouterr().err
    assert [entry.name for entry in tmp_path.iterdir()] == ["sketch.txt"]


def test_a_book_can_be_made_without_git(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "empty"))
    assert main(["init", str(tmp_path / "book")]) == 0
    assert "git is not on this computer" in capsys.readouterr().out
    assert [notice.code for notice in open_view(tmp_path / "book", "private").notices] == ["no-git"]


def test_a_book_is_not_made_inside_another(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["init", str(tmp_path / "book")]) == 0
    assert main(["init", str(tmp_path / "book" / "recipes" / "mine")]) == 1
    assert "would lie inside the book" in capsys.readouterr().err
    assert not (tmp_path / "book" / "recipes" / "mine").exists()


STOPS = """
import os, sys
from pathlib import Path
from mothermold.cli.main import main
from mothermold.ground import writing
count = int(sys.argv[2])
def dying(function):
    def call(*args, **kwargs):
        global count
        count -= 1
        if count < 0:
            os.kill(os.getpid(), 9)
        return function(*args, **kwargs)
    return call
for owner, name in ((Path, "mkdir"), (os, "link"), (os, "fsync"), (writing.tempfile, "mkstemp")):
    setattr(owner, name, dying(getattr(owner, name)))
main(["init", sys.argv[1]])
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no kill -9; CI runs this on Linux")
@pytest.mark.parametrize("count", short([0, 20, 49, 5, 30, 40, 52], 3))
def test_one_that_was_stopped_half_way_can_be_begun_again(count: int, tmp_path: Path) -> None:
    book = tmp_path / "book"
    died = subprocess.run([sys.executable, "-c", STOPS, str(book), str(count)], check=False, capture_output=True)
    assert died.returncode == -9, died
    assert main(["init", str(book)]) == 0
    again = tmp_path / "again" / "book"
    assert main(["init", str(again)]) == 0
    assert _laid_out(book) == _laid_out(again)
    assert (book / ".git" / "HEAD").read_text() == "ref: refs/heads/main\n"


def _laid_out(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if ".git" not in path.relative_to(folder).parts)
    return {path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else b"" for path in found}


@pytest.mark.parametrize(
    "mine", ["schema/mine.json", "mine/", "recipes/cast/mine.yaml", ".git/refs/heads/main", ".git/objects/ab/cdef"]
)
def test_half_a_book_with_something_of_the_artist_in_it_is_left_alone(mine: str, tmp_path: Path) -> None:
    book = tmp_path / "book"
    assert main(["init", str(book)]) == 0
    (book / "recipes" / "book.yaml").unlink()
    path = book / mine
    if mine.endswith("/"):
        path.mkdir()
    else:
        path.parent.mkdir(exist_ok=True)
        path.write_text("mine")
    before = _laid_out(book)
    assert main(["init", str(book)]) == 1
    assert _laid_out(book) == before
