"""Where a text was reworded, with a word or two around it."""

from __future__ import annotations

import pytest

from mothermold.compare.words import line_changes, rewordings


@pytest.mark.parametrize(
    ("before", "after", "places"),
    [
        (
            "Clay sheet 5 mm thick, 8 mm off the edge",
            "Clay sheet 4 mm thick, 3 mm off the edge",
            [("Clay sheet 5 mm thick,", "Clay sheet 4 mm thick,"), ("mm thick, 8 mm off", "mm thick, 3 mm off")],
        ),
        ("Pour it.", "Pour it slowly.", [("Pour it.", "Pour it slowly.")]),
        ("Pour it slowly and tap", "Pour it and tap", [("Pour it slowly and tap", "Pour it and tap")]),
        ("Pour it and tap", "Pour it slowly and tap", [("Pour it and tap", "Pour it slowly and tap")]),
        ("One", "Two", [("One", "Two")]),
        ("Pour it slowly", "Pour it", [("Pour it slowly", "Pour it")]),
        ("Now pour it", "pour it", [("Now pour it", "pour it")]),
        ("The same", "The same", []),
        (None, "All new", []),
        ("All gone", None, []),
    ],
)
def test_rewordings_are_told_place_by_place(
    before: str | None, after: str | None, places: list[tuple[str, str]]
) -> None:
    assert list(rewordings(before, after)) == places


def test_a_line_is_reworded_from_half_alike_on_and_another_line_below() -> None:
    assert line_changes(["ab"], ["ac"]) == [("ab", "ac")]
    assert line_changes(["abc"], ["ade"]) == [(None, "ade"), ("abc", None)]


def test_of_several_lines_the_most_alike_is_the_reworded_one_and_each_is_so_once() -> None:
    assert line_changes(["pour it", "tap the mold"], ["tap the molds", "tap a mold", "kept"]) == [
        ("tap the mold", "tap the molds"), (None, "tap a mold"), (None, "kept"), ("pour it", None),
    ]  # fmt: skip
    assert line_changes(["kept", "gone"], ["kept"]) == [("gone", None)]
    assert line_changes([], ["come"]) == [(None, "come")]
