"""Somebody who answers by a script: each question is known by words in it, and an unexpected one fails the test."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from mothermold.desk.asking import Offer, StoppedError

STOP = object()


def noon(_view: object) -> datetime:
    """A clock that stands still."""
    return datetime(2026, 5, 20, 12, tzinfo=UTC)


def files(folder: Path) -> dict[str, bytes]:
    """What lies in a folder, but its history."""
    found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    return {name: path.read_bytes() for name, path in found.items() if not name.startswith(".git/")}


class Scripted:
    """Answers from a script and remembers what was said and asked."""

    def __init__(self, answers: Mapping[str, Any] | None = None) -> None:
        self.answers = dict(answers or {})
        self.said: list[str] = []
        self.asked: list[str] = []

    @property
    def told(self) -> str:
        """All that was said, in one text."""
        return "\n".join(self.said)

    def say(self, text: str) -> None:
        """Remembers a text."""
        self.said.append(text)

    def _answer(self, question: str, default: Any) -> Any:
        self.asked.append(question)
        for words, answer in self.answers.items():
            if words in question:
                if answer is STOP:
                    raise StoppedError
                return default if answer is None else answer
        raise AssertionError(f"not expected: {question}")

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        """Answers with a text."""
        answer: str = self._answer(question, default)
        assert answer or not needed
        assert not (check and check(answer))
        return answer

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        """Answers with one of the offers."""
        answer: str = self._answer(question, default)
        assert own or answer in [offer.value for offer in offers]
        assert answer or not needed
        return answer

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        """Answers with some of the offers."""
        answer: tuple[str, ...] = self._answer(question, ())
        assert own or set(answer) <= {offer.value for offer in offers}
        return answer

    def agree(self, question: str, *, default: bool) -> bool:
        """Answers yes or no."""
        answer: bool = self._answer(question, default)
        return answer
