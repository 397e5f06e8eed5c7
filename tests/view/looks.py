"""Small books with one look: a face and a nose, two glues, two sheets on and two off."""

from __future__ import annotations

import shutil
from pathlib import Path

from mothermold.ground.notices import Notice
from mothermold.view.view import open_view

GOOD = Path(__file__).parents[1] / "data" / "good"

SHEET = """\
title: {title}
stage: {stage}
version: 1
status: locked
visibility: public
needs:
  - patch test read and clear, own brushes, the remover at hand
{surfaces}steps:
  - id: {step}
    title: Work
    do: Thin and clear.
    hands_on: 10 min
    wait: 5 min
    uses:
      - {{material: {material}, as: {role}, on: {on}, amount: 1 ml}}
"""

BUILD = """\
title: The night watchman
visibility: public
wearers: [W1]
things:
  - {id: face, recipe: cast/cheek@2, worn: yes}
  - {id: nose, recipe: cast/cheek@2, worn: yes}
looks:
  - id: full
    wearer: W1
    pieces:
      - {thing: face}
      - {thing: nose}
    application: [application/face@1, application/nose@1]
    removal: [removal/nose@1, removal/face@1]
"""

CLEARED = """\
cleared:
  - {wearer: W1, application: application/face@1, removal: removal/face@1, tested: 2026-03-01, on: 2026-03-03}
  - {wearer: W1, application: application/nose@1, removal: removal/nose@1, tested: 2026-03-01, on: 2026-03-03}
"""

FAMILIES = (
    "adhesive-acrylic", "adhesive-silicone", "adhesive-spirit-gum", "natural-latex", "tape",
    "remover-ester", "remover-silicone", "remover-solvent", "soap", "water",
)  # fmt: skip


def write(book: Path, name: str, text: str) -> None:
    """Writes a document below ``recipes/``."""
    path = book / "recipes" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def sheet(book: Path, address: str, material: str, *, role: str = "", on: str = "skin", piece: str = "") -> None:
    """Writes a recipe with one step that uses one material."""
    stage, _, name = address.partition("/")
    surfaces = f"surfaces:\n  - {{id: back, from: {piece}, surface: piece-back}}\n" if piece else ""
    role = role or ("remove" if stage == "removal" else "glue")
    text = SHEET.format(title=address, stage=stage, surfaces=surfaces, step=name, material=material, role=role, on=on)
    write(book, address, text)


def lay_out(folder: Path, build: str = BUILD + CLEARED) -> Path:
    """A book with both sheets on and both off."""
    book = folder / "book"
    shutil.copytree(GOOD, book)
    for family in FAMILIES:
        material = f"title: {family}\nvisibility: public\nfamilies: [{family}]\nsds: {{where: 3, dated: 2026-01-08}}\n"
        write(book, f"materials/{family}", material)
    sheet(book, "application/face", "adhesive-acrylic")
    sheet(book, "application/nose", "adhesive-silicone")
    sheet(book, "removal/nose", "remover-silicone")
    sheet(book, "removal/face", "remover-ester")
    write(book, "builds/night-watchman/build", build)
    return book


def said(book: Path, *codes: str) -> list[Notice]:
    """The book's notices of these codes."""
    return [notice for notice in open_view(book, "private").notices if notice.code in codes]
