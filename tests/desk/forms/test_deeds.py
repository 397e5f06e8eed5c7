"""The buttons of a form change what was typed and nothing else."""

from __future__ import annotations

import pytest

from mothermold.desk.forms.deeds import FormDeed, after, begun_with, deed_of
from mothermold.desk.forms.trees import Pairs
from mothermold.model.walk import KeyPath

TYPED: Pairs = [
    (("title",), "A"), (("steps",), ""), (("steps",), "0"), (("steps",), "2"), (("steps",), "+4"),
    (("steps", 0, "title"), "Pour"), (("steps", 2, "id"), "open"), (("steps", 2, "title"), "Open"),
    (("steps", 2, "uses"), ""), (("steps", 2, "uses"), "0"), (("steps", 2, "uses", 0, "material"), "soap"),
    (("steps", "+4", "id"), ""), (("steps", "+4", "title"), "Wash"),
]  # fmt: skip


def order(pairs: Pairs, at: KeyPath = ("steps",)) -> list[str]:
    return [text for path, text in pairs if path == at]


@pytest.mark.parametrize(
    ("pressed", "tokens", "touched"),
    [
        ("add steps", ["", "0", "2", "+4", "+5"], ("steps", "+5")),
        ("double steps.0", ["", "0", "0+5", "2", "+4"], ("steps", "0+5")),
        ("double steps.+4", ["", "0", "2", "+4", "+5"], ("steps", "+5")),
        ("up steps.2", ["", "2", "0", "+4"], ("steps", 2)),
        ("up steps.0", ["", "0", "2", "+4"], ("steps", 0)),
        ("down steps.0", ["", "2", "0", "+4"], ("steps", 0)),
        ("down steps.+4", ["", "0", "2", "+4"], ("steps", "+4")),
        ("remove steps.2", ["", "0", "+4"], ("steps",)),
        ("remove steps.7", ["", "0", "2", "+4"], ("steps",)),
    ],
)
def test_entries_are_added_doubled_moved_and_removed(pressed: str, tokens: list[str], touched: KeyPath) -> None:
    deed = deed_of(pressed)
    assert deed is not None
    pairs, at = after(TYPED, deed)
    assert (order(pairs), at) == (tokens, touched)
    # Whatever else was typed stays, but for what was taken out.
    gone = deed.path if deed.word == "remove" else ("nothing",)
    assert [each for each in TYPED if each not in pairs] == [
        each for each in TYPED if each[0][:2] == gone or each == (("steps",), str(gone[-1]))
    ]


def test_a_copy_has_all_that_was_typed_but_the_id() -> None:
    pairs, _at = after(TYPED, FormDeed("double", ("steps", 2)))
    assert [(path[2:], text) for path, text in pairs if path[:2] == ("steps", "2+5")] == [
        (("title",), "Open"), (("uses",), ""), (("uses",), "0"), (("uses", 0, "material"), "soap"),
    ]  # fmt: skip


@pytest.mark.parametrize("pressed", ["", "write", "look", "more needs", "add ", "burn steps.0"])
def test_other_buttons_are_no_deeds(pressed: str) -> None:
    assert deed_of(pressed) is None


def test_what_a_document_says_is_typed_into_a_new_form() -> None:
    said = {"title": "A", "needs": ["x"], "wait": {"time": "4 h"}, "steps": [{"id": "a", "uses": [{"as": "cast"}]}]}
    assert list(begun_with(said)) == [
        (("title",), "A"), (("needs",), ""), (("needs",), "x"), (("wait", "time"), "4 h"), (("steps",), ""),
        (("steps",), "+1"), (("steps", "+1", "id"), "a"), (("steps", "+1", "uses"), ""),
        (("steps", "+1", "uses"), "+1"), (("steps", "+1", "uses", "+1", "as"), "cast"),
    ]  # fmt: skip
