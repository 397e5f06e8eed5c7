"""The life of a recipe at random, with thirty versions and two hundred runs: every version and failure in its place, none on another."""

from __future__ import annotations

import random
from datetime import date
from itertools import combinations, pairwise

import pytest

from campaigns.seeds import seeds
from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.life import KNOT, MOST_FAILURES, LifeFailure, LifeVersion, life
from mothermold.pages.drawn.marks import SHAPES, RunMark
from mothermold.pages.drawn.weeks import TEXT


def versions(chance: random.Random, many: int, runs: int) -> list[LifeVersion]:
    found: list[list[RunMark]] = [[] for _ in range(many)]
    for number in range(runs):
        shape = chance.choice(list(SHAPES))
        wrong = shape == "scrapped" or chance.random() < 0.3
        at = min(chance.randrange(many), chance.randrange(many))
        found[at].append(RunMark(shape, wrong, date(2026, 3, 1), f"r{number}", "a run", at + 1))
    days = many <= 14
    return [
        LifeVersion(number + 1, "in use" if number == many - 1 else "locked", "May 18" if days else "", tuple(marks))
        for number, marks in enumerate(found)
    ]


@pytest.mark.parametrize("seed", seeds(10, 200))
def test_every_run_is_shown_or_counted_and_nothing_overlaps(seed: int) -> None:
    chance = random.Random(seed)
    many, runs = chance.randint(1, 30), chance.choice((0, 12, 60, 200))
    every = versions(chance, many, runs)
    failures = [
        LifeFailure(
            f"f{number}",
            " ".join(["stiff rim at the jaw"] * chance.randint(1, 4)),
            {chance.randint(1, many): chance.randint(1, 20) for _ in range(chance.randint(1, 5))},
            tuple(chance.sample(range(1, many + 1), chance.randint(0, min(2, many)))),
        )
        for number in range(chance.randint(0, 9))
    ]
    found = life(every, failures)
    assert len(found.marks) + sum(int(each.text) for each in found.counts) == runs
    for one, other in combinations(found.marks, 2):
        assert abs(one.x - other.x) >= 24 or abs(one.y - other.y) >= 24
    for before, after in pairwise(found.knots):
        assert after.x - before.x >= KNOT + 4
    texts = [
        (each.x, each.y, each.x + width(each.text, TEXT))
        for each in (*found.days, *(row.label for row in found.failures))
    ]
    texts += [(each.x + 12, each.y + 4.5, each.x + 12 + width(each.text, TEXT)) for each in found.counts]
    assert all(left >= 0 and right <= found.wide + 1 and 0 < y <= found.tall for left, y, right in texts)
    for (left, y, right), (start, other, end) in combinations(texts, 2):
        assert right <= start or end <= left or abs(y - other) >= 14
    # What happened and the lines keep clear of every name.
    for row in found.failures:
        assert all(abs(row.y - other.label.y + 4) >= 11 or row is other for other in found.failures)
        assert row.start <= row.end <= found.wide
    assert all(row.y + 9 < found.line - 13 for row in found.failures)
    assert found.left_out == max(0, len(failures) - MOST_FAILURES)
    assert all(each.x - 12 >= 0 and each.x + 12 <= found.wide and each.y + 12 <= found.tall for each in found.marks)


def test_thirty_versions_and_two_hundred_runs_fold_to_counts_of_a_legible_width() -> None:
    chance = random.Random(1)
    found = life(versions(chance, 30, 200), [])
    assert found.wide <= 30 * 60
    assert found.counts
    assert found.tall < 260


def place(failure: LifeFailure) -> tuple[list[float], list[float], bool, str]:
    chance = random.Random(0)
    found = life(versions(chance, 4, 0), [failure])
    knots = {each.x: each.version.number for each in found.knots}
    (row,) = found.failures
    return [knots[x] for x, _ in row.happened], [knots[x] for x in row.answered], row.is_open, row.label.text


def test_a_failure_is_tied_to_the_version_that_answers_it() -> None:
    assert place(LifeFailure("air", "Air", {1: 2}, (3,))) == ([1], [3], False, "Air, answered in v3")
    assert place(LifeFailure("air", "Air", {1: 2, 3: 1}, (3,))) == ([1, 3], [3], True, "Air, answered in v3")
    assert place(LifeFailure("air", "Air", {2: 1}, ())) == ([2], [], True, "Air, not answered yet")
    assert place(LifeFailure("air", "Air", {2: 1}, (), ("face mold v3",))) == (
        [2], [], False, "Air, answered in face mold v3",
    )  # fmt: skip
