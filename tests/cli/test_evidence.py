"""The command evidence: its shape, its numbers worked out another way, its sentence, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from mothermold.cli.main import main
from view.evidence_books import mold, newcombe, note, p_fewer, recipe, run, runs, saved, settled_after, wilson, written

ANSWER = {"failure", "by_version", "fixes", "notices"}
VERSION = {"recipe", "version", "runs", "failed", "rate", "low", "high"}
FIX = {
    "recipe", "version", "before", "after", "p_one_sided", "difference", "low", "high", "verdict", "clean_runs_to_settle",
}  # fmt: skip
VERDICTS = {"too few runs", "worse", "held", "likely", "no better"}
NOTICE = {"code", "severity", "file", "line", "column", "message", "help"}
CHEEK, SHELL = "cast/cheek", "mold/shell"
AT_CHEEK = f"{CHEEK}#open"


def asked(book: Path, capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> dict[str, Any]:
    capsys.readouterr()
    assert main(["-C", str(book), *words, "--format", "json"]) == code
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def said(book: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    assert main(["-C", str(book), *words]) == 0
    return " ".join(capsys.readouterr().out.split())


def cheeks(folder: Path, before: tuple[int, int], after: tuple[int, int]) -> Path:
    """A book in which version 2 is to fix the failure: failed and runs before and after."""
    old = runs("old", f"{CHEEK}@1", before[0], before[1] - before[0])
    new = runs("new", f"{CHEEK}@2", after[0], after[1] - after[0])
    return written(folder, recipe(CHEEK, 2, fixes=["air"]), note(noticed=[AT_CHEEK]), old, new)


# JSON


def test_the_answer_has_the_promised_keys_and_types(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answer = asked(cheeks(tmp_path, (2, 4), (0, 4)), capsys, "evidence", "air")
    assert answer.keys() >= ANSWER
    assert answer["failure"] == "air"
    assert len(answer["by_version"]) == 2
    for row in answer["by_version"]:
        assert row.keys() >= VERSION
        assert type(row["recipe"]) is str
        assert [type(row[key]) for key in ("version", "runs", "failed")] == [int, int, int]
        assert [type(row[key]) for key in ("rate", "low", "high")] == [float, float, float]
    (fix,) = answer["fixes"]
    assert fix.keys() >= FIX
    assert (fix["recipe"], fix["version"], fix["before"], fix["after"]) == (CHEEK, 2, [2, 4], [0, 4])
    assert [type(fix[key]) for key in ("p_one_sided", "difference", "low", "high")] == [float] * 4
    assert fix["verdict"] in VERDICTS
    assert type(fix["clean_runs_to_settle"]) is int
    assert all(notice.keys() >= NOTICE for notice in answer["notices"])


TABLES = [
    ((2, 4), (0, 4)), ((1, 6), (4, 5)), ((4, 4), (0, 4)), ((2, 4), (0, 12)), ((3, 4), (0, 3)), ((4, 6), (4, 6)),
    ((0, 4), (4, 4)), ((1, 11), (0, 8)), ((7, 9), (3, 14)), ((5, 5), (5, 5)), ((1, 1), (0, 1)),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after"), TABLES)
def test_rates_intervals_and_p_are_those_reckoned_another_way(
    before: tuple[int, int], after: tuple[int, int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = asked(cheeks(tmp_path, before, after), capsys, "evidence", "air")
    rows = {row["version"]: row for row in answer["by_version"]}
    for version, (failed, number) in ((1, before), (2, after)):
        low, high = wilson(failed, number)
        assert (rows[version]["failed"], rows[version]["runs"]) == (failed, number)
        assert rows[version]["rate"] == pytest.approx(failed / number, abs=1e-12)
        assert (rows[version]["low"], rows[version]["high"]) == (
            pytest.approx(low, abs=1e-9), pytest.approx(high, abs=1e-9),
        )  # fmt: skip
        assert 0 <= rows[version]["low"] <= rows[version]["rate"] <= rows[version]["high"] <= 1
    (fix,) = answer["fixes"]
    difference, low, high = newcombe(before, after)
    assert fix["p_one_sided"] == float(p_fewer(before, after))
    assert fix["difference"] == pytest.approx(difference, abs=1e-12)
    assert (fix["low"], fix["high"]) == (pytest.approx(low, abs=1e-9), pytest.approx(high, abs=1e-9))
    assert fix["clean_runs_to_settle"] == settled_after(before, after)


def test_published_figures_of_both_intervals_come_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # Newcombe 1998, Statistics in Medicine 17:873, table II, method 10: 9/10 against 3/10 gives 0.1705 to 0.8090.
    (fix,) = asked(cheeks(tmp_path, (3, 10), (9, 10)), capsys, "evidence", "air")["fixes"]
    assert (round(fix["low"], 4), round(fix["high"], 4)) == (0.1705, 0.8090)


@pytest.mark.parametrize(("before", "after"), [((2, 4), (0, 0)), ((0, 0), (0, 3)), ((0, 0), (0, 0))])
def test_where_one_side_has_no_run_there_is_no_difference_to_tell(
    before: tuple[int, int], after: tuple[int, int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (fix,) = asked(cheeks(tmp_path, before, after), capsys, "evidence", "air")["fixes"]
    assert (fix["before"], fix["after"]) == (list(before), list(after))
    assert (fix["difference"], fix["low"], fix["high"]) == (None, None, None)
    assert fix["p_one_sided"] in (None, 1.0)
    assert fix["verdict"] == "too few runs"


def test_runs_of_unknown_origin_are_counted_in_a_notice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = written(
        tmp_path, recipe(SHELL, 2, fixes=["air"]), recipe(CHEEK, 1), note(noticed=[AT_CHEEK]),
        run("shell-2", f"{SHELL}@2"), mold("known", "shell-2"), mold("dark", "unknown"),
        runs("a", f"{CHEEK}@1", 1, 6, mold="known"), runs("b", f"{CHEEK}@1", 2, 1, mold="dark"),
    )  # fmt: skip
    answer = asked(book, capsys, "evidence", "air")
    (fix,) = answer["fixes"]
    assert (fix["before"], fix["after"]) == ([0, 0], [1, 7])
    told = [each["message"] for each in answer["notices"] if "3" in each["message"] or "hree" in each["message"]]
    assert len(told) == 1
    assert told[0] in said(book, capsys, "evidence", "air")


def test_a_book_where_every_origin_is_known_has_no_notice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1), note(noticed=[AT_CHEEK], fixed_in=[f"{CHEEK}@2"])],
        [recipe(CHEEK, 2, fixes=["air"]), runs("old", f"{CHEEK}@1", 2, 2), runs("new", f"{CHEEK}@2", 0, 4)],
    )
    assert asked(book, capsys, "evidence", "air")["notices"] == []


def test_a_failure_nobody_fixed_or_met_is_answered_with_empty_lists(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = written(tmp_path, recipe(CHEEK, 1), note(noticed=[AT_CHEEK]))
    answer = asked(book, capsys, "evidence", "air")
    assert (answer["failure"], answer["fixes"]) == ("air", [])
    assert all(row["runs"] == 0 for row in answer["by_version"])
    assert said(book, capsys, "evidence", "air")


def test_an_edition_counts_only_what_it_holds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = written(
        tmp_path, recipe(CHEEK, 2, fixes=["air"], visibility="public"), note(visibility="public"),
        runs("old", f"{CHEEK}@1", 2, 0, visibility="public"), runs("hidden", f"{CHEEK}@1", 3, 3),
        runs("new", f"{CHEEK}@2", 0, 1, visibility="class"),
    )  # fmt: skip
    counts = {
        edition: [
            (fix["before"], fix["after"]) for fix in asked(book, capsys, "evidence", "air", "--for", edition)["fixes"]
        ]
        for edition in ("private", "class", "public")
    }
    assert counts == {"private": [([5, 8], [0, 1])], "class": [([2, 2], [0, 1])], "public": [([2, 2], [0, 0])]}


# Refusals


def test_an_unknown_failure_gives_nulls_and_the_near_name_and_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = written(tmp_path, recipe(CHEEK, 1), note("air-at-cheek"))
    answer = asked(book, capsys, "evidence", "air-at-chek", code=1)
    assert answer.keys() >= ANSWER
    assert all(value in (None, []) for key, value in answer.items() if key != "notices")
    assert (answer["failure"], answer["by_version"], answer["fixes"]) == (None, [], [])
    (notice,) = answer["notices"]
    assert notice.keys() >= NOTICE
    assert notice["severity"] == "error"
    assert "air-at-cheek" in notice["help"]


def test_a_failure_another_edition_holds_is_as_unknown_as_any_and_is_not_offered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = recipe(CHEEK, 2, fixes=["air-at-cheek"], visibility="public"), note("air-at-cheek")
    book = written(tmp_path, *shown, runs("a", f"{CHEEK}@1", 0, 1, visibility="public"))
    for asked_for in ("air-at-cheek", "air-at-chek"):
        answer = asked(book, capsys, "evidence", asked_for, "--for", "public", code=1)
        assert (answer["failure"], answer["by_version"], answer["fixes"]) == (None, [], [])
        assert "air-at-cheek" not in answer["notices"][0]["help"]


def test_an_unrelated_broken_file_changes_no_answer_and_no_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = cheeks(tmp_path, (2, 4), (0, 4))
    before = asked(book, capsys, "evidence", "air")
    for place in ("runs/bad", "molds/bad", "failures/bad", "cast/bad"):
        path = book / f"recipes/{place}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("title: [\n", encoding="utf-8")
    after = asked(book, capsys, "evidence", "air")
    assert (after["by_version"], after["fixes"]) == (before["by_version"], before["fixes"])


def test_a_note_that_cannot_be_read_ends_without_a_traceback_and_keeps_the_shape(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = cheeks(tmp_path, (2, 4), (0, 4))
    (book / "recipes/failures/air.yaml").write_text("title: [\n", encoding="utf-8")
    assert main(["-C", str(book), "evidence", "air", "--format", "json"]) in (0, 1)
    answer = json.loads(capsys.readouterr().out)
    assert answer.keys() >= ANSWER
    assert "recipes/failures/air.yaml" in [notice["file"] for notice in answer["notices"]]


def test_without_a_name_it_cannot_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["-C", str(cheeks(tmp_path, (0, 0), (0, 0))), "evidence"])
    assert end.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err


# Words


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ((2, 4), (0, 4), "2 of 4 before, none of 4 since; 8 more clean runs would settle it"),
        ((2, 4), (0, 11), "2 of 4 before, none of 11 since; 1 more clean run would settle it"),
        ((4, 6), (4, 6), "4 of 6 before, 4 of 6 since; 15 more clean runs would settle it"),
    ],
)
def test_people_read_counts_and_what_would_settle_it(
    before: tuple[int, int], after: tuple[int, int], sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sentence in said(cheeks(tmp_path, before, after), capsys, "evidence", "air")


@pytest.mark.parametrize(
    ("before", "after", "counts", "verdict"),
    [
        ((4, 4), (0, 4), "4 of 4 before, none of 4 since", "held"),
        ((0, 4), (2, 4), "none of 4 before, 2 of 4 since", "too few runs"),
        ((1, 6), (5, 5), "1 of 6 before, 5 of 5 since", "worse"),
    ],
)
def test_where_nothing_is_left_to_settle_no_clean_runs_are_asked_for(
    before: tuple[int, int],
    after: tuple[int, int],
    counts: str,
    verdict: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    book = cheeks(tmp_path, before, after)
    told = said(book, capsys, "evidence", "air")
    assert counts in told
    assert "would settle" not in told
    (fix,) = asked(book, capsys, "evidence", "air")["fixes"]
    assert (fix["verdict"], fix["clean_runs_to_settle"] or None) == (verdict, None)


def test_text_carries_every_caution_and_a_refusal_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = cheeks(tmp_path, (2, 4), (0, 4))
    cautions = asked(book, capsys, "evidence", "air")["cautions"]
    assert cautions
    told = said(book, capsys, "evidence", "air")
    assert [each for each in cautions if each not in told] == []
    assert asked(book, capsys, "evidence", "nothing-like-it", code=1)["cautions"] == []


def test_where_a_failure_begins_the_changes_of_that_version_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = saved(
        tmp_path,
        [recipe(CHEEK, 3), note(noticed=[AT_CHEEK])],
        [recipe(CHEEK, 4)],
        [
            recipe(CHEEK, 5),
            runs("v3", f"{CHEEK}@3", 0, 2),
            runs("v4", f"{CHEEK}@4", 1, 2),
            runs("v5", f"{CHEEK}@5", 1, 0),
        ],
    )
    told = said(book, capsys, "evidence", "air")
    assert "3 min → 4 min" in told
    assert "4 min → 5 min" not in told


def test_it_begins_at_a_version_that_was_run_with_all_changes_since_the_last_clean_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Nobody ran version 4: what changed there is as much a suspect as what changed in version 5.
    unhurried = {
        path: text.replace("title: Open\n", "title: Open\n    wait: 2 h\n") for path, text in recipe(CHEEK, 4).items()
    }
    again = {
        path: text.replace("title: Open\n", "title: Open\n    wait: 2 h\n") for path, text in recipe(CHEEK, 5).items()
    }
    book = saved(
        tmp_path,
        [recipe(CHEEK, 3), note(noticed=[AT_CHEEK])],
        [unhurried],
        [again, runs("v3", f"{CHEEK}@3", 0, 2), runs("v5", f"{CHEEK}@5", 1, 2)],
    )
    told = said(book, capsys, "evidence", "air")
    assert "3 min → 5 min" in told or ("3 min → 4 min" in told and "4 min → 5 min" in told)
    assert "2 h" in told


# In a difference


def test_a_difference_carries_the_rows_of_the_fixes_of_the_versions_crossed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = run("shell", f"{SHELL}@2"), mold("one", "shell")
    book = saved(
        tmp_path,
        [recipe(CHEEK, 1, fixes=["tear"]), recipe(SHELL, 1), note(noticed=[AT_CHEEK]), note("tear")],
        [recipe(CHEEK, 2, fixes=["air"]), recipe(SHELL, 2, fixes=["air"])],
        [recipe(CHEEK, 3, fixes=["air", "tear"])],
        [recipe(CHEEK, 4)],
        [
            *shell, runs("v1", f"{CHEEK}@1", 2, 2, mold="one"), runs("v2", f"{CHEEK}@2", 1, 3, mold="one"),
            runs("v3", f"{CHEEK}@3", 0, 5, mold="one"), runs("v4", f"{CHEEK}@4", 0, 1, mold="one"),
        ],
    )  # fmt: skip
    air = {row["version"]: row for row in asked(book, capsys, "evidence", "air")["fixes"] if row["recipe"] == CHEEK}
    (tear,) = (row for row in asked(book, capsys, "evidence", "tear")["fixes"] if row["version"] == 3)
    assert [(air[n]["before"], air[n]["after"]) for n in (2, 3)] == [([2, 4], [1, 4]), ([1, 4], [0, 6])]
    assert (tear["before"], tear["after"]) == ([0, 8], [0, 6])

    def crossed(*numbers: str) -> list[tuple[Any, ...]]:
        rows = asked(book, capsys, "diff", CHEEK, *numbers)["evidence"]
        return sorted(tuple(json.dumps(row[key]) for key in sorted(FIX)) for row in rows)

    def expected(*rows: dict[str, Any]) -> list[tuple[Any, ...]]:
        return sorted(tuple(json.dumps(row[key]) for key in sorted(FIX)) for row in rows)

    assert crossed("1", "2") == expected(air[2])
    assert crossed("2", "3") == expected(air[3], tear)
    assert crossed("1", "3") == expected(air[2], air[3], tear)
    assert crossed("3", "1") == expected(air[2], air[3], tear)
    assert crossed("1", "4") == expected(air[2], air[3], tear)
    assert crossed("3", "4") == []
    assert crossed() == []
