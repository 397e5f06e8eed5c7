"""Labels: every mold in use, every piece that is there, jars and lots; their square codes are those of the words beside them."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
import segno
from PIL import Image

from handouts.reading import made, words_of
from mothermold.answers.pieces import pieces_of
from mothermold.handouts.kinds import KINDS, PrintWish
from mothermold.handouts.label_sheets import LABEL_SHEETS, usual_labels
from mothermold.handouts.labels import QUIET, coded
from mothermold.handouts.typesetting import seen
from mothermold.view.editions import Edition
from mothermold.view.view import View

PPI = 200


def sheaf(view: View, **how: object):  # type: ignore[no-untyped-def]
    return KINDS["labels"].makers["build"](PrintWish(view, "saltpan-keeper", **how))  # type: ignore[arg-type]


def test_molds_pieces_jars_and_lots_have_a_label_and_what_is_gone_has_none(view: View) -> None:
    sheet = words_of(made(view, "saltpan-keeper", "labels").printed.pdf)
    assert "face-mold-2Facemold2mold/face-mold@2made2026-03-11dry7.42kg(2026-03-27);holds207mlshelfC2" in sheet
    assert "face-mold-1" not in sheet
    for each in pieces_of(view, "saltpan-keeper"):
        assert (f"piece{each.kept.piece}saltpan-keeper" in sheet) == each.is_there
    assert "jarsoftened-acast/face-piece@4" in sheet
    assert "lot20E5deadener" in sheet


def test_another_edition_has_no_lots(sample_view: Callable[[Edition], View]) -> None:
    sheet = words_of(made(sample_view("class"), "saltpan-keeper", "labels").printed.pdf)
    assert "lot20E5" not in sheet
    assert "pieceF-05" in sheet


@pytest.mark.parametrize("name", LABEL_SHEETS)
def test_every_square_code_on_the_page_is_the_code_of_its_words(view: View, name: str) -> None:
    measures = LABEL_SHEETS[name]
    handout = sheaf(view, label_sheet=name)
    page = Image.open(io.BytesIO(seen(view, handout, measures.paper, 10, PPI)[0])).convert("L")
    side = min(measures.height - 5, 26)
    for place, label in enumerate(handout.labels[: measures.across * measures.down]):
        row, column = divmod(place, measures.across)
        left = measures.left + column * (measures.width + measures.gap) + 3
        top = measures.top + row * measures.height + (measures.height - side) / 2
        code = segno.make(label["code"], error="m", micro=False)
        fields = [[bool(field) for field in line] for line in code.matrix_iter(border=QUIET)]
        assert read_back(page, left, top, side, len(fields)) == fields, label["code"]


def read_back(page: Image.Image, left: float, top: float, side: float, fields: int) -> list[list[bool]]:
    """The fields of a code as a camera would see them: dark or light at the middle of each."""
    scale, field = PPI / 25.4, side / fields
    return [
        [
            page.getpixel((round((left + (x + 0.5) * field) * scale), round((top + (y + 0.5) * field) * scale))) < 128
            for x in range(fields)
        ]  # type: ignore[operator]
        for y in range(fields)
    ]


def test_a_drawn_code_has_the_margin_a_camera_needs() -> None:
    side = len(list(segno.make("x", error="m", micro=False).matrix_iter(border=QUIET)))
    assert f'viewBox="0 0 {side} {side}"' in coded("x")


def test_labels_used_up_already_are_left_out(view: View) -> None:
    assert sheaf(view, used=5).labels[:6] == [*[None] * 5, sheaf(view).labels[0]]


def test_the_usual_sheet_is_one_of_its_paper() -> None:
    assert {usual_labels("a4"), usual_labels("letter")} == {"70x37", "2.625x1in"}
    for sheet in LABEL_SHEETS.values():
        wide, tall = {"a4": (210, 297), "letter": (215.9, 279.4)}[sheet.paper]
        assert sheet.left + sheet.across * sheet.width + (sheet.across - 1) * sheet.gap <= wide + 0.01
        assert sheet.top + sheet.down * sheet.height <= tall + 0.01
