"""The sheets of a build, and the one for the wall: what is worn, packed and done when, and what to do first where somebody is hurt."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from handouts.reading import pdf_of, squeezed, words_of
from mothermold.handouts.recipe_text import FIRST_OF_ALL
from mothermold.model.build import Build
from mothermold.trade.hurt import hurts
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

BUILD = "saltpan-keeper"


def sheet(view: View, kind: str) -> str:
    return words_of(pdf_of(view, BUILD, kind))


def test_the_look_sheet_tells_pieces_in_gluing_order_colors_by_zone_and_the_sheets_pinned(view: View) -> None:
    told, (look,) = sheet(view, "look"), view.models(Build)[BUILD].looks
    places = [told.index(f"{number}{each.thing}") for number, each in enumerate(look.pieces, start=1)]
    assert places == sorted(places)
    for ref in (*look.application, *look.wear, *look.removal):
        assert f"({ref})" in told
    for target in look.targets:
        assert squeezed(f"{target.zone}L {target.L}  a {target.a}  b {target.b}") in told
    assert "F-05(boxB3)" in told


def test_what_takes_it_off_is_packed_on_top(view: View) -> None:
    told = sheet(view, "packing")
    heads = ["whattakesitoff", "Toputiton", "Throughtheday", "Pieces", "Broughtbyothers"]
    places = [told.index(head) for head in heads]
    assert places == sorted(places)
    off = told[places[0] : places[1]]
    assert "Esterremoverforacrylicadhesive" in off
    assert "F-05,face,boxB3" in told


def test_a_day_goes_by_the_clock_from_the_chair_on_and_lists_only_patch_tests_read_before_it(view: View) -> None:
    told = sheet(view, "day")
    first = told[: told.index("2026-06-15:")]
    assert "Inthechair06:00;Readyat09:30(09:" in first
    assert "06:00−3:30Ask,look,wash" in first
    assert re.search(r"1[67]:\d\d(?:free)?Settlethewearer", first), "what comes off begins after wrap"
    read = re.findall(r"2026-0\d-\d\d(?=notwritten)", first)
    assert set(read) == {"2026-04-20"}, "a test read in June says nothing of April"


def test_steps_that_end_after_ready_are_said_and_so_is_a_wearer_without_a_patch_test(own_sample_book: Path) -> None:
    file = own_sample_book / f"recipes/builds/{BUILD}/build.yaml"
    text = (
        file.read_text(encoding="utf-8")
        .replace('ready: "09:30"', 'ready: "07:00"')
        .replace("ready: 09:30", "ready: 07:00")
    )
    file.write_text(re.sub(r"(?m)^cleared:.*\n(?:[ -].*\n)+", "", text), encoding="utf-8")
    told = sheet(open_view(own_sample_book, "private"), "day")
    assert "stepsend" in told
    assert "after“ready”" in told
    assert "NotclearforW1:" in told
    assert "Noneofitgoesonskin." in told
    assert "nopatchtestofitiswrittendown" in told


def test_the_sheet_for_the_wall_holds_every_act_and_whom_to_call(view: View) -> None:
    told = sheet(view, "emergency")
    for row in hurts().values():
        for line in (*row.acts, *row.never, *row.call):
            assert squeezed(line.words) in told, line.words
    assert told.index("Emergencynumber") < told.index("Whattodofirst") < told.index("Never,andwhentocall")
    assert "notadiagnosis" in told


def test_a_book_without_numbers_leaves_lines_to_write_them_on(own_sample_book: Path) -> None:
    file = own_sample_book / "recipes/book.yaml"
    file.write_text(re.sub(r"(?m)^emergency:.*\n(?: +.*\n)+", "", file.read_text(encoding="utf-8")), encoding="utf-8")
    told = sheet(open_view(own_sample_book, "private"), "emergency")
    assert "Nobodyhaswrittenthenumbersofthisplaceyet" in told


def test_a_risk_sheet_tells_each_caution_with_its_steps_the_vapor_and_the_sheets(
    view: View, sample_view: Callable[[Edition], View]
) -> None:
    told = words_of(pdf_of(view, "cast/face-piece", "risk"))
    assert squeezed(FIRST_OF_ALL) in told
    assert "At:2.Thinrelease,stippled;3.Spraytheencapsulant." in told
    assert "isopropanol120gOSHAPEL8h400ppm" in told
    assert "Safetysheets,binder2" in told
    public = words_of(pdf_of(sample_view("public"), "cast/face-piece", "risk"))
    assert "Emergencynumber" not in public
