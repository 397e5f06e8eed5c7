"""Beginning a document: few questions, the whole file shown, and a file that is read without an error."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import pytest

from campaigns.seeds import short, thinned
from desk.sitting import NOW, Answers, begin, files, small_shop
from desk.someone import Chatty, Curt
from mothermold.cli.asking import Terminal
from mothermold.cli.main import main
from mothermold.desk.asking import StoppedError
from mothermold.desk.founding import found_book
from mothermold.desk.starting import STARTED, start
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.view.view import open_view


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_shop(tmp_path_factory.mktemp("shop") / "book")


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("empty") / "book"
    found_book(folder)
    return folder


@pytest.fixture
def books(shop: Path, empty: Path) -> Any:
    """Both books, put in order again after each test."""
    before = {folder: files(folder) for folder in (shop, empty)}
    yield {"shop": shop, "empty": empty}
    for folder, known in before.items():
        for file in files(folder).keys() - known.keys():
            (folder / file).unlink()


IN_SHOP = {
    "recipe": ["cast", "Chin tip", "", "", "Base", "gel-silicone-a", "100", "gel-silicone-b", "100 %", "deadener-fluid", "60 %", "",
               "", "gel-silicone-a", "1, 2", "40", "10", "", "Fill and close", "A thin thread.", "10", "4 h",
               "Fill and close", "", "", "", "", "", "polyurethane-resin", "25", ""],
    "material": ["Deadener, thick", "", "silicone-deadener", "0.98", "1 kg", "24.00", "20E5", "2026-02-03", "", "", "binder 2", ""],
    "failure": ["sticky all round: worse at the # chin", "- edges curl", "", "", "cast", "cast/cheek#open", "Powder it.", "",
                "rework", "Less thinner", "cast/cheek@2", "", ""],
    "run": ["", "", "cheek", "", "", "cheek-mold-1", "21", "48", "", "20", "80", "120 g", "good", "", "torn-edge", "open",
            "a tear at the chin", "", "", "C-02", "hero", "", "", "", "", ""],
    "mold": ["Cheek mold 2", "", "", "2026-05-30", "negative", "lid: the old one", "", "W1", "97", "casting", "8", "C3", ""],
    "build": ["The Ferryman", "", "2", "W2", "", "shell", "mold/cheek-mold@1", "chin", "cast/cheek@2", "shell", "", "chin",
              "2026-07-01", "shoot", "", ""],
    "course": ["Gel silicone, first term", "", "fall 2026", "cast/cheek@2, mold/cheek-mold@1", "12", ""],
}  # fmt: skip
IN_EMPTY = {
    "recipe": ["cast", "Chin tip", "", "", ""],
    "material": ["Water", "", "water", "", "", "", "", ""],
    "failure": ["soft", "", "", "cast", "", "", "", "", ""],
    "run": ["", "", "", "", "", "", "", ""],
    "mold": ["Chin mold", "", "", "", "", "", "", "", ""],
    "build": ["The Ferryman", "", "", "", ""],
    "course": ["First term", "", "", "", ""],
}
EACH = [("shop", kind) for kind in IN_SHOP] + [("empty", kind) for kind in IN_EMPTY]


def answers_for(where: str, kind: str) -> list[str]:
    return (IN_SHOP if where == "shop" else IN_EMPTY)[kind]


def test_every_kind_can_be_begun_in_both_books() -> None:
    assert set(IN_SHOP) == set(IN_EMPTY) == set(STARTED)


@pytest.mark.parametrize(("where", "kind"), EACH)
def test_what_is_written_is_read_without_an_error_and_belongs_to_the_owner_alone(
    where: str, kind: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = books[where]
    before = files(book)
    document = begin(book, kind, answers_for(where, kind), monkeypatch)
    after = files(book)
    assert {file: after[file] for file in before} == before
    assert after.keys() - before.keys() == {document.file}
    assert document.kind == kind
    assert document.model is not None
    assert "visibility" not in document.raw
    first, second = document.text.split("\n")[:2]
    assert first == f"# yaml-language-server: $schema={second.removeprefix('# $schema: ')}"
    assert (book / document.file).parent.joinpath(second.removeprefix("# $schema: ")).resolve().is_file()
    told = capsys.readouterr().out
    assert document.text in told, "the whole file is shown before it is written"
    assert f"{document.file} is written." in told
    assert re.search(r"save` when it is right\.\n$", told)


@pytest.mark.parametrize(("where", "kind"), EACH)
def test_stopping_at_any_question_writes_nothing(
    where: str, kind: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = answers_for(where, kind)
    before = files(books[where])
    for count in range(len(answers)):
        # Turn about, the input ends and Ctrl+C is pressed.
        monkeypatch.setattr(sys, "stdin", Answers(answers[:count], interrupted=count % 2 == 0))
        with pytest.raises(StoppedError, match="nothing was written"):
            start(books[where], Terminal(), kind, now=NOW)
        assert files(books[where]) == before


@pytest.mark.parametrize(("where", "kind"), EACH)
def test_a_no_at_the_end_writes_nothing(
    where: str, kind: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = files(books[where])
    monkeypatch.setattr(sys, "stdin", Answers([*answers_for(where, kind)[:-1], "no"]))
    assert start(books[where], Terminal(), kind, now=NOW) is None
    assert files(books[where]) == before
    assert "Nothing was written." in capsys.readouterr().out


EXPECTED = {
    "recipe": """\
format: 1
title: Chin tip
stage: cast
version: 1
status: draft
surfaces:
  - {id: mold-face, material: polyurethane-resin}
mixes:
  - id: base
    title: Base
    by: weight
    parts:
      - {material: gel-silicone-a, parts: 100}
      - {material: gel-silicone-b, percent: 100 %, of: gel-silicone-a}
      - {material: deadener-fluid, percent: 60 %, of: [gel-silicone-a, gel-silicone-b]}
    fills: 40 ml
    allowance: 10 %
    pot_life: {time: 25 min}
steps:
  - id: fill-and-close
    title: Fill and close
    do: A thin thread.
    hands_on: 10 min
    uses:
      - {mix: base, as: cast, on: mold-face}
    starts: base
    wait: 4 h
  - id: fill-and-close-2
    title: Fill and close
""",
    "material": """\
title: Deadener, thick
families: [silicone-deadener]
density: 0.98 g/ml
packs:
  - {size: 1 kg, price: 24.00}
lots:
  - {lot: 20E5, got: 2026-02-03}
sds: {where: binder 2}
""",
    "failure": """\
title: "Sticky all round: worse at the # chin"
seen_at: cast
noticed: [cast/cheek#open]
symptoms:
  - "sticky all round: worse at the # chin"
  - "- edges curl"
now:
  - Powder it.
fixes:
  - do: Less thinner
    in: cast/cheek@2
harm: rework
""",
    "run": """\
id: r-2026-06-01-cheek-2
kind: run
recipe: cast/cheek@2
thing: cheek
started: 2026-06-01 10:30
mold: cheek-mold-1
conditions: {room: 21 degC, humidity: 48 %, material_temp: 20 degC}
batch:
  - {mix: film, weighed: 80 g}
  - {mix: base, weighed: 120 g}
outcome: good
went_wrong:
  - failure: torn-edge
    step: open
  - what: a tear at the chin
kept:
  - {piece: C-02, grade: hero}
""",
    "mold": """\
title: Cheek mold 2
made: 2026-05-30
parts:
  - what: negative
  - what: "lid: the old one"
wearer: W1
cavity: {volume: 97 ml, how: casting}
bolts: 8
shelf: C3
""",
    "build": """\
title: The Ferryman
people: 2
wearers: [W2]
things:
  - {id: shell, recipe: mold/cheek-mold@1}
  - {id: chin, recipe: cast/cheek@2, from: [shell]}
looks:
  - id: full
    pieces:
      - {thing: chin}
days:
  - {day: 2026-07-01, what: shoot, look: full}
""",
    "course": """\
title: Gel silicone, first term
term: fall 2026
pins: [cast/cheek@2, mold/cheek-mold@1]
students: 12
""",
}


@pytest.mark.parametrize("kind", EXPECTED)
def test_a_file_looks_as_if_written_by_hand(kind: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    document = begin(books["shop"], kind, IN_SHOP[kind], monkeypatch)
    assert document.text.split("\n", 2)[2] == EXPECTED[kind]


def test_a_mix_nobody_can_weigh_yet_and_a_lone_test_are_written_as_they_are(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    document = begin(books["empty"], "run", IN_EMPTY["run"], monkeypatch)
    assert document.raw == {"id": "r-2026-06-01-test-1", "kind": "test", "started": "2026-06-01 14:30"}


SHEETS = {
    "application/face": "glue", "application/nose": "glue", "wear/day": "glue", "removal/face": "remove", "removal/nose": "remove",
}  # fmt: skip
A_LOOK = ["The Ferryman", "", "2", "W1", "W2", "", "chin", "cast/cheek@2", "", "chin", "W2",
          "application/face@1, application/nose@1", "", "removal/nose@1, removal/face@1", "2026-07-01", "shoot", ""]  # fmt: skip


@pytest.fixture
def dressing_room(books: dict[str, Path]) -> Path:
    """The small shop with sheets that go on and off."""
    book = books["shop"]
    for address, role in SHEETS.items():
        stage, _, name = address.partition("/")
        file = book / "recipes" / f"{address}.yaml"
        file.parent.mkdir(exist_ok=True)
        uses = f"uses: [{{material: gel-silicone-a, as: {role}, on: skin}}]"
        step = f"steps:\n  - id: work\n    title: Work\n    {uses}\n"
        file.write_text(f"title: {name}\nstage: {stage}\nversion: 1\nstatus: locked\n{step}", encoding="utf-8")
    return book


def test_a_look_is_asked_for_all_its_sheets_and_for_its_patch_test(
    dressing_room: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = begin(dressing_room, "build", [*A_LOOK, "2026-06-26", "2026-06-28", ""], monkeypatch)
    assert (
        document.text.partition("looks:\n")[2]
        == """\
  - id: full
    wearer: W2
    pieces:
      - {thing: chin}
    application: [application/face@1, application/nose@1]
    removal: [removal/nose@1, removal/face@1]
days:
  - {day: 2026-07-01, what: shoot, look: full}
cleared:
  - wearer: W2
    application: [application/face@1, application/nose@1]
    removal: [removal/nose@1, removal/face@1]
    tested: 2026-06-26
    on: 2026-06-28
"""
    )


def test_a_patch_read_a_day_later_is_not_written_down_as_clear(
    dressing_room: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    document = begin(dressing_room, "build", [*A_LOOK, "2026-06-26", "2026-06-27", "", ""], monkeypatch)
    assert "cleared" not in document.raw
    assert "less than 48 hours after 2026-06-26" in capsys.readouterr().out


def test_who_has_no_patch_test_yet_is_told_what_waits_for_it(
    dressing_room: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "cleared" not in begin(dressing_room, "build", [*A_LOOK, "", ""], monkeypatch).raw
    assert (
        "Nothing is glued until it is read, 48 hours or more after it was put on, and clear" in capsys.readouterr().out
    )


# The sample book, whatever it holds


@pytest.mark.parametrize("someone", short([Chatty, Curt], 1))
def test_every_kind_can_be_begun_in_the_sample_book(someone: type[Curt], own_sample_book: Path) -> None:
    book = own_sample_book
    before = files(book)
    begun = {kind: start(book, someone(), kind, now=NOW) for kind in STARTED}
    after = files(book)
    assert {file: after[file] for file in before} == before
    written = {kind: path.relative_to(book).as_posix() for kind, path in begun.items() if path is not None}
    assert set(written) == set(STARTED)
    assert set(written.values()) == after.keys() - before.keys()
    errors = [each for each in open_view(book, "private").notices if each.severity == "error"]
    assert [each for each in errors if each.file in written.values()] == []


# Answers nobody expects

HOSTILE = [
    "a: b", "a #b # c", "# a", "- a", "'", '"', "it's \"so\"", "{a, b}", "[a]", "007", "20E5", "off", "true", "~", "%", "@x", "*x*", "&x",
    "!x", "|", ">-", "? a", "a:", "---", "...", "🎭 é 鋳", "👩‍🎤", "a\u00a0b", "“a” b", "see, “a”", "a\tb", "long " * 80 + "end", "x" * 400,
    "$(touch /x)", "../../x", "<<", "a\\nb",
]  # fmt: skip


@pytest.mark.parametrize("value", thinned(HOSTILE, 3), ids=repr)
def test_hostile_answers_are_written_so_that_they_read_back_exactly(
    value: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    run = begin(books["empty"], "run", ["test", "", "", "", value, "", "", "r-1", ""], monkeypatch)
    assert run.raw["went_wrong"] == [{"what": value}]
    failure = begin(
        books["empty"], "failure", [value, value, "", value, "no", "cast", value, "", "", value, "x", ""], monkeypatch
    )
    assert failure.raw["symptoms"] == [value, value]
    assert failure.raw["now"] == [value]
    assert failure.raw["title"] == value
    assert failure.raw["fixes"] == [{"do": value}]
    recipe = begin(books["empty"], "recipe", ["cast", value, "x", *DEEP_STEPS(value), ""], monkeypatch)
    assert recipe.raw["title"] == value
    assert [step["title"] for step in recipe.raw["steps"]] == [value, value]
    material = begin(
        books["empty"], "material", [value, "x", "water", "", "1 kg", "", value, "", "", "", value, ""], monkeypatch
    )
    assert material.raw["title"] == value
    assert material.raw["lots"] == [{"lot": value}]
    assert material.raw["sds"] == {"where": value}


def DEEP_STEPS(value: str) -> list[str]:  # noqa: N802 - a list, made for each value
    return [value, value, "", "", value, "", "", "", ""]


@pytest.mark.parametrize("value", thinned(HOSTILE, 3), ids=repr)
def test_hostile_titles_find_a_name_of_their_own(
    value: str, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    for kind in ("mold", "build", "course"):
        answers = [value, *IN_EMPTY[kind][1:]]
        assert begin(books["empty"], kind, answers, monkeypatch).raw["title"] == value


def test_prose_never_stands_in_braces(books: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    answers = ["Glue", "", "water", "", "1 kg", "", "lot 4, the second: blue", "2026-02-03", "", "", "", ""]
    text = begin(books["empty"], "material", answers, monkeypatch).text
    assert '  - lot: "lot 4, the second: blue"\n    got: 2026-02-03\n' in text


def test_a_wrong_answer_is_told_in_one_line_and_asked_again(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = [
        "",
        "Glue",
        "Not A Name",
        "glue",
        "water",
        "heavy",
        "1.1",
        "",
        "20E5",
        "3/2/2026",
        "2026-02-03",
        "",
        "",
        "",
        "",
    ]
    document = begin(books["empty"], "material", answers, monkeypatch)
    assert document.raw["lots"] == [{"lot": "20E5", "got": "2026-02-03"}]
    lines = capsys.readouterr().out.split("\n")
    assert any("An answer is needed here." in line for line in lines)
    assert any("`Not A Name` cannot be a name" in line and "`not-a-name`" in line for line in lines)
    assert any("`3/2/2026` cannot be read as a day." in line and "`2026-02-03`" in line for line in lines)


# Recipes from recipes


@pytest.mark.parametrize(
    ("answers", "source", "version"),
    [
        (["cast", "Chin piece", "cast/cheek", "", "", ""], None, 2),
        (["cast", "Chin piece", "cast/ch", "yes", "version 1", "", ""], None, 1),
        (["", "Chin piece", "", ""], "cast/cheek", 2),
        (["", "Chin piece", "", ""], "cast/cheek@1", 1),
    ],
)
def test_a_recipe_starts_from_another_one_with_its_own_title_and_number(
    answers: list[str], source: str | None, version: int, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    book = books["shop"]
    versions = open_view(book, "private").versions("cast/cheek")
    row = versions.get(version) if versions else None
    assert row is not None
    copy = begin(book, "recipe" if source is None else None, answers, monkeypatch, source)
    assert copy.address == "cast/chin-piece"
    assert (copy.raw["title"], copy.raw["version"], copy.raw["status"]) == ("Chin piece", "1", "draft")
    left_out = {"why", "fixes", "formerly", "visibility", "title", "version", "status"}
    kept = {key: value for key, value in row.document.raw.items() if key not in left_out}
    assert {key: value for key, value in copy.raw.items() if key not in left_out} == kept
    assert not {"why", "fixes", "formerly", "visibility"} & copy.raw.keys()
    # The comments inside the steps and mixes come along.
    assert re.findall(r"\S  +#.*", copy.text) == re.findall(r"\S  +#.*", row.document.text)
    assert copy.text.count("$schema") == 2


def test_a_copy_for_another_stage_says_so(books: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    copy = begin(books["shop"], "recipe", ["finish", "Seamed", "", ""], monkeypatch, "cast/cheek")
    assert (copy.address, copy.raw["stage"]) == ("finish/seamed", "finish")


def test_a_source_that_is_not_there_is_refused_before_anything_is_asked(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", Answers([]))
    with pytest.raises(RefusedError) as refusal:
        start(books["shop"], Terminal(), "recipe", source="cast/chek")
    assert [(notice.code, notice.help) for notice in refusal.value.notices] == [
        ("unknown-recipe", "Did you mean `cast/cheek`?")
    ]
    with pytest.raises(CannotRunError, match="mothermold new recipe --from"):
        start(books["shop"], Terminal(), "mold", source="cast/cheek")


# Names


def test_a_name_that_is_or_was_taken_is_never_proposed_and_never_accepted(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    document = begin(
        books["shop"], "material", ["Deadener fluid", "gel-silicone-a", "", "water", "", "", "", "", ""], monkeypatch
    )
    assert document.address == "deadener-fluid-2"
    assert "Another one is called `gel-silicone-a` already" in capsys.readouterr().out


def test_a_file_that_came_meanwhile_is_left_alone(books: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    file = books["empty"] / "recipes" / "materials" / "water.yaml"

    class Meanwhile(Answers):
        def readline(self, *_args: Any) -> str:  # type: ignore[override]
            line = super().readline()
            if line == "binder 1\n":
                file.write_text("title: another\n")
            return line

    monkeypatch.setattr(sys, "stdin", Meanwhile(["Water", "", "water", "", "", "", "binder 1", ""]))
    with pytest.raises(RefusedError) as refusal:
        start(books["empty"], Terminal(), "material", now=NOW)
    assert [notice.code for notice in refusal.value.notices] == ["already-there"]
    assert file.read_text() == "title: another\n"


# The command


def test_the_command_asks_for_the_kind_where_none_is_given(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", Answers(["course", *IN_EMPTY["course"]]))
    assert main(["-C", str(books["empty"]), "new"]) == 0
    assert (books["empty"] / "recipes" / "courses" / "first-term.yaml").is_file()
    assert "What is new:" in capsys.readouterr().out


@pytest.mark.parametrize("interrupted", [False, True])
def test_stopping_the_command_ends_with_1_and_one_sentence(
    interrupted: bool, books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", Answers(["Water"], interrupted=interrupted))
    assert main(["-C", str(books["empty"]), "new", "material"]) == 1
    assert capsys.readouterr().err == "Stopped; nothing was written.\n"


def test_new_never_speaks_of_git(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for where, kind in EACH:
        monkeypatch.setattr(sys, "stdin", Answers([*answers_for(where, kind)[:-1], "no"]))
        start(books[where], Terminal(), kind, now=NOW)
    assert (
        re.search(r"\b(commit|branch|repository|stag(?:ed|ing)|HEAD|YAML|string|null)\b", capsys.readouterr().out)
        is None
    )
