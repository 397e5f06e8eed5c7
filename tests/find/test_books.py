"""Books of other makers: the right note stands first, and a query about something the book does not have finds nothing, mostly.

The figures asked for lie a little below those reached when the everyday words were gathered; before, the first two books gave
61 and 63 of 80 first, 67 and 68 among three, and 29 of 40 queries for something else found something. ``puppets`` was written by who
gathered the words. The others were written blind and opened when that was done, once: school 69 and 77 of 80, teeth 66 and 77,
shows 73 and 79, dummies 70 and 78; of 20 queries for something else 15, 10, 12 and 15 found something.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
import yaml

from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import search

BOOKS: Final = Path(__file__).parents[1] / "data" / "find" / "books"
# How many of a hundred stand first and among the first three at least, and how many queries for something else find something at most.
ASKED: Final = {
    "foam": (88, 97, 9), "wigs": (88, 97, 9), "puppets": (88, 95, 12), "school": (86, 96, 15), "teeth": (82, 96, 11),
    "shows": (90, 97, 12), "dummies": (87, 97, 15),
}  # fmt: skip


def notes(book: dict[str, Any]) -> Iterator[Entry]:
    for note in book["notes"]:
        text = [*note["now"], note["happened"], note["prevent"]]
        yield Entry(
            note["id"], "failure", note["title"], "\n".join([note["id"], *note["symptoms"]]), "\n".join(map(str, text))
        )


@pytest.mark.parametrize("name", sorted(path.stem for path in BOOKS.glob("*.yaml")))
def test_a_book_of_another_maker_is_searched_as_well(name: str) -> None:
    book = yaml.safe_load((BOOKS / f"{name}.yaml").read_text(encoding="utf-8"))
    index = build_index(notes(book), ("failure",))
    found = {each["query"]: [hit.entry.id for hit in search(each["query"], index).hits] for each in book["queries"]}
    meant = {each["query"]: each["note"] for each in book["queries"] if each["note"]}
    missed = {query: found[query][:3] for query, note in meant.items() if note not in found[query][:3]}
    second = {query: found[query][:2] for query, note in meant.items() if note not in found[query][:1]}
    anyway = [each["query"] for each in book["queries"] if each["note"] is None and found[each["query"]]]
    first, among_three, most_anyway = ASKED[name]
    assert len(missed) <= (100 - among_three) * len(meant) / 100, missed
    assert len(second) <= (100 - first) * len(meant) / 100, second
    assert len(anyway) <= most_anyway, anyway
