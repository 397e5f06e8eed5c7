"""Finds documents by the words in them: failures first, with what to do now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from mothermold.answers.findable import Sides, findable
from mothermold.answers.result import Result, refused
from mothermold.answers.troubles import ANSWERS, HARMS
from mothermold.find.ranking import ranked
from mothermold.ground.words import offer
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"query": None, "results": []}


@dataclass(frozen=True, slots=True)
class Narrowed:
    """To what a search is narrowed down, as typed; None for all."""

    stage: str | None = None
    family: str | None = None
    harm: str | None = None
    answer: str | None = None

    def admits(self, sides: Sides) -> bool:
        """Whether something that was found fits all that is asked for."""
        return (
            self.stage in (None, sides.stage)
            and (self.family is None or self.family in sides.families)
            and self.harm in (None, sides.harm)
            and self.answer in (None, sides.answer)
        )


def find_documents(view: View, words: Sequence[str], to: Narrowed | None = None) -> Result:
    """What answers to some words, the most helpful first.

    Args:
        view: The book.
        words: The words, as they come.
        to: To what it is narrowed down.

    Raises:
        RefusedError: ``unknown-word`` for a stage, family, harm or answer that is none.
    """
    narrowed = to or Narrowed()
    known = {"stage": view.words.stages, "family": view.words.families, "harm": HARMS, "answer": ANSWERS}
    for option, choices in known.items():
        asked = getattr(narrowed, option)
        if asked is not None and asked not in choices:
            raise refused("unknown-word", f"--{option}: `{asked}` is none.", offer(asked, list(choices)))
    query = " ".join(words).strip()
    book = findable(view)
    results = []
    for hit in ranked(query, book.index):
        sides = book.sides_of(hit.entry)
        if narrowed.admits(sides):
            results.append(
                {
                    "id": hit.entry.id,
                    "kind": hit.entry.kind,
                    "title": hit.entry.title,
                    "score": hit.score,
                    "now": list(sides.now),
                    "do_not": list(sides.do_not),
                    "stage": sides.stage or None,
                    "families": list(sides.families),
                    "harm": sides.harm or None,
                    "answer": sides.answer or None,
                }
            )
    return Result({"query": query, "results": results})
