"""What goes out of a document with a name that an edition does not hold: no more than cannot do without it."""

from __future__ import annotations

from typing import Any

import pytest

from mothermold.book.document import read_document
from mothermold.view.editions import collect

RUN = "id: r-1\nkind: {kind}\nrecipe: cast/cheek@1\nstarted: 2026-03-02 09:00\n{more}"


def left(more: str, hidden: str, kind: str = "run") -> dict[str, Any]:
    text = RUN.format(kind=kind, more=more)
    document = read_document("run", "r-1", "recipes/runs/r-1.yaml", text.encode())
    assert document.model is not None
    shown = collect(document, lambda _path, value: str(value) == hidden)
    assert shown is not None
    assert shown.model is not None
    return {key: value for key, value in shown.said.items() if key not in ("id", "kind", "recipe", "started")}


@pytest.mark.parametrize(
    ("wrong", "stays"),
    [
        ("{failure: air}", {"went_wrong": []}),
        ("{failure: air, what: A bubble.}", {"went_wrong": [{"what": "A bubble."}]}),
        ("{failure: tear}, {failure: air}", {"went_wrong": [{"failure": "tear"}]}),
        ("{failure: air, step: fill}", {"went_wrong": []}),
        ("{failure: tear, step: air}", {"went_wrong": [{"failure": "tear"}]}),
    ],
)
def test_an_entry_goes_with_the_only_thing_that_said_what_went_wrong(wrong: str, stays: dict[str, Any]) -> None:
    assert left(f"went_wrong: [{wrong}]\n", "air") == stays


@pytest.mark.parametrize(
    ("part", "stays"),
    [
        ("{material: gel, weighed: 3 g}", []),
        ("{mix: base, weighed: 3 g}", [{"mix": "base", "weighed": "3 g"}]),
        ("{material: dye, weighed: 3 g}, {material: gel, weighed: 1 g}", [{"material": "dye", "weighed": "3 g"}]),
    ],
)
def test_a_part_of_a_cup_goes_with_what_it_was_of(part: str, stays: list[Any]) -> None:
    (cup,) = left(f"cups: [{{parts: [{part}], result: passed}}]\n", "gel", kind="test")["cups"]
    assert cup.get("parts", []) == stays


def test_what_can_do_without_keeps_the_rest() -> None:
    told = "took: [{step: gone, hands_on: 5 min}, {step: fill, hands_on: 6 min}]\n"
    assert left(told, "gone") == {"took": [{"step": "fill", "hands_on": "6 min"}]}
    assert left("mold: shell\noutcome: good\n", "shell") == {"outcome": "good"}
