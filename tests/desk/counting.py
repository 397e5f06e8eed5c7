"""Somebody at the terminal who says what they came to say, takes Enter for all else, and counts both."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mothermold.desk.asking import Offer
from serve.desk_rooms.effort import Effort


class Counting:
    """Answers from a list, in its order: each answer waits for the first question with its words.

    Attributes:
        answers: How many answers were typed.
        enters: How many questions were passed by Enter.
        left: The answers nobody asked for yet, each with words of its question.
        said: What was told.
        effort: What it took, act by act.
    """

    def __init__(self) -> None:
        self.answers = self.enters = 0
        self.left: list[tuple[str, str]] = []
        self.said: list[str] = []
        self.asked: list[str] = []
        self.effort = Effort()

    def say(self, text: str) -> None:
        self.said.append(text)

    def _typed(self, question: str) -> str | None:
        self.asked.append(question)
        if self.left and self.left[0][0] in question:
            self.answers += 1
            answer = self.left.pop(0)[1]
            self.effort.line(answer)
            return answer
        self.enters += 1
        self.effort.line("")
        return None

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        answer = self._typed(question) or default
        assert answer or not needed, question
        assert not (check and answer and check(answer)), (question, check and check(answer))
        return answer

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        answer = self._typed(question) or default
        assert answer or not needed, question
        assert own or answer in ("", *(each.value for each in offers)), (question, answer, offers)
        return answer

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        found = tuple(filter(None, (self._typed(question) or "").split(", ")))
        assert own or set(found) <= {each.value for each in offers}, (question, found, offers)
        return found

    def agree(self, question: str, *, default: bool) -> bool:
        answer = self._typed(question)
        return default if answer is None else answer == "yes"
