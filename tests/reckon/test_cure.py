"""Pot life in another room: the ends of the band, and where the rule says no."""

from __future__ import annotations

import pytest

from mothermold.reckon.cure import Band, RealSpan, at_temperature, fitted_q10, stalls
from mothermold.reckon.errors import ReckoningError


def test_at_the_stated_temperature_the_time_stands_as_it_is_stated() -> None:
    assert at_temperature(6, 23, 23) == Band(6, 6, 6)


def test_a_stated_range_keeps_its_two_ends() -> None:
    assert at_temperature((30, 60), 23, 23) == Band(30, 45, 60)


@pytest.mark.parametrize("room", [12, 18, 23, 28, 38])
def test_the_short_end_is_never_after_the_usual_nor_the_usual_after_the_long(room: int) -> None:
    band = at_temperature((5, 6), (23, 25), room)
    assert band.short <= band.usual <= band.long


def test_a_temperature_stated_as_a_range_widens_the_band() -> None:
    wide, narrow = at_temperature(6, (20, 25), 18), at_temperature(6, 23, 18)
    assert wide.short < narrow.short < narrow.long < wide.long


@pytest.mark.parametrize(
    ("time", "stated", "room", "said"),
    [
        (0, 23, 20, "not a time"),
        (-6, 23, 20, "not a time"),
        (float("nan"), 23, 20, "not a time"),
        (6, 23, 9, "outside 10 to 40"),
        (6, 30, 41, "outside 10 to 40"),
        (6, 23, 38.5, "more than 15 K away from the 23 degC"),
        (6, (18, 30), 34, "the 18 to 30 degC"),
        (6, 23, float("nan"), "outside 10 to 40"),
    ],
)
def test_beyond_its_reach_the_rule_is_refused(time: RealSpan, stated: RealSpan, room: float, said: str) -> None:
    with pytest.raises(ReckoningError, match=said) as refusal:
        at_temperature(time, stated, room)
    assert refusal.value.code == ("out-of-range" if said == "not a time" else "beyond-range")


def test_at_the_edges_of_its_reach_the_rule_is_still_given() -> None:
    assert at_temperature(6, 25, 10).usual > 6 > at_temperature(6, 25, 40).usual


def test_platinum_silicone_is_said_to_stall_under_15_degrees() -> None:
    assert stalls(14.9)
    assert not stalls(15)


@pytest.mark.parametrize(
    ("logs", "said"),
    [
        ((6, 23, 5, 25), "less than 3 K"),
        ((6, 23, 6, 30), "not the shorter"),
        ((6, 23, 7, 30), "not the shorter"),
        ((6, 23, 0, 30), "not a time"),
        ((6, 23, 4, 50), "outside"),
    ],
)
def test_two_logs_that_say_nothing_are_refused(logs: tuple[int, int, int, int], said: str) -> None:
    with pytest.raises(ReckoningError, match=said):
        fitted_q10(*logs)


def test_the_order_of_two_logs_does_not_matter() -> None:
    assert fitted_q10(6, 23, 4, 30) == pytest.approx(fitted_q10(4, 30, 6, 23))


def test_at_the_very_edges_of_the_rooms_anyone_casts_in_two_logs_still_tell() -> None:
    assert fitted_q10(40, 10, 5, 40) == pytest.approx(2)
    for cold, warm in ((9.9, 40), (10, 40.1)):
        with pytest.raises(ReckoningError, match="outside 10 to 40"):
            fitted_q10(40, cold, 5, warm)


def test_two_logs_three_degrees_apart_tell_and_closer_ones_do_not() -> None:
    assert fitted_q10(8, 20, 4, 23) == pytest.approx(2 ** (10 / 3))
    assert fitted_q10(4, 23, 8, 20) == pytest.approx(2 ** (10 / 3))
    with pytest.raises(ReckoningError, match="less than 3 K apart"):
        fitted_q10(8, 20, 4, 22.9)


def test_a_warmer_log_that_is_just_as_long_tells_of_something_else() -> None:
    for warmer in (8, 9):
        with pytest.raises(ReckoningError, match="not the shorter one"):
            fitted_q10(8, 20, warmer, 25)
    assert fitted_q10(8, 20, 7.9, 25) > 1


def test_silicone_stalls_under_fifteen_degrees_and_not_at_them() -> None:
    assert [stalls(room) for room in (14.9, 15, 15.1)] == [True, False, False]


def test_fifteen_degrees_away_is_within_reach_and_further_is_not() -> None:
    assert at_temperature(6, 23, 38).usual < 6
    assert at_temperature(6, (20, 25), 10).usual > 6
    with pytest.raises(ReckoningError, match="more than 15 K"):
        at_temperature(6, (20, 25.1), 10)
