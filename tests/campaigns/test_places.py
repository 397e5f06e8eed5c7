"""Which places of a module the campaign of changes finds, and what it makes of them."""

from __future__ import annotations

import ast

import pytest

from campaigns.places import places


def changed(text: str) -> list[str]:
    found = [place.applied(text) for place in places(text)]
    for each in found:
        ast.parse(each)
    return found


@pytest.mark.parametrize(
    ("line", "becomes"),
    [
        ("a < 3", ["a <= 3", "a < 4"]),
        ("a <= b < c", ["a < b < c", "a <= b <= c"]),
        ("a is not None", ["a is None"]),
        ("a not in b", ["a in b"]),
        ("(a == b) and c", ["(a != b) and c", "(a == b) or c"]),
        ("not a", ["a"]),
        ("any(a)", ["all(a)"]),
        ("max(a + b)", ["min(a + b)", "max(a - b)"]),
        ("'a' + b", []),
        ("[a for a in b if a]", ["[a for a in b if True]"]),
        ("a if b else c", ["a if (not (b)) else c"]),
    ],
)
def test_each_condition_and_bound_is_a_place(line: str, becomes: list[str]) -> None:
    assert sorted(changed(line)) == sorted(becomes)


def test_a_branch_that_only_leaves_is_left_out_and_a_returned_condition_turned_round() -> None:
    text = "def f(a: int | None = None):\n    if a:\n        return b\n    return a < 1\n"
    assert [place.shown(text)[1] for place in places(text)] == [
        "if (not (a)):", "if False:", "return (not (a < 1))", "return a <= 1", "return a < 2",
    ]  # fmt: skip
    assert {place.function for place in places(text)} == {1}


def test_letters_of_several_bytes_before_a_place_do_not_move_it() -> None:
    assert changed("f('µé', a == b)") == ["f('µé', a != b)"]
