"""The sheet of a day: who may be glued with what, whose hands when, how it comes off again, what the morning after said."""

from __future__ import annotations

import itertools
import re
from datetime import date
from pathlib import Path

import pytest

from mothermold.answers.appointment import appointment, cast_from_life, covered_minutes
from mothermold.answers.day_clock import LONG_SIT
from mothermold.answers.day_record import day_record
from mothermold.answers.day_sheet import DaySheet, LookDay, day_sheet, days_of
from mothermold.model.build import Build
from mothermold.trade.appointment import appointment_lines
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

REED = "reed-cutter"
LAST, COMING = date(2026, 8, 24), date(2026, 11, 12)
BUILD_FILE = f"recipes/builds/{REED}/build.yaml"
OFF_FILE = f"recipes/builds/{REED}/runs/r-2026-08-24-face-application-3.yaml"


def of(view: View, build: str = REED, day: date = COMING) -> tuple[DaySheet, LookDay]:
    sheet = day_sheet(view, view.of(Build)[build], day)
    (look,) = sheet.looks
    return sheet, look


def changed(book: Path, file: str, pattern: str, by: str) -> View:
    """The book with one place of a file written otherwise; the pattern must be there."""
    text = (book / file).read_text(encoding="utf-8")
    found, count = re.subn(pattern, by, text, count=1)
    assert count == 1, pattern
    (book / file).write_text(found, encoding="utf-8")
    return open_view(book, "private")


def unclear(view: View) -> dict[str, tuple[str, str]]:
    return {each.read.product: (each.read.reading, each.lots) for each in of(view)[1].clear if not each.is_clear}


def test_every_product_is_clear_only_where_it_was_read_in_time_and_its_lot_was_tried(view: View) -> None:
    _sheet, look = of(view)
    assert {each.read.product for each in look.clear} >= {"adhesive-acrylic", "adhesive-silicone", "remover-silicone"}
    assert unclear(view) == {}


def test_a_lot_nobody_tried_is_not_clear(own_sample_book: Path) -> None:
    view = changed(own_sample_book, BUILD_FILE, r"lot: SA-204\}", "lot: SA-199}")
    assert unclear(view) == {"adhesive-silicone": ("clear", "not tried")}


def test_where_no_lot_is_written_it_is_not_known_and_so_not_clear(own_sample_book: Path) -> None:
    view = changed(own_sample_book, BUILD_FILE, r" *- \{material: remover-silicone, lot: SR-88\}\n", "")
    assert unclear(view) == {"remover-silicone": ("clear", "not known")}


@pytest.mark.parametrize(("on", "reading"), [("2026-11-12", "too late"), ("2026-10-03", "too soon"), ("", "not read")])
def test_a_patch_read_late_early_or_not_at_all_keeps_its_product_off(
    own_sample_book: Path, on: str, reading: str
) -> None:
    text = (own_sample_book / BUILD_FILE).read_text(encoding="utf-8")
    # Only the last clearance is left, so that nothing else covers it.
    only = re.sub(r"(?m)^  - \{wearer: W2, application:.*\n", "", text)
    (own_sample_book / BUILD_FILE).write_text(only, encoding="utf-8")
    view = changed(own_sample_book, BUILD_FILE, r"    on: 2026-10-05\n", f"    on: {on}\n" if on else "")
    assert {state for state, _lots in unclear(view).values()} == {reading}
    assert len(unclear(view)) == len(of(view)[1].clear)


def test_glues_come_off_in_reverse_of_their_order_each_with_its_own_remover(view: View) -> None:
    _sheet, look = of(view)
    put_on = [(str(each.ref), str(each.step.id)) for each in look.glues]
    back = [(str(each.ref), str(each.step.id)) for way in look.back for each in reversed(way.put_on)]
    assert back == put_on[::-1]
    by_glue = {(way.glue, name) for way in look.back for off in way.off for _step, names in off.steps for name in names}
    assert ("adhesive-silicone", "remover-silicone") in by_glue
    assert ("adhesive-silicone", "remover-ester") not in by_glue
    assert ("adhesive-acrylic", "remover-ester") in by_glue


def test_hands_are_never_at_two_things_and_never_more_than_there_are(view: View) -> None:
    for name, document in view.of(Build).items():
        for day in days_of(document.model):
            sheet = day_sheet(view, view.of(Build)[name], day)
            for hand in range(sheet.clock.hands):
                mine = sorted((row.start, row.end) for row in sheet.clock.rows if hand in row.hands)
                assert all(before[1] <= after[0] for before, after in itertools.pairwise(mine)), (name, day)
            assert all(len(row.hands) == min(row.wanted, sheet.clock.hands) for row in sheet.clock.rows)


def test_ready_counts_back_to_the_latest_chair(view: View) -> None:
    _sheet, look = of(view)
    clock = look.clock
    assert clock.latest is not None
    assert clock.ready is not None
    assert clock.latest - clock.chair == clock.ready - clock.done
    assert clock.longest_sit > LONG_SIT, "the sheets it is pinned to have no break yet"


def test_breaks_end_a_sitting(own_sample_book: Path) -> None:
    before = of(open_view(own_sample_book, "private"))[1].clock.longest_sit
    after = of(
        changed(
            own_sample_book,
            BUILD_FILE,
            r"\[application/full-face@4, application/nose@2\]       #",
            "[application/full-face@5, application/nose@3]       #",
        )
    )
    assert after[1].clock.longest_sit < before
    assert any(row.is_break for row in after[0].clock.rows)


def test_nobody_asked_on_the_morning_after_is_said(own_sample_book: Path) -> None:
    view = open_view(own_sample_book, "private")
    before = of(view)[1].before
    assert before is not None
    assert (before.day, before.morning) == (LAST, "available")
    silent = of(changed(own_sample_book, OFF_FILE, r"morning_after: available\n", ""))[1].before
    assert silent is not None
    assert silent.morning is None
    assert "morning-not-asked" in {each.code for each in open_view(own_sample_book, "private").notices}


def test_not_available_stands_until_a_patch_is_read_anew(own_sample_book: Path) -> None:
    view = changed(own_sample_book, OFF_FILE, "morning_after: available", "morning_after: not available")
    before = of(view)[1].before
    assert before is not None
    assert before.is_cleared_since
    assert "not-available" not in {each.code for each in view.notices}
    view = changed(own_sample_book, BUILD_FILE, r"    on: 2026-10-05\n", "    on: 2026-08-20\n")
    assert "not-available" in {each.code for each in view.notices}


@pytest.mark.parametrize("edition", ["class", "public"])
def test_no_other_edition_hears_of_a_morning(own_sample_book: Path, edition: Edition) -> None:
    changed(own_sample_book, OFF_FILE, "morning_after: available", "morning_after: not available")
    changed(own_sample_book, BUILD_FILE, r"    on: 2026-10-05\n", "    on: 2026-08-20\n")
    view = open_view(own_sample_book, edition)
    assert not {"not-available", "morning-not-asked"} & {each.code for each in view.notices}
    assert all("morning" not in each.message for each in view.notices)


def test_a_record_tells_times_touch_ups_meals_pieces_and_the_morning(view: View) -> None:
    sheet, look = of(view, "saltpan-keeper", date(2026, 6, 15))
    record = day_record(view, sheet, look, view.day)
    assert record is not None
    assert record.is_over
    assert {row.what: row.late for row in record.times}["In the chair"] == 0
    at = [touch.at for _run, touch in record.mended]
    assert at == sorted(at, key=str)
    assert {moment.what for _run, moment in record.moments} == {"meal", "photo"}
    assert {str(each.used.piece): each.piece is not None for each in record.pieces} == dict.fromkeys(
        ("BL-02", "BR-02", "F-03"), True
    )
    assert record.morning == "available"


def test_a_record_is_of_the_versions_that_were_done(view: View) -> None:
    _sheet, look = of(view, "saltpan-keeper", date(2026, 6, 15))
    assert "application/full-face@3" in map(str, look.look.application), "the look says @4 since"


def test_a_day_before_it_has_no_record(view: View) -> None:
    sheet, look = of(view)
    assert day_record(view, sheet, look, view.day) is None


def test_an_appointment_knows_how_long_the_face_is_covered(view: View) -> None:
    document = view.of(Build)[REED]
    assert cast_from_life(document.model) == ["head"]
    told = appointment(view, document, "head")
    assert told is not None
    assert told.recipe is not None
    assert told.people == 2
    # Corners, the second bowl and its setting, the bandage and its setting, leaning out.
    assert told.covered == covered_minutes(told.recipe) == 2 + (4 + 2) + (7 + 5) + 3
    assert told.kit
    assert appointment(view, document, "nose") is None


def test_each_line_of_an_appointment_says_why_and_where_it_is_from() -> None:
    lines = appointment_lines()
    assert set(lines) == {"asked", "on_the_day", "there", "stop", "limit", "closed_folder", "book_holds"}
    for each in (line for group in lines.values() for line in group):
        assert each.what
        assert each.why.endswith(".")
        assert each.source
    asked = " ".join(each.what for each in lines["asked"]).casefold()
    for word in ("touch", "covered face", "nose", "lenses", "jewelry", "allergies"):
        assert word in asked
