"""Lots past their date, and parts of a kit that do not belong together."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from mothermold.model.material import Material
from mothermold.reckon.lots import (
    Need,
    Stock,
    kit_lacking,
    kits_apart,
    last_day,
    left_words,
    lots_in_use,
    past_date,
    same_kit,
    stock,
)
from mothermold.reckon.mixes import ResolvedPart

TODAY = date(2026, 5, 1)


def material(**more: Any) -> Material:
    return Material.model_validate({"title": "Part A", "families": "platinum-silicone", **more})


def lot(number: str, **more: Any) -> dict[str, Any]:
    return {"lot": number, **more}


def test_the_opened_lot_is_the_one_in_use_unless_it_is_empty() -> None:
    held = material(lots=[lot("1", opened="2026-01-01", left="0 g"), lot("2", opened="2026-03-01"), lot("3")])
    assert [each.lot for each in lots_in_use(held)] == ["2"]
    assert [each.lot for each in lots_in_use(material(lots=[lot("1"), lot("2")]))] == ["1", "2"]


def test_half_a_gram_is_left_and_nothing_is_not() -> None:
    for opened in ({}, {"opened": "2026-01-01"}):
        held = material(lots=[lot("1", left="0.5 g", **opened), lot("2", left="0 g", **opened)])
        assert [each.lot for each in lots_in_use(held)] == ["1"]


def test_a_lot_is_good_on_its_last_day_and_past_it_the_day_after() -> None:
    held = material(lots=[lot("1", use_by="2026-05-01"), lot("2", use_by="2026-04-30")])
    assert [(each.lot, last) for each, last in past_date(held, TODAY)] == [("2", date(2026, 4, 30))]


def test_an_opened_lot_keeps_only_as_long_as_its_label_says_for_opened_ones() -> None:
    held = material(keeps={"opened": "30 d"}, lots=[lot("1", opened="2026-03-01", use_by="2027-01-01")])
    assert last_day(held.lots[0], held) == date(2026, 3, 31)
    assert past_date(held, date(2026, 3, 31)) == []
    assert past_date(held, date(2026, 4, 1)) != []


@pytest.mark.parametrize(
    ("opened", "keeps", "last"),
    [
        ("2026-02-10", "12 months", date(2027, 2, 10)),
        ("2026-02-10", "1 year", date(2027, 2, 10)),
        ("2023-03-01", "12 months", date(2024, 3, 1)),
        ("2026-01-05", "1 month", date(2026, 2, 5)),
        ("2026-01-05", "6 months", date(2026, 7, 5)),
        ("2026-01-31", "1 month", date(2026, 2, 28)),
        ("2024-02-29", "1 year", date(2025, 2, 28)),
        ("2026-08-31", "6-12 months", date(2027, 2, 28)),
        ("2026-01-05", "1 year 2 months 1 week", date(2027, 3, 12)),
        ("2026-01-05", "52 weeks", date(2027, 1, 4)),
        ("2026-01-05", "36 h", date(2026, 1, 6)),
        ("2026-01-05", "100 years", date(2126, 1, 5)),
    ],
)
def test_a_month_on_a_label_is_a_month_of_the_calendar(opened: str, keeps: str, last: date) -> None:
    held = material(keeps={"opened": keeps}, lots=[lot("1", opened=opened)])
    assert last_day(held.lots[0], held) == last


def test_a_lot_without_any_date_is_never_past_it() -> None:
    assert past_date(material(lots=[lot("1")]), TODAY) == []


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (["0214A"], ["0214B"], True),
        (["20-7 A"], ["20-7 b"], True),
        (["0214A"], ["0215B"], False),
        (["0214A", "0215A"], ["0215B"], True),
        (["A"], ["B"], False),
        ([], ["0214B"], True),
    ],
)
def test_parts_of_a_kit_are_told_by_their_number_without_the_last_letter(
    one: list[str], other: list[str], same: bool
) -> None:
    parts = material(lots=[lot(each) for each in one]), material(lots=[lot(each) for each in other])
    assert same_kit(parts[0].lots, parts[1].lots) is same


def test_parts_that_came_on_one_day_are_one_kit_whatever_their_numbers() -> None:
    one, other = material(lots=[lot("20E5", got="2026-02-03")]), material(lots=[lot("1.10", got="2026-02-03")])
    later = material(lots=[lot("1.11", got="2026-03-03")])
    assert same_kit(one.lots, other.lots)
    assert not same_kit(one.lots, later.lots)


@pytest.mark.parametrize(
    ("use_by", "opened", "last"),
    [
        ("2026-03-30", "2026-03-01", date(2026, 3, 30)),
        ("2026-03-31", "2026-03-01", date(2026, 3, 31)),
        ("2026-04-01", "2026-03-01", date(2026, 3, 31)),
    ],
)
def test_the_earlier_of_both_days_counts_whichever_it_is(use_by: str, opened: str, last: date) -> None:
    held = material(keeps={"opened": "30 d"}, lots=[lot("1", opened=opened, use_by=use_by)])
    assert last_day(held.lots[0], held) == last


@pytest.mark.parametrize(("keeps", "last"), [("30-60 d", date(2026, 3, 31)), ("6-12 months", date(2026, 9, 1))])
def test_of_a_range_the_short_end_is_how_long_an_opened_lot_keeps(keeps: str, last: date) -> None:
    held = material(keeps={"opened": keeps}, lots=[lot("1", opened="2026-03-01")])
    assert last_day(held.lots[0], held) == last


def test_how_long_it_keeps_says_nothing_of_a_lot_nobody_opened() -> None:
    held = material(keeps={"opened": "30 d", "closed": "1 year"}, lots=[lot("1"), lot("2", use_by="2026-09-01")])
    assert [last_day(each, held) for each in held.lots] == [None, date(2026, 9, 1)]


ONE_WAY = {"a": material(kit=["b"]), "b": material(), "c": material()}
OTHER_WAY = {"a": material(), "b": material(kit=["a"]), "c": material()}
BOTH_WAYS = {"a": material(kit=["b"]), "b": material(kit=["a"]), "c": material()}


@pytest.mark.parametrize("materials", [ONE_WAY, OTHER_WAY, BOTH_WAYS])
def test_a_part_of_a_kit_waits_for_the_other_whichever_of_them_names_the_kit(materials: dict[str, Material]) -> None:
    assert kit_lacking(["a"], materials)
    assert kit_lacking(["b", "c"], materials)
    assert not kit_lacking(["a", "b"], materials)
    assert not kit_lacking(["c"], materials)


def test_one_of_several_partners_is_enough_for_a_kit() -> None:
    materials = {"a": material(kit=["fast", "slow"]), "fast": material(), "slow": material()}
    assert not kit_lacking(["a", "slow"], materials)
    assert kit_lacking(["a"], materials)
    assert kit_lacking(["slow"], materials)


@pytest.mark.parametrize("ways", [("a",), ("b",), ("a", "b")])
@pytest.mark.parametrize("order", [["a", "b"], ["b", "a"]])
def test_lots_apart_are_told_once_whichever_part_names_the_kit(ways: tuple[str, ...], order: list[str]) -> None:
    partner = {"a": "b", "b": "a"}
    number = {"a": "0214A", "b": "0215B"}
    held = {name: material(kit=[partner[name]] if name in ways else [], lots=[lot(number[name])]) for name in "ab"}
    assert [set(pair) for pair in kits_apart(order, held)] == [{"a", "b"}]
    assert list(kits_apart(["a"], held)) == []
    together = held | {"b": material(kit=["a"] if "b" in ways else [], lots=[lot("0214B")])}
    assert list(kits_apart(order, together)) == []


def test_parts_nobody_dated_are_not_of_one_day() -> None:
    one, other = material(lots=[lot("0214A")]), material(lots=[lot("0215B")])
    assert not same_kit(one.lots, other.lots)


def test_a_part_without_any_lot_is_never_apart_on_either_side() -> None:
    held = material(lots=[lot("0214A")])
    assert same_kit(held.lots, ())
    assert same_kit((), held.lots)


def test_what_is_left_adds_up_over_the_lots_in_use_and_empty_ones_hold_nothing() -> None:
    empty = lot("0", left="0 g", opened="2026-01-01")
    opened = [lot("1", left="100 g", opened="2026-01-01"), lot("2", left="50 g", opened="2026-02-01")]
    held = stock(material(lots=[empty, *opened, lot("3"), lot("4", left="0 g"), lot("5", left="0.5 g")]))
    assert held is not None
    assert (held.amount, held.unit, held.unknown, held.closed) == (150, "g", (), ("3", "5"))
    none = stock(material(lots=[empty]))
    assert none is not None
    assert (none.amount, none.unit, none.unknown, none.closed) == (0, "g", (), ())
    assert stock(material(lots=[lot("1"), lot("2")])) is None
    assert stock(material()) is None


@pytest.mark.parametrize(
    ("density", "lefts", "amount", "unit", "unknown"),
    [
        (None, ["100 ml", "50 ml"], 150, "ml", ()),
        (None, ["100 ml", "50 g"], 50, "g", ("0",)),
        (None, ["100 ml", None], 100, "ml", ("1",)),
        ("1.1 g/ml", ["100 ml", "50 g"], 160, "g", ()),
        ("1.1 g/ml", ["100 ml", None], 110, "g", ("1",)),
        (None, ["100-120 g"], 100, "g", ()),
    ],
)
def test_what_is_left_is_in_grams_where_a_weight_can_be_known(
    density: str | None, lefts: list[str | None], amount: int, unit: str, unknown: tuple[str, ...]
) -> None:
    lots = [lot(str(number), **({"left": left} if left else {})) for number, left in enumerate(lefts)]
    held = stock(material(lots=lots, **({"density": density} if density else {})))
    assert held is not None
    assert (held.amount, held.unit, held.unknown) == (Fraction(amount), unit, unknown)


@pytest.mark.parametrize(("amount", "code"), [(101, None), (100, None), (99, "too-little-left")])
def test_as_much_as_the_batch_needs_is_enough(amount: int, code: str | None) -> None:
    left = Stock(Fraction(amount), "g", (), ())
    need = Need("gel", left, ResolvedPart("gel", premix=False, mass=Fraction(50), volume=None), ())
    told = left_words("gel", need, Fraction(2), ())
    assert (told[0] if told else None) == code
