"""Going back: what was answered so far is remembered, and asking begins anew with all of it but the last answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final, TypeVar

from mothermold.desk.asking import Asking, BackError, Offer

HINT: Final = "(`<` goes back one question, `?` lists, Ctrl+C stops and writes nothing)"
NONE: Final = "-"
"""Typed to take an earlier answer out."""

T = TypeVar("T")


def with_a_way_back(asking: Asking, ask: Callable[[Asking], T]) -> T:
    """Lets someone be asked, with a way back from each question to the one before.

    Args:
        asking: Whom to ask.
        ask: Asks; what it asks depends on nothing but the answers, and it writes nothing.
    """
    trail = _Trail(asking)
    while True:
        try:
            return ask(trail)
        except BackError:
            trail.go_back()


class _Trail:
    """Someone who is asked only what was not answered before.

    An answer that was taken back is offered where its question comes again: Enter keeps it. What is proposed from
    other answers is proposed anew once one of those was changed.
    """

    def __init__(self, asking: Asking) -> None:
        self._asking = asking
        self._answers: list[tuple[str, Any]] = []
        self._taken_back: list[tuple[str, Any]] = []
        self._place = 0
        self._is_new = True
        self._changed = False

    def go_back(self) -> None:
        if self._answers:
            self._taken_back.append(self._answers.pop())
        else:
            self._asking.say("  This is the first question.")
        self._place = 0

    def say(self, text: str) -> None:
        if self._place == len(self._answers):
            self._asking.say(text)

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        def ask(before: str | None) -> str:
            offered, empties = self._offered(before, default, needed=needed)
            answer = self._asking.text(
                question,
                default=offered,
                needed=needed,
                check=lambda said: check(said) if check and not (empties and said == NONE) else "",
            )
            return "" if empties and answer == NONE else answer

        return self._answer(question, ask)

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        def ask(before: str | None) -> str:
            offered, empties = self._offered(before, default, needed=needed)
            listed = [*offers, Offer(NONE, "none")] if empties else offers
            answer = self._asking.choose(question, listed, default=offered, own=own, needed=needed)
            return "" if empties and answer == NONE else answer

        return self._answer(question, ask)

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        return self._answer(question, lambda _before: self._asking.several(question, offers, own=own))

    def agree(self, question: str, *, default: bool) -> bool:
        return self._answer(
            question,
            lambda before: self._asking.agree(question, default=default if before is None else before),
        )

    def _said_before(self, question: str) -> Any:
        """The answer a question had before it was taken back; what lay between is no longer asked."""
        if question not in [asked for asked, _answer in self._taken_back]:
            return None
        while True:
            asked, before = self._taken_back.pop()
            if asked == question:
                return before

    def _offered(self, before: str | None, default: str, *, needed: bool) -> tuple[str, bool]:
        """What Enter takes, and whether that can be emptied; says how, where it is what was said before."""
        if not before or (default and self._changed):
            return default, False
        empties = not (needed or default)
        self._asking.say(
            f"  (Enter keeps it, `{NONE}` empties it)" if empties else "  (Enter keeps what you said before)"
        )
        return before, empties

    def _answer(self, question: str, ask: Callable[[T | None], T]) -> T:
        if self._place == len(self._answers):
            if self._is_new:
                self._asking.say(HINT)
                self._is_new = False
            before = self._said_before(question)
            try:
                answer = ask(before)
            except BackError:
                if before is not None:
                    self._taken_back.append((question, before))
                raise
            self._changed = bool(self._taken_back) and (self._changed or answer != before)
            self._answers.append((question, answer))
        answer = self._answers[self._place][1]
        self._place += 1
        return answer
