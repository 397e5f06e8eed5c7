"""Whatever is typed where a number is wanted ends at once, with one clear message, and never with a traceback."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import mothermold
from campaigns.seeds import thinned
from mothermold.book.document import read_document
from mothermold.cli.main import main
from mothermold.ground.notices import Notice
from mothermold.ground.rendering import around, as_text
from mothermold.quantities import QuantityError, parse
from mothermold.view import view as opening
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
MOST_SAID = 1200
# Long enough that what takes the cube of the length would never end.
LONG = 60_000
SENT = [
    "9" * LONG, "1" * LONG + " ml", "1." * LONG, "1," * LONG, "1 " * LONG, "1-" * LONG, "1 to " * LONG, "1 min " * LONG,
    "1e" * LONG, "1:" * LONG, "1/" * LONG, "a" + " " * LONG + "b", "a" * LONG, "a-" * LONG, "-" * LONG, "@" * LONG, "_1" * LONG,
]  # fmt: skip
TYPED = [
    "", "²", "٣", "-1", "0", "1e400", "1e400 ml", "1e-400 ml", "inf", "nan", "1/0 ml", "9" * 400, "9" * 5000, "1" * 1500 + " ml",
    "9" * 58 + " g", "0." + "0" * 50 + "1 ml", "0.000000001 ml", "9999999999 ml", "99999999999 ml", "9999999999 g",
    "1000000000 h", "50000000 min", "0.0000001 min", "9999999999 degC", "-273 degC", "0.000001 g/ml", "9999999999 g/ml",
    "9999999999", "0.000000001", "9999999999 %", "9999999999 mm", "0.000000001 mm", "1 min " * 2000, "1,1" * 2000, "`" * 3000,
    "gel-silicone-a=" + "9" * 5000 + " g", "gel-silicone-a=1e400 g", "gel-silicone-a=9999999999 g",
]  # fmt: skip
ASKED = [
    *(["mix", "cast/cheek", "base", f"--{name}"] for name in ("fill", "piece", "mold", "have", "poured", "castings", "room", "today")),
    *(["cavity", f"--{name}"] for name in ("clay", "water", "piece", "mesh")),
    ["cavity", "--piece=214 g", "--density"], ["cavity", "--water=200 g", "--temperature"],
    *(["gypsum", "--ratio=38", f"--{name}"] for name in ("fill", "powder", "demolded")),
    *(["gypsum", "--ratio=38", "--fill=1 l", f"--{name}"] for name in ("density", "water-density")),
    ["gypsum", "--fill=1 l", "--ratio"], ["cure", "--time=6 min", "--at=23 degC", "--room"],
    ["cure", "--at=23 degC", "--room=18 degC", "--time"], ["cure", "--time=6 min", "--room=18 degC", "--at"],
    ["cure", "--time=6 min", "--at=23 degC", "--second-at=30 degC", "--second"],
    ["curve", "--radius=90 mm", "--disc"], ["curve", "--radius=90 mm", "--band"], ["curve", "--disc=40 mm", "--radius"],
    ["curve", "--disc=40 mm", "--radius=90 mm", "--across"], ["curve", "--disc=40 mm", "--radius=90 mm", "--tolerance"],
    ["vapor", "cast/cheek", "--changes=3", "--room"], ["vapor", "cast/cheek", "--room=42 m3", "--changes"],
    ["vapor", "cast/cheek", "--room=42 m3", "--changes=3", "--minutes"],
]  # fmt: skip


@pytest.mark.parametrize("asked", thinned(ASKED, 3), ids=lambda words: f"{words[0]}{words[-1]}")
def test_a_nasty_number_ends_a_command_with_one_clear_message(
    asked: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    book = shutil.copytree(GOOD, tmp_path / "book") if asked[0] in ("mix", "vapor") else tmp_path
    monkeypatch.chdir(book)
    # The book stays the same; what is typed does not.
    monkeypatch.setattr(opening, "open_view", cache(open_view))
    for typed in TYPED:
        code = main([*asked[:-1], f"{asked[-1]}={typed}"])
        said = capsys.readouterr()
        assert code in (0, 1), (typed[:40], said.err[:300])
        assert len(said.err) < MOST_SAID, typed[:40]
        assert (code == 1) == (said.err.count("error: ") == 1), (typed[:40], said.err[:300])


@pytest.mark.parametrize("castings", ["²", "0", "-3", "1.5", "99999", "9" * 400, "9" * 5000, "٣"])
def test_a_count_of_castings_is_a_plain_number_a_bench_can_cast(
    castings: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mix", "cast/cheek", "base", f"--castings={castings}", "-C", str(GOOD)]) == 1
    assert "(out-of-range)" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["versions"], ["diff", "cast/cheek"], ["evidence"], ["about"], ["find"]])
@pytest.mark.parametrize("typed", ["²", "9" * 5000, "`" * 3000, "a" * 5000, "cast/cheek@" + "9" * 5000])
def test_a_name_without_end_is_answered_in_a_few_lines(
    words: list[str], typed: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(GOOD)
    main([*words, typed])
    assert len(capsys.readouterr().err) < 2 * MOST_SAID


@pytest.mark.parametrize(
    "words", [["-C", "a" * 5000, "check"], ["check", "--format", "a" * 5000], ["build", "--for", "a" * 5000]]
)
def test_an_option_without_end_is_answered_in_a_few_lines(
    words: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(GOOD)
    try:
        code = main(words)
    except SystemExit as ended:
        code = int(ended.code or 0)
    assert code in (1, 2)
    assert 0 < len(capsys.readouterr().err) < MOST_SAID


def test_reading_takes_as_long_as_a_text_is_long(tmp_path: Path) -> None:
    """Every place a run from a phone can put a text, in documents of 60,000 to 400,000 characters.

    The time limit is a guard alone: what takes the square of the length takes hours here, and the cube years.
    """
    texts = tmp_path / "sent.txt"
    texts.write_text("\n".join(SENT), encoding="utf-8")
    code = (
        "import sys; from pathlib import Path; from mothermold.book.document import read_document\n"
        "forms = ['id: {}\\nstarted: {}\\n', 'ambient: {{temperature: {}}}\\nrecipe: {}\\n', 'notes: {}\\n', '{}: x\\n', "
        "'{}\\n', 'title: x\\n{}\\n  {}\\n', 'weighed:\\n  - {{part: {}, reads: {}}}\\n', 'outcome: |\\n  {}\\n']\n"
        "for text in Path(sys.argv[1]).read_text(encoding='utf-8').split('\\n'):\n"
        "    for form in forms:\n"
        "        read_document('run', 'r-1', 'r-1.yaml', form.format(text, text).encode())\n"
        "print('read')"
    )
    tools = str(Path(mothermold.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-c", code, str(texts)], capture_output=True, text=True, timeout=300, check=False,
        env={**os.environ, "PYTHONPATH": tools},
    )  # fmt: skip
    assert done.stdout.strip() == "read", done.stderr[-500:]


@pytest.mark.parametrize("text", SENT)
def test_an_amount_of_any_length_is_too_long_at_once(text: str) -> None:
    with pytest.raises(QuantityError) as problem:
        parse(text, ("mass", "volume", "time"))
    assert problem.value.code == "too-long"


@pytest.mark.parametrize(
    ("text", "word"),
    [("10000000000.1 g", "more"), ("101 years", "more"), ("0.0000000001 g", "less"), ("0.0000000001-5 g", "less")],
)
def test_what_no_bench_holds_is_out_of_range(text: str, word: str) -> None:
    with pytest.raises(QuantityError, match=f"is {word} than any bench") as problem:
        parse(text, ("mass", "time"))
    assert problem.value.code == "out-of-range"


@pytest.mark.parametrize("text", ["10000000000 g", "100 years", "0 g", "0.000000001 g"])
def test_what_a_large_shop_holds_is_read(text: str) -> None:
    assert parse(text, ("mass", "time")).text == text


@pytest.mark.parametrize(
    ("kind", "text", "line"),
    [
        ("material", "title: {}\nfamilies: [x]\n", 1),
        ("run", "id: r-1\nstarted: {}\n", 2),
        ("run", "id: r-1\nstarted: 2026-01-01 10:00\nwho: [{}]\n", 3),
        ("recipe", "title: x\nstage: cast\nversion: {}\nstatus: draft\n", 3),
    ],
)
def test_a_value_without_end_is_told_at_its_line_in_a_few_words(kind: str, text: str, line: int) -> None:
    told = read_document(kind, "r-1", "x.yaml", text.format("7" * 25_000).encode()).notices
    assert [(each.code, each.line) for each in told if each.code in ("too-long", "unknown-key")] == [("too-long", line)]
    assert all(len(as_text(each)) < 600 for each in told)


def test_a_long_line_is_shown_around_the_column_and_the_mark_stands_below_it() -> None:
    line = "a" * 500 + "X" + "b" * 500
    shown, column = around(line, 501)
    assert column is not None
    assert (len(shown) <= 208, shown[column - 1]) == (True, "X")
    told = as_text(Notice("tab", "error", "So.", "Do.", "x.yaml", 7, 501, line)).split("\n")
    assert told[1][told[2].index("^")] == "X"
    assert around("short", 3) == ("short", 3)
    assert around(line, None)[0].startswith("aaa")
    assert around(line, 1001)[0].endswith("bbb")
