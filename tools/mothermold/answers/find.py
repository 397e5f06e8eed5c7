"""Finds documents by the words in them: first what to do for somebody hurt, then failures, with what to do now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.findable import Sides, findable
from mothermold.answers.result import Result
from mothermold.answers.troubles import ANSWERS, HARMS
from mothermold.find.ranking import nearest_line, search
from mothermold.find.shouted import shouted
from mothermold.ground.errors import refused
from mothermold.ground.words import offer
from mothermold.trade.hurt import Hurt
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"query": None, "unknown": [], "results": []}
_FIRST: Final = 1_000_000


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
    """What answers to some words, the most helpful first; somebody hurt before all else, however it is narrowed down.

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
    results = [_first_aid(hurt, query) for hurt in shouted(query)]
    answer = search(query, book.index)
    for hit in answer.hits:
        sides = book.sides_of(hit.entry)
        if narrowed.admits(sides):
            results.append(
                {
                    "id": hit.entry.id,
                    "kind": hit.entry.kind,
                    "title": hit.entry.title,
                    "score": hit.score,
                    "line": answer.line(hit.entry),
                    "leads_to": dict(zip(("kind", "id"), hit.entry.leads, strict=True)) if hit.entry.leads else None,
                    "now": list(sides.now),
                    "do_not": list(sides.do_not),
                    "stage": sides.stage or None,
                    "families": list(sides.families),
                    "harm": sides.harm or None,
                    "answer": sides.answer or None,
                }
            )
    return Result({"query": query, "unknown": list(answer.unknown), "results": results})


def _first_aid(hurt: Hurt, query: str) -> dict[str, Any]:
    """What to do for somebody hurt, as a result; it stands before whatever scores."""
    return {
        "id": hurt.id,
        "kind": "hurt",
        "title": hurt.title,
        "score": _FIRST,
        "line": nearest_line(query, [hurt.title, *(each.words for each in hurt.acts)]),
        "leads_to": None,
        "now": [each.words for each in hurt.acts],
        "do_not": [each.words for each in hurt.never],
        "stage": None,
        "families": [],
        "harm": "somebody hurt",
        "answer": None,
        "clock": {"minutes": hurt.clock.minutes, "what": hurt.clock.what} if hurt.clock else None,
        "call": [each.words for each in hurt.call],
        "sources": list(hurt.sources),
    }
