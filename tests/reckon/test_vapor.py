"""Vapor in a room: what must hold for every room and every amount."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some

from mothermold.reckon.vapor import Pulse, concentration

GRAMS = some.floats(0.01, 5000)
MINUTES = some.floats(0.01, 900)
ROOMS = some.floats(5, 2000)
CHANGES = some.floats(0.05, 30)


@given(GRAMS, MINUTES, ROOMS, CHANGES)
def test_no_more_is_in_the_air_than_evaporated(grams: float, minutes: float, room: float, changes: float) -> None:
    pulse = Pulse(grams, minutes, room, changes)
    assert 0 < pulse.average() <= pulse.peak() * (1 + 1e-9)
    assert pulse.peak() <= grams * 1000 / room * (1 + 1e-9)


@given(GRAMS, MINUTES, ROOMS, CHANGES)
def test_more_air_or_a_larger_room_never_makes_it_worse(
    grams: float, minutes: float, room: float, changes: float
) -> None:
    here = Pulse(grams, minutes, room, changes)
    for better in (Pulse(grams, minutes, room, changes * 2), Pulse(grams, minutes, room * 2, changes)):
        assert better.peak() <= here.peak() * (1 + 1e-9)
        assert better.average() <= here.average() * (1 + 1e-9)


@given(GRAMS, ROOMS, CHANGES)
def test_very_short_is_as_all_at_once_and_hardly_any_air_as_none(grams: float, room: float, changes: float) -> None:
    assert Pulse(grams, 1e-6, room, changes).peak() == pytest.approx(Pulse(grams, 0, room, changes).peak(), rel=1e-6)
    assert Pulse(grams, 60, room, 1e-4).average() == pytest.approx(Pulse(grams, 60, room, 0).average(), rel=1e-3)


# Of work longer than 8 hours the last 8 count: the air is at its worst then.
@given(GRAMS, some.floats(60, 900), ROOMS, CHANGES)
def test_the_average_is_what_adding_up_minute_by_minute_gives(
    grams: float, minutes: float, room: float, changes: float
) -> None:
    pulse = Pulse(grams, minutes, room, changes)
    rate, flow, step = grams * 1000 / (minutes / 60), changes * room, 8 / 4000
    total, level, spent = 0.0, 0.0, 0.0
    begins = max(minutes / 60 - 8, 0.0)
    for _ in range(math.ceil((begins + 8) / step)):
        source = rate if spent < minutes / 60 else 0.0
        following = concentration(source, flow, room, step, level)
        total += (level + following) / 2 * step if spent >= begins else 0.0
        level, spent = following, spent + step
    assert pulse.average() == pytest.approx(total / 8, rel=0.05)
