"""A finding of a recipe is kept where every build that uses this version keeps it, and not where only some do."""

from __future__ import annotations

from pathlib import Path

import pytest

from view.looks import said, write

RULE = "alcohol-paint-on-alcohol-film"
PAINT = """\
title: Paint
stage: finish
version: 1
status: locked
surfaces:
  - {id: piece-face, material: encapsulant-alcohol}
gives:
  what: painted
  surfaces:
    - {id: piece-face, material: paint-alcohol-activated}
steps:
  - id: color
    title: Color
    hands_on: 10 min
    wait: 12 min
    uses:
      - {material: paint-alcohol-activated, as: paint, on: piece-face, amount: 1 ml}
"""
FIRST = """\
title: TITLE
stage: finish
version: 1
status: locked
surfaces:
  - {id: piece-face, material: encapsulant-alcohol}
gives:
  what: piece
  surfaces:
    - {id: piece-face, material: encapsulant-alcohol}
steps:
  - id: trim
    title: Trim
    hands_on: 10 min
"""
SEAL = """\
    uses:
      - {material: sealer, as: seal, on: piece-face, amount: 1 ml}
"""
THINGS = "title: NAME\nthings:\n  - {id: first, recipe: finish/HOW@1}\n  - {id: second, recipe: finish/paint@1, from: first}\n"


@pytest.mark.parametrize(
    ("builds", "bites"),
    [([], True), (["sealed"], False), (["sealed", "sealed"], False), (["sealed", "bare"], True), (["bare"], True)],
)
def test_a_rule_is_kept_for_a_recipe_only_where_every_build_that_uses_it_keeps_it(
    good_book: Path, builds: list[str], bites: bool
) -> None:
    for family in ("encapsulant-alcohol", "paint-alcohol-activated", "sealer"):
        sheet = f"title: {family}\nfamilies: [{family}]\nsds: {{where: 3, dated: 2026-01-08}}\n"
        write(good_book, f"materials/{family}", sheet)
    write(good_book, "finish/paint", PAINT)
    write(good_book, "finish/sealed", FIRST.replace("TITLE", "Sealed") + SEAL)
    write(good_book, "finish/bare", FIRST.replace("TITLE", "Bare"))
    for number, how in enumerate(builds):
        write(good_book, f"builds/number-{number}/build", THINGS.replace("NAME", how).replace("HOW", how))
    at_recipe = [notice for notice in said(good_book, RULE) if notice.file == "recipes/finish/paint.yaml"]
    assert bool(at_recipe) is bites
