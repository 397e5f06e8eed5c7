"""README and guide are executed: commands run, excerpts are what the program prints, the tables of commands are complete."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

import pytest
from markdown_it import MarkdownIt

from history.repositories import leave_home
from mothermold.cli.commands import COMMANDS
from mothermold.cli.main import main
from mothermold.trade.rules import rules

ROOT: Final = Path(__file__).resolve().parents[2]
GUIDE: Final = ROOT / "tools" / "mothermold" / "guide"
TEXTS: Final = {
    path.name: path.read_text(encoding="utf-8") for path in (ROOT / "README.md", *sorted(GUIDE.glob("*.md")))
}
README: Final = TEXTS["README.md"]
RECIPE: Final = "recipes/cast/face-piece.yaml"
BUILD: Final = "saltpan-keeper"
COURSE: Final = "silicone-pieces-autumn-2026"


class Typed(NamedTuple):
    """One command of a text, and what stands below it as what the program prints."""

    text: str
    line: str
    told: tuple[str, ...]

    @property
    def words(self) -> list[str]:
        return shlex.split(self.line)[1:]

    def __str__(self) -> str:
        return f"{self.text}: {self.line}"


def typed(name: str) -> Iterator[Typed]:
    for block in MarkdownIt("commonmark").parse(TEXTS[name]):
        # A block of the terminal lies between fences without a language, or is set in.
        if block.type != "code_block" and (block.type != "fence" or block.info):
            continue
        found: list[tuple[str, list[str]]] = []
        for line in block.content.splitlines():
            if line.startswith(("$ ", "mothermold ")):
                found.append((line.removeprefix("$ "), []))
            elif found:
                found[-1][1].append(line.strip())
        yield from (Typed(name, line, tuple(told)) for line, told in found)


ALL: Final = [each for name in TEXTS for each in typed(name)]
# They ask until all is answered, or serve until they are stopped; tests of their own sit through them.
SITTING: Final = {"new", "serve"}
# They change the book.
DOING: Final = {"init", "save", "undo", "open", "bring", "build", "handout"}


def of(kinds: set[str]) -> list[Typed]:
    return list({each.line: each for each in ALL if each.words[0] in kinds and not each.told}.values())


def test_every_command_of_a_text_is_one_and_is_run_or_sat_through() -> None:
    assert len(ALL) >= 60
    for each in ALL:
        assert each.line.startswith("mothermold "), each
        assert each.words[0] in COMMANDS or each.words == ["--help"], each
        assert not (each.told and each.words[0] in SITTING), each
    assert {each.words[0] for each in ALL} >= SITTING | DOING | {"find", "evidence", "mix", "diff", "check", "vapor"}


READING: Final = {each.line: each for each in ALL if each.words[0] not in SITTING | DOING and each.words != ["--help"]}


@pytest.mark.parametrize("each", READING.values(), ids=str)
def test_a_command_that_reads_runs_in_the_sample_book(
    each: Typed, sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(sample_book), *each.words]) == 0
    assert capsys.readouterr().out.strip()


@pytest.mark.parametrize("each", [each for each in ALL if each.told and each.words[0] != "handout"], ids=str)
def test_an_excerpt_is_what_the_program_prints(
    each: Typed, sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(sample_book), *each.words]) == 0
    # Columns may stand closer: a phone is narrower than a terminal.
    printed = [line.split() for line in capsys.readouterr().out.splitlines()]
    for line in each.told:
        assert line.split() in printed, f"{each} does not print: {line}"


def test_help_is_there_as_it_is_written(capsys: pytest.CaptureFixture[str]) -> None:
    (each,) = [each for each in ALL if each.words[0] not in COMMANDS]
    with pytest.raises(SystemExit) as ended:
        main(each.words)
    assert ended.value.code == 0
    assert COMMANDS.keys() <= set(capsys.readouterr().out.split())


def options(command: str, capsys: pytest.CaptureFixture[str]) -> set[str]:
    """What the help of a command offers in long words, without what all of them share."""
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    return set(re.findall(r"--[a-z-]+", capsys.readouterr().out.partition("options:")[2])) - {"--help", "--format"}


@pytest.mark.parametrize("each", of(SITTING), ids=str)
def test_a_command_that_sits_with_somebody_is_offered_as_it_is_written(
    each: Typed, capsys: pytest.CaptureFixture[str]
) -> None:
    given = {word for word in each.words if word.startswith("--")}
    assert given <= options(each.words[0], capsys)


# What changes a book is done to a copy of it.


@pytest.fixture
def nobody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "nobody"
    home.mkdir()
    leave_home(home, monkeypatch)
    return home


def reworded(book: Path) -> tuple[Path, str]:
    """Changes a word of a locked recipe; its file, and what it said before."""
    path = book / RECIPE
    before = path.read_text(encoding="utf-8")
    path.write_text(before.replace("Gun a hand's length off", "Gun one hand's length off"), encoding="utf-8")
    assert path.read_text(encoding="utf-8") != before
    return path, before


@pytest.mark.parametrize("each", of({"init"}), ids=str)
def test_a_new_book_is_made_as_it_is_written(each: Typed, tmp_path: Path, nobody: Path) -> None:
    folder = tmp_path / "my-demo"
    folder.mkdir()
    made = folder / each.words[1]
    assert main(["init", str(made)]) == 0
    assert main(["-C", str(made), "check"]) == 0


@pytest.mark.parametrize("each", of({"save"}), ids=str)
def test_a_save_of_a_text_keeps_what_changed_for_the_reason_given(
    each: Typed, own_sample_book: Path, nobody: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    reworded(own_sample_book)
    assert main(["-C", str(own_sample_book), *each.words, "--yes"]) == 0
    assert f"Saved: {each.words[each.words.index('-m') + 1]}" in capsys.readouterr().out
    assert main(["-C", str(own_sample_book), "versions", "cast/face-piece"]) == 0
    newest = re.findall(r"^[* ]+(\d+) ", capsys.readouterr().out, re.M)[-1]
    assert newest == ("4" if "--keep-number" in each.words else "5")


@pytest.mark.parametrize("each", of({"undo"}), ids=str)
def test_an_undo_of_a_text_goes_back(
    each: Typed, own_sample_book: Path, nobody: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, before = reworded(own_sample_book)
    if "--unsaved" not in each.words:
        assert main(["-C", str(own_sample_book), "save", "-m", "A word", "--keep-number", "--yes"]) == 0
    assert main(["-C", str(own_sample_book), *each.words, "--yes"]) == 0
    assert path.read_text(encoding="utf-8") == before


RUN: Final = """\
format: 1
id: {name}
kind: run
recipe: cast/face-piece@4
started: 2026-05-20 14:32
"""


@pytest.mark.parametrize("each", of({"bring"}), ids=str)
def test_runs_are_brought_in_as_it_is_written(
    each: Typed, own_sample_book: Path, nobody: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = next((Path(word).stem for word in each.words[1:]), "r-2026-05-20-face-piece-1432")
    paths = [Path(word.replace("~", str(nobody))) for word in each.words[1:]]
    for path in paths or [own_sample_book / "inbox" / f"{name}.yaml"]:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(RUN.format(name=name), encoding="utf-8")
    assert main(["-C", str(own_sample_book), "bring", *map(str, paths)]) == 0
    assert list((own_sample_book / "recipes").rglob(f"runs/{name}.yaml"))


@pytest.mark.parametrize("each", of({"build"}), ids=str)
def test_what_is_built_is_built_as_it_is_written(
    each: Typed, request: pytest.FixtureRequest, tmp_path: Path, nobody: Path
) -> None:
    # The small book builds faster; recipes, courses and builds are named of the sample book.
    named = any("/" in word or word in (BUILD, COURSE) for word in each.words)
    book = request.getfixturevalue("sample_book" if named else "good_book")
    names = {"--one-file": "book.html", "--zip": "book.zip"}
    out = tmp_path / next((name for word, name in names.items() if word in each.words), "site")
    assert main(["-C", str(book), *each.words, "--out", str(out)]) == 0
    assert (out if out.suffix else out / "index.html").is_file()


@pytest.mark.parametrize("each", [each for each in ALL if each.words[0] == "handout"], ids=str)
def test_what_is_printed_is_printed_as_it_is_written(
    each: Typed, own_sample_book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(own_sample_book), *each.words]) == 0
    assert tuple(capsys.readouterr().out.splitlines())[: len(each.told)] == each.told
    assert list((own_sample_book / "handouts").rglob("*.pdf"))


def test_every_example_of_a_file_is_read_without_a_slip(
    own_sample_book: Path, nobody: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocks = [each.content for text in TEXTS.values() for each in MarkdownIt().parse(text) if each.info == "yaml"]
    files = {each.partition(":")[0]: each for each in blocks}
    assert files.keys() == {"title", "stage", "adds", "emergency", "accepts", "write_up"}
    assert len(files) == len(blocks)
    recipes = own_sample_book / "recipes"
    (recipes / "materials" / "of-the-guide.yaml").write_text(files["title"], encoding="utf-8")
    (recipes / "cast" / "of-the-guide.yaml").write_text(files["stage"], encoding="utf-8")
    (recipes / "book.yaml").write_text(f"title: Of the guide\n{files['adds']}{files['emergency']}", encoding="utf-8")
    build = recipes / "builds" / BUILD / "build.yaml"
    build.write_text(
        re.sub(r"(?ms)^write_up:.*?(?=^photos)", lambda _: files["write_up"], build.read_text("utf-8")), "utf-8"
    )
    path = own_sample_book / RECIPE
    text, found = re.subn(r"^accepts:\n(?:[ #].*\n)+", lambda _: files["accepts"], path.read_text("utf-8"), flags=re.M)
    assert found == 1
    path.write_text(text, encoding="utf-8")
    assert main(["-C", str(own_sample_book), "check", "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    written = ("of-the-guide", "recipes/book.yaml", f"{BUILD}/build.yaml")
    told = [each for each in data["notices"] if any(name in each["file"] for name in written)]
    assert not [each for each in told if each["severity"] == "error"]
    assert not [each for each in data["notices"] if each["code"] == "film-on-wet-release" and each["file"] == RECIPE]


# Tables, paths and counts


def rows() -> dict[str, str]:
    """Each row of the tables of commands, by its command."""
    found: dict[str, str] = {}
    for table in TEXTS["every-command.md"].split("| command | what it does |")[1:]:
        for row in re.findall(r"^\| `.*$", table.partition("\n\n")[0], re.M):
            command = row.partition("`")[2].partition("`")[0].split()[0]
            assert command not in found, command
            found[command] = row
    return found


def test_the_table_of_commands_names_each_and_no_other() -> None:
    assert rows().keys() == COMMANDS.keys()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_row_of_the_table_names_all_that_its_command_takes_and_nothing_else(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert set(re.findall(r"--[a-z-]+", rows()[command])) == options(command, capsys) - {"--for"}


def test_readme_names_its_commands_its_test_and_all_pages_of_the_guide_within_150_lines() -> None:
    assert len(README.splitlines()) <= 150
    assert "python3 tools/demo.py" in README
    assert "python3 tools/test.py --all" in README
    led = set(re.findall(r"\(tools/mothermold/guide/([\w-]+\.md)\)", README))
    assert led == TEXTS.keys() - {"README.md", "the-guide.md"}


@pytest.mark.parametrize("name", TEXTS)
def test_paths_and_links_lead_somewhere(name: str) -> None:
    for path in re.findall(r"`((?:tests|tools)/[\w./-]+)`", TEXTS[name]):
        assert (ROOT / path).exists(), path
    for path in re.findall(r"\]\(([\w./-]+\.(?:md|png))\)", TEXTS[name]):
        assert ((ROOT if name == "README.md" else GUIDE) / path).exists() or path.startswith(".look/"), path


def test_counts_of_the_readme_are_true() -> None:
    assert f"{len(rules())} rules stand" in README
