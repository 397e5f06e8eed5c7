"""One table of commands: each is a row and the module that declares it, and a new one touches these two files alone."""

from __future__ import annotations

import ast
import filecmp
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from inspect import Parameter, signature
from pathlib import Path

import pytest

from campaigns.many import through
from mothermold.answers.question import HANDED, QuestionEntry
from mothermold.cli.commands import COMMANDS, question_of
from mothermold.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "tools" / "mothermold"
# Where people read the table of commands.
TABLES = "\n".join(
    path.read_text(encoding="utf-8") for path in (ROOT / "README.md", *sorted((PACKAGE / "guide").glob("*.md")))
)
HEAD = "| command | what it does |\n|---|---|\n"
HEAVY = ("git", "pydantic", "jinja2", "mkdocs", "mothermold.view", "mothermold.model", "mothermold.desk.saving")


def declarations() -> Iterator[tuple[str, str]]:
    """What stands in the package: each name that is declared, and the module that does."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            for each in getattr(node, "decorator_list", ()):
                if isinstance(each, ast.Call) and getattr(each.func, "id", "") in ("question", "deed"):
                    assert isinstance(each.args[0], ast.Constant)
                    yield each.args[0].value, ".".join(path.relative_to(PACKAGE).with_suffix("").parts)


def rows_of(text: str) -> dict[str, str]:
    """What the tables of commands say of each, by its name."""
    rows: dict[str, str] = {}
    for table in text.split(HEAD)[1:]:
        for name, told in re.findall(r"^\| `(\w+)(.+)\|$", table.partition("\n\n")[0], re.M):
            rows[name] = f"{rows.get(name, '')} {told}"
    return rows


def typed_names(asked: QuestionEntry) -> set[str]:
    return {
        typed
        for name, (option, _needed) in asked.options().items()
        if not option.by_place
        for typed in option.names or (f"--{name.replace('_', '-')}",)
    }


def test_every_command_is_declared_once_and_by_the_module_its_row_names() -> None:
    assert sorted(declarations()) == sorted((name, row.module) for name, row in COMMANDS.items())


@through("name", COMMANDS)
def test_a_command_says_all_that_is_to_be_known_of_it(name: str) -> None:
    asked = question_of(name)
    assert all(option.help for option, _needed in asked.options().values())
    for parameter in signature(asked.ask).parameters.values():
        told = parameter.name in (*HANDED, *asked.options()) or parameter.default is not Parameter.empty
        assert told or parameter.name == "asked", f"nobody can tell it `{parameter.name}`"
    assert (asked.text is None) == (asked.empty == {} and name != "schema"), "an answer has a text and an empty answer"
    assert not asked.page or asked.text, "a deed is shown on no page"


@pytest.mark.parametrize("name", COMMANDS)
def test_the_help_of_a_command_names_all_that_can_be_typed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main([name, "--help"])
    told, asked = " ".join(capsys.readouterr().out.split()), question_of(name)
    assert COMMANDS[name].summary in told
    for option, _needed in asked.options().values():
        assert option.help.split()[0] in told
    assert all(f"{typed} " in told for typed in typed_names(asked))
    assert ("--for EDITION" in told) == ("view" in asked.handed or name in ("build", "serve"))
    assert ("--format" in told) == (asked.text is not None)


def test_the_table_people_read_names_each_command_and_no_option_that_is_none() -> None:
    rows = rows_of(TABLES)
    assert rows.keys() == COMMANDS.keys()
    for name, told in rows.items():
        known = typed_names(question_of(name)) | {"--for", "--format"}
        assert set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", told)) <= known, name


NEW = '''\
"""How much a cast shrinks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Final

from mothermold.answers.amounts import missing, one_amount
from mothermold.answers.question import RECIPE, Typed, flag, option, question
from mothermold.answers.result import Result
{imports}
EMPTY: Final[dict[str, Any]] = {{"of": None, "lost_mm": None}}


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked, as typed."""

    long: Annotated[Typed, option("Q", "how long it was, 100 % of it")] = None
    percent: Annotated[str, option("P", "how much it shrinks")] = "2"
    twice: Annotated[bool, flag("cast over again")] = False


def _text(result: Result) -> str:
    return f"{{result.data['of']}}: {{result.data['lost_mm']:g}} mm are lost.\\n"


@question("{name}", empty=EMPTY, text=_text)
def reckon(asked: Asked{more}) -> Result:
    """What is lost."""
    if asked.long is None:
        raise missing("The length", "--long '60 mm'")
    lost = one_amount("--long", asked.long, "length") * int(asked.percent) / 100 * (2 if asked.twice else 1)
    return Result({{"of": {of}, "lost_mm": float(lost)}})
'''
VIEW = "from mothermold.view.view import View\n"
ASKS = (
    ("--help",), ("shrinks", "--help"), ("shrinks",), ("shrinks", "--format", "json"), ("shrinks", "--long", "60 mm"),
    ("shrinks", "--long", "60 mm", "--percent", "3", "--twice", "--format", "json"), ("shrink",), ("shrinks", "--loud"),
    ("dwindles", "--help"), ("-C", "BOOK", "dwindles", "cast/cheek", "--long", "60 mm"),
    ("-C", "BOOK", "dwindles", "cast/cheek", "--format", "json"), ("dwindles",),
)  # fmt: skip
PROGRAM = """\
import contextlib, io, json, sys
from mothermold.cli.main import main
told = []
for words in json.loads(sys.argv[1]):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = main(words)
        except SystemExit as end:
            code = end.code
    told.append((code, out.getvalue(), err.getvalue()))
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A throw-away copy of the package with two new commands: a sum, and a question of a book."""
    copy = tmp_path_factory.mktemp("copy") / "mothermold"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("story", "__pycache__"))
    table = (copy / "cli" / "commands.py").read_text(encoding="utf-8")
    last = '    "schema": CommandRow('
    rows = "".join(
        f'    "{name}": CommandRow("answers.{name}", "how much a cast {name}"),\n' for name in ("shrinks", "dwindles")
    )
    assert table.count(last) == 1
    (copy / "cli" / "commands.py").write_text(table.replace(last, rows + last), encoding="utf-8")
    alone = NEW.format(name="shrinks", imports="", more="", of="'a cast'")
    (copy / "answers" / "shrinks.py").write_text(alone, encoding="utf-8")
    of_book = NEW.format(
        name="dwindles", imports=VIEW, more=", view: View, recipe: Annotated[str, RECIPE]", of="recipe + view.edition"
    )
    (copy / "answers" / "dwindles.py").write_text(of_book, encoding="utf-8")
    return copy


@pytest.fixture(scope="module")
def told(copy: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, ...], tuple[int, str, str]]:
    """What the copy says to each of ``ASKS``."""
    book = tmp_path_factory.mktemp("book")
    (book / "recipes").mkdir()
    (book / "recipes" / "book.yaml").write_text("title: A book\n", encoding="utf-8")
    words = json.dumps([[str(book) if word == "BOOK" else word for word in each] for each in ASKS])
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, words],
        cwd=book.parent, env={"PYTHONPATH": str(copy.parent), "PATH": "/usr/bin:/bin", "COLUMNS": "120"},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return {each: tuple(said) for each, said in zip(ASKS, json.loads(done.stdout), strict=True)}


def test_a_new_command_touches_its_module_and_the_table_alone(copy: Path) -> None:
    touched = {
        path.relative_to(copy).as_posix()
        for path in copy.rglob("*.py")
        if not (there := PACKAGE / path.relative_to(copy)).exists() or not filecmp.cmp(path, there, shallow=False)
    }
    assert touched == {"cli/commands.py", "answers/shrinks.py", "answers/dwindles.py"}


def test_a_new_command_is_listed_explained_asked_and_refused(
    told: dict[tuple[str, ...], tuple[int, str, str]],
) -> None:
    assert re.search(r"^ +shrinks +how much a cast shrinks$", told["--help",][1], re.M)
    code, out, _err = told["shrinks", "--help"]
    assert code == 0
    assert re.search(r"^  --long Q +how long it was, 100 % of it$", out, re.M)
    assert "--for EDITION" not in out
    assert "BOOK" in out
    assert told["shrinks", "--long", "60 mm"] == (0, "a cast: 1.2 mm are lost.\n", "")
    code, out, _err = told["shrinks", "--long", "60 mm", "--percent", "3", "--twice", "--format", "json"]
    assert (code, json.loads(out)) == (0, {"of": "a cast", "lost_mm": 3.6, "notices": []})
    code, out, err = told["shrinks",]
    assert (code, out) == (1, "")
    assert "The length is not given." in err
    code, out, _err = told["shrinks", "--format", "json"]
    assert code == 1
    assert list(json.loads(out).items())[:2] == [("of", None), ("lost_mm", None)]
    assert [each["severity"] for each in json.loads(out)["notices"]] == ["error"]
    assert "Did you mean `shrinks`?" in told["shrink",][2]
    assert told["shrinks", "--loud"][0] == 2


def test_a_new_question_of_a_book_is_handed_its_view(told: dict[tuple[str, ...], tuple[int, str, str]]) -> None:
    assert "--for EDITION" in told["dwindles", "--help"][1]
    answered = told["-C", "BOOK", "dwindles", "cast/cheek", "--long", "60 mm"]
    assert answered == (0, "cast/cheekprivate: 1.2 mm are lost.\n", "")
    code, out, _err = told["-C", "BOOK", "dwindles", "cast/cheek", "--format", "json"]
    assert (code, json.loads(out)["lost_mm"]) == (1, None)
    assert "RECIPE is missing." in told["dwindles",][2]


def test_the_table_people_read_is_wrong_until_it_names_a_new_command() -> None:
    known = COMMANDS.keys() | {"shrinks"}
    assert rows_of(TABLES).keys() != known
    told = TABLES.replace(HEAD, f"{HEAD}| `shrinks --long Q` | how much a cast shrinks |\n", 1)
    assert rows_of(told).keys() == known


@pytest.mark.parametrize(
    "words",
    [
        ["gypsum", "--fill", "1 l", "--ratio", "38"],
        ["cure", "--time", "6 min", "--at", "23 degC", "--room", "28 degC", "--format", "json"],
        ["curve", "--band", "40 mm", "--radius", "90 mm"],
        ["cavity", "--piece", "214 g", "--density", "1.05 g/ml"],
        ["about", "unknown-key"],
    ],
    ids=lambda words: words[0],
)
def test_what_needs_no_book_loads_nothing_that_reads_one(words: list[str], tmp_path: Path) -> None:
    program = (
        f"import sys\nfrom mothermold.cli.main import main\nassert main({words!r}) == 0\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path, env={"PYTHONPATH": str(PACKAGE.parent), "PATH": "/usr/bin:/bin"},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip().endswith("[]")
