"""Stages side by side from left to right, as a wide screen shows them. Pure.

Lines run up and down in the gutters between stages alone. One that leads past a stage has a row of its own there, between
its cards, so no line ever goes through a card. Lines from one card run together as far as they can.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from mothermold.pages.drawn.flow import (
    GAP,
    NARROW,
    Flow,
    FlowBox,
    FlowLine,
    FlowNode,
    FlowPath,
    Point,
    drawable,
    followed,
    side_by_side,
    straightened,
)

_GUTTER: Final = 20.0
_EDGE: Final = 2.0
_LANE: Final = 5.0
_ROW: Final = 12.0
"""How tall the row of a line is that leads past a stage."""
_APART: Final = 3.0
"""How far from each other two lines reach a gutter at the same height."""


def card_width(counts: Sequence[int], frame: float) -> float:
    """How wide a card may be.

    Args:
        counts: How many cards stand in each stage.
        frame: How wide the picture shall be; many stages make it wider.
    """
    filled = sum(1 for each in counts if each) or 1
    room = frame - _GUTTER * (len(counts) - 1) - 2 * _EDGE - NARROW * (len(counts) - filled)
    return min(200.0, max(100.0, float(int(room / filled))))


@dataclass(slots=True)
class _Net:
    """The lines from one card to one side.

    Attributes:
        name: What tells it from others.
        source: The card.
        side: 1 to later stages, -1 to earlier ones, 0 within the stage.
        lines: The lines.
        rows: Where it leads past a stage, by the stage's number.
        ports: Where it leaves or reaches a card, by the card's name.
    """

    name: str
    source: str
    side: int
    lines: list[FlowLine] = field(default_factory=list)
    rows: dict[int, float] = field(default_factory=dict)
    ports: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Touch:
    """Where a net reaches a gutter: at the height of a port or a row, from the stage to its left or to its right."""

    net: _Net
    at: str
    from_left: bool
    y: float


def across(nodes: Sequence[FlowNode], lines: Iterable[FlowLine], heads: Sequence[float], wide: float) -> Flow:
    """Stages from left to right.

    Args:
        nodes: The cards, in the order they were written.
        lines: The lines between them.
        heads: The room each stage keeps at its top for its name; a stage without a card is narrow.
        wide: How wide a card is, see ``card_width``.
    """
    return _Across(nodes, lines, heads, wide).flow()


class _Across:
    def __init__(
        self, nodes: Sequence[FlowNode], lines: Iterable[FlowLine], heads: Sequence[float], wide: float
    ) -> None:
        self.nodes = {each.name: each for each in nodes}
        self.lines = drawable(nodes, lines)
        self.count, self.wide, self.heads = len(heads), wide, heads
        self.tops: dict[str, float] = {}
        self.nets = self._nets(self.lines)
        self.below: dict[str, str] = {}
        self._place()
        # A card that stands right below what it is made of is reached straight.
        self.straight = [each for each in self.lines if self.below.get(each.source) == each.target]
        rows = {each.name: each.rows for each in self.nets}
        self.nets = self._nets([each for each in self.lines if each not in self.straight])
        for each in self.nets:
            each.rows = rows[each.name]
        self._ports()

    def _stage(self, name: str) -> int:
        return self.nodes[name].stage

    def _nets(self, lines: Iterable[FlowLine]) -> list[_Net]:
        found: dict[str, _Net] = {}
        for each in lines:
            ahead = self._stage(each.target) - self._stage(each.source)
            side = (ahead > 0) - (ahead < 0)
            net = found.setdefault(f"{side} {each.source}", _Net(f"{side} {each.source}", each.source, side))
            net.lines.append(each)
        return list(found.values())

    def _passed(self, net: _Net) -> Iterable[int]:
        """The stages a net leads past."""
        start = self._stage(net.source)
        reach = [self._stage(each.target) for each in net.lines]
        return range(start + 1, max(reach)) if net.side > 0 else range(min(reach) + 1, start) if net.side < 0 else ()

    # Where cards and rows stand.

    def _place(self) -> None:
        columns = {stage: self._column(stage) for stage in range(self.count)}
        talls = [sum(self._tall(each) + GAP for each in column) for column in columns.values()]
        foot = max((head + tall for head, tall in zip(self.heads, talls, strict=True)), default=0.0)
        for stage, column in columns.items():
            y, rest = self.heads[stage], talls[stage]
            for each in self._sorted(column, stage):
                wish = self._wish(each, stage)
                tall = self._tall(each)
                if wish is not None:
                    middle = (each.reach if isinstance(each, FlowNode) else tall) / 2
                    y = max(y, min(wish - middle, foot - rest))
                if isinstance(each, _Net):
                    beside = [net.rows[stage - 1] for net in self.nets if net is not each and stage - 1 in net.rows]
                    while any(abs(y + tall / 2 - other) < _APART for other in beside):
                        y += _APART
                    each.rows[stage] = y + tall / 2
                else:
                    self.tops[each.name] = y
                y, rest = y + tall + GAP, rest - tall - GAP

    def _column(self, stage: int) -> list[FlowNode | _Net]:
        cards = followed([each for each in self.nodes.values() if each.stage == stage], self.lines)
        return [*cards, *(net for net in self.nets if stage in self._passed(net))]

    def _sorted(self, column: Sequence[FlowNode | _Net], stage: int) -> list[FlowNode | _Net]:
        """A stage from top to bottom: each near what it comes from, and what is made of another of its stage below that."""
        inner = [each for each in self.lines if self._stage(each.source) == self._stage(each.target) == stage]
        heads = {each.target for each in inner}
        groups: list[list[FlowNode | _Net]] = []
        for each in column:
            if isinstance(each, FlowNode) and each.name in heads and groups:
                groups[-1].append(each)
            else:
                groups.append([each])
        wishes = [self._wish(group[0], stage) for group in groups]
        order = sorted(range(len(groups)), key=lambda at: (wishes[at] is None, wishes[at] or 0.0, at))
        found = [each for at in order for each in groups[at]]
        self.below |= {
            above.name: under.name
            for above, under in pairwise(found)
            if isinstance(above, FlowNode) and isinstance(under, FlowNode)
        }
        return found

    def _wish(self, each: FlowNode | _Net, stage: int) -> float | None:
        """The height of what a card or a row comes from, where that stands to its left."""
        if isinstance(each, _Net):
            return self._height(each, stage - 1) if each.side > 0 else None
        from_left = [
            self._height(net, stage - 1)
            for net in self.nets
            if net.side > 0 and any(line.target == each.name for line in net.lines)
        ]
        return sum(from_left) / len(from_left) if from_left else None

    def _height(self, net: _Net, stage: int) -> float:
        """The height at which a net leaves a stage."""
        return net.rows[stage] if stage in net.rows else self.tops[net.source] + self.nodes[net.source].reach / 2

    @staticmethod
    def _tall(each: FlowNode | _Net) -> float:
        return _ROW if isinstance(each, _Net) else each.tall

    # Where lines leave and reach cards.

    def _ports(self) -> None:
        """Evenly along each side of each card, moved aside where another line reaches the same gutter at that height."""
        taken: dict[int, list[tuple[float, str]]] = defaultdict(list)
        for net in self.nets:
            for stage, y in net.rows.items():
                taken[stage - 1].append((y, net.name))
                taken[stage].append((y, net.name))
        for name, node in self.nodes.items():
            for right in (False, True):
                mine = sorted(
                    (net for net in self.nets if self._touches(net, name, right=right)),
                    key=lambda net: (self.tops[net.source], net.name),
                )
                gutter = node.stage if right else node.stage - 1
                for number, net in enumerate(mine, 1):
                    y = self._free(self.tops[name], node.reach, number / (len(mine) + 1), taken[gutter], net.name)
                    net.ports[name] = y
                    taken[gutter].append((y, net.name))

    def _touches(self, net: _Net, name: str, *, right: bool) -> bool:
        """Whether a net leaves or reaches a card at a side."""
        leaves = net.source == name and right == (net.side >= 0)
        return leaves or (right == (net.side <= 0) and any(each.target == name for each in net.lines))

    @staticmethod
    def _free(top: float, tall: float, share: float, taken: Sequence[tuple[float, str]], name: str) -> float:
        wish = top + tall * share
        steps = sorted((top + 8 + step for step in range(int(tall) - 15)), key=lambda y: abs(y - wish))
        others = [y for y, whose in taken if whose != name]
        return next((y for y in [wish, *steps] if all(abs(y - other) >= _APART for other in others)), wish)

    # How lines run.

    def flow(self) -> Flow:
        """Where everything stands."""
        gutters = {gutter: self._gutter(gutter) for gutter in range(-1, self.count)}
        filled = {each.stage for each in self.nodes.values()}
        stages, lanes, x = [], dict[tuple[int, str], float](), 0.0
        foot = max((self.tops[each.name] + each.tall for each in self.nodes.values()), default=0.0)
        tall = max([foot, *(y for net in self.nets for y in net.rows.values())]) + GAP
        for gutter in range(-1, self.count):
            many = max(gutters[gutter].values(), default=-1) + 1
            room = max(_GUTTER, _LANE * (many + 1)) if many or gutter in range(self.count - 1) else _EDGE
            for name, lane in gutters[gutter].items():
                lanes[gutter, name] = round(x + room * (lane + 1) / (many + 1), 1)
            x += room
            if gutter + 1 < self.count:
                stages.append(FlowBox(x, 0.0, self.wide if gutter + 1 in filled else NARROW, tall))
                x += stages[-1].wide
        boxes = {
            name: FlowBox(stages[node.stage].x, self.tops[name], self.wide, node.tall)
            for name, node in self.nodes.items()
        }
        paths = [FlowPath(line, self._corners(net, line, stages, lanes)) for net in self.nets for line in net.lines]
        paths += [_upright(line, boxes) for line in self.straight]
        return Flow(x, tall, tuple(stages), boxes, tuple(paths))

    def _gutter(self, gutter: int) -> dict[str, int]:
        """The lane of each net that runs through a gutter, the one to the right of the stage with its number."""
        spans = {}
        for net in self.nets:
            heights = [y for stage, y in net.rows.items() if gutter in (stage - 1, stage)]
            heights += [
                y
                for name, y in net.ports.items()
                if any(
                    self._touches(net, name, right=right) and gutter == self._stage(name) - (0 if right else 1)
                    for right in (False, True)
                )
            ]
            if heights:
                spans[net.name] = (min(heights), max(heights))
        return side_by_side(spans, 4)

    def _corners(
        self, net: _Net, line: FlowLine, stages: Sequence[FlowBox], lanes: dict[tuple[int, str], float]
    ) -> tuple[Point, ...]:
        """The way of a line: out of its card, through each gutter and past each stage, into the card it leads to."""
        start, end = self._stage(line.source), self._stage(line.target)
        step = 1 if net.side >= 0 else -1

        def edge(stage: int, side: int) -> float:
            return stages[stage].x + (stages[stage].wide if side > 0 else 0.0)

        y = net.ports[line.source]
        corners: list[Point] = [(edge(start, step), y)]
        stage = start
        while True:
            x = lanes[stage if step > 0 else stage - 1, net.name]
            corners.append((x, y))
            stage += step
            is_there = net.side == 0 or stage == end
            y = net.ports[line.target] if is_there else net.rows[stage]
            corners.append((x, y))
            if is_there:
                break
            corners.append((edge(stage, step), y))
        corners.append((edge(end, 1 if net.side == 0 else -step), y))
        return straightened(corners)


def _upright(line: FlowLine, boxes: dict[str, FlowBox]) -> FlowPath:
    source, target = boxes[line.source], boxes[line.target]
    x = source.x + source.wide / 2
    return FlowPath(line, ((x, source.y + source.tall), (x, target.y)))
