# ruff: noqa: ARG002 - it is asked as anybody is, and answers what was agreed beforehand
"""Hears what a deed says where nobody sits at a terminal: it is shown on a page afterwards, and what it asks is answered beforehand."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mothermold.desk.asking import Offer


class Heard:
    """Keeps what is said; agrees to all or to nothing, and gives no other answer than the one proposed.

    Attributes:
        lines: What was said, in order.
    """

    def __init__(self, *, agrees: bool = False) -> None:
        """Begins to listen.

        Args:
            agrees: Whether somebody agreed to the deed; else it only says what it would do.
        """
        self.lines: list[str] = []
        self._agrees = agrees

    def say(self, text: str) -> None:
        """Keeps a text."""
        self.lines += text.split("\n")

    def text(
        self,
        question: str,
        *,
        default: str = "",
        needed: bool = False,
        check: Callable[[str], str] | None = None,
    ) -> str:
        """Takes what is proposed."""
        return default

    def choose(
        self,
        question: str,
        offers: Sequence[Offer],
        *,
        default: str = "",
        own: bool = False,
        needed: bool = False,
    ) -> str:
        """Takes what is proposed."""
        return default

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        """Chooses none."""
        return ()

    def agree(self, question: str, *, default: bool) -> bool:
        """Says yes or no, as was agreed beforehand."""
        return self._agrees
