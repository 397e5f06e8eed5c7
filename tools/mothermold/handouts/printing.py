"""What can be printed from a page of the book where it is served: a row of ways above the page, each to a PDF made when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final, cast
from urllib.parse import urlencode

from markupsafe import Markup

from mothermold.handouts.kinds import KINDS, Subject
from mothermold.handouts.sheaf import PAPERS, Paper
from mothermold.pages.addresses import HURT
from mothermold.pages.desk.write_here import shown_document
from mothermold.pages.page import Page
from mothermold.view.view import View

PRINTS: Final = "print/"
"""Where the PDFs are asked for."""
_FOLDERS: Final = {"recipe": "", "course": "courses/", "build": "builds/"}
_WALL: Final = "emergency"


def printed_from(view: View, address: str) -> Iterator[tuple[str, str]]:
    """What can be printed from a page: of which document, as ``handout`` takes it, and the kind; nothing of most pages."""
    if address == HURT[0]:
        # The sheet for the wall is of the book; any of its documents will do to ask for it.
        of = next((f"builds/{name}" for name in view.on("build")), next(iter(view.recipes), None))
        if of is not None and view.edition != "public":
            yield of, _WALL
        return
    kind, name, rest = shown_document(view, address)
    if kind not in _FOLDERS:
        return
    pin = rest if kind == "recipe" and "@" in rest and address.startswith("versions/") else name
    for word, row in KINDS.items():
        if cast("Subject", kind) in row.makers and word != _WALL:
            yield f"{_FOLDERS[kind]}{pin}", word


def with_prints(view: View, page: Page) -> Page:
    """A page with the row above it, where something can be printed from there."""
    ways = list(printed_from(view, page.address))
    if not ways:
        return page
    rows = Markup("").join(_row(page, ways, paper) for paper in PAPERS)
    nav = Markup(
        '<nav class="to-print" aria-label="Print"><details><summary>Print</summary><ul>{}</ul></details></nav>\n'
    )
    return replace(page, body=f"{nav.format(rows)}{page.body}")


def _row(page: Page, ways: list[tuple[str, str]], paper: Paper) -> Markup:
    up = "../" * page.depth + PRINTS
    links = []
    for of, kind in ways:
        title, query = KINDS[kind].title.capitalize(), urlencode({"of": of, "kind": kind, "paper": paper})
        links.append(
            Markup('<a href="{}?{}" aria-label="{}, {}">{}</a>').format(up, query, title, PAPERS[paper], title)
        )
    return Markup("<li>{}: {}</li>").format(PAPERS[paper], Markup(", ").join(links))
