"""The page that compares the versions of a recipe without a server: neighbors, each with the one in use, and with what is taught.

What stands in the page was reckoned here; choosing shows one pair of it. The command compares any two.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from mothermold.answers.consequences import figure, name_of
from mothermold.answers.difference import explain_difference
from mothermold.answers.evidence import CAUTIONS
from mothermold.answers.records import record_of, runs_of
from mothermold.answers.result import title_words
from mothermold.compare.fields import KIND_WORDS
from mothermold.compare.words import changed_words
from mothermold.pages.addresses import compare_page, shown_pairs
from mothermold.pages.page import Page, render
from mothermold.quantities.wording import plain_number
from mothermold.view.view import View


def comparison(view: View, address: str) -> Page | None:
    """The compare page of a recipe; None without at least two readable versions."""
    versions = view.versions(address)
    pairs = shown_pairs(view, address)
    if versions is None or versions.address != address or not pairs:
        return None
    rows = [row for row in versions.rows if row.recipe is not None]
    current = versions.current
    titles = title_words(view) | {
        mix.id: mix.title for row in rows if row.recipe for mix in row.recipe.mixes if mix.title
    }
    newest = rows[-1].recipe
    assert newest is not None
    neighbors = [(a.number, b.number) for a, b in pairwise(rows)]
    return render(
        view,
        "compare.html",
        compare_page(address),
        f"{newest.title}: compare versions",
        address=address,
        rows=rows,
        pairs=[_pair(view, address, before, after, titles) for before, after in pairs],
        current=current,
        neighbors=neighbors,
        kinds=KIND_WORDS,
        changed_words=changed_words,
        cautions=CAUTIONS,
    )


def _pair(view: View, address: str, before: int, after: int, titles: Mapping[str, str]) -> dict[str, Any]:
    data = explain_difference(view, address, str(before), str(after)).data
    return {
        "id": f"v{before}-v{after}",
        "before": before,
        "after": after,
        "changes": data["changes"],
        "consequences": moved(data["consequences"], titles),
        "reasons": data["reasons"],
        "fixes": data["evidence"],
        "evidence": [
            (number, str(record))
            for number in (before, after)
            if (record := record_of(runs_of(view, address, number))).runs
        ],
        "at_ml": plain_number(data["at_ml"]),
    }


def moved(rows: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> list[dict[str, Any]]:
    """What a change leads to, as a page says it: only what is not as it was.

    Args:
        rows: The consequences of a difference.
        titles: What the things in them are called.
    """
    return [
        {
            "name": row["sentence"] or _capital(name_of(row["what"], row["title"], titles)),
            "left": figure(row["before"], row["unit"]),
            "right": figure(row["after"], row["unit"]),
            "says_both": "→" in (row["sentence"] or ""),
        }
        for row in rows
        if row["before"] != row["after"]
    ]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
