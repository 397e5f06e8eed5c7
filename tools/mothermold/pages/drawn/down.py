"""Cards one below the other, stage by stage, as a phone shows them: all lines run beside them on the left. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from mothermold.pages.drawn.flow import (
    GAP,
    NARROW,
    Flow,
    FlowBox,
    FlowLine,
    FlowNode,
    FlowPath,
    drawable,
    followed,
    side_by_side,
    straightened,
)

FRAME: Final = 300
"""How wide the picture is."""
WIDE: Final = 228
"""How wide a card is; what is left of it is for the lines."""
_LEFT: Final = FRAME - WIDE - 1.0
_PORT: Final = 9.0


def down(nodes: Sequence[FlowNode], lines: Iterable[FlowLine], stages: int) -> Flow:
    """Stages from top to bottom, each with its name above its cards."""
    known = drawable(nodes, lines)
    boxes: dict[str, FlowBox] = {}
    bands, order, y = [], list[str](), 0.0
    for stage in range(stages):
        top, y = y, y + NARROW
        for node in followed([each for each in nodes if each.stage == stage], known):
            boxes[node.name] = FlowBox(_LEFT, y, WIDE, node.tall)
            order.append(node.name)
            y += node.tall + GAP
        bands.append(FlowBox(0.0, top, FRAME, y - top))
    beside = [each for each in known if not _is_below(each, order, boxes)]
    paths = [_straight(each, boxes) for each in known if each not in beside]
    reach = {each.name: each.reach for each in nodes}
    return Flow(FRAME, y, tuple(bands), boxes, (*paths, *_beside(beside, boxes, reach)))


def _is_below(line: FlowLine, order: Sequence[str], boxes: dict[str, FlowBox]) -> bool:
    """Whether a line leads to the next card of the same stage."""
    source, target = boxes[line.source], boxes[line.target]
    return order.index(line.target) == order.index(line.source) + 1 and target.y - source.y - source.tall == GAP


def _straight(line: FlowLine, boxes: dict[str, FlowBox]) -> FlowPath:
    source, target = boxes[line.source], boxes[line.target]
    x = source.x + source.wide / 2
    return FlowPath(line, ((x, source.y + source.tall), (x, target.y)))


def _beside(lines: Sequence[FlowLine], boxes: Mapping[str, FlowBox], reach: Mapping[str, float]) -> Iterable[FlowPath]:
    """Lines to the left of the cards: those from one card share a lane, and each card is reached where no other line is."""
    leaves = {each.source: boxes[each.source].y + reach[each.source] - _PORT for each in lines}
    reaches: dict[FlowLine, float] = {}
    for name in dict.fromkeys(each.target for each in lines):
        mine = [each for each in lines if each.target == name]
        room = reach[name] - 3 * _PORT
        for number, each in enumerate(mine, 1):
            reaches[each] = boxes[name].y + _PORT + room * (number - 1) / len(mine)
    spans = {
        source: (min(ys), max(ys))
        for source in leaves
        if (ys := [leaves[source], *(reaches[each] for each in lines if each.source == source)])
    }
    lanes = side_by_side(spans, 4)
    many = max(lanes.values(), default=0) + 1
    for each in lines:
        # The nearest lane is the first.
        x = _LEFT - 8 - (_LEFT - 14) * lanes[each.source] / many
        start, end = leaves[each.source], reaches[each]
        yield FlowPath(each, straightened([(_LEFT, start), (x, start), (x, end), (_LEFT, end)]))
