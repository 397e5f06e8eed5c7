"""What is asked for a course."""

from __future__ import annotations

from typing import Final

from mothermold.desk.drafts.questions import NAME, pins
from mothermold.desk.question import Ask, Know, Node, Tell

_NO_PINS: Final = "A course teaches locked recipe versions, and the book has none yet; they can come later."

QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("title", "What the course is called", needed=True),
    NAME,
    Ask("term", "When it is given (like fall 2026)"),
    Tell(_NO_PINS, when=lambda said: not said.shop.pins()),
    Know(lambda _said: {"pins": ()}),
    Ask("pins", "Which recipe versions are taught", "several", pins()),
    Ask("students", "How many take part"),
)
