"""What was made before is made again where something that was looked at for it changed, and only there."""

from __future__ import annotations

import json

from mothermold.ground.looking import Looked, Remembered, looking, not_looking, saw
from mothermold.ground.made import MadeBefore


class _World:
    """Numbers by name, things made of them, and how often each was made."""

    def __init__(self, numbers: dict[str, int], kept: object = None) -> None:
        self.numbers, self.made = Looked("number", lambda: numbers), MadeBefore()
        self.times: list[str] = []
        self.made.opens(self.numbers)
        self.made.begin(json.loads(json.dumps(kept)))

    def double(self, name: str) -> int:
        def make() -> int:
            self.times.append(name)
            return 2 * self.numbers.get(name, 0)

        told: int = self.made.of(f"double {name}", make)
        return told

    def sum(self) -> int:
        def make() -> int:
            self.times.append("sum")
            return sum(self.double(name) for name in self.numbers)

        told: int = self.made.of("sum", make)
        return told


def test_nothing_is_made_again_where_nothing_changed() -> None:
    before = _World({"a": 1, "b": 2})
    assert before.sum() == 6
    after = _World({"a": 1, "b": 2}, before.made.kept())
    assert after.sum() == 6
    assert after.times == []
    assert not after.made.changed


def test_only_what_looked_at_something_that_changed_is_made_again() -> None:
    before = _World({"a": 1, "b": 2})
    before.sum()
    after = _World({"a": 1, "b": 3}, before.made.kept())
    assert after.sum() == 8
    assert after.times == ["sum", "b"]
    assert after.made.changed


def test_a_thing_that_was_not_there_and_now_is_counts_as_changed() -> None:
    before = _World({"a": 1})
    assert before.double("b") == 0
    assert _World({"a": 1, "b": 4}, before.made.kept()).double("b") == 8


def test_who_looks_around_others_looked_at_what_they_looked_at() -> None:
    world = _World({"a": 1})
    with looking() as seen:
        world.double("a")
        world.double("a")
    assert seen == {"number a"}
    with looking() as seen, not_looking():
        world.double("a")
    assert seen == set()


def test_what_is_remembered_was_looked_at_by_everybody_who_asks() -> None:
    once, made = Remembered(), []

    def make() -> str:
        made.append(1)
        saw("number a")
        return "made"

    for _asker in range(2):
        with looking() as seen:
            assert once.of("it", make) == "made"
        assert seen == {"number a"}
    assert len(made) == 1


def test_all_of_a_kind_is_one_cell() -> None:
    world = _World({"a": 1, "b": 2})
    with looking() as seen:
        assert list(world.numbers) == ["a", "b"]
        assert "c" not in world.numbers
    assert seen == {"every number", "number c"}
    assert world.made.state("number c") != world.made.state("number a")


def test_what_no_one_kept_is_as_if_nothing_was() -> None:
    for nonsense in (None, [], {"cells": []}, "x", {"cells": 1}):
        assert _World({"a": 1}, nonsense).sum() == 2
