"""Searches as people type them find the note they mean, and find it where plain counting of words does not.

`seen.yaml` was looked at while the words of the search were written; `sealed.yaml` was opened when that was done, once.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from mothermold.answers.findable import Findable, findable
from mothermold.find.ranking import search
from mothermold.find.stems import tokens
from mothermold.view.editions import Edition
from mothermold.view.view import View

DATA = Path(__file__).parents[1] / "data" / "find"
SETS = sorted(DATA.glob("*.yaml"))
FIRST = 3


@pytest.fixture(scope="module")
def book(sample_view: Callable[[Edition], View]) -> Findable:
    return findable(sample_view("private"))


def queries(path: Path) -> list[tuple[str, str]]:
    return [(each["query"], each["note"]) for each in yaml.safe_load(path.read_text(encoding="utf-8"))]


def share(asked: list[tuple[str, str]], find: Callable[[str], list[str]]) -> float:
    return sum(note in find(query)[:FIRST] for query, note in asked) / len(asked)


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_the_note_that_is_meant_is_among_the_first_three(book: Findable, path: Path) -> None:
    asked = queries(path)
    ours = share(asked, lambda query: [hit.entry.id for hit in search(query, book.index).hits])
    plain = share(asked, lambda query: by_plain_overlap(query, book))
    assert ours >= 0.97
    assert sum(
        [note] == [hit.entry.id for hit in search(query, book.index).hits][:1] for query, note in asked
    ) >= 0.9 * len(asked)
    assert ours >= plain + 0.1


def by_plain_overlap(query: str, book: Findable) -> list[str]:
    """The baseline: failure notes by how many of the query's words stand anywhere in them, as they are typed."""
    words = set(tokens(query))
    notes = [entry for entry in book.index.entries if entry.kind == "failure"]
    shared = {entry.id: len(words & set(tokens(f"{entry.title} {entry.said} {entry.text}"))) for entry in notes}
    return sorted((name for name in shared if shared[name]), key=lambda name: (-shared[name], name))
