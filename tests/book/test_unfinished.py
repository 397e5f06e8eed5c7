"""A draft says what it lacks, as advice; a finished recipe is left alone."""

from __future__ import annotations

from mothermold.book.document import read_document
from mothermold.book.unfinished import find_unfinished
from mothermold.ground.notices import Notice

DRAFT = """\
title: Cheek
stage: cast
version: 1
status: draft
mixes:
  - id: base
    parts:
      - {material: gel-a, parts: 100}
steps:
  - id: fill
    title: Fill and close
"""
WHOLE = DRAFT.replace("    parts:\n", "    fills: 40 ml\n    allowance: 10 %\n    parts:\n") + (
    "    do: In a thread.\n    hands_on: 10 min\n"
)


def told(text: str) -> list[Notice]:
    document = read_document("recipe", "cast/cheek", "recipes/cast/cheek.yaml", text.encode())
    assert document.model is not None
    return list(find_unfinished(document))


def test_a_draft_lists_what_nobody_else_could_work_without() -> None:
    (notice,) = told(DRAFT)
    assert (notice.severity, notice.line) == ("advice", 4)
    for lack in ("what “base” fills", "how “Fill and close” is done", "how long the hands are busy"):
        assert lack in notice.message


def test_a_fill_without_an_allowance_is_asked_for_it() -> None:
    (notice,) = told(WHOLE.replace("    allowance: 10 %\n", ""))
    assert "allowance: 10 %" in notice.message


def test_a_long_list_is_cut_and_counted() -> None:
    steps = "".join(f"  - id: s{number}\n    title: Step {number}\n" for number in range(5))
    (notice,) = told(DRAFT + steps)
    assert notice.message.count(";") == 6
    assert notice.message.endswith("; and 7 more.")


def test_a_whole_draft_and_a_locked_recipe_lack_nothing() -> None:
    assert told(WHOLE) == []
    assert told(DRAFT.replace("status: draft", "status: locked")) == []


def test_a_premix_needs_no_fill_of_its_own() -> None:
    premix = "  - id: soft\n    parts:\n      - {material: gel-b, parts: 1}\n"
    text = WHOLE.replace("mixes:\n", "mixes:\n" + premix).replace(
        "      - {material: gel-a, parts: 100}\n",
        "      - {material: gel-a, parts: 100}\n      - {mix: soft, parts: 9}\n",
    )
    assert told(text) == []
