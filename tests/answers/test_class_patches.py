"""Whose patch test the book knows of in a class, by code: nothing is cleared by silence, and only the owner is told."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from handouts.reading import pdf_of, squeezed, words_of
from mothermold.answers.class_patches import StudentPatches, class_patches
from mothermold.model.course import Course
from mothermold.pages.documents import document_page
from mothermold.view.view import open_view

NAME = "silicone-pieces-autumn-2026"
RUN = (
    "id: {name}\nrecipe: cast/face-piece@4\ncourse: {course}\nstarted: 2026-10-27 10:00\nwho: [{who}]\noutcome: good\n"
)
PRODUCTS = "application: application/full-face@5\n    wear: wear/full-day@4\n    removal: removal/full-face@4"


def laid(book: Path, cleared: str, *codes: str) -> dict[str, StudentPatches]:
    """The book with runs of a class under these codes, and a build that clears somebody."""
    for number, code in enumerate(codes):
        name = f"r-2026-10-27-table-{number}"
        (book / "recipes/runs" / f"{name}.yaml").write_text(RUN.format(name=name, course=NAME, who=code), "utf-8")
    folder = book / "recipes/builds/class-2026"
    folder.mkdir()
    (folder / "build.yaml").write_text(f"title: The class\nthings: []\ncleared:\n{cleared}", "utf-8")
    told = class_patches(open_view(book, "private"), NAME)
    assert told is not None
    assert told.by == date(2026, 11, 10)
    return {each.code: each for each in told.students}


def test_who_has_a_clear_reading_before_the_day_is_told_and_everybody_else_has_nothing(own_sample_book: Path) -> None:
    cleared = (
        f"  - wearer: S01\n    {PRODUCTS}\n    tested: 2026-10-20\n    on: 2026-10-23\n"
        "  - wearer: S02\n    products: [adhesive-acrylic]\n    tested: 2026-10-20\n    on: 2026-10-22\n"
        # Read too soon, read on the day itself, never written whether it was read: none of these counts.
        f"  - wearer: S03\n    {PRODUCTS}\n    tested: 2026-10-20\n    on: 2026-10-21\n"
        f"  - wearer: S04\n    {PRODUCTS}\n    tested: 2026-11-07\n    on: 2026-11-10\n"
        f"  - wearer: S05\n    {PRODUCTS}\n    on: 2026-10-22\n"
        f"  - wearer: S06\n    {PRODUCTS}\n    tested: 2026-10-20\n"
    )
    told = laid(own_sample_book, cleared, "S01", "S02", "S03, S01", "S04", "S05", "S06", "S07")
    assert list(told) == ["S01", "S02", "S03", "S04", "S05", "S06", "S07"]
    assert (told["S01"].runs, told["S07"].runs) == (2, 1)
    assert told["S01"].lacking == ()
    assert len(told["S01"].clear) > 3
    assert {day for _product, day in told["S01"].clear} == {date(2026, 10, 23)}
    assert told["S02"].clear == (("adhesive-acrylic", date(2026, 10, 22)),)
    for code in ("S03", "S04", "S05", "S06", "S07"):
        assert told[code].clear == ()
        assert told[code].lacking == tuple(product for product, _day in told["S01"].clear)


def test_page_and_sheet_tell_the_owner_alone_and_say_of_whom_nothing_is_known(own_sample_book: Path) -> None:
    laid(
        own_sample_book, f"  - wearer: S01\n    {PRODUCTS}\n    tested: 2026-10-20\n    on: 2026-10-23\n", "S01", "S09"
    )
    view = open_view(own_sample_book, "private")
    page = re.sub(r"<[^>]+>", "", document_page(view, "course", NAME).body)
    assert "all is on record" in page
    assert re.search(r"S09\s*1\s*nothing", page)
    assert "10 of 12 students are named by no run of this course yet" in page
    sheet = words_of(pdf_of(view, NAME, "consent"))
    assert squeezed("Of 10 more who take part no run names a code: of them nothing is known.") in sheet
    assert "S09nothing" in sheet
    for edition in ("class", "public"):
        narrow = open_view(own_sample_book, edition)
        if NAME in narrow.models(Course):
            assert "S09" not in document_page(narrow, "course", NAME).body
            blank = words_of(pdf_of(narrow, NAME, "consent"))
            assert "S09" not in blank
            assert squeezed("Patch put on") in blank


def test_where_no_run_names_anybody_nobody_is_cleared_by_that(own_sample_book: Path) -> None:
    view = open_view(own_sample_book, "private")
    told = class_patches(view, NAME)
    assert told is not None
    assert (told.students, told.unnamed) == ((), 12)
    assert "nobody is cleared by not standing here" in document_page(view, "course", NAME).body
    assert "sonothingisknownofanybody" in words_of(pdf_of(view, NAME, "consent"))


def test_a_course_that_puts_nothing_on_anybody_has_no_record(own_sample_book: Path) -> None:
    (own_sample_book / f"recipes/courses/{NAME}.yaml").write_text("title: Short\npins: [cast/face-piece@4]\n", "utf-8")
    view = open_view(own_sample_book, "private")
    assert class_patches(view, NAME) is None
    assert "Consent and patch tests" not in document_page(view, "course", NAME).body
    assert "comesontoanybody" in words_of(pdf_of(view, NAME, "consent"))
