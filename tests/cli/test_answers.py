"""The shape of every answer is promised: the keys, the exit code, and nulls where something asked for is not there."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from mothermold.cli.main import main

GOOD = Path(__file__).parents[1] / "data" / "good"
NOTICE = ["code", "severity", "file", "line", "column", "message", "help"]
KEYS = {
    "check": ["notices", "errors", "warnings"],
    "versions": ["recipe", "current", "versions", "notices"],
    "diff": ["recipe", "from", "to", "changes", "at_ml", "consequences", "reasons", "evidence", "notices"],
    "changes": ["since", "recipes", "failures", "notices"],
    "plan": ["build", "start", "end", "makespan_h", "tasks", "late", "notices"],
    "mix": ["recipe", "version", "mix", "fill_ml", "total_g", "total_ml", "parts", "readings", "notices"],
    "export": ["edition", "title", "documents", "versions", "notices"],
    "gypsum": ["ratio", "powder_g", "water_g", "slurry_ml", "wet_density_g_ml", "free_water_g", "dry_g", "dry_density_g_ml",
               "loss_percent", "heat_rise_k", "demolded_g", "dry_target_g", "cautions", "notices"],
    "cure": ["time_min", "stated_at_deg_c", "room_deg_c", "short_min", "usual_min", "long_min", "q10", "cautions", "notices"],
    "curve": ["shape", "surface", "radius_mm", "off_percent", "about_percent", "wrinkle_mm", "tolerance_percent",
              "largest_across_mm", "cautions", "notices"],
    "about": ["code", "severity", "title", "why", "wrong", "right", "notices"],
}  # fmt: skip


Ask = Any


@pytest.fixture
def ask(sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]) -> Ask:
    def asking(*words: str, book: Path = sample_book) -> tuple[int, dict[str, Any]]:
        capsys.readouterr()
        status = main(["-C", str(book), *words, "--format", "json"])
        return status, json.loads(capsys.readouterr().out)

    return asking


ASKED = [
    ("check",),
    ("versions", "cast/face-piece"),
    ("diff", "cast/face-piece"),
    ("changes", "--since", "2026-10-01"),
    ("plan", "saltpan-keeper", "--today", "2026-06-20"),
    ("mix", "cast/face-piece", "base"),
    ("gypsum", "--fill", "2.5 l", "--ratio", "38"),
    ("cure", "--time", "6 min", "--at", "23 degC", "--room", "18 degC"),
    ("curve", "--disc", "60 mm", "--radius", "90 mm"),
    ("export",),
    ("about", "unknown-key"),
]


@pytest.mark.parametrize("words", ASKED, ids=[words[0] for words in ASKED])
def test_an_answer_has_the_promised_keys_and_ends_with_0(words: tuple[str, ...], ask: Ask) -> None:
    status, answer = ask(*words)
    assert status == 0
    assert set(KEYS[words[0]]) <= set(answer)
    assert answer["notices"] == []


REFUSED = [
    ("versions", "cast/nobody"),
    ("versions", "cast/face-piec"),
    ("diff", "cast/nobody"),
    ("diff", "cast/face-piece", "1", "77"),
    ("diff", "cast/face-piece", "1", "yesterday"),
    ("changes", "--since", "last-term"),
    ("changes", "--since", "2026-02-30"),
    ("plan", "saltpan-keepr"),
    ("mix", "cast/nobody"),
    ("mix", "cast/face-piece"),
    ("mix", "cast/face-piece", "bases"),
    ("mix", "cast/face-piece@77", "base"),
    ("mix", "cast/face-piece", "base", "--fill", "lots"),
    ("mix", "cast/face-piece", "base", "--fill", "0 ml"),
    ("mix", "cast/face-piece", "base", "--fill", "8 fl oz"),
    ("mix", "cast/face-piece", "base", "--fill", "10 ml", "--piece", "20 g"),
    ("mix", "cast/face-piece", "base", "--mold", "nobody"),
    ("mix", "cast/face-piece", "base", "--have", "60 g"),
    ("mix", "cast/face-piece", "base", "--have", "nothing=60 g"),
    ("mix", "cast/face-piece", "base", "--clay", "60 g"),
    ("mix", "cast/face-piece", "base", "--castings", "0"),
    ("about", "unknwon-key"),
    ("export", "--for", "everybody"),
]


@pytest.mark.parametrize("words", REFUSED, ids=[" ".join(words) for words in REFUSED])
def test_what_cannot_be_answered_gives_nulls_one_notice_and_1(words: tuple[str, ...], ask: Ask) -> None:
    status, answer = ask(*words)
    assert status == 1
    assert set(KEYS[words[0]]) <= set(answer)
    assert all(value in (None, []) for key, value in answer.items() if key != "notices")
    (notice,) = answer["notices"]
    assert list(notice) == NOTICE
    assert notice["severity"] == "error"
    assert notice["help"].endswith((".", "?"))


def test_the_near_name_is_offered(ask: Ask) -> None:
    _status, answer = ask("versions", "cast/face-piec")
    assert "`cast/face-piece`" in answer["notices"][0]["help"]


def test_the_book_may_be_named_before_or_after_the_command(
    sample_book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(sample_book), "versions", "cast/face-piece"]) == 0
    before = capsys.readouterr().out
    assert main(["versions", "cast/face-piece", "-C", str(sample_book / "recipes" / "cast")]) == 0
    assert capsys.readouterr().out == before


def test_without_a_book_nothing_runs_and_only_stderr_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(tmp_path), "check", "--format", "json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "No book here" in err
    assert "mothermold init" in err


def test_a_wrong_option_ends_with_2(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["check", "--loudly"])
    assert end.value.code == 2
    assert "--help" in capsys.readouterr().err


def test_check_ends_with_1_only_for_errors(tmp_path: Path, ask: Ask) -> None:
    book = tmp_path / "book"
    shutil.copytree(GOOD, book)
    status, answer = ask("check", book=book)
    assert (status, answer["errors"], answer["warnings"]) == (0, 0, 0)
    (book / "recipes/materials/odd.yaml").write_text("title: Odd\nfamilies: never-heard-of-it\n")
    status, answer = ask("check", book=book)
    assert (status, answer["errors"], answer["warnings"]) == (0, 0, 1)
    (book / "recipes/materials/odd.yaml").write_text("titel: Odd\nfamilies: water\n")
    status, answer = ask("check", book=book)
    assert (status, answer["errors"], answer["warnings"]) == (1, 1, 0)
    assert list(answer["notices"][-1]) == NOTICE


def test_a_broken_file_elsewhere_hinders_no_other_answer(tmp_path: Path, ask: Ask) -> None:
    book = tmp_path / "book"
    shutil.copytree(GOOD, book)
    (book / "recipes/cast/chin.yaml").write_text("title: [unclosed\n")
    status, answer = ask("versions", "cast/cheek", book=book)
    assert status == 0
    assert "recipes/cast/chin.yaml" not in [notice["file"] for notice in answer["notices"]]
    status, answer = ask("versions", "cast/chin", book=book)
    assert status == 1
    assert answer["notices"][0]["file"] == "recipes/cast/chin.yaml"


def test_a_batch_sheet_is_what_the_formula_says(ask: Ask) -> None:
    _status, answer = ask("mix", "cast/face-piece@4", "base", "--fill", "185 ml", "--castings", "2")
    assert answer["fill_ml"] == 370
    weighed = [part["weigh"] for part in answer["parts"]]
    reads = [part["scale_reads"] for part in answer["parts"]]
    assert reads == pytest.approx([sum(weighed[: n + 1]) for n in range(len(weighed))])
    assert sum(part["grams"] for part in answer["parts"]) == pytest.approx(answer["total_g"], rel=1e-12)
    assert sum(part["percent_of_total"] for part in answer["parts"]) == pytest.approx(100)


def test_one_poured_part_scales_the_rest_and_several_are_read_back(ask: Ask) -> None:
    _status, scaled = ask("mix", "cast/face-piece@4", "base", "--poured", "softened-a=150 g")
    first, *others = scaled["parts"]
    assert first["grams"] == 150
    assert others[0]["grams"] > 60
    status, mixed = ask(
        "mix", "cast/face-piece@4", "base", "--poured", "softened-a=150 g", "--poured", "gel-silicone-b=60 g"
    )
    assert status == 0
    assert [part["grams"] for part in mixed["parts"]] == [150, 60]
    assert mixed["parts"][1]["off_percent"] < 0
    assert {each["part"] for each in mixed["readings"]} == {each["part"] for each in scaled["readings"]}
    assert all(each["recipe_percent"] is not None for each in mixed["readings"])


def test_text_says_the_same_to_people(sample_book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(sample_book), "diff", "cast/face-piece", "3", "4"]) == 0
    out = capsys.readouterr().out
    assert "coats 5 → 8" in out
    assert "Why version 4:" in out
    assert main(["-C", str(sample_book), "mix", "cast/face-piece", "base"]) == 0
    out = capsys.readouterr().out
    assert "scale reads" in out
    assert "% of the total" in out
