"""Where a text was reworded, with a word or two around it."""

from __future__ import annotations

import pytest

from mothermold.compare.words import rewordings


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
        ("The same", "The same", []),
        (None, "All new", []),
        ("All gone", None, []),
    ],
)
def test_rewordings_are_told_place_by_place(
    before: str | None, after: str | None, places: list[tuple[str, str]]
) -> None:
    assert list(rewordings(before, after)) == places
