"""Whether a PDF can be read by who cannot see it: what a program can tell of the ways to fail PDF/UA-1, read with pypdf.

The numbers are the failure conditions of the Matterhorn Protocol 1.1 (PDF Association, April 2021; its list read in excerpts in
November 2026, the conditions of fonts from memory). What only a person can judge is not looked at: whether the order makes
sense, whether words for a picture tell what it shows. A handout has no notes, formulas, forms, films, layers or attached files;
that it has none is looked at, and what the conditions ask of these is not.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Final

from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject

_STANDARD: Final = {
    "/Document", "/Part", "/Art", "/Sect", "/Div", "/BlockQuote", "/Caption", "/TOC", "/TOCI", "/Index", "/NonStruct", "/Private",
    "/P", "/H", "/H1", "/H2", "/H3", "/H4", "/H5", "/H6", "/L", "/LI", "/Lbl", "/LBody", "/Table", "/TR", "/TH", "/TD", "/THead",
    "/TBody", "/TFoot", "/Span", "/Quote", "/Note", "/Reference", "/BibEntry", "/Code", "/Link", "/Annot", "/Figure", "/Formula", "/Form",
}  # fmt: skip
_INSIDE: Final = {
    "/TR": {"/Table", "/THead", "/TBody", "/TFoot"}, "/TH": {"/TR"}, "/TD": {"/TR"}, "/THead": {"/Table"}, "/TBody": {"/Table"},
    "/TFoot": {"/Table"}, "/LI": {"/L"}, "/LBody": {"/LI"},
}  # fmt: skip
"""In what an element must stand."""
_PAINTS: Final = {
    b"Tj",
    b"TJ",
    b"'",
    b'"',
    b"S",
    b"s",
    b"f",
    b"F",
    b"f*",
    b"B",
    b"B*",
    b"b",
    b"b*",
    b"Do",
    b"sh",
    b"INLINE IMAGE",
}
"""What puts something onto the page."""
_FORBIDDEN: Final = {"/AcroForm": "24", "/OCProperties": "20-001"}


def failures(pdf: bytes) -> list[str]:
    """Each way in which a PDF fails, with the number of its condition; none where a program finds nothing."""
    read = PdfReader(io.BytesIO(pdf))
    root: Any = read.trailer["/Root"]
    if read.is_encrypted:
        return ["26-001 it is locked"]
    if "/StructTreeRoot" not in root:
        return ["01-005 nothing in it is tagged"]
    elements = list(_elements(root["/StructTreeRoot"], "", {}))
    return [
        *_of_the_file(read, root),
        *_of_the_structure(root, elements),
        *(told for number, page in enumerate(read.pages, 1) for told in _of_page(page, number, read)),
        *_of_fonts(read),
    ]


def _of_the_file(read: PdfReader, root: Any) -> Iterator[str]:
    metadata = root["/Metadata"].get_data() if "/Metadata" in root else b""
    if not metadata:
        yield "06-001 it says nothing about itself"
    if b"pdfuaid:part" not in metadata:
        yield "06-002 it does not say that it is meant to be readable"
    if b"<dc:title>" not in metadata or read.metadata is None or not read.metadata.title:
        yield "06-003 it has no title"
    if root.get("/ViewerPreferences", {}).get("/DisplayDocTitle") != True:  # noqa: E712 - a value of the file
        yield "07-001 its title is not shown"
    if not str(root.get("/Lang", "")).strip():
        yield "11-006 its language is not said"
    marks = root.get("/MarkInfo", {})
    if marks.get("/Marked") != True or marks.get("/Suspects") == True:  # noqa: E712
        yield "01-007 it does not stand by its tags"
    for key, number in _FORBIDDEN.items():
        if key in root:
            yield f"{number} it has {key}"
    if "/Names" in root and "/EmbeddedFiles" in root["/Names"]:
        yield "21-001 files are attached"


Element = tuple[DictionaryObject, str, str]
"""An element, its type after the roles are looked up, and that of what holds it."""


def _elements(node: Any, parent: str, roles: Any) -> Iterator[Element]:
    node = node.get_object() if hasattr(node, "get_object") else node
    if not isinstance(node, DictionaryObject):
        return
    roles = node.get("/RoleMap", roles)
    kind = parent
    if "/S" in node:
        kind = str(node["/S"])
        for _ in range(9):
            if kind in _STANDARD or kind not in roles:
                break
            kind = str(roles[kind])
        yield node, kind, parent
    kids = node.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    for kid in kids if isinstance(kids, list) else [kids]:
        yield from _elements(kid, kind, roles)


def _of_the_structure(root: Any, elements: list[Element]) -> Iterator[str]:
    roles = root["/StructTreeRoot"].get("/RoleMap", {})
    yield from (f"02-004 {role} means something else" for role in roles if role in _STANDARD)
    ranks = [
        int(kind[2:]) for _node, kind, _parent in elements if len(kind) == 3 and kind[1] == "H" and kind[2].isdigit()
    ]
    if ranks and ranks[0] != 1:
        yield f"14-002 the first heading is of rank {ranks[0]}"
    for before, rank in pairwise(ranks):
        if rank > before + 1:
            yield f"14-003 a heading of rank {rank} follows one of rank {before}"
    for node, kind, parent in elements:
        if kind not in _STANDARD:
            yield f"02-001 nobody knows what {kind} is"
        if kind in _INSIDE and parent not in _INSIDE[kind]:
            yield f"09-004 {kind} stands in {parent or 'nothing'}"
        if kind == "/Figure" and not str(node.get("/Alt", node.get("/ActualText", ""))).strip():
            yield "13-004 a picture has no words"
        if kind == "/Formula" and not str(node.get("/Alt", "")).strip():
            yield "17-002 a formula has no words"
        if kind == "/TH" and not _scope(node):
            yield "15-003 the head of a table does not say for what it stands"


def _scope(node: DictionaryObject) -> bool:
    told = node.get("/A", [])
    told = told.get_object() if hasattr(told, "get_object") else told
    return any("/Scope" in each.get_object() for each in (told if isinstance(told, list) else [told]))


def _of_page(page: Any, number: int, read: PdfReader) -> Iterator[str]:
    """What is drawn and in neither, what is in both, and how one goes from link to link."""
    if "/Annots" in page and page.get("/Tabs") != "/S":
        yield f"28-008 page {number}: one does not go through its links in their order"
    tags: list[str] = []
    told: set[str] = set()
    used: set[int] = set()
    for operands, operator in ContentStream(page.get_contents(), read).operations:
        if operator in (b"BMC", b"BDC"):
            tags.append(_meant(operands, tags, used))
            inside = [each for each in tags[:-1] if each]
            if tags[-1] == "artifact" and "real" in inside:
                told.add("01-003 what is no part of it stands inside what is read")
            if tags[-1] == "real" and "artifact" in inside:
                told.add("01-004 what is read stands inside what is no part of it")
        elif operator == b"EMC":
            tags.pop()
        elif operator in _PAINTS and not any(tags):
            told.add("01-005 something is drawn and in no tag")
    known = _numbers(read, page)
    if used - known:
        told.add("01-005 something is marked and in no element")
    yield from (f"{each} (page {number})" for each in sorted(told))


def _meant(operands: list[Any], _tags: list[str], used: set[int]) -> str:
    """Whether a mark is of what is read, of what is no part of the text, or says neither."""
    if operands[0] == "/Artifact":
        return "artifact"
    told = operands[1] if len(operands) > 1 else {}
    if isinstance(told, DictionaryObject) and "/MCID" in told:
        used.add(int(told["/MCID"]))
        return "real"
    return ""


def _numbers(read: PdfReader, page: Any) -> set[int]:
    """The marks of a page that belong to an element."""
    if "/StructParents" not in page:
        return set()
    tree: Any = read.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]  # type: ignore[index]
    rows = dict(_leaves(tree.get_object()))
    row = rows.get(int(page["/StructParents"]), [])
    return {
        place for place, each in enumerate(row.get_object() if hasattr(row, "get_object") else row) if each is not None
    }


def _leaves(node: Any) -> Iterator[tuple[int, Any]]:
    numbers = node.get("/Nums", [])
    yield from zip(map(int, numbers[::2]), numbers[1::2], strict=True)
    for kid in node.get("/Kids", []):
        yield from _leaves(kid.get_object())


def _of_fonts(read: PdfReader) -> Iterator[str]:
    told = set()
    for page in read.pages:
        for name, font in page["/Resources"].get("/Font", {}).items():  # type: ignore[union-attr]
            made = font.get_object()
            if "/ToUnicode" not in made:
                told.add(f"10-001 the letters of {made.get('/BaseFont', name)} are no letters to a program")
            inner = made["/DescendantFonts"][0].get_object() if "/DescendantFonts" in made else made
            described = inner.get("/FontDescriptor", {})
            described = described.get_object() if hasattr(described, "get_object") else described
            if made.get("/Subtype") != "/Type3" and not {"/FontFile", "/FontFile2", "/FontFile3"} & set(described):
                told.add(f"31-009 the font {made.get('/BaseFont', name)} is not in the file")
    yield from sorted(told)
