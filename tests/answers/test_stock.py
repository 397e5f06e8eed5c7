"""What is left of lots and jars follows from what runs weighed, equals a ledger kept apart, and what is not known is said."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from answers.stocked import lay_out, run
from campaigns.seeds import seeds
from mothermold.answers.stock import draws_of, jars_of, stock_of
from mothermold.reckon.stock import LotStock
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

A, B = "gel-silicone-a", "gel-silicone-b"


def only(view: View, material: str = A) -> LotStock:
    (lot,) = stock_of(view, material)
    return lot


def test_what_runs_weighed_comes_off_what_came(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, got: 2026-01-05, held: 1 kg}"})
    run(root, "r-1", "2026-02-01", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    run(root, "r-2", "2026-02-02", "batch: [{mix: gel, weighed: 22 g}]", A="A1")
    lot = only(open_view(root, "private"))
    # Two parts of A and B each to one of deadener in the half of them: 100 of 220.
    assert (lot.unit, lot.used, lot.left) == ("g", 110, 890)


def test_a_weighing_is_a_reading_of_its_day_and_what_was_taken_before_it_no_longer_counts(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 1 kg, left: 500 g, weighed: 2026-02-01}"})
    run(root, "r-1", "2026-02-01", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    run(root, "r-2", "2026-02-02", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    assert only(open_view(root, "private")).left == 400


def test_what_is_left_without_a_day_is_taken_as_it_stands(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, left: 500 g}"})
    run(root, "r-1", "2026-02-02", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    assert only(open_view(root, "private")).left == 500


def test_a_lot_of_which_nothing_is_written_is_not_known_and_not_nothing(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, got: 2026-01-05}"})
    run(root, "r-1", "2026-02-02", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    assert only(open_view(root, "private")).left is None


def test_a_run_that_does_not_say_how_much_it_took_is_named(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 1 kg}"})
    run(root, "r-1", "2026-02-01", "batch: [{mix: gel}]", A="A1")
    run(root, "r-2", "2026-02-02", "outcome: good", A="A1")
    lot = only(open_view(root, "private"))
    assert (lot.left, lot.silent) == (1000, ("r-1", "r-2"))


def test_a_run_that_used_two_lots_of_a_material_does_not_say_how_much_of_each(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 1 kg}, {lot: A2, held: 1 kg}"})
    run(root, "r-1", "2026-02-01", "batch: [{mix: gel, weighed: 220 g}]", A=("A1", "A2"))
    view = open_view(root, "private")
    assert [(lot.left, lot.silent) for lot in stock_of(view, A)] == [(1000, ("r-1",))] * 2


def test_what_comes_out_of_a_jar_was_taken_from_the_lots_when_it_was_mixed(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 1 kg}", B: "{lot: B1, held: 1 kg}"})
    run(root, "r-1", "2026-02-01", "batch: [{mix: jar, weighed: 600 g}, {mix: poured, weighed: 250 g}]", A="A1", B="B1")
    run(root, "r-2", "2026-02-03", "batch: [{mix: poured, weighed: 125 g}]", A="A1", B="B1")
    view = open_view(root, "private")
    # The jar is A and deadener alike; the pour is 3 parts of it and 2 of B.
    assert (only(view).used, only(view, B).used) == (300, 150)
    (jar,) = jars_of(view, "mask").values()
    assert (jar.made, jar.used, jar.left, jar.since) == (600, 225, 375, date(2026, 2, 1))


def test_where_no_jar_was_mixed_its_materials_are_taken_from_the_lots(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 1 kg}"})
    run(root, "r-1", "2026-02-03", "batch: [{mix: poured, weighed: 250 g}]", A="A1")
    view = open_view(root, "private")
    assert (only(view).used, jars_of(view, "mask")) == (75, {})


def test_a_test_takes_what_its_cups_weighed(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 100 g}"})
    run(root, "r-1", "2026-02-03", f"kind: test\ncups: [{{parts: [{{material: {A}, weighed: 10 g}}]}}]", A="A1")
    assert only(open_view(root, "private")).left == 90


def test_a_lot_goes_off_by_its_label_its_opening_or_unopened_by_the_day_it_came(tmp_path: Path) -> None:
    lots = "{lot: 1, got: 2026-01-05}, {lot: 2, opened: 2026-01-05, use_by: 2026-12-01}, {lot: 3, got: 2026-01-05, use_by: 2026-02-01}"
    root = lay_out(tmp_path, lots={A: lots}, keeps="keeps: {closed: 12 months, opened: 6 months}\n")
    last = [lot.last for lot in stock_of(open_view(root, "private"), A)]
    assert last == [date(2027, 1, 5), date(2026, 7, 5), date(2026, 2, 1)]


def test_more_taken_than_there_was_leaves_nothing_and_is_told(tmp_path: Path) -> None:
    root = lay_out(tmp_path, lots={A: "{lot: A1, held: 60 g}"})
    run(root, "r-1", "2026-02-03", "batch: [{mix: gel, weighed: 220 g}]", A="A1")
    lot = only(open_view(root, "private"))
    assert (lot.left, lot.over) == (0, 40)


@pytest.mark.parametrize("seed", seeds(1, 4))
def test_after_five_hundred_runs_the_stock_is_that_of_a_ledger_kept_apart(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    lots = {A: ["A1", "A2", "A3"], B: ["B1", "B2"]}
    came = {"A1": 50_000, "A2": 80_000, "A3": 9_000, "B1": 70_000, "B2": 60_000}
    weighed = {"A2": (date(2026, 4, 1), 41_000)}
    rows = {
        name: ", ".join(
            f"{{lot: {lot}, held: {came[lot]} g"
            + (f", left: {weighed[lot][1]} g, weighed: {weighed[lot][0]}}}" if lot in weighed else "}")
            for lot in each
        )
        for name, each in lots.items()
    }
    root = lay_out(tmp_path, lots=rows)
    ledger: dict[str, Fraction] = defaultdict(Fraction)
    jar = {"made": Fraction(0), "used": Fraction(0)}
    # By hand: what a gram of each mix takes of A and of B.
    share = {"gel": (Fraction(100, 220), Fraction(100, 220)), "jar": (Fraction(1, 2), 0), "poured": (0, Fraction(2, 5))}
    for number in range(500):
        day = date(2026, 1, 2) + timedelta(days=number // 3)
        mix = "jar" if number == 0 else chance.choice(("gel", "gel", "poured", "jar" if number % 40 == 0 else "gel"))
        grams = Fraction(chance.randint(200, 3000), 10)
        a, b = chance.choice(lots[A]), chance.choice(lots[B])
        run(root, f"r-{number:03}", str(day), f"batch: [{{mix: {mix}, weighed: {float(grams)} g}}]", A=a, B=b)
        for lot, part in ((a, share[mix][0]), (b, share[mix][1])):
            if lot not in weighed or day > weighed[lot][0]:
                ledger[lot] += grams * part
        jar["made"] += grams if mix == "jar" else 0
        jar["used"] += grams * Fraction(3, 5) if mix == "poured" else 0
    view = open_view(root, "private")
    for name, each in lots.items():
        for lot in stock_of(view, name):
            assert lot.lot in each
            begun = weighed[lot.lot][1] if lot.lot in weighed else came[lot.lot]
            assert (lot.left, lot.over) == (max(begun - ledger[lot.lot], 0), max(ledger[lot.lot] - begun, 0)), lot.lot
    (kept,) = jars_of(view, "mask").values()
    assert (kept.made, kept.used) == (jar["made"], jar["used"])


def test_the_sample_book_says_what_stands_in_its_jars(sample_view: Callable[[Edition], View]) -> None:
    view = sample_view("private")
    (jar,) = jars_of(view, "saltpan-keeper").values()
    assert (jar.mix, jar.made) == ("softened-a", 1400)
    assert 0 < jar.left < 1400
    assert draws_of(view, A)
