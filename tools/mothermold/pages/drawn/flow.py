"""Cards in stages and the lines between them: what is placed, what comes of it, and in which order cards stand. Pure.

``across`` places stages from left to right, ``down`` from top to bottom.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

Point = tuple[float, float]

NARROW: Final = 26
"""How wide, or how tall, a stage is in which nothing stands."""
GAP: Final = 14
"""Between two cards of a stage."""
_BROKEN: Final = 4.0
"""How much of a broken line is missing to each side of the break."""
_ARROW: Final = 5.0


class FlowNode(NamedTuple):
    """A card to be placed: its name, the number of its stage, how tall it is, and how far down lines leave and reach it."""

    name: str
    stage: int
    tall: float
    reach: float


class FlowLine(NamedTuple):
    """A line to be drawn from one card to another; broken where what it begins with cannot be used any more."""

    source: str
    target: str
    broken: bool = False


@dataclass(frozen=True, slots=True)
class FlowBox:
    """A place in the picture, by its left upper corner."""

    x: float
    y: float
    wide: float
    tall: float


@dataclass(frozen=True, slots=True)
class FlowPath:
    """A line as it is drawn.

    Attributes:
        line: Which.
        corners: The points it goes through; the last lies at the card it leads to.
    """

    line: FlowLine
    corners: tuple[Point, ...]

    @property
    def outline(self) -> str:
        """The line; of a broken one a piece is missing where it runs straight longest."""
        if not self.line.broken:
            return _through(self.corners)
        place, (x, y), (along, beside) = self._break()
        ahead = (x - along * _BROKEN, y - beside * _BROKEN)
        behind = (x + along * _BROKEN, y + beside * _BROKEN)
        return _through((*self.corners[: place + 1], ahead)) + _through((behind, *self.corners[place + 1 :]))

    @property
    def ends(self) -> str:
        """The two strokes that close the ends of a broken line; nothing for a whole one."""
        if not self.line.broken:
            return ""
        _place, (x, y), (along, beside) = self._break()
        found = ""
        for side in (-1, 1):
            middle = (x + side * along * _BROKEN, y + side * beside * _BROKEN)
            lean = (2 * along + 5 * beside, 5 * along + 2 * beside)
            found += _through(((middle[0] - lean[0], middle[1] - lean[1]), (middle[0] + lean[0], middle[1] + lean[1])))
        return found

    @property
    def arrow(self) -> str:
        """The point it ends in."""
        along, beside = _direction(self.corners[-2], self.corners[-1])
        x, y = self.corners[-1]
        back = (x - along * _ARROW, y - beside * _ARROW)
        half = _ARROW * 0.7
        return (
            _through(
                (
                    (back[0] - beside * half, back[1] + along * half),
                    (x, y),
                    (back[0] + beside * half, back[1] - along * half),
                )
            )
            + "z"
        )

    def _break(self) -> tuple[int, Point, Point]:
        """Where it is broken: which of its straight pieces, the middle of that, and whither it runs."""
        pieces = list(pairwise(self.corners))
        lengths = [abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pieces]
        place = lengths.index(max(lengths))
        (x, y), (to_x, to_y) = pieces[place]
        return place, ((x + to_x) / 2, (y + to_y) / 2), _direction(*pieces[place])


def _direction(start: Point, end: Point) -> Point:
    (x, y), (to_x, to_y) = start, end
    return (float((to_x > x) - (to_x < x)), float((to_y > y) - (to_y < y)))


def _through(points: Iterable[Point]) -> str:
    return "".join(f"{'L' if number else 'M'}{x:g} {y:g}" for number, (x, y) in enumerate(_rounded(points)))


def _rounded(points: Iterable[Point]) -> Iterable[Point]:
    return ((round(x, 1), round(y, 1)) for x, y in points)


@dataclass(frozen=True, slots=True)
class Flow:
    """Where everything stands.

    Attributes:
        wide: How wide the picture is.
        tall: How tall.
        stages: The place of each stage in their order; its name stands at its beginning.
        boxes: The place of each card by name.
        paths: The lines.
    """

    wide: float
    tall: float
    stages: tuple[FlowBox, ...]
    boxes: Mapping[str, FlowBox]
    paths: tuple[FlowPath, ...]


def straightened(corners: Iterable[Point]) -> tuple[Point, ...]:
    """The points of a line without those it passes straight."""
    found: list[Point] = []
    for each in corners:
        if found and found[-1] == each:
            continue
        if len(found) > 1 and _direction(found[-2], found[-1]) == _direction(found[-1], each):
            found.pop()
        found.append(each)
    return tuple(found)


def drawable(nodes: Iterable[FlowNode], lines: Iterable[FlowLine]) -> list[FlowLine]:
    """The lines between two cards there are, each once."""
    known = {each.name for each in nodes}
    return [
        each
        for each in dict.fromkeys(lines)
        if each.source in known and each.target in known and each.source != each.target
    ]


def followed(nodes: Sequence[FlowNode], lines: Iterable[FlowLine]) -> list[FlowNode]:
    """The cards of one stage so that what is made of another stands below it, as near as can be; else in the order given."""
    by_name = {each.name: each for each in nodes}
    inner = [each for each in lines if each.source in by_name and each.target in by_name]
    waits = {each.name: {line.source for line in inner if line.target == each.name} for each in nodes}
    found: dict[str, FlowNode] = {}

    def place(node: FlowNode) -> None:
        trail = [node]
        while trail:
            each = trail.pop()
            if each.name in found:
                continue
            found[each.name] = each
            ready = [line.target for line in inner if line.source == each.name and waits[line.target] <= found.keys()]
            trail += [by_name[name] for name in reversed(ready)]

    for each in nodes:
        if not waits[each.name]:
            place(each)
    # What is left waits for itself in a circle, which the book is told of elsewhere.
    for each in nodes:
        place(each)
    return list(found.values())


def side_by_side(spans: Mapping[str, tuple[float, float]], apart: float) -> dict[str, int]:
    """A lane for each stretch, so that no two in one lane meet.

    Args:
        spans: From where to where each goes, by name.
        apart: How far from each other two in one lane must stay.
    """
    ends: list[float] = []
    found: dict[str, int] = {}
    for name, (low, high) in sorted(spans.items(), key=lambda each: (each[1], each[0])):
        lane = next((number for number, end in enumerate(ends) if end + apart < low), len(ends))
        ends[lane : lane + 1] = [high]
        found[name] = lane
    return found
