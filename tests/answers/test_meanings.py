"""Every notice the package can give has a meaning, and every example in the catalogue does what it says.

The codes are looked for in the sources themselves, so that neither a new notice nor an old meaning is forgotten.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

import mothermold
from campaigns.many import through
from mothermold.answers.meanings import Meaning, meanings, rule_meanings
from mothermold.cli.main import main
from mothermold.ground.notices import SEVERITIES, Notice
from mothermold.model.names import LocalName
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
PACKAGE = Path(mothermold.__file__).parent
# What says a notice: the calls that take its code first, and the places where a code is chosen or handed back.
CALLS = r"(?:Notice|Slip|notice|refused|ReckoningError|FormulaFault|QuantityError|fault|_note|_stop|_MissingError|PydanticCustomError)"
SAID = re.compile(rf"(?<!def )\b{CALLS}\(\s*(?P<first>[^,\n]+),")
CHOSEN = re.compile(
    r"\bcode\b(?: = |=)(?P<first>\"[^\n]+ if [^\n]+ else \"[^\n]+)|\breturn \(?(?P<second>\"[a-z-]+\"), "
)
CODE = re.compile(r"\"([a-z][a-z0-9]*(?:-[a-z0-9]+)+|straws|tab|tag|anchor)\"")
PARSER_WORDS = re.compile(
    r"\b(?:mappings?|scalars?|tokens?|parsers?|pars\w+|nodes?|nulls?|none ?type|strings?|schemas?|commits?|pydantic|(?<![.\w])yaml|"
    r"sequences?|validat\w+|dict|regex|patterns?|integers?|booleans?|literals?|tuples?|exceptions?|traceback|blobs?|arrays?)\b",
    re.IGNORECASE,
)
# The small book of these tests lies in no repository.
OUTSIDE = "no-repository"
# What only a file, git or the computer itself can show.
WITHOUT_EXAMPLE = {
    "already-there", "and-more", "broken-off", "byte-order-mark", "cannot-open", "cannot-undo", "changed-meanwhile", "changed-since-save",
    "history-busy", "history-damaged", "inside-a-book", "left-out", "needs-mending", "needs-why", "no-commits", "no-git", "no-repository", "not-edited", "not-ours",
    "not-saved", "not-utf8", "nothing-to-undo", "settings-unread", "shallow-history", "symlink-outside", "too-large",
    "stays-closed", "version-clash", "wider-edition",
    # What only a photo can show.
    "photo-nowhere", "photo-original", "photo-refused", "photo-tells", "photo-unnamed", "photo-without-words",
    # What only a full sheet of paper can show.
    "card-too-long",
    # What only the desk says.
    "not-locked", "not-written",
    # What a book with a run knows.
    "today-not-known",
    # What only a run brought from the bench can show.
    "lot-differs", "not-a-run", "run-differs",
    # What only a scan can show.
    "core-through", "mesh-apart", "mesh-bodies", "mesh-crossing", "mesh-mended", "mesh-open", "mesh-too-large", "mesh-unit",
    "mesh-unreadable", "no-such-file", "scan-film", "thin-places", "unknown-axis", "unknown-unit",
}  # fmt: skip
# What needs history, or many runs: shown in a few lines, which are no whole document.
TOLD_IN_WORDS = {"draft-on-locked", "locked-changed", "old-sheet", "open-not-saved", "runs-say-otherwise", "step-gone"}

ALL = meanings()
DOCUMENTS = [each for each in ALL.values() if each.wrong.startswith("# recipes/")]
COMMANDS = [each for each in ALL.values() if each.wrong.startswith("mothermold ")]


def used_codes() -> set[str]:
    found: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for match in (*SAID.finditer(text), *CHOSEN.finditer(text)):
            found |= set(CODE.findall(match["first"] or match.groupdict().get("second") or ""))
    # A local name nobody bears is told by what it names.
    return found | {f"unknown-{each.WORD}" for each in LocalName.__subclasses__()}


def name(meaning: Meaning) -> str:
    return meaning.code


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(GOOD, tmp_path_factory.mktemp("shop") / "book"))


@contextmanager
def laid_out(excerpt: str, good: Path) -> Iterator[Path]:
    """The good book with the documents of an excerpt in it, put in order again afterwards."""
    for document in re.split(r"(?m)^(?=# recipes/)", excerpt):
        if document.startswith("# recipes/"):
            target = good / document.split("\n", 1)[0].removeprefix("# ")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(document, encoding="utf-8")
    try:
        yield good
    finally:
        put_in_order(good)


def put_in_order(good: Path) -> None:
    for path in sorted(good.rglob("*")):
        kept = GOOD / path.relative_to(good)
        if path.is_dir() and not kept.exists():
            shutil.rmtree(path)
        elif path.is_file() and not kept.exists():
            path.unlink()
        elif path.is_file() and path.read_bytes() != kept.read_bytes():
            shutil.copyfile(kept, path)


def noticed(excerpt: str, good: Path) -> list[Notice]:
    with laid_out(excerpt, good) as book:
        return [notice for notice in open_view(book, "private").notices if notice.code != OUTSIDE]


def words_of(command: str) -> list[str]:
    """The words of a command line; single quotes keep words together."""
    return [quoted or plain for quoted, plain in re.findall(r"'([^']*)'|(\S+)", command)][1:]


def test_every_notice_of_the_package_has_a_meaning() -> None:
    assert used_codes() - ALL.keys() == set()


def test_no_meaning_is_kept_for_a_notice_nobody_gives() -> None:
    assert ALL.keys() - used_codes() == set()


def test_the_search_finds_codes_written_in_every_way() -> None:
    found = used_codes()
    assert {"unknown-key", "cut-by-hash", "bare-ounce", "no-git", "version-clash", "which-mix", "bad-name"} <= found
    assert len(found) >= 90


def test_meanings_stand_in_the_order_of_the_alphabet() -> None:
    assert list(ALL) == sorted(ALL)


@through("meaning", ALL.values(), ids=name)
def test_a_meaning_is_told_in_words_of_the_bench(meaning: Meaning) -> None:
    assert meaning.severity in SEVERITIES
    assert meaning.title.endswith(".")
    assert len(meaning.title) <= 90
    assert re.search(r"[.!?] [A-Z`]", meaning.title) is None, "one sentence"
    sentences = re.findall(r"[.!?](?= |$)", meaning.why)
    assert 2 <= len(sentences) <= 4, meaning.why
    assert meaning.why.endswith(".")
    for text in (meaning.title, meaning.why):
        assert PARSER_WORDS.search(text) is None, text


@through("meaning", ALL.values(), ids=name)
def test_wrong_and_right_come_together_and_differ(meaning: Meaning) -> None:
    assert bool(meaning.wrong) == bool(meaning.right) == (meaning.code not in WITHOUT_EXAMPLE)
    assert not meaning.wrong or meaning.wrong != meaning.right
    assert max(len(text.splitlines()) for text in (meaning.wrong, meaning.right)) <= 34, (
        "what stands between two documents needs both"
    )


def test_nearly_every_notice_has_an_example_that_runs() -> None:
    assert {each.code for each in (*DOCUMENTS, *COMMANDS)} == ALL.keys() - WITHOUT_EXAMPLE - TOLD_IN_WORDS


@through("meaning", DOCUMENTS, ids=name)
def test_a_wrong_document_gives_its_notice_and_no_other(meaning: Meaning, good: Path) -> None:
    notices = noticed(meaning.wrong, good)
    assert [(notice.code, notice.severity) for notice in notices] == [(meaning.code, meaning.severity)], notices
    for text in (notices[0].message, notices[0].help):
        assert PARSER_WORDS.search(text) is None, text


@through("meaning", DOCUMENTS, ids=name)
def test_a_right_document_gives_no_notice(meaning: Meaning, good: Path) -> None:
    assert noticed(meaning.right, good) == []


def answer(
    excerpt: str, good: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> tuple[int, list[Any]]:
    """The exit code of an example's command, and its notices as JSON."""
    words = words_of(excerpt.split("\n", 1)[0])
    with laid_out(excerpt, good) as book:
        monkeypatch.chdir(book)
        code = main(words if words[0] == "init" else [*words, "--format", "json"])
    out, err = capsys.readouterr()
    if words[0] == "init":
        told = re.findall(r"\(([a-z-]+)\)$", err, re.MULTILINE)
        return code, [{"code": each, "severity": "error", "message": "", "help": ""} for each in told]
    told = json.loads(out)["notices"]
    return code, [each for each in told if each["code"] != OUTSIDE]


@through("meaning", COMMANDS, ids=name)
def test_a_wrong_command_gives_its_notice_and_no_other(
    meaning: Meaning, good: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code, told = answer(meaning.wrong, good, capsys, monkeypatch)
    assert [(each["code"], each["severity"]) for each in told] == [(meaning.code, meaning.severity)], told
    assert code == (1 if meaning.severity == "error" else 0)
    for text in (told[0]["message"], told[0]["help"]):
        assert PARSER_WORDS.search(text) is None, text


@through("meaning", COMMANDS, ids=name)
def test_a_right_command_is_answered_without_a_notice(
    meaning: Meaning, good: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert answer(meaning.right, good, capsys, monkeypatch) == (0, [])


# The command `about`


def test_about_explains_a_notice_to_a_reader(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about", "unknown-key"]) == 0
    out, err = capsys.readouterr()
    meaning = ALL["unknown-key"]
    assert out.startswith("unknown-key (error)\n")
    assert meaning.title in out
    assert meaning.why in " ".join(out.split())
    assert (
        out.index("wrong:")
        < out.index("    hands-on: 20 min")
        < out.index("right:")
        < out.index("    hands_on: 20 min")
    )
    assert err == ""


def test_about_leaves_out_examples_a_notice_does_not_have(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about", "no-git"]) == 0
    out = capsys.readouterr().out
    assert "wrong:" not in out
    assert "right:" not in out


def test_about_explains_a_notice_to_a_program(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about", "bare-ounce", "--format", "json"]) == 0
    meaning = ALL["bare-ounce"]
    assert json.loads(capsys.readouterr().out) == {
        "code": "bare-ounce",
        "severity": "error",
        "title": meaning.title,
        "why": meaning.why,
        "wrong": meaning.wrong,
        "right": meaning.right,
        "codes": [],
        "notices": [],
    }


def test_about_offers_the_near_code_for_one_it_does_not_know(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about", "unknow-key"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "`unknow-key`" in err
    assert "Did you mean `unknown-key`?" in err


def test_about_answers_a_program_with_nothing_but_the_notice_where_it_does_not_know_a_code(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["about", "xyzzy", "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    notices = told.pop("notices")
    assert told == {
        "code": None,
        "severity": None,
        "title": None,
        "why": None,
        "wrong": None,
        "right": None,
        "codes": [],
    }
    assert [(notice["code"], notice["severity"]) for notice in notices] == [("unknown-code", "error")]
    assert "mothermold about" in notices[0]["help"]


def test_about_without_a_code_lists_them_all(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about"]) == 0
    lines = capsys.readouterr().out.splitlines()
    known = ALL | rule_meanings()
    assert [line.split()[0] for line in lines] == list(known)
    assert all(known[line.split()[0]].title in line for line in lines)


def test_about_without_a_code_lists_them_all_to_a_program(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["about", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["code"] is None
    assert told["notices"] == []
    assert told["codes"] == [
        {"code": each.code, "severity": each.severity, "title": each.title} for each in (ALL | rule_meanings()).values()
    ]
