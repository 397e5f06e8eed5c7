# ruff: noqa: ARG002
"""People who can be asked in a test, whatever is asked: one answers next to nothing, one answers everything."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mothermold.desk.asking import Offer


class Curt:
    """Answers only what must be answered."""

    def __init__(self) -> None:
        self.asked: dict[str, int] = {}

    def say(self, text: str) -> None:
        self.told = text

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        # A failure nobody shouts about is no failure.
        shouted = "shout" in question and self._wants(question)
        return default or (self._fit(check) if needed or shouted else "")

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        return default or (offers[0].value if needed else "")

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        return (offers[0].value,) if "family" in question else ()

    def agree(self, question: str, *, default: bool) -> bool:
        assert default or "Write it" not in question, "the tool itself found something wrong"
        return default

    def _wants(self, question: str) -> bool:
        """Whether a question is answered: not when it comes for the third time."""
        self.asked[question] = self.asked.get(question, 0) + 1
        return self.asked[question] < 3

    def _fit(self, check: Callable[[str], str] | None) -> str:
        fitting = (
            "soft: at the # rim",
            "W1",
            "60 %",
            "12",
            "1.1 g/ml",
            "2 h",
            "2026-06-01",
            "2026-06-01 10:00",
            "chin",
            "9 ml",
        )
        return next(each for each in fitting if check is None or not check(each))


class Chatty(Curt):
    """Answers everything, and every question that is asked again twice."""

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        try:
            return default or (self._fit(check) if needed or self._wants(question) else "")
        except StopIteration:
            return ""

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        return offers[-1].value if needed or self._wants(question) else default

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        return tuple(offer.value for offer in offers[:2])
