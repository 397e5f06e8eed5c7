"""The pages of days and appointments: where they are, what they say, who has them, and what a class reads on its day sheet."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from handouts.reading import pdf_of, words_of
from mothermold.pages.all_pages import addresses, page_at
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

REED = "reed-cutter"
PAGE = f"days/{REED}/2026-11-12.html"
BUILD_FILE = f"recipes/builds/{REED}/build.yaml"
OFF_FILE = f"recipes/builds/{REED}/runs/r-2026-08-24-face-application-3.yaml"
_LOTS = ("SA-204", "SR-88", "V-250")


def body(view: View, address: str = PAGE) -> str:
    page = page_at(view, address)
    assert page is not None, address
    return page.body


def words(view: View, address: str = PAGE) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", body(view, address)))


def rewritten(book: Path, file: str, before: str, after: str) -> View:
    text = (book / file).read_text(encoding="utf-8")
    assert before in text
    (book / file).write_text(text.replace(before, after), encoding="utf-8")
    return open_view(book, "private")


def test_the_owner_alone_has_pages_of_days(sample_view: Callable[[Edition], View]) -> None:
    mine = {each for each in addresses(sample_view("private")) if each.startswith(("days/", "appointments/"))}
    assert {PAGE, f"appointments/{REED}/head.html"} <= mine
    others: tuple[Edition, ...] = ("class", "public")
    for edition in others:
        view = sample_view(edition)
        assert not mine & addresses(view)
        assert all(page_at(view, each) is None for each in mine)
        for address in (f"builds/{REED}.html", "index.html", "recipes/application/full-face.html"):
            told = body(view, address)
            assert "days/" not in told
            assert "appointments/" not in told


def test_an_address_of_no_day_is_no_page(view: View) -> None:
    for address in (
        f"days/{REED}/2026-11-13.html",
        "days/nobody/2026-11-12.html",
        f"appointments/{REED}/nose.html",
        "days/x.html",
    ):
        assert page_at(view, address) is None


@pytest.mark.parametrize(
    "address", ["index.html", f"builds/{REED}.html", f"plans/{REED}.html", "recipes/application/full-face.html"]
)
def test_the_page_of_a_day_is_reached_from_home_build_plan_and_the_strip(view: View, address: str) -> None:
    assert re.search(rf'href="(?:\.\./)*(?:\./)?{PAGE}"', body(view, address)), address


def test_what_is_lacking_is_said_in_red_and_in_words(view: View, own_sample_book: Path) -> None:
    told = words(view)
    assert "Not ready: face" in told
    assert "no such piece is there: cast one" in told
    assert "were read and clear for W2 before this day. That is no promise" in told
    assert "the skin is asked again this morning" in told
    silent = rewritten(own_sample_book, OFF_FILE, "morning_after: available\n", "")
    assert "Nobody said how the skin was on the morning of 2026-08-25" in words(silent)
    gone = rewritten(
        own_sample_book,
        BUILD_FILE,
        "{material: adhesive-silicone, lot: SA-204}",
        "{material: adhesive-silicone, lot: SA-1}",
    )
    assert "Clear by name, and not by lot: 1 of 6 products" in words(gone)
    assert "in the lots in hand, were read" not in words(gone)


def test_a_day_of_which_no_run_tells_is_said_on_the_next(own_sample_book: Path) -> None:
    view = rewritten(
        own_sample_book,
        BUILD_FILE,
        "  - {day: 2026-11-12,",
        "  - {day: 2026-09-01, what: shoot, look: full}\n  - {day: 2026-11-12,",
    )
    assert "W2 was to be in the chair on 2026-09-01, and no run tells of it" in words(view)


def test_after_the_day_the_same_page_is_its_record(view: View) -> None:
    told = words(view, "days/saltpan-keeper/2026-06-15.html")
    order = ["What held, and what did not", "Planned, and as it was", "Touch-ups by hour and zone", "Meals, breaks, photos", "Pieces worn", "The morning after", "For the next day", "As it was planned"]  # fmt: skip
    places = [told.rindex(each) for each in order]
    assert places == sorted(places)
    assert "2026-06-16: available" in told
    assert "not available" in words(view, "days/saltpan-keeper/2026-06-16.html")


def test_a_class_reads_no_lot_and_no_morning_on_its_day_sheet(own_sample_book: Path) -> None:
    rewritten(own_sample_book, OFF_FILE, "morning_after: available", "morning_after: not available")
    mine = words_of(pdf_of(open_view(own_sample_book, "private"), REED, "day"))
    assert all(lot in mine for lot in _LOTS)
    assert "2026-08-24:notavailable" in mine
    for edition in ("class", "public"):
        told = words_of(pdf_of(open_view(own_sample_book, edition), REED, "day"))  # type: ignore[arg-type]
        assert not [lot for lot in _LOTS if lot in told]
        assert "2026-08-24:" not in told
        assert "Nobodysaidhowtheskinwas" not in told


def test_the_page_of_an_appointment_asks_and_has_no_field_to_answer_into(view: View) -> None:
    told = body(view, f"appointments/{REED}/head.html")
    assert not re.search(r"<(?:input|textarea|select|form)\b", told)
    for each in (
        "The stop sign",
        "How long at most",
        "How it comes off at once",
        "Kit",
        "What goes to the closed folder",
        "common practice, no source",
    ):
        assert each in told
    assert "v4 is in use now" in told
