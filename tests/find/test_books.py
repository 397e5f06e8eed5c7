"""Books of other makers: the right note stands first, and a query about something the book does not have finds nothing, mostly.

The figures asked for lie a little below those reached when the everyday words were gathered; before, the first two books gave
61 and 63 of 80 first, 67 and 68 among three, and 29 of 40 queries for something else found something.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
import yaml

from mothermold.answers.findable import KINDS
from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import ranked

BOOKS: Final = Path(__file__).parents[1] / "data" / "find" / "books"
FIRST: Final = 0.88
AMONG_THREE: Final = {"foam": 0.97, "wigs": 0.97, "puppets": 0.95}
FOUND_ANYWAY: Final = {"foam": 9, "wigs": 9, "puppets": 12}


def notes(book: dict[str, Any]) -> Iterator[Entry]:
    for note in book["notes"]:
        text = [*note["now"], note["happened"], note["prevent"]]
        yield Entry(
            note["id"], "failure", note["title"], "\n".join([note["id"], *note["symptoms"]]), "\n".join(map(str, text))
        )


@pytest.mark.parametrize("name", sorted(path.stem for path in BOOKS.glob("*.yaml")))
def test_a_book_of_another_maker_is_searched_as_well(name: str) -> None:
    book = yaml.safe_load((BOOKS / f"{name}.yaml").read_text(encoding="utf-8"))
    index = build_index(notes(book), KINDS)
    found = {each["query"]: [hit.entry.id for hit in ranked(each["query"], index)] for each in book["queries"]}
    meant = {each["query"]: each["note"] for each in book["queries"] if each["note"]}
    missed = {query: found[query][:3] for query, note in meant.items() if note not in found[query][:3]}
    second = {query: found[query][:2] for query, note in meant.items() if note not in found[query][:1]}
    anyway = [each["query"] for each in book["queries"] if each["note"] is None and found[each["query"]]]
    assert len(missed) <= (1 - AMONG_THREE[name]) * len(meant) + 1e-9, missed
    assert len(second) <= (1 - FIRST) * len(meant), second
    assert len(anyway) <= FOUND_ANYWAY[name], anyway
