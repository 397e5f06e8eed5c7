"""What is typed off a label finds the piece or lot, and leads to the document it stands in; in an edition only what it holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.answers.findable import findable
from mothermold.answers.labels import label_entries
from mothermold.find.ranking import search
from mothermold.model.material import Material
from mothermold.view.editions import Edition
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"
RUN = """\
id: r-2026-05-02-labeled
recipe: cast/cheek@1
visibility: {visibility}
started: 2026-05-02 09:00
outcome: good
kept:
  - {{piece: QX-04, grade: hero, box: B3}}
lots:
  - {{material: {material}, lot: 20E5-Q}}
"""
WORN = """\
id: r-2026-05-04-worn
started: 2026-05-04 09:00
used: [{piece: QX-04, then: discarded}]
"""


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def labeled(book: Path, visibility: str = "private") -> str:
    """Writes a run with a piece and a lot; the material's name."""
    material = sorted(open_view(book, "private").models(Material))[0]
    (book / "recipes/runs/r-2026-05-02-labeled.yaml").write_text(
        RUN.format(visibility=visibility, material=material), "utf-8"
    )
    (book / "recipes/runs/r-2026-05-04-worn.yaml").write_text(WORN, encoding="utf-8")
    return material


def test_a_piece_leads_to_the_run_it_came_from_and_says_what_became_of_it(book: Path) -> None:
    labeled(book)
    (hit,) = [
        hit for hit in search("QX-04", findable(open_view(book, "private")).index).hits if hit.entry.kind == "piece"
    ]
    assert (hit.entry.id, hit.entry.leads) == ("QX-04", ("run", "r-2026-05-02-labeled"))
    assert "hero, box B3" in hit.entry.lines
    assert any(line.startswith("used in ") and line.endswith(": discarded") for line in hit.entry.lines)


def test_a_lot_leads_to_its_material_also_where_only_a_run_names_it(book: Path) -> None:
    material = labeled(book)
    (hit,) = [
        hit for hit in search("20e5-q", findable(open_view(book, "private")).index).hits if hit.entry.kind == "lot"
    ]
    assert (hit.entry.id, hit.entry.leads) == ("20E5-Q", ("material", material))


@pytest.mark.parametrize("edition", ["class", "public"])
def test_an_edition_finds_no_label_of_what_it_does_not_hold(edition: Edition, book: Path) -> None:
    labeled(book)
    view = open_view(book, edition)
    assert [entry.id for entry in label_entries(view) if entry.id in ("QX-04", "20E5-Q")] == []
    held = {("run", name) for name in view.documents.on("run")} | {
        ("material", name) for name in view.documents.on("material")
    }
    assert {entry.leads for entry in label_entries(view)} <= held
