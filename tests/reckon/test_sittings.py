"""A recipe's work in sittings: what is done at one go, what is cut, and what must lie between."""

from __future__ import annotations

from typing import Any

from mothermold.model.recipe import Recipe
from mothermold.reckon.project import Order
from mothermold.reckon.sittings import Sittings, sittings_of
from mothermold.reckon.work import work_of


def sittings(
    *steps: dict[str, Any], longest: int = 240, done: tuple[str, ...] = (), mixes: list[dict[str, Any]] | None = None
) -> Sittings:
    listed = [{"id": f"s{number}", "title": "Work", **step} for number, step in enumerate(steps, 1)]
    recipe = Recipe.model_validate(
        {"title": "A cast", "stage": "cast", "version": "1", "status": "draft", "steps": listed, "mixes": mixes or []}
    )
    return sittings_of(work_of(recipe), done, longest)


def told(found: Sittings) -> list[tuple[str, int, int]]:
    return [(each.id, each.minutes, each.total) for each in found.every]


def test_short_waits_are_waited_out_and_longer_ones_end_the_sitting() -> None:
    found = sittings(
        {"hands_on": "10 min", "wait": "20 min"}, {"hands_on": "5 min", "wait": "4 h"}, {"hands_on": "20 min"}
    )
    assert told(found) == [("s1", 35, 275), ("s3", 20, 20)]
    assert found.orders == (Order("s1", "s3", 275),)
    assert found.first["s2"][1].start == 30


def test_work_that_may_pause_is_cut_and_other_work_is_not() -> None:
    assert told(sittings({"hands_on": "5 h", "may_pause": "yes"})) == [
        ("s1-1", 100, 100),
        ("s1-2", 100, 100),
        ("s1-3", 100, 100),
    ]
    assert told(sittings({"hands_on": "5 h"})) == [("s1", 300, 300)]


def test_coats_soon_after_each_other_are_one_sitting_and_others_one_each() -> None:
    soon = sittings({"hands_on": "25 min", "coats": {"count": "8", "between": "10 min", "last": "60 min"}})
    assert told(soon) == [("s1", 95, 155)]
    far = sittings({"hands_on": "30 min", "coats": {"count": "3", "between": "24 h", "last": "2 h"}})
    assert told(far) == [("s1-1", 10, 1450), ("s1-2", 10, 1450), ("s1-3", 10, 130)]
    assert [(each.before, each.after, each.least) for each in far.orders] == [
        ("s1-1", "s1-2", 1450),
        ("s1-2", "s1-3", 1450),
    ]


def test_a_wait_that_ties_up_a_person_is_work() -> None:
    assert told(sittings({"hands_on": "10 min", "wait": "45 min", "holds": "person"})) == [("s1", 55, 55)]


def test_parts_of_minutes_are_rounded_up() -> None:
    assert told(sittings({"hands_on": "90 s", "wait": "30 s"}, longest=0)) == [("s1", 2, 3)]


def test_what_must_follow_at_once_is_one_sitting_however_long() -> None:
    found = sittings({"hands_on": "200 min"}, {"hands_on": "60 min", "within": {"time": "15 min", "after": "s1"}})
    assert told(found) == [("s1", 260, 260)]


def test_within_counts_from_the_work_or_from_the_wait() -> None:
    first = {"hands_on": "10 min", "wait": "2 h"}
    work = sittings(first, {"hands_on": "5 min", "within": {"time": "8 h", "after": "s1"}})
    wait = sittings(first, {"hands_on": "5 min", "within": {"time": "8 h", "after": "s1", "from": "wait"}})
    assert Order("s1", "s2", 130, 490) in work.orders
    assert Order("s1", "s2", 130, 610) in wait.orders


def test_steps_side_by_side_are_sittings_of_their_own() -> None:
    found = sittings({"hands_on": "10 min"}, {"hands_on": "10 min"}, {"hands_on": "10 min", "after": "s1"})
    assert told(found) == [("s1", 10, 10), ("s2", 10, 10), ("s3", 10, 10)]


def test_what_is_done_is_left_out_and_no_longer_waited_for() -> None:
    found = sittings({"hands_on": "10 min", "wait": "2 h"}, {"hands_on": "5 min"}, done=("s1",))
    assert told(found) == [("s2", 5, 5)]
    assert found.orders == ()


def test_what_is_waited_for_takes_its_usual_and_wishes_for_its_longest() -> None:
    dry = {"hands_on": "10 min", "until": {"what": "dry", "usual": "2 days", "longest": "4 days"}}
    found = sittings(dry, {"hands_on": "5 min"})
    assert found.orders == (Order("s1", "s2", 10 + 2880, wish=10 + 5760),)
    assert (found.every[0].total, found.every[0].at_longest) == (2890, 5770)
