"""Swatches stand one beside the other, the farther from the approved color the higher, and all within the picture."""

from __future__ import annotations

from mothermold.pages.drawn.drifting import drift_picture


def test_the_farther_from_the_approved_color_the_higher_a_dot() -> None:
    picture = drift_picture(
        [("r-1", "2026-04-01", 0.0, False), ("r-2", "2026-04-02", 5.5, True), ("r-3", "2026-05-01", 1.0, False)]
    )
    assert picture is not None
    first, second, third = picture.dots
    assert second.y < third.y < first.y == picture.lines[0][0]
    assert second.is_doubtful
    assert second.words == "2026-04-02: 5.5"
    assert all(0 < dot.y < picture.tall and 0 < dot.x < picture.wide for dot in picture.dots)
    assert [figure for _y, figure in picture.lines] == ["0", "2", "4", "6"]


def test_dots_have_room_for_a_finger_and_both_days_stand_apart() -> None:
    picture = drift_picture([("r-1", "2026-04-01", 0.2, False), ("r-2", "2026-04-02", 0.1, False)])
    assert picture is not None
    assert picture.dots[1].x - picture.dots[0].x >= 26
    assert picture.last[0] > 34 + 60


def test_one_swatch_is_no_picture() -> None:
    assert drift_picture([("r-1", "2026-04-01", 0.2, False)]) is None
