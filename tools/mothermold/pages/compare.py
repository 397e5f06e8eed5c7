"""The page that compares the versions of a recipe, any two, without a server.

Every pair is reckoned here and stands in the page; choosing shows one of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from typing import Any, Final

from mothermold.answers.consequences import figure, name_of
from mothermold.answers.difference import explain_difference
from mothermold.answers.evidence import CAUTIONS
from mothermold.answers.records import record_of, runs_of
from mothermold.answers.result import title_words
from mothermold.compare.fields import KIND_WORDS
from mothermold.compare.words import changed_words
from mothermold.history.versions import Version
from mothermold.pages.addresses import compare_page
from mothermold.pages.page import Page, render
from mothermold.quantities.wording import plain_number
from mothermold.view.view import View

MOST: Final = 12
"""Up to so many versions every pair stands in the page; above it neighbors, and each with the current one."""


def compare_pages(view: View, address: str) -> Iterator[Page]:
    """The compare page of a recipe with at least two readable versions."""
    versions = view.versions(address)
    rows = [row for row in versions.rows if row.recipe is not None] if versions else []
    if versions is None or len(rows) < 2:
        return
    current = versions.current
    titles = title_words(view) | {
        mix.id: mix.title for row in rows if row.recipe for mix in row.recipe.mixes if mix.title
    }
    pairs = [_pair(view, address, before, after, titles) for before, after in _chosen(rows, current)]
    newest = rows[-1].recipe
    assert newest is not None
    neighbors = [(a.number, b.number) for a, b in pairwise(rows)]
    yield render(
        view,
        "compare.html",
        compare_page(address),
        f"{newest.title}: compare versions",
        address=address,
        rows=rows,
        pairs=pairs,
        current=current,
        neighbors=neighbors,
        kinds=KIND_WORDS,
        changed_words=changed_words,
        cautions=CAUTIONS,
    )


def _chosen(rows: Sequence[Version], current: Version | None) -> list[tuple[Version, Version]]:
    every = list(combinations(rows, 2))
    if len(rows) <= MOST:
        return every
    place = {row.number: index for index, row in enumerate(rows)}
    return [
        (a, b)
        for a, b in every
        if place[b.number] - place[a.number] == 1 or (current is not None and current.number in (a.number, b.number))
    ]


def _pair(view: View, address: str, before: Version, after: Version, titles: Mapping[str, str]) -> dict[str, Any]:
    data = explain_difference(view, address, str(before.number), str(after.number)).data
    moved = [row for row in data["consequences"] if row["before"] != row["after"]]
    return {
        "id": f"v{before.number}-v{after.number}",
        "before": before.number,
        "after": after.number,
        "changes": data["changes"],
        "consequences": [
            {
                "name": row["sentence"] or _capital(name_of(row["what"], row["title"], titles)),
                "left": figure(row["before"], row["unit"]),
                "right": figure(row["after"], row["unit"]),
                "says_both": "→" in (row["sentence"] or ""),
            }
            for row in moved
        ],
        "reasons": data["reasons"],
        "fixes": data["evidence"],
        "evidence": [
            (row.number, str(record))
            for row in (before, after)
            if (record := record_of(runs_of(view, address, row.number))).runs
        ],
        "at_ml": plain_number(data["at_ml"]),
    }


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
