"""What a way of working costs a person: keys, pointings and the minutes they take, by the keystroke-level model.

Card, Moran and Newell 1980, "The keystroke-level model for user performance time with interactive systems", Communications of
the ACM 23(7), 396-410: the time of an expert without errors is the sum of its keys and buttons pressed (K), pointings with a
mouse (P), moves of the hand between mouse and keys (H) and acts of thought (M). What the computer takes is not in it, nor is
finding out what to do, nor is weighing and pouring. A thought is counted for every answer, press, passed question and command
on either side, which is more than the model's rules leave: whoever works here is no expert of this tool.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

SECONDS: Final[Mapping[str, float]] = {"key": 0.28, "pointing": 1.1, "hand": 0.4, "thought": 1.35}
"""Of each act; the key is that of the paper's average nonsecretarial typist, 40 words a minute."""


_FEW: Final = 4
"""As many keys take as long as a hand that goes to the mouse, points and comes back."""


@dataclass
class Cost:
    """What one part of the work took.

    Attributes:
        answers: Answers that were typed or chosen.
        keys: Keys and buttons pressed, those of the mouse too.
        pointings: Places the mouse was moved to.
        hands: Moves of the hand between mouse and keys.
        thoughts: Acts of thought.
    """

    answers: int = 0
    keys: int = 0
    pointings: int = 0
    hands: int = 0
    thoughts: int = 0

    @property
    def minutes(self) -> float:
        """How long it takes."""
        acts = {"key": self.keys, "pointing": self.pointings, "hand": self.hands, "thought": self.thoughts}
        return sum(SECONDS[act] * count for act, count in acts.items()) / 60

    def __add__(self, other: Cost) -> Cost:
        return Cost(
            self.answers + other.answers,
            self.keys + other.keys,
            self.pointings + other.pointings,
            self.hands + other.hands,
            self.thoughts + other.thoughts,
        )


@dataclass
class Effort:
    """Counts somebody's acts, part by part; the hand is on the mouse, or on the keys, from one act to the next."""

    parts: dict[str, Cost] = field(default_factory=dict)
    _on_keys: bool = True
    _now: Cost = field(default_factory=Cost)

    def begin(self, part: str) -> None:
        """From here on all counts for this part."""
        self._now = self.parts.setdefault(part, Cost())

    @property
    def whole(self) -> Cost:
        """All of it."""
        return sum(self.parts.values(), Cost())

    def point(self, *, presses: int = 1) -> None:
        """Points at a button, a link or a field, and clicks."""
        self._move(on_keys=False)
        self._now.pointings += presses
        self._now.keys += presses
        self._now.thoughts += 1

    def fill(self, text: str, before: str, *, tabs: int = -1) -> None:
        """Goes to a field and types what it is to say, over what stands there.

        Args:
            text: What is typed.
            before: What stands there.
            tabs: How many keys lead there from where one is; a few are pressed, otherwise the mouse is taken.
        """
        if 0 <= tabs <= _FEW:
            self._now.keys += tabs
            self._now.thoughts += 1
        else:
            self.point()
        self._move(on_keys=True)
        # What stands there is marked as a whole first: two keys.
        self._now.keys += len(text) + (2 if before else 0)
        self._now.answers += 1

    def choose(self, *, opens: bool) -> None:
        """Points at a box or, in a list that opens, at the list and then at what it offers."""
        self.point(presses=2 if opens else 1)
        self._now.answers += 1

    def line(self, text: str, *, is_answer: bool = True) -> None:
        """Types a line at a terminal, and Enter."""
        self._now.keys += len(text) + 1
        self._now.thoughts += 1
        self._now.answers += is_answer and bool(text)

    def edit(self, file: str, place: str, gone: str, typed: str) -> None:
        """Changes a text in an editor: opens the file by its name, seeks a place, deletes, types, keeps it and leaves.

        Args:
            file: The file.
            place: What is typed to find the place.
            gone: What is deleted there.
            typed: What is typed there.
        """
        self.line(f"edit {file}", is_answer=False)
        self._now.keys += 2 + len(place) + 1 + len(gone) + len(typed) + 4
        self._now.thoughts += 3
        self._now.answers += 1

    def _move(self, *, on_keys: bool) -> None:
        self._now.hands += on_keys != self._on_keys
        self._on_keys = on_keys


def table(ways: Mapping[str, Effort], parts: Sequence[str]) -> str:
    """Every part and the whole, each way beside the other.

    Args:
        ways: What each way took, by its name.
        parts: The parts, in order.
    """
    head = "".join(f"  {name:^38}" for name in ways)
    names = "".join(f"  {'answers':>8}{'keys':>8}{'pointings':>12}{'minutes':>10}" for _ in ways)
    rows = [f"{'':24}{head}", f"{'':24}{names}"]
    for part in (*parts, "all of it"):
        costs = [each.whole if part == "all of it" else each.parts.get(part, Cost()) for each in ways.values()]
        told = "".join(f"  {each.answers:>8}{each.keys:>8}{each.pointings:>12}{each.minutes:>10.2f}" for each in costs)
        rows.append(f"{part:24}{told}")
    return "\n".join(rows)
