"""Walks somebody through questions, one after the other, with a way back from each to the one before."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from mothermold.desk.asking import Asking, BackError, Offer
from mothermold.desk.question import Node, Said, Turn, Typed, next_question
from mothermold.desk.shop import Shop
from mothermold.model.walk import KeyPath

HINT: Final = "(`<` goes back one question, `?` lists, Ctrl+C stops and writes nothing)"
NONE: Final = "-"
"""Typed to take an earlier answer out."""


def walk(asking: Asking, questions: Iterable[Node], shop: Shop | None = None, **known: object) -> Said:
    """Asks until nothing is open; what was said then. The arguments are those of ``next_question``."""
    way = _Way(asking)
    while isinstance(turn := next_question(questions, way.answers, shop, **known), Turn):
        way.take(turn)
    return turn


class _Way:
    """The answers somebody gave, in order.

    One that was taken back is offered where its question comes again: Enter keeps it. What is proposed from other
    answers is proposed anew once one of those was changed.
    """

    def __init__(self, asking: Asking) -> None:
        self.answers: dict[KeyPath, Typed] = {}
        self._asking = asking
        self._words: list[str] = []
        self._taken_back: list[tuple[str, Typed]] = []
        self._is_new = True
        self._changed = False

    def take(self, turn: Turn) -> None:
        """Puts a question and keeps its answer, or takes back the one before."""
        for line in (*turn.told, *[HINT] * self._is_new):
            self._asking.say(line)
        self._is_new = False
        before = self._said_before(turn.words)
        try:
            answer = self._put(turn, before)
        except BackError:
            if before is not None:
                self._taken_back.append((turn.words, before))
            if self.answers:
                self._taken_back.append((self._words.pop(), self.answers.popitem()[1]))
            else:
                self._asking.say("  This is the first question.")
            return
        if answer is not None:
            self._changed = bool(self._taken_back) and (self._changed or answer != before)
            self.answers[turn.path] = answer
            self._words.append(turn.words)

    def _put(self, turn: Turn, before: Typed | None) -> Typed | None:
        """An answer that can stand; None where it was taken back as soon as it was doubted."""
        while True:
            typed = self._asked(turn, before)
            before = None
            if typed and turn.ask.kind in ("choice", "several") and (wrong := turn.refusal(typed)):
                self._asking.say(f"  {wrong}")
                continue
            value = turn.ask.value(typed, turn.said)
            if turn.ask.kind == "moment" and value not in (typed, turn.default):
                self._asking.say(f"  -> {value}")
            try:
                if isinstance(typed, tuple):
                    typed = tuple(each for each in typed if self._is_meant(turn, each))
                elif not self._is_meant(turn, value):
                    continue
            except BackError:
                self._taken_back.append((turn.words, typed))
                return None
            if typed or not isinstance(turn.needed, str) or not turn.needed:
                return typed
            self._asking.say(turn.needed)

    def _asked(self, turn: Turn, before: Any) -> Typed:
        ask, needed = turn.ask, turn.needed is True
        if ask.kind == "agree":
            return self._asking.agree(turn.words, default=turn.default if before is None else before)
        if ask.kind == "several":
            return self._asking.several(turn.words, turn.offers, own=ask.own)
        default, empties = turn.default, False
        if before and not (default and self._changed):
            default, empties = before, not (needed or default)
            keeps = f"Enter keeps it, `{NONE}` empties it" if empties else "Enter keeps what you said before"
            self._asking.say(f"  ({keeps})")
        if ask.kind == "choice":
            offers = [*turn.offers, Offer(NONE, "none")] if empties else turn.offers
            answer = self._asking.choose(turn.words, offers, default=default, own=ask.own, needed=needed)
        else:

            def check(typed: str) -> str:
                return "" if empties and typed == NONE else turn.refusal(typed)

            answer = self._asking.text(turn.words, default=default, needed=needed, check=check)
        return "" if empties and answer == NONE else answer

    def _is_meant(self, turn: Turn, value: Any) -> bool:
        doubt = turn.ask.doubt(value, turn.said) if turn.ask.doubt and value else None
        if doubt is None or self._asking.agree(doubt.asks, default=False):
            return True
        if doubt.otherwise:
            self._asking.say(doubt.otherwise)
        return False

    def _said_before(self, words: str) -> Typed | None:
        """The answer a question had before it was taken back; what lay between is no longer asked."""
        if words in [asked for asked, _answer in self._taken_back]:
            while self._taken_back:
                asked, before = self._taken_back.pop()
                if asked == words:
                    return before
        return None
