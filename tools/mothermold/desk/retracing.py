"""Going back: what was answered so far is remembered, and asking begins anew with all of it but the last answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final, TypeVar

from mothermold.desk.asking import Asking, BackError, Offer

HINT: Final = "(`<` goes back one question, `?` lists, Ctrl+C stops and writes nothing)"
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
    """Someone who is asked only what was not answered before."""

    def __init__(self, asking: Asking) -> None:
        self._asking = asking
        self._answers: list[Any] = []
        self._place = 0
        self._is_new = True

    def go_back(self) -> None:
        if not self._answers:
            self._asking.say("  This is the first question.")
        del self._answers[-1:]
        self._place = 0

    def say(self, text: str) -> None:
        if self._place == len(self._answers):
            self._asking.say(text)

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        return self._answer(lambda: self._asking.text(question, default=default, needed=needed, check=check))

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        return self._answer(lambda: self._asking.choose(question, offers, default=default, own=own, needed=needed))

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        return self._answer(lambda: self._asking.several(question, offers, own=own))

    def agree(self, question: str, *, default: bool) -> bool:
        return self._answer(lambda: self._asking.agree(question, default=default))

    def _answer(self, ask: Callable[[], T]) -> T:
        if self._place == len(self._answers):
            if self._is_new:
                self._asking.say(HINT)
                self._is_new = False
            self._answers.append(ask())
        answer: T = self._answers[self._place]
        self._place += 1
        return answer
