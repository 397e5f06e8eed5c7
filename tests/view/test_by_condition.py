"""A failure's runs by room, mold, lot and hands: counts, with what nobody noted in a row of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from mothermold.answers.evidence import CAUTIONS, weigh_evidence
from mothermold.pages.documents import document_page
from mothermold.view.view import open_view
from view.evidence_books import note, recipe, run, written


def told(tmp_path: Path, *files: dict[str, str], edition: str = "private") -> list[tuple[str, str, int, int]]:
    root = written(tmp_path, recipe("cast/cheek", 1), note(noticed=["cast/cheek#open"]), *files)
    data = weigh_evidence(open_view(root, edition), "air").data  # type: ignore[arg-type]
    return [(each["what"], each["value"], each["failed"], each["runs"]) for each in data["by_condition"]]


def one(number: int, more: str, *, failed: bool = False, **rest: Any) -> dict[str, str]:
    return run(f"r-{number}", "cast/cheek@1", went=["air"] if failed else [], more=more, **rest)


@pytest.mark.parametrize(
    ("room", "band"),
    [
        ("17.9 degC", "below 18 degC"), ("18 degC", "18 to below 21 degC"), ("20.99 degC", "18 to below 21 degC"),
        ("21 degC", "21 to 25 degC"), ("25 degC", "21 to 25 degC"), ("25.1 degC", "above 25 degC"),
        ("77 degF", "21 to 25 degC"), ("-3 degC", "below 18 degC"),
    ],
)  # fmt: skip
def test_each_room_belongs_to_one_band(room: str, band: str, tmp_path: Path) -> None:
    rows = told(tmp_path, one(1, f"conditions: {{room: {room}}}\n"))
    assert [row for row in rows if row[0] == "room"] == [("room", band, 0, 1)]


def test_every_condition_counts_its_runs_and_what_nobody_noted_is_a_row(tmp_path: Path) -> None:
    rows = told(
        tmp_path,
        one(1, "conditions: {room: 28 degC}\nwho: [R1, R2]\n", failed=True),
        one(2, "conditions: {room: 27 degC}\nwho: [R1]\n", failed=True),
        one(3, "conditions: {room: 22 degC}\nwho: [R1]\n"),
        one(4, "", failed=True),
        # Neither first pulls nor tests, nor what is under way, count here or anywhere.
        one(5, "conditions: {room: 10 degC}\n", kind="test"),
        one(6, "conditions: {room: 10 degC}\n", outcome=""),
    )
    assert rows == [
        ("room", "21 to 25 degC", 0, 1),
        ("room", "above 25 degC", 2, 2),
        ("room", "not noted", 1, 1),
        ("mold", "not noted", 3, 4),
        ("lot", "not noted", 3, 4),
        ("hands", "1 person", 1, 2),
        ("hands", "2 people", 1, 1),
        ("hands", "not noted", 1, 1),
    ]


def test_a_run_with_two_lots_stands_with_both(tmp_path: Path) -> None:
    gel = {"recipes/materials/gel.yaml": "title: Gel\nfamilies: [platinum-silicone]\n"}
    rows = told(
        tmp_path,
        gel,
        one(1, "lots: [{material: gel, lot: A1}, {material: gel, lot: A2}]\n", failed=True),
        one(2, "lots: [{material: gel, lot: A1}]\n"),
    )
    assert [row for row in rows if row[0] == "lot"] == [("lot", "gel A1", 1, 2), ("lot", "gel A2", 1, 1)]


def test_an_edition_counts_only_the_runs_it_holds_and_names_no_mold_it_does_not(tmp_path: Path) -> None:
    public = {"visibility": "public"}
    root = written(
        tmp_path,
        recipe("cast/cheek", 1, **public),  # type: ignore[arg-type]
        note(noticed=["cast/cheek#open"], **public),
        {"recipes/molds/hidden.yaml": "title: Hidden\nmade: unknown\n"},
        run("r-1", "cast/cheek@1", mold="hidden", **public),
        run("r-2", "cast/cheek@1", mold="hidden", went=["air"]),
    )
    data = weigh_evidence(open_view(root, "public"), "air").data
    assert "hidden" not in str(data)
    assert [row for row in data["by_condition"] if row["what"] == "mold"] in (
        [],
        [{"what": "mold", "value": "not noted", "failed": 0, "runs": 1}],
    )
    assert (
        len(
            [
                row
                for row in weigh_evidence(open_view(root, "private"), "air").data["by_condition"]
                if row["value"] == "hidden"
            ]
        )
        == 1
    )


def test_the_counts_stand_with_the_cautions_of_a_verdict_in_answer_and_page(tmp_path: Path) -> None:
    root = written(
        tmp_path,
        recipe("cast/cheek", 1),
        note(noticed=["cast/cheek#open"]),
        one(1, "conditions: {room: 28 degC}\n", failed=True),
    )
    view = open_view(root, "private")
    assert weigh_evidence(view, "air").data["cautions"] == list(CAUTIONS)
    body = document_page(view, "failure", "air").body
    assert "By room, mold, lot and hands" in body
    assert "above 25 °C" in body
    assert all(each in body for each in CAUTIONS)


def test_hands_stand_by_their_number_and_molds_by_their_name(tmp_path: Path) -> None:
    def hands(number: int) -> str:
        return f"who: [{', '.join(f'R{each}' for each in range(number))}]\n"

    rows = told(tmp_path, one(1, hands(10), mold="b"), one(2, hands(2), mold="aa"))
    assert [row[1] for row in rows if row[0] == "hands"] == ["2 people", "10 people"]
    assert [row[1] for row in rows if row[0] == "mold"] == ["aa", "b"]
