"""What answers to some words, and in which order."""

from __future__ import annotations

import pytest

from mothermold.find.ranking import Entry, folded, ranked

KINDS = ("failure", "recipe", "run")
CRACK = Entry("cracked-mold", "failure", "Mold cracked while being opened", "loud snap when opening", "strap the shell")
STUCK = Entry("halves-stuck", "failure", "Halves stuck together", "mold will not open", "wedges at the pry slots")
FACE = Entry("mold/face-mold", "recipe", "Two-part face mold", "mold/face-mold", "pry slots, dowels, stone")
RUN = Entry("r-1", "run", "Face mold, first pull", "r-1", "opened with a crême brush")
ALL = [RUN, FACE, STUCK, CRACK]


def found(query: str) -> list[str]:
    return [hit.entry.id for hit in ranked(query, ALL, KINDS)]


@pytest.mark.parametrize(
    ("query", "ids"),
    [
        ("mold", ["cracked-mold", "halves-stuck", "mold/face-mold", "r-1"]),  # failures first; a title before a symptom
        ("pry slots", ["halves-stuck", "mold/face-mold"]),  # all words
        ("pry snap", ["cracked-mold", "halves-stuck", "mold/face-mold"]),  # no document has all: any
        ("SNAP", ["cracked-mold"]),
        ("molds snaps", ["cracked-mold"]),  # many find one
        ("creme", ["r-1"]),  # accents do not count
        ("mold/face-mold", ["mold/face-mold"]),
        ("plaster", []),
        ("   ", []),
    ],
)
def test_words_find_what_says_them_failures_first(query: str, ids: list[str]) -> None:
    assert found(query) == ids


def test_a_title_in_full_comes_before_others_that_only_hold_the_words() -> None:
    longer = Entry("a", "recipe", "Two-part face mold in gypsum", "", "Two-part face mold")
    assert [hit.entry.id for hit in ranked("two-part face mold", [longer, FACE], KINDS)] == ["mold/face-mold", "a"]


def test_the_order_does_not_depend_on_the_order_of_the_documents() -> None:
    assert found("mold") == [hit.entry.id for hit in ranked("mold", list(reversed(ALL)), KINDS)]


def test_folding_keeps_letters_and_loses_capitals_and_accents() -> None:
    assert folded("Übergröße É") == "ubergrosse e"
