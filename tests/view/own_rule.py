"""A small book that adds a rule of its own, and breaks it at one step."""

from __future__ import annotations

import shutil
from pathlib import Path

GOOD = Path(__file__).parents[1] / "data" / "good"
RULE = "bio-gel-on-latex"
ADDS = """\
adds:
  families: [bio-gel]
  rules:
    - id: bio-gel-on-latex
      title: Bio gel on latex
      weighs: damages the result
      use: {families: [bio-gel], as: [cast, coat]}
      meets: {families: [natural-latex]}
      kept_by:
        - {layer: [barrier]}
        - {done: [soap]}
        - {waited: 30 min}
      happens: it stays tacky where they touch
      instead: Use a cap of another material.
      because: Its starter is stopped by latex.
"""
CAP = """\
title: Cap with a gel edge
stage: finish
version: 1
status: locked
visibility: public
steps:
  - id: latex
    title: Latex on the form
    hands_on: 5 min
    wait: 10 min
    uses:
      - {material: latex, as: coat, on: cap, amount: 5 g}
  - id: edge
    title: The edge
    hands_on: 5 min
    wait: 10 min
    uses:
      - {material: gel, as: coat, on: cap, amount: 1 g}
surfaces:
  - {id: cap, material: polyurethane-resin}
"""
MATERIAL = "title: {family}\nvisibility: public\nfamilies: [{family}]\nsds: {{where: binder 3, dated: 2026-01-08}}\n"


def lay_out(root: Path) -> Path:
    """The book, laid out in a folder that is not there yet."""
    shutil.copytree(GOOD, root)
    write(root, "materials/gel", MATERIAL.format(family="bio-gel"))
    write(root, "materials/latex", MATERIAL.format(family="natural-latex"))
    write(root, "finish/cap", CAP)
    add(root, ADDS)
    return root


def write(book: Path, name: str, text: str) -> None:
    """Writes one document of it."""
    path = book / "recipes" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def add(book: Path, adds: str) -> None:
    """Its settings, with this added to them."""
    write(book, "book", (GOOD / "recipes" / "book.yaml").read_text(encoding="utf-8") + adds)
