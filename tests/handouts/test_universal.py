"""Every kind of handout on both papers fails no condition of PDF/UA-1 that a program can see; and the program sees each of them."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DecodedStreamObject, DictionaryObject, NameObject

from campaigns.seeds import thinned
from handouts.reading import pdf_of
from handouts.test_what_is_laid_out import EVERY
from handouts.universal import failures
from mothermold.handouts.sheaf import PAPERS, Paper
from mothermold.view.view import View

PRINTED = [(of, kind, paper) for of, kind in EVERY for paper in PAPERS]


@pytest.mark.parametrize(("of", "kind", "paper"), thinned(PRINTED, 5))
def test_a_handout_fails_no_condition_a_program_can_see(view: View, of: str, kind: str, paper: Paper) -> None:
    assert failures(pdf_of(view, of, kind, paper)) == []


def found(root: Any, kind: str) -> Any:
    """The first element of a kind."""
    kids = root.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    for kid in kids if isinstance(kids, list) else [kids]:
        each = kid.get_object() if hasattr(kid, "get_object") else kid
        if isinstance(each, DictionaryObject):
            inner = each if each.get("/S") == kind else found(each, kind)
            if inner is not None:
                return inner
    return None


def without(key: str) -> Callable[[PdfWriter], None]:
    return lambda writer: writer._root_object.__delitem__(NameObject(key))


def element(kind: str, change: Callable[[Any], object]) -> Callable[[PdfWriter], None]:
    def changed(writer: PdfWriter) -> None:
        change(found(writer._root_object["/StructTreeRoot"], kind))

    return changed


def called(name: str) -> Callable[[Any], object]:
    return lambda each: each.update({NameObject("/S"): NameObject(name)})


def drawn(before: bytes, after: bytes = b"") -> Callable[[PdfWriter], None]:
    """More on the first page than was laid out."""

    def changed(writer: PdfWriter) -> None:
        page = writer.pages[0]
        stream = DecodedStreamObject()
        stream.set_data(before + page.get_contents().get_data() + after)  # type: ignore[union-attr]
        page[NameObject("/Contents")] = stream

    return changed


def unnamed_letters(writer: PdfWriter) -> None:
    fonts: Any = writer.pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    del next(iter(fonts.values())).get_object()["/ToUnicode"]


def font_left_out(writer: PdfWriter) -> None:
    fonts: Any = writer.pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    inner = next(iter(fonts.values())).get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
    for key in ("/FontFile", "/FontFile2", "/FontFile3"):
        inner.pop(NameObject(key), None)


def linked(writer: PdfWriter) -> None:
    writer.pages[0][NameObject("/Annots")] = ArrayObject()
    writer.pages[0].pop(NameObject("/Tabs"), None)


WAYS: dict[str, Callable[[PdfWriter], None]] = {
    "06-001": without("/Metadata"),
    "07-001": without("/ViewerPreferences"),
    "11-006": without("/Lang"),
    "01-007": without("/MarkInfo"),
    "20-001": lambda writer: writer._root_object.update({NameObject("/OCProperties"): DictionaryObject()}),
    "02-001": element("/P", called("/Poem")),
    "02-004": lambda writer: writer._root_object["/StructTreeRoot"].update(  # type: ignore[attr-defined]
        {NameObject("/RoleMap"): DictionaryObject({NameObject("/P"): NameObject("/Span")})}
    ),
    "09-004": element("/TR", called("/P")),
    "13-004": element("/Figure", lambda each: each.pop(NameObject("/Alt"))),
    "14-002": element("/H1", called("/H2")),
    "14-003": element("/H2", called("/H3")),
    "15-003": element("/TH", lambda each: each.pop(NameObject("/A"))),
    "01-003": drawn(b"/P <</MCID 0>> BDC /Artifact BMC EMC EMC\n"),
    "01-004": drawn(b"/Artifact BMC /P <</MCID 0>> BDC EMC EMC\n"),
    "01-005": drawn(b"", b"\n0 0 9 9 re f\n"),
    "10-001": unnamed_letters,
    "31-009": font_left_out,
    "28-008": linked,
}


@pytest.fixture(scope="module")
def sheet(view: View) -> bytes:
    return pdf_of(view, "cast/face-piece", "student")


@pytest.mark.parametrize("number", WAYS)
def test_each_condition_is_seen_where_it_fails(sheet: bytes, number: str) -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(sheet)))
    WAYS[number](writer)
    made = io.BytesIO()
    writer.write(made)
    assert number in {each.split()[0] for each in failures(made.getvalue())}


def test_a_mark_that_belongs_to_no_element_is_seen(sheet: bytes) -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(sheet)))
    drawn(b"/P <</MCID 9999>> BDC 0 0 9 9 re f EMC\n")(writer)
    made = io.BytesIO()
    writer.write(made)
    assert "01-005 something is marked and in no element (page 1)" in failures(made.getvalue())


def test_a_copy_that_was_not_changed_fails_nothing(sheet: bytes) -> None:
    made = io.BytesIO()
    PdfWriter(clone_from=PdfReader(io.BytesIO(sheet))).write(made)
    assert failures(made.getvalue()) == []
