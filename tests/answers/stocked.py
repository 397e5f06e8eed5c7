"""A small book to buy for: one recipe with a plain gel, a jar and a pour out of it, and a build that wears what it casts."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from view.looks import write

BOOK = "title: A small book\ncurrency: EUR\ntime_zone: UTC\n"
MATERIAL = "title: {title}\nfamilies: [{family}]\nsds: {{where: 3, dated: 2026-01-08}}\ndensity: 1.0 g/ml\n"
FAMILIES = {
    "gel-silicone-a": "platinum-silicone",
    "gel-silicone-b": "platinum-silicone",
    "deadener": "silicone-deadener",
    "powder": "powder-talc-free",
}
RECIPE = """\
title: A mask in gel
stage: cast
version: 1
status: locked
mixes:
  - id: gel
    parts:
      - {material: gel-silicone-a, parts: 100}
      - {material: gel-silicone-b, parts: 100}
      - {material: deadener, parts: 20}
    fills: 200 ml
    allowance: 10 %
  - id: jar
    once: build
    parts:
      - {material: gel-silicone-a, parts: 1}
      - {material: deadener, parts: 1}
    batch: 600 g
  - id: poured
    parts:
      - {mix: jar, parts: 3}
      - {material: gel-silicone-b, parts: 2}
    batch: 50 g
steps:
  - id: fill
    title: Fill
    hands_on: 30 min
    uses:
      - {mix: gel, as: cast}
      - {mix: poured, as: cast}
  - id: open
    title: Open
    hands_on: 15 min
    people: 2
    uses:
      - {material: powder, as: powder, amount: 2 g}
"""
BUILD = """\
title: The mask
wearers: [W1]
things:
  - {id: mask, recipe: cast/mask@1, worn: yes}
looks:
  - {id: full, pieces: [{thing: mask}], spares: 1}
days:
  - {day: 2026-06-01, look: full}
  - {day: 2026-06-02, look: full}
  - {day: 2026-06-03, look: full}
  - {day: 2026-06-04, look: full}
"""


def lay_out(
    folder: Path,
    *,
    lots: Mapping[str, str] | None = None,
    packs: Mapping[str, str] | None = None,
    keeps: str = "",
    build: str = BUILD,
    recipe: str = RECIPE,
    book: str = BOOK,
) -> Path:
    """The book, with lots and packs by material, as the inside of their lists."""
    root = folder / "book"
    write(root, "book", book)
    for name, family in FAMILIES.items():
        text = MATERIAL.format(title=name.replace("-", " "), family=family) + keeps
        for key, rows in (("packs", packs), ("lots", lots)):
            if rows and name in rows:
                text += f"{key}: [{rows[name]}]\n"
        write(root, f"materials/{name}", text)
    write(root, "cast/mask", recipe)
    write(root, "builds/mask/build", build)
    return root


def run(root: Path, name: str, day: str, more: str, *, A: str | tuple[str, ...] = (), B: str = "") -> None:  # noqa: N803 - part A, part B
    """Writes a run of the recipe into the build."""
    parts = (("a", (A,) if isinstance(A, str) else A), ("b", (B,) if B else ()))
    lots = ", ".join(f"{{material: gel-silicone-{part}, lot: {lot}}}" for part, each in parts for lot in each)
    text = f"id: {name}\nrecipe: cast/mask@1\nthing: mask\nstarted: {day} 09:00\n{more}\nlots: [{lots}]\n"
    write(root, f"builds/mask/runs/{name}", text)
