"""Clearances count for their products and lots, of their wearer, read in time."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import FIRST, SECOND, start_repository
from mothermold.trade.skin import PATCH_TEST_DAYS, PATCH_TEST_HOURS
from mothermold.view.view import open_view
from view.looks import BUILD, CLEARED, lay_out, said, sheet, write

CODES = ("not-cleared", "cleared-too-late", "read-too-soon", "reading-not-known", "lot-not-cleared")
DAY = "days:\n  - {day: 2026-03-04, look: full}\n"
RUN = """\
id: r-2026-03-04-on
recipe: application/face@1
started: 2026-03-04 06:00
finished: 2026-03-04 09:00
look: full
day: 2026-03-04
outcome: good
lots:
  - {material: adhesive-acrylic, lot: LOT}
"""


def one(entry: str) -> str:
    """A build with one clearance."""
    return f"{BUILD}{DAY}cleared:\n  - {{{entry}}}\n"


def test_two_sheets_on_and_two_off_are_cleared_by_their_clearances(tmp_path: Path) -> None:
    assert said(lay_out(tmp_path, BUILD + DAY + CLEARED), *CODES) == []


def test_deleting_the_clearance_for_the_second_removal_is_found(tmp_path: Path) -> None:
    book = lay_out(tmp_path, BUILD + DAY + CLEARED.replace(", removal: removal/nose@1", ""))
    (notice,) = said(book, *CODES)
    assert (notice.code, notice.severity) == ("not-cleared", "warning")
    assert "for `remover-silicone` of" in notice.message


def test_one_clearance_may_name_several_sheets(tmp_path: Path) -> None:
    sheets = "application: [application/face@1, application/nose@1], removal: [removal/face@1, removal/nose@1]"
    assert said(lay_out(tmp_path, one(f"wearer: W1, {sheets}, tested: 2026-03-01, on: 2026-03-03")), *CODES) == []


def test_a_clearance_may_name_products_instead_of_sheets(tmp_path: Path) -> None:
    products = "adhesive-acrylic, adhesive-silicone, remover-ester, remover-silicone"
    book = lay_out(tmp_path, one(f"wearer: W1, products: [{products}], tested: 2026-03-01, on: 2026-03-03"))
    assert said(book, *CODES) == []
    fewer = one("wearer: W1, products: adhesive-acrylic, tested: 2026-03-01, on: 2026-03-03")
    write(book, "builds/night-watchman/build", fewer)
    (notice,) = said(book, *CODES)
    assert "for `adhesive-silicone`, `remover-silicone`, `remover-ester` of" in notice.message


@pytest.mark.parametrize(
    ("role", "on", "is_asked"),
    [
        ("glue", "back", True), ("attach", "back", True), ("remove", "back", True),
        ("prime", "back", False), ("paint", "back", False), ("prime", "skin", True), ("paint", "hair", True),
    ],
)  # fmt: skip
def test_what_glues_or_loosens_is_asked_for_wherever_it_lies_and_all_else_on_a_body(
    tmp_path: Path, role: str, on: str, is_asked: bool
) -> None:
    book = lay_out(tmp_path, BUILD + DAY + CLEARED.replace("application: application/face@1, ", ""))
    sheet(book, "application/face", "adhesive-acrylic", role=role, on=on, piece="face" if on == "back" else "")
    found = [notice.message for notice in said(book, "not-cleared")]
    assert any("`adhesive-acrylic`" in message for message in found) is is_asked


def test_a_product_that_is_not_in_the_book_is_an_unknown_reference(tmp_path: Path) -> None:
    book = lay_out(tmp_path, one("wearer: W1, products: adhesive-acrilic, tested: 2026-03-01, on: 2026-03-03"))
    (notice,) = said(book, "unknown-reference")
    assert "Did you mean `adhesive-acrylic`?" in notice.help


@pytest.mark.parametrize("read", ["2026-03-04", "2026-03-09"])
def test_read_on_the_first_day_or_after_it_is_too_late(tmp_path: Path, read: str) -> None:
    cleared = CLEARED.replace(
        "removal: removal/nose@1, tested: 2026-03-01, on: 2026-03-03",
        f"removal: removal/nose@1, tested: 2026-03-01, on: {read}",
    )
    book = lay_out(tmp_path, BUILD + DAY + cleared)
    (notice,) = said(book, *CODES)
    assert (notice.code, notice.severity, notice.line) == ("cleared-too-late", "warning", 19)
    for words in ("`adhesive-silicone` and `remover-silicone`", f"`{read}`", "`2026-03-04`", "`W1`", "`full`"):
        assert words in notice.message


def test_an_earlier_clearance_of_the_same_products_is_enough(tmp_path: Path) -> None:
    later = "  - {wearer: W1, application: application/nose@1, tested: 2026-05-01, on: 2026-05-03}\n"
    assert said(lay_out(tmp_path, BUILD + DAY + CLEARED + later), *CODES) == []


def test_what_was_worn_on_a_day_is_what_a_run_says(tmp_path: Path) -> None:
    # The look is pinned to a sheet whose glue came after the first day; that day was done by the version before.
    repository = start_repository(tmp_path / "book")
    laid = lay_out(tmp_path / "laid").joinpath("recipes")
    files = {f"recipes/{each.relative_to(laid).as_posix()}": each.read_text("utf-8") for each in laid.rglob("*.yaml")}
    repository.save(FIRST, files)
    nose = files["recipes/application/nose.yaml"]
    second = nose.replace("version: 1", "version: 2").replace("adhesive-silicone", "adhesive-spirit-gum")
    repository.save(SECOND, {"recipes/application/nose.yaml": second + "why: Another glue.\n"})
    build = "recipes/builds/night-watchman"
    later = "  - {wearer: W1, products: adhesive-spirit-gum, tested: 2026-05-01, on: 2026-05-03}\n"
    days = DAY + "  - {day: 2026-05-04, look: full}\n"
    pinned = BUILD.replace("application/nose@1", "application/nose@2")
    repository.write({f"{build}/build.yaml": pinned + days + CLEARED + later})
    (notice,) = said(tmp_path / "book", *CODES)
    assert (notice.code, "`2026-03-04`" in notice.message) == ("cleared-too-late", True)
    run = RUN.replace("application/face@1", "application/nose@1").replace("LOT", "20E5")
    repository.write({f"{build}/runs/r-2026-03-04-on.yaml": run})
    assert said(tmp_path / "book", *CODES) == []
    # What was done on another day, or for another look, says nothing of this one.
    for old, new in (("day: 2026-03-04", "day: 2026-05-04"), ("look: full", "look: half")):
        repository.write({f"{build}/runs/r-2026-03-04-on.yaml": run.replace(old, new)})
        assert [each.code for each in said(tmp_path / "book", *CODES)] == ["cleared-too-late"]


def test_a_day_counts_for_the_look_that_is_worn_on_it(tmp_path: Path) -> None:
    nobodys = "  - {id: other, wearer: W1, pieces: [{thing: nose}], application: application/nose@1}\n"
    late = CLEARED.replace(
        "removal: removal/nose@1, tested: 2026-03-01, on: 2026-03-03",
        "removal: removal/nose@1, tested: 2026-03-01, on: 2026-03-05",
    )
    days = "days:\n  - {day: 2026-03-04, look: LOOK}\n  - {day: 2026-03-09, look: full}\n"
    book = lay_out(tmp_path, BUILD + nobodys + days.replace("LOOK", "other") + late)
    assert ["`other`" in notice.message for notice in said(book, "cleared-too-late")] == [True]
    write(book, "builds/night-watchman/build", BUILD + nobodys + days.replace("LOOK", "full") + late)
    assert ["`full`" in notice.message for notice in said(book, "cleared-too-late")] == [True]


@pytest.mark.parametrize(
    ("tested", "read", "gap"),
    [("2026-03-02", "2026-03-03", "less than 48 hours later"), ("2026-03-03", "2026-03-02", "before it was put on")],
)
def test_read_too_soon_is_said_with_both_days(tmp_path: Path, tested: str, read: str, gap: str) -> None:
    book = lay_out(
        tmp_path,
        BUILD + DAY + CLEARED.replace("tested: 2026-03-01, on: 2026-03-03", f"tested: {tested}, on: {read}", 1),
    )
    (notice,) = said(book, *CODES)
    assert (notice.code, notice.severity, notice.line) == ("read-too-soon", "warning", 18)
    assert notice.message == f"The patch of `W1` was put on `{tested}` and read `{read}`, {gap}."


def test_two_days_are_48_hours(tmp_path: Path) -> None:
    assert PATCH_TEST_DAYS * 24 == PATCH_TEST_HOURS == 48
    book = lay_out(tmp_path, BUILD + DAY + CLEARED.replace("tested: 2026-03-01", "tested: 2026-02-28"))
    assert said(book, *CODES) == []


@pytest.mark.parametrize(
    ("dates", "asked"),
    [
        (", on: 2026-03-03", "Type `tested`, the day the patch was put on."),
        (", tested: 2026-03-01", "Type `on`, the day it was read."),
        ("", "Type `tested`, the day the patch was put on, and `on`, the day it was read."),
    ],
)
def test_a_clearance_without_its_days_is_no_all_clear(tmp_path: Path, dates: str, asked: str) -> None:
    book = lay_out(tmp_path, BUILD + DAY + CLEARED.replace(", tested: 2026-03-01, on: 2026-03-03", dates, 1))
    (notice,) = said(book, *CODES)
    assert (notice.code, notice.severity, notice.help) == ("reading-not-known", "advice", asked)
    assert "cannot be seen" in notice.message


def test_another_lot_than_was_tried_is_said_where_the_run_notes_it(tmp_path: Path) -> None:
    lots = "{wearer: W1, lots: [{material: adhesive-acrylic, lot: 20E5}], tested: 2026-03-01, on: 2026-03-03}"
    book = lay_out(tmp_path, BUILD + DAY + CLEARED + f"  - {lots}\n")
    run = "builds/night-watchman/runs/r-2026-03-04-on"
    write(book, run, RUN.replace("LOT", "20E5"))
    assert said(book, *CODES) == []
    write(book, run, RUN.replace("LOT", "20F9"))
    (notice,) = said(book, *CODES)
    assert (notice.code, notice.severity, notice.line) == ("lot-not-cleared", "warning", 9)
    assert notice.file == f"recipes/{run}.yaml"
    assert "`20F9`" in notice.message
    assert "`20E5`" in notice.message
    # Where no lot was written down for a product, any lot of it counts.
    write(book, "builds/night-watchman/build", BUILD + DAY + CLEARED)
    assert said(book, *CODES) == []


def test_a_lot_tried_after_the_day_says_nothing_of_it(tmp_path: Path) -> None:
    lots = "  - {wearer: W1, lots: [{material: adhesive-acrylic, lot: LOT}], tested: 2026-03-01, on: READ}\n"
    early, late = lots.replace("LOT", "20E5").replace("READ", "2026-03-03"), lots.replace("LOT", "20F9")
    book = lay_out(tmp_path, BUILD + DAY + CLEARED + early + late.replace("READ", "2026-03-04"))
    write(book, "builds/night-watchman/runs/r-2026-03-04-on", RUN.replace("LOT", "20F9"))
    assert [notice.code for notice in said(book, *CODES)] == ["lot-not-cleared"]
    write(book, "builds/night-watchman/build", BUILD + DAY + CLEARED + early + late.replace("READ", "2026-03-03"))
    assert said(book, *CODES) == []


def test_lots_written_later_leave_days_alone_that_counted_on_any_lot(tmp_path: Path) -> None:
    later = "  - {wearer: W1, lots: [{material: adhesive-acrylic, lot: 20F9}], tested: 2026-05-01, on: 2026-05-03}\n"
    book = lay_out(tmp_path, BUILD + DAY + CLEARED + later)
    write(book, "builds/night-watchman/runs/r-2026-03-04-on", RUN.replace("LOT", "20E5"))
    assert said(book, *CODES) == []
    # Where nothing at all was read before that day, the lot that was tried since is another one all the same.
    alone = CLEARED.replace("application: application/face@1, ", "") + later
    write(book, "builds/night-watchman/build", BUILD + DAY + alone)
    assert [notice.code for notice in said(book, *CODES)] == ["cleared-too-late", "lot-not-cleared"]


def test_a_look_that_names_nobody_is_the_only_wearers(tmp_path: Path) -> None:
    book = lay_out(tmp_path, BUILD.replace("    wearer: W1\n", ""))
    assert [(notice.code, "`W1`" in notice.message) for notice in said(book, *CODES)] == [("not-cleared", True)]
    write(
        book,
        "builds/night-watchman/build",
        BUILD.replace("    wearer: W1\n", "").replace("wearers: [W1]", "wearers: [W1, W2]"),
    )
    (notice,) = said(book, *CODES)
    assert (notice.severity, notice.message.startswith("Nothing says who wears the look `full`")) == ("advice", True)


def test_a_version_without_a_text_is_not_known_and_not_cleared(tmp_path: Path) -> None:
    book = lay_out(tmp_path, (BUILD + DAY + CLEARED).replace("removal/nose@1", "removal/nose@7"))
    assert [(notice.code, notice.severity) for notice in said(book, *CODES)] == [("not-cleared", "advice")]


def test_an_edition_tells_no_day_of_a_product_it_hides(tmp_path: Path) -> None:
    book = lay_out(tmp_path, BUILD + DAY + CLEARED.replace("on: 2026-03-03", "on: 2026-03-04"))
    assert len(said(book, "cleared-too-late")) == 2
    hidden = book / "recipes/materials/remover-silicone.yaml"
    hidden.write_text(hidden.read_text(encoding="utf-8").replace("public", "private"), encoding="utf-8")
    assert not any("silicone" in notice.message for notice in open_view(book, "public").notices if notice.code in CODES)


@pytest.mark.parametrize(("product", "is_asked"), [("water", False), ("soap", True), ("tape", True), ("nobody", False)])
def test_water_and_what_the_book_does_not_hold_are_tried_on_nobody(
    tmp_path: Path, product: str, is_asked: bool
) -> None:
    book = lay_out(tmp_path, BUILD + DAY + CLEARED)
    sheet(book, "wear/face", product, role="clean")
    worn = BUILD.replace("    removal:", "    wear: wear/face@1\n    removal:")
    write(book, "builds/night-watchman/build", worn + DAY + CLEARED)
    found = [notice.message for notice in said(book, "not-cleared")]
    assert [f"`{product}`" in message for message in found] == [True] * is_asked
