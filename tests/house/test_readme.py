"""The README is executed: its commands run in the sample book, its excerpts are what the program prints, its table is complete."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from mothermold.cli.commands import COMMANDS
from mothermold.cli.main import main
from mothermold.trade.rules import rules

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SAID = [line[4:] for line in re.findall(r"^ {4}(?:\$ )?mothermold .+$", README, re.M)]
LINES = [line.removeprefix("$ ") for line in SAID]
# Those that ask questions, serve until they are stopped, or speak of a file of one's own.
SITTING = ("new", "save", "serve", "bring", "init", "open")


def words_of(line: str) -> list[str]:
    return shlex.split(line)[1:]


def test_every_kind_of_command_of_the_readme_is_run_or_sat_through_elsewhere() -> None:
    assert len(LINES) >= 20
    assert {words_of(line)[0] for line in LINES} <= set(COMMANDS)
    assert {words_of(line)[0] for line in LINES} >= set(SITTING) - {"serve"}


@pytest.mark.parametrize("line", sorted({each for each in LINES if words_of(each)[0] not in SITTING}))
def test_a_command_of_the_readme_runs_in_the_sample_book(
    line: str, sample_book: Path, asked_at_once: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = words_of(line)
    if words[0] == "build":
        words += ["--out", str(tmp_path / "book.html")]
    assert main(["-C", str(sample_book), *words]) == 0
    assert capsys.readouterr().out.strip()


def test_a_new_book_is_made_as_the_readme_says(tmp_path: Path) -> None:
    (line,) = {each for each in LINES if words_of(each)[0] == "init"}
    folder = tmp_path / "my-demo"
    folder.mkdir()
    made = folder / words_of(line)[1]
    assert main(["init", str(made)]) == 0
    assert main(["-C", str(made), "check"]) == 0


def test_an_excerpt_is_what_the_program_prints(
    sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]
) -> None:
    excerpts = re.findall(r"^ {4}\$ (mothermold .+)\n((?: {4}.+\n)+)", README, re.M)
    assert excerpts
    for line, told in excerpts:
        assert main(["-C", str(sample_book), *words_of(line)]) == 0
        printed = [each.strip() for each in capsys.readouterr().out.splitlines()]
        for each in told.splitlines():
            assert each.strip() in printed, f"{line} does not print: {each.strip()}"


def test_paths_and_counts_of_the_readme_are_true() -> None:
    for path in re.findall(r"`((?:tests|tools|schema)/[\w./-]+)`", README):
        assert (ROOT / path).exists(), path
    assert f"{len(rules())} rules stand" in README
