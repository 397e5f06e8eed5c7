"""Projects: what is planned by the rule of the hand, by the solver, in the mirror of time, and how much room there is in it."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise

import pytest

from campaigns.seeds import seeds
from mothermold.reckon.project import (
    HeldSpan,
    Hold,
    Order,
    Project,
    Task,
    end_of,
    mirrored,
    mirrored_starts,
    with_wishes,
)
from mothermold.reckon.room import rooms
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.solved_plan import solved_plan

DAY = 1440
WEEK = [(day * DAY + 540, day * DAY + 1080) for day in range(14)]


def task(
    name: str, minutes: int, *, wait: int = 0, hands: int = 1, due: int | None = None, earliest: int | None = None
) -> Task:
    return Task(name, minutes, minutes + wait, "shop", (Hold("hands", 0, minutes, hands),), earliest, due)


def project(*tasks: Task, orders: tuple[Order, ...] = (), spans: tuple[HeldSpan, ...] = (), hands: int = 1) -> Project:
    return Project({each.id: each for each in tasks}, orders, spans, {"hands": hands, "mold": 1}, {"shop": WEEK}, (), 5)


def broken(of: Project, starts: dict[str, int]) -> list[str]:
    """What of a project a plan does not keep."""
    found: list[str] = []
    for name, each in of.tasks.items():
        windows = of.windows(each)
        if windows is not None and not any(o <= starts[name] and starts[name] + each.minutes <= c for o, c in windows):
            found.append(f"{name} outside of its hours")
        if each.earliest is not None and starts[name] < each.earliest:
            found.append(f"{name} too early")
    for order in of.orders:
        apart = starts[order.after] - starts[order.before]
        if apart < order.least or (order.most is not None and apart > order.most):
            found.append(f"{order}")
    uses = [
        (h.resource, starts[n] + h.start, starts[n] + h.start + h.minutes, h.amount)
        for n, t in of.tasks.items()
        for h in t.holds
    ]
    uses += [(s.resource, starts[s.first] + s.head, starts[s.last] + s.tail, 1) for s in of.spans] + list(of.busy)
    for resource, most in of.resources.items():
        mine = [use for use in uses if use[0] == resource and use[2] > use[1]]
        for _name, begin, _end, _amount in mine:
            if sum(amount for _n, b, e, amount in mine if b <= begin < e) > most:
                found.append(f"{resource} at {begin}")
    return found


def at_random(seed: int) -> Project:
    chance = random.Random(seed)
    names = [f"t{number:02}" for number in range(14)]
    tasks = [
        task(
            name,
            chance.randrange(5, 200),
            wait=chance.choice((0, 0, 300)),
            hands=chance.choice((1, 1, 2)),
            due=chance.choice((None, 11 * DAY, 12 * DAY)),
        )
        for name in names
    ]
    lengths = {each.id: each.total for each in tasks}
    orders = [
        Order(a, b, lengths[a], lengths[a] + 2000 if chance.random() < 0.3 else None)
        for a, b in pairwise(names)
        if chance.random() < 0.5
    ]
    spans = [
        HeldSpan("mold", names[n], names[n + 1], 0, tasks[n + 1].minutes)
        for n in (2, 6, 10)
        if any(o.before == names[n] and o.after == names[n + 1] for o in orders)
    ]
    made = project(*tasks, orders=tuple(orders), spans=tuple(spans), hands=2)
    return replace(made, busy=(("hands", 3 * DAY + 500, 3 * DAY + 700, 1), ("hands", 5 * DAY + 600, 5 * DAY + 900, 2)))


@pytest.mark.parametrize("seed", seeds(3, 12))
def test_what_either_plans_forward_or_backward_keeps_everything(seed: int) -> None:
    made = at_random(seed)
    forward = serial_plan(made)
    assert forward is not None
    assert broken(made, forward) == []
    other = serial_plan(mirrored(made))
    assert other is not None
    backward = mirrored_starts(mirrored(made), other)
    assert broken(made, backward) == []
    for aim in ("shortest", "latest"):
        found = solved_plan(made, "shortest" if aim == "shortest" else "latest", (0, 14 * DAY), forward, 0.1)
        assert found.starts is not None
        assert broken(made, found.starts) == []


@pytest.mark.parametrize("seed", range(12))
def test_put_in_the_order_of_another_plan_what_stood_later_than_it_must_moves_up(seed: int) -> None:
    random_one = at_random(seed)
    made = replace(random_one, spans=(), orders=tuple(replace(each, most=None) for each in random_one.orders))
    late = solved_plan(made, "latest", (0, 14 * DAY), None, 0.1).starts
    assert late is not None
    pulled = serial_plan(made, late)
    assert pulled is not None
    assert broken(made, pulled) == []
    assert all(pulled[name] <= late[name] for name in late)
    assert sum(pulled.values()) < sum(late.values())


@pytest.mark.parametrize("seed", range(12))
def test_the_mirror_of_the_mirror_is_the_project(seed: int) -> None:
    made = at_random(seed)
    twice = mirrored(mirrored(made))
    assert (twice.orders, twice.spans, twice.hours, twice.busy) == (made.orders, made.spans, made.hours, made.busy)
    # In the mirror deadlines are of the work itself: what waits after it moved into them.
    assert {
        n: (t.minutes, t.holds, t.earliest, None if t.due is None else t.due - t.total) for n, t in twice.tasks.items()
    } == {
        n: (t.minutes, t.holds, t.earliest, None if t.due is None else t.due - t.total) for n, t in made.tasks.items()
    }


@pytest.mark.parametrize("seed", seeds(3, 12))
def test_pushed_as_late_or_as_early_as_its_room_says_a_plan_still_keeps_everything(seed: int) -> None:
    made = at_random(seed)
    found = solved_plan(made, "latest", (0, 14 * DAY), serial_plan(made), 0.1)
    assert found.starts is not None
    room = rooms(made, found.starts, 0, 14 * DAY)
    for starts in ({n: each.latest for n, each in room.items()}, {n: each.earliest for n, each in room.items()}):
        assert broken(made, starts) == []
    for name, each in made.tasks.items():
        assert each.due is None or room[name].latest + each.total <= each.due
        assert room[name].earliest <= found.starts[name] <= room[name].latest


def test_as_late_as_can_be_ends_when_it_is_due() -> None:
    made = project(
        task("cast", 60, wait=240, due=3 * DAY), task("open", 30, due=3 * DAY), orders=(Order("cast", "open", 300),)
    )
    found = solved_plan(made, "latest", (0, 3 * DAY))
    assert found.starts == {"cast": 2 * DAY + 1050 - 300, "open": 2 * DAY + 1050}


def test_one_mold_is_not_closed_twice_at_once() -> None:
    orders = (Order("fill 1", "open 1", 300), Order("fill 2", "open 2", 300))
    spans = tuple(HeldSpan("mold", f"fill {n}", f"open {n}", 0, 30) for n in (1, 2))
    made = project(
        *(task(f"{what} {n}", 30) for n in (1, 2) for what in ("fill", "open")), orders=orders, spans=spans, hands=4
    )
    plan = serial_plan(made)
    assert plan is not None
    assert plan["fill 2"] >= plan["open 1"] + 30
    shortest = solved_plan(made, "shortest", (0, 5 * DAY), plan)
    assert shortest.starts is not None
    assert abs(shortest.starts["fill 2"] - shortest.starts["fill 1"]) >= 330


def test_what_must_follow_soon_is_put_to_the_next_morning_with_what_it_follows() -> None:
    late = 540 + 450
    made = project(task("film", 60, earliest=late), task("fill", 60), orders=(Order("film", "fill", 60, 120),))
    assert serial_plan(made) == {"film": DAY + 540, "fill": DAY + 600}


def test_more_hands_than_there_are_make_no_plan() -> None:
    made = project(task("lift", 60, hands=2))
    assert serial_plan(made) is None
    found = solved_plan(made, "any", (0, DAY))
    assert (found.starts, found.is_proven) == (None, True)


def test_work_longer_than_every_day_makes_no_plan() -> None:
    made = project(task("sculpt", 600))
    assert serial_plan(made) is None
    assert solved_plan(made, "any", (0, 3 * DAY)).starts is None


def test_a_wish_is_kept_where_it_can_be_and_gives_way_where_not() -> None:
    wished = replace(task("paint", 60, due=3 * DAY), wish=2 * DAY)
    can = solved_plan(project(wished), "latest", (0, 3 * DAY))
    assert can.starts == {"paint": DAY + 1080 - 60}
    cannot = solved_plan(project(replace(wished, earliest=2 * DAY)), "latest", (0, 3 * DAY))
    assert cannot.starts == {"paint": 2 * DAY + 540}, "as little beyond the wish as can be"
    assert with_wishes(project(wished)).tasks["paint"].due == 2 * DAY


def test_as_little_late_as_can_be() -> None:
    made = project(task("paint", 120, due=600))
    found = solved_plan(made, "least late", (0, 3 * DAY))
    assert found.starts == {"paint": 540}
    assert found.bound == 60


def test_the_same_plan_comes_again_however_the_tasks_are_written_down() -> None:
    made = at_random(3)
    names = list(made.tasks)
    random.Random(1).shuffle(names)
    other = replace(made, tasks={name: made.tasks[name] for name in names}, orders=tuple(reversed(made.orders)))
    plans = [solved_plan(each, "latest", (0, 14 * DAY), serial_plan(each), 0.1) for each in (made, other)]
    assert plans[0] == plans[1]
    assert end_of(made, plans[0].starts or {}) == end_of(other, plans[1].starts or {})
