"""Every kind of handout: tagged for who cannot see it, the same bytes twice, in letters the fonts have, and never read as code."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from campaigns.seeds import thinned
from handouts.reading import made, pdf_of, reader, squeezed, structure, words_of
from mothermold.ground.errors import CannotRunError
from mothermold.handouts import typesetting
from mothermold.handouts.command import make_handout
from mothermold.handouts.kinds import KINDS
from mothermold.handouts.sheaf import Paper, Sheaf, SheetLeaf
from mothermold.handouts.typesetting import NO_GLYPH, print_sheaf, seen
from mothermold.view.view import View, open_view

SUBJECTS = {"recipe": "cast/face-piece", "course": "silicone-pieces-autumn-2026", "build": "saltpan-keeper"}
EVERY = [(of, kind) for subject, of in SUBJECTS.items() for kind, row in KINDS.items() if subject in row.makers]
HOSTILE = [
    '#import "x": y',
    "$a^2$",
    "\\u{41} \\",
    "@x",
    "<a>",
    "*b* _c_",
    "#sys.inputs",
    "= Head",
    "/* c */",
    "`#raw`",
]


@pytest.mark.parametrize(("of", "kind"), thinned(EVERY, 3))
def test_a_handout_is_tagged_with_title_language_and_words_for_every_picture(view: View, of: str, kind: str) -> None:
    pdf = pdf_of(view, of, kind)
    read = reader(pdf)
    root: Any = read.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert read.metadata is not None
    assert read.metadata.title
    assert b"pdfuaid:part" in root["/Metadata"].get_data()
    told = structure(pdf)
    kinds = [str(element["/S"]) for element in told]
    assert "/P" in kinds
    figures = [element for element in told if element["/S"] == "/Figure"]
    assert all(str(element.get("/Alt", "")).strip() for element in figures)
    if kind in ("student", "risk", "labels", "look"):
        assert figures
    if kind in ("student", "look", "teacher"):
        assert {"/Table", "/TH", "/TD", "/H1", "/H2"} <= set(kinds)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_same_is_the_same_bytes_on_paper_of_its_size(view: View, sample_book: Path, paper: Paper) -> None:
    one = pdf_of(view, "cast/face-piece", None, paper)
    assert one == pdf_of(open_view(sample_book, "private"), "cast/face-piece", None, paper)
    wide, tall = reader(one).pages[0].mediabox[2:]
    assert (round(float(wide)), round(float(tall))) == {"a4": (595, 842), "letter": (612, 792)}[paper]
    assert str(sample_book).encode() not in one


def leaf_of(*lines: str) -> Sheaf:
    blocks = [
        {"is": "title", "words": list(lines), "below": [["strong", list(lines)]]},
        *({"is": "para", "style": "", "words": [line]} for line in lines),
        {"is": "table", "columns": [[line, ""] for line in lines], "rows": [[[line] for line in lines]], "torn": False},
        {"is": "code", "text": "\n".join(lines)},
    ]
    return Sheaf(lines[0], "x", [SheetLeaf("Sheet", lines[0], list(lines), blocks)])


@pytest.mark.parametrize("line", HOSTILE)
def test_what_looks_like_code_is_printed_as_it_stands(view: View, line: str) -> None:
    sheet = words_of(print_sheaf(view, leaf_of(line), "a4").pdf)
    assert sheet.count(squeezed(line)) >= 5
    assert reader(print_sheaf(view, leaf_of(line), "a4").pdf).metadata.title == line  # type: ignore[union-attr]


def test_hostile_words_of_a_recipe_stand_on_its_sheet_as_they_were_typed(own_sample_book: Path) -> None:
    file = own_sample_book / "recipes/cast/ear-tip.yaml"
    step = "- {id: fill, title: 'Fill #import \"x\" $y$ @z <a> \\'}"
    file.write_text(
        f"title: 'Ear #eval(\"1\") \\ $x$'\nstage: cast\nversion: 1\nstatus: draft\nneeds: ['#panic() _a_']\nsteps:\n  {step}\n"
    )
    sheet = words_of(pdf_of(open_view(own_sample_book, "private"), "cast/ear-tip"))
    assert 'Ear#eval("1")\\$x$' in sheet
    assert 'Fill#import"x"$y$@z<a>\\' in sheet
    assert "#panic()a" in sheet


def test_a_letter_no_font_has_becomes_a_box_and_a_notice(own_sample_book: Path) -> None:
    file = own_sample_book / "recipes/cast/ear-tip.yaml"
    file.write_text(
        "title: Ear tip 漢 → ≤ 5 mm\nstage: cast\nversion: 1\nstatus: draft\nsteps:\n  - {id: fill, title: Fill}\n"
    )
    handout = made(open_view(own_sample_book, "private"), "cast/ear-tip")
    assert f"Eartip{NO_GLYPH}→≤5mm" in words_of(handout.printed.pdf)
    (told,) = [notice for notice in handout.notices if notice.code == "letter-not-printed"]
    assert "漢 (U+6F22)" in told.message
    assert told.severity == "warning"


def test_no_font_of_the_computer_is_looked_at(view: View) -> None:
    fonts = {
        str(font["/BaseFont"]).partition("+")[2]
        for page in reader(pdf_of(view, "cast/face-piece")).pages
        for font in fonts_of(page)
    }
    assert fonts <= {
        "AtkinsonHyperlegibleNext-Regular",
        "AtkinsonHyperlegibleNext-Bold",
        "Besley-SemiBold",
        "DejaVuSansMono",
    }


def fonts_of(page: Any) -> list[Any]:
    return [font.get_object() for font in page["/Resources"].get("/Font", {}).values()]


def test_a_drawing_the_layout_does_not_take_is_told_in_words_and_the_rest_is_printed(own_sample_book: Path) -> None:
    folder = own_sample_book / "recipes/pictures"
    (folder / "flat.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="0" height="0"/>')
    (own_sample_book / "recipes/cast/ear-tip.yaml").write_text(
        "title: Ear tip\nstage: cast\nversion: 1\nstatus: draft\n"
        "steps:\n  - {id: fill, title: Fill, pictures: [{file: flat.svg, alt: The flat mold}]}\n"
    )
    sheet = words_of(pdf_of(open_view(own_sample_book, "private"), "cast/ear-tip"))
    assert "Theflatmold(thepictureflat.svgcannotbeprinted)" in sheet


def test_what_is_longer_than_a_page_is_torn_and_no_word_of_it_lost(own_sample_book: Path) -> None:
    long = " ".join(f"word{number}" for number in range(1500))
    (own_sample_book / "recipes/cast/ear-tip.yaml").write_text(
        "title: Ear tip\nstage: cast\nversion: 1\nstatus: draft\nsteps:\n  - id: fill\n    title: Fill\n    check: Good.\n"
        f"  - id: open\n    title: Open\n    check: >-\n      {long}\n"
    )
    view = open_view(own_sample_book, "private")
    for kind in ("student", "teacher", "bench"):
        sheet = words_of(pdf_of(view, "cast/ear-tip", kind))
        assert squeezed(long) in sheet, kind


def test_the_bench_card_stands_on_one_side_in_the_largest_letters_that_fit(view: View) -> None:
    handout = made(view, "cast/face-piece", "bench")
    assert handout.printed.pages == 1
    assert handout.printed.fits


def test_a_card_too_long_for_one_side_is_printed_all_the_same_and_says_so(own_sample_book: Path) -> None:
    file = own_sample_book / "recipes/cast/ear-tip.yaml"
    steps = "".join(f"  - {{id: s{number}, title: Step {number}, check: It looks right.}}\n" for number in range(90))
    file.write_text(f"title: Ear tip\nstage: cast\nversion: 1\nstatus: draft\nsteps:\n{steps}")
    handout = made(open_view(own_sample_book, "private"), "cast/ear-tip", "bench")
    assert handout.printed.pages > 1
    assert [notice.severity for notice in handout.notices if notice.code == "card-too-long"] == ["advice"]
    assert "Step89" in words_of(handout.printed.pdf)


def test_without_the_extra_it_cannot_run_and_says_what_to_install(view: View, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "typst", None)
    typesetting._with_fonts.cache_clear()
    with pytest.raises(CannotRunError, match=r"mothermold\[print\]"):
        make_handout(view, "cast/face-piece", None, "a4")


def test_words_that_stand_back_and_signs_are_dark_enough_in_gray(view: View) -> None:
    for block in (
        {"is": "para", "style": "", "words": [["quiet", ["set back"]]]},
        {"is": "para", "style": "", "words": [["below", ["set back"]]]},
        {"is": "caution", "brief": False, "signs": ["flame"], "words": []},
    ):
        (page,) = seen(view, Sheaf("x", "x", [SheetLeaf("", "", [], [block])]), "a4", 10, 120)
        body = Image.open(io.BytesIO(page)).convert("L").crop((0, 90, 992, 1200))
        darkest = body.getextrema()[0]
        assert isinstance(darkest, int)
        assert darkest <= 0x59, "a gray of 7 to 1 on white, as WCAG 2.2 asks at its strictest"
