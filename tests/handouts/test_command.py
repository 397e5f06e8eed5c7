"""The command: what it writes where, what it says of it, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handouts.reading import reader
from mothermold.cli.main import main


def ask(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["handout", *words])
    said = capsys.readouterr()
    return code, said.out, said.err


@pytest.fixture(autouse=True)
def in_the_book(own_sample_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(own_sample_book)


def test_it_writes_the_usual_sheet_and_says_where(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _err = ask(capsys, "cast/face-piece")
    assert code == 0
    assert out.startswith(
        "Student sheet of cast/face-piece@4, 5 pages of A4: handouts/private/cast-face-piece-v4-student-a4.pdf\n"
    )
    assert "--for class" in out
    assert len(reader(Path("handouts/private/cast-face-piece-v4-student-a4.pdf").read_bytes()).pages) == 5


def test_its_json_says_of_what_which_kind_paper_edition_file_and_pages(capsys: pytest.CaptureFixture[str]) -> None:
    words = (
        "saltpan-keeper",
        "--kind",
        "look",
        "--paper",
        "letter",
        "--for",
        "class",
        "--out",
        "look.pdf",
        "--format",
        "json",
    )
    code, out, _err = ask(capsys, *words)
    told = json.loads(out)
    assert code == 0
    assert {key: told[key] for key in list(told)[:6]} == {
        "of": "saltpan-keeper", "kind": "look", "paper": "letter", "edition": "class", "file": "look.pdf", "pages": 1,
    }  # fmt: skip
    assert list(told)[6:] == ["notices"]
    assert "class edition" in reader(Path("look.pdf").read_bytes()).pages[0].extract_text()


def test_an_earlier_handout_is_replaced_and_nothing_else_is(capsys: pytest.CaptureFixture[str]) -> None:
    Path("mine.pdf").write_bytes(b"%PDF-1.7 mine")
    assert ask(capsys, "cast/face-piece", "--out", "mine.pdf")[0] == 1
    assert Path("mine.pdf").read_bytes() == b"%PDF-1.7 mine"
    assert ask(capsys, "cast/face-piece", "--out", "sheet.pdf")[0] == 0
    before = Path("sheet.pdf").read_bytes()
    assert ask(capsys, "cast/nose-piece", "--out", "sheet.pdf")[0] == 0
    assert Path("sheet.pdf").read_bytes() != before


def test_a_folder_to_write_to_gets_the_usual_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert ask(capsys, "cast/face-piece", "--kind", "bench", "--out", "prints/")[0] == 0
    assert [path.name for path in Path("prints").iterdir()] == ["cast-face-piece-v4-bench-a4.pdf"]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("cast/face-pice",), "unknown-recipe"),
        (("builds/nobody",), "unknown-recipe"),
        (("cast/face-piece@99",), "version-missing"),
        (("cast/face-piece", "--kind", "labels"), "unknown-handout"),
        (("cast/face-piece", "--out", "recipes/book.yaml"), "wrong-suffix"),
        (("saltpan-keeper", "--fill", "20 ml"), "not-a-recipe"),
        (("cast/face-piece", "--mold", "face-mold-1"), "mold-out-of-use"),
        (("removal/full-face", "--fill", "20 ml"), "which-mix"),
        (("saltpan-keeper", "--kind", "emergency", "--for", "public"), "not-for-the-public"),
        (("saltpan-keeper", "--kind", "labels", "--used", "some"), "out-of-range"),
    ],
)
def test_what_cannot_be_made_is_refused_with_what_to_type_and_leaves_no_file(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: str
) -> None:
    status, out, err = ask(capsys, *words)
    assert (status, out) == (1, "")
    assert f"({code})" in err
    assert not Path("handouts").exists()


def test_on_a_refusal_the_json_has_the_same_keys(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _err = ask(capsys, "nothing", "--format", "json")
    told = json.loads(out)
    assert status == 1
    assert [told[key] for key in ("of", "kind", "paper", "edition", "file", "pages")] == [None] * 6
    assert told["notices"][0]["code"] == "unknown-recipe"


def test_a_name_shared_by_a_course_and_a_build_asks_which(capsys: pytest.CaptureFixture[str]) -> None:
    course = Path("recipes/courses/silicone-pieces-autumn-2026.yaml")
    course.with_name("saltpan-keeper.yaml").write_text("title: Taught\npins: [cast/face-piece@4]\n", encoding="utf-8")
    assert "(two-of-a-name)" in ask(capsys, "saltpan-keeper")[2]
    assert ask(capsys, "builds/saltpan-keeper")[1].startswith("Look sheet")
    assert ask(capsys, "courses/saltpan-keeper")[1].startswith("Student sheet")
