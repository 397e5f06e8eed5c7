"""Finds documents by the words in them: first what to do for somebody hurt, then failures, with what to do now."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Final

from mothermold.answers.findable import Sides, findable
from mothermold.answers.question import Typed, argument, flag, option, question
from mothermold.answers.result import Result, notices_text
from mothermold.answers.troubles import ANSWER_WORDS, ANSWERS, HARMS
from mothermold.find.ranking import nearest_line, search
from mothermold.find.shouted import shouted
from mothermold.ground.errors import refused
from mothermold.ground.words import offer
from mothermold.trade.hurt import Hurt
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"query": None, "unknown": [], "results": [], "more": 0}
MOST_TOLD: Final = 12
"""How many hits are told in words, as in the box of every page; more than that is a wall."""
_FIRST: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Narrowed:
    """To what a search is narrowed down, as typed; None for all."""

    stage: Annotated[Typed, option("STAGE", "only what is met or done there, like cast")] = None
    family: Annotated[Typed, option("FAMILY", "only where this family of materials is used, like alginate")] = None
    harm: Annotated[Typed, option("HARM", "only failures that cost this at worst, like 'mold lost'")] = None
    answer: Annotated[
        Typed,
        option(
            "ANSWER",
            "only failures that are open, or whose fix did so: held, likely, 'too few runs', 'no better', worse",
        ),
    ] = None
    all: Annotated[bool, flag("every hit, not the first 12")] = False

    def admits(self, sides: Sides) -> bool:
        """Whether something that was found fits all that is asked for."""
        return (
            self.stage in (None, sides.stage)
            and (self.family is None or self.family in sides.families)
            and self.harm in (None, sides.harm)
            and self.answer in (None, sides.answer)
        )


_ALL: Final = Narrowed()


def _text(result: Result) -> str:
    results = result.data["results"]
    lines = [line for hit in results if hit["kind"] == "hurt" for line in _first_aid_lines(hit)]
    if result.data["unknown"]:
        lines.append(f"Nothing in the book says: {', '.join(result.data['unknown'])}")
    for place, hit in enumerate(results if not result.data["more"] else leading(results)):
        if hit["kind"] == "hurt":
            continue
        # That a fix is too young to tell is no news in a list.
        answer = ANSWER_WORDS[hit["answer"]] if hit["answer"] not in (None, "too few runs") else ""
        lines.append(f"{hit['kind']:<9} {hit['title']}  ({hit['id']}){answer and f', {answer}'}")
        if hit["line"] != hit["title"]:
            lines += textwrap.wrap(hit["line"], 96, initial_indent=" " * 10, subsequent_indent=" " * 10)
        # What to do now stands with the first three: who searches has no time to scroll.
        for number, step in enumerate(hit["now"] if place < 3 else [], start=1):
            lines += textwrap.wrap(f"{number}. {step}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
        for warning in hit["do_not"] if place < 3 else []:
            lines += textwrap.wrap(f"-  {warning}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
    if not result.data["results"]:
        lines += ["Nothing found. Try other words."]
    if more := result.data["more"]:
        lines += ["", f"And {more} more: add a word, narrow it down as with --stage cast, or type --all."]
    return "\n".join(lines) + "\n" + notices_text(result)


def leading(results: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The first so many after first aid; the last places go to the best of each kind that would be left out, as on the site."""
    hurt = [hit for hit in results if hit["kind"] == "hurt"]
    rest = results[len(hurt) :]
    told = {hit["kind"] for hit in rest[:MOST_TOLD]}
    # The best of each kind: the one told last is the first that was found.
    best = {hit["kind"]: hit for hit in reversed(rest) if hit["kind"] not in told}
    others = list(reversed(best.values()))
    return [*hurt, *rest[: MOST_TOLD - len(others)], *others]


def _first_aid_lines(hit: Mapping[str, Any]) -> list[str]:
    lines = [f"SOMEBODY IS HURT: {hit['title']}  ({hit['id']})"]
    for number, step in enumerate(hit["now"], start=1):
        lines += textwrap.wrap(f"{number}. {step}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
    if hit["clock"]:
        lines.append(f"          {hit['clock']['what']}: {hit['clock']['minutes']} minutes by the clock.")
    for word, told in (("Never:", hit["do_not"]), ("Call for help:", hit["call"])):
        if told:
            said = " ".join([word, *told])
            lines += textwrap.wrap(said, 96, initial_indent=" " * 10, subsequent_indent=" " * 10)
    return [*lines, ""]


@question("find", empty=EMPTY, text=_text, page="find.html")
def find_documents(
    view: View,
    words: Annotated[Sequence[str], argument("WORDS", "like: stuck mold, or sticky rim", nargs="+")],
    to: Narrowed = _ALL,
) -> Result:
    """What answers to some words, the most helpful first; somebody hurt before all else, however it is narrowed down.

    Args:
        view: The book.
        words: The words, as they come.
        to: To what it is narrowed down.

    Raises:
        RefusedError: ``unknown-word`` for a stage, family, harm or answer that is none.
    """
    known = {"stage": view.words.stages, "family": view.words.families, "harm": HARMS, "answer": ANSWERS}
    for side, choices in known.items():
        asked = getattr(to, side)
        if asked is not None and asked not in choices:
            raise refused("unknown-word", f"--{side}: `{asked}` is none.", offer(asked, list(choices)))
    query = " ".join(words).strip()
    book = findable(view)
    results = [_first_aid(hurt, query) for hurt in shouted(query)]
    aid = len(results)
    answer = search(query, book.index)
    for hit in answer.hits:
        sides = book.sides_of(hit.entry)
        if to.admits(sides):
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
    more = 0 if to.all else max(len(results) - aid - MOST_TOLD, 0)
    return Result({"query": query, "unknown": list(answer.unknown), "results": results, "more": more})


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
