"""How someone is asked: the questions that making and changing a book needs, whoever puts them to the artist."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from mothermold.ground.errors import MothermoldError


class StoppedError(MothermoldError):
    """Whoever was asked stopped answering; nothing may be written."""

    def __init__(self) -> None:
        super().__init__("Stopped; nothing was written.")


class BackError(StoppedError):
    """Whoever was asked wants the question before again; where nothing leads back, that stops."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Something that can be chosen.

    Attributes:
        value: What choosing it answers.
        words: What it is, shown beside its value.
    """

    value: str
    words: str = ""


class Asking(Protocol):
    """Someone who can be asked. Every question may raise ``StoppedError``, and ``BackError`` for the one before."""

    def say(self, text: str) -> None:
        """Tells something without asking."""
        ...

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        """Asks for a line of text; no answer gives ``default``.

        Args:
            question: The question, without a mark behind it where none is meant.
            default: What no answer means, shown beside the question.
            needed: Whether it must be answered where there is no default.
            check: Returns what is wrong with an answer, or nothing.
        """
        ...

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        """Asks for one of the offers, by its number in the list in sight, by name, or by a part of its name or words.

        Args:
            question: The question.
            offers: What can be chosen.
            default: The value no answer means; nothing chosen where it is empty.
            own: Whether any other text is an answer too.
            needed: Whether it must be answered where there is no default.
        """
        ...

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        """Asks for any number of the offers, parted by commas; no answer chooses none."""
        ...

    def agree(self, question: str, *, default: bool) -> bool:
        """Asks for a yes or a no."""
        ...
