"""Lots past their date, and parts of a kit that do not belong together."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from mothermold.model.material import Material
from mothermold.reckon.lots import last_day, lots_in_use, past_date, same_kit

TODAY = date(2026, 5, 1)


def material(**more: Any) -> Material:
    return Material.model_validate({"title": "Part A", "families": "platinum-silicone", **more})


def lot(number: str, **more: Any) -> dict[str, Any]:
    return {"lot": number, **more}


def test_the_opened_lot_is_the_one_in_use_unless_it_is_empty() -> None:
    held = material(lots=[lot("1", opened="2026-01-01", left="0 g"), lot("2", opened="2026-03-01"), lot("3")])
    assert [each.lot for each in lots_in_use(held)] == ["2"]
    assert [each.lot for each in lots_in_use(material(lots=[lot("1"), lot("2")]))] == ["1", "2"]


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
