"""Cards and lines at random, many of them: nothing overlaps, no line goes through a card, nothing leaves the frame."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from itertools import combinations, pairwise

import pytest

from campaigns.seeds import seeds
from mothermold.pages.drawn.across import across, card_width
from mothermold.pages.drawn.down import down
from mothermold.pages.drawn.flow import NARROW, Flow, FlowBox, FlowLine, FlowNode, followed, side_by_side, straightened


def made_up(seed: int, cards: int) -> tuple[list[FlowNode], list[FlowLine]]:
    """Cards in nine stages, and lines among them in every direction, circles too."""
    chance = random.Random(seed)
    stages = [chance.randrange(9) for _ in range(chance.randint(1, 9))]
    nodes = []
    for number in range(cards):
        tall = float(chance.randint(60, 200))
        nodes.append(FlowNode(f"n{number}", chance.choice(stages), tall, tall * chance.choice((0.5, 1))))
    lines = [
        FlowLine(chance.choice(nodes).name, chance.choice(nodes).name, chance.random() < 0.2)
        for _ in range(cards * 3 // 2)
    ]
    return nodes, lines


def touches(one: FlowBox, other: FlowBox) -> bool:
    return (
        one.x < other.x + other.wide
        and other.x < one.x + one.wide
        and one.y < other.y + other.tall
        and other.y < one.y + one.tall
    )


def crossed(flow: Flow, boxes: Iterable[tuple[str, FlowBox]]) -> list[tuple[FlowLine, str]]:
    """Lines that go through the inside of a place."""
    found = []
    for name, box in boxes:
        inside = FlowBox(box.x + 0.5, box.y + 0.5, box.wide - 1, box.tall - 1)
        for path in flow.paths:
            for (x, y), (to_x, to_y) in pairwise(path.corners):
                piece = FlowBox(min(x, to_x), min(y, to_y), abs(to_x - x) or 0.01, abs(to_y - y) or 0.01)
                if touches(piece, inside):
                    found.append((path.line, name))
    return found


def faults(flow: Flow) -> list[object]:
    """What overlaps, crosses or leaves the frame."""
    found: list[object] = [
        (one, other) for one, other in combinations(flow.boxes, 2) if touches(flow.boxes[one], flow.boxes[other])
    ]
    found += crossed(flow, flow.boxes.items())
    found += [
        name
        for name, box in flow.boxes.items()
        if box.x < 0 or box.y < 0 or box.x + box.wide > flow.wide or box.y + box.tall > flow.tall
    ]
    found += [
        path.line
        for path in flow.paths
        if any(not (0 <= x <= flow.wide and 0 <= y <= flow.tall) for x, y in path.corners)
    ]
    for path in flow.paths:
        (x, y), box = path.corners[0], flow.boxes[path.line.source]
        (to_x, to_y), target = path.corners[-1], flow.boxes[path.line.target]
        if not (_on_edge(x, y, box) and _on_edge(to_x, to_y, target)):
            found.append((path.line, "does not reach its cards"))
        if any(x != to_x and y != to_y for (x, y), (to_x, to_y) in pairwise(path.corners)):
            found.append((path.line, "slants"))
    return found


def _on_edge(x: float, y: float, box: FlowBox) -> bool:
    upright = x in (box.x, box.x + box.wide) and box.y <= y <= box.y + box.tall
    return upright or (y in (box.y, box.y + box.tall) and box.x <= x <= box.x + box.wide)


def confused(flow: Flow) -> list[tuple[FlowLine, FlowLine]]:
    """Lines from two cards that run along each other in the very same place: nobody could tell whose they are."""
    pieces = [(path.line, piece) for path in flow.paths for piece in pairwise(path.corners)]
    found = []
    for (line, ((x, y), (to_x, to_y))), (other, ((a, b), (to_a, to_b))) in combinations(pieces, 2):
        if line.source == other.source:
            continue
        if x == to_x == a == to_a and min(max(y, to_y), max(b, to_b)) - max(min(y, to_y), min(b, to_b)) > 1:
            found.append((line, other))
        if y == to_y == b == to_b and min(max(x, to_x), max(a, to_a)) - max(min(x, to_x), min(a, to_a)) > 1:
            found.append((line, other))
    return found


@pytest.mark.parametrize("seed", seeds(12, 200))
def test_from_left_to_right_nothing_overlaps(seed: int) -> None:
    nodes, lines = made_up(seed, seed % 61)
    counts = [sum(1 for each in nodes if each.stage == stage) for stage in range(9)]
    heads = [34.0 if count else 90.0 for count in counts]
    flow = across(nodes, lines, heads, card_width(counts, 1118))
    assert faults(flow) == []
    assert confused(flow) == []
    # The names of the stages stand above all.
    names = [(str(stage), FlowBox(band.x, 0, band.wide, heads[stage])) for stage, band in enumerate(flow.stages)]
    assert crossed(flow, names) == []
    assert [name for name, box in flow.boxes.items() if any(touches(box, place) for _name, place in names)] == []
    assert {path.line for path in flow.paths} == {line for line in lines if line.source != line.target}


@pytest.mark.parametrize("seed", seeds(12, 200))
def test_from_top_to_bottom_nothing_overlaps(seed: int) -> None:
    nodes, lines = made_up(seed, seed % 61)
    flow = down(nodes, lines, 9)
    assert faults(flow) == []
    assert confused(flow) == []
    left = min((box.x for box in flow.boxes.values()), default=0.0)
    names = [(str(stage), FlowBox(left, band.y, 228, NARROW)) for stage, band in enumerate(flow.stages)]
    assert crossed(flow, names) == []
    assert {path.line for path in flow.paths} == {line for line in lines if line.source != line.target}


def heights(flow: Flow, names: Sequence[str]) -> list[float]:
    return [flow.boxes[name].y for name in names]


def test_what_is_made_of_one_thing_stands_beside_it_and_its_line_is_straight() -> None:
    nodes = [FlowNode("mold", 0, 80, 80), FlowNode("other", 0, 80, 80), FlowNode("face", 1, 80, 80)]
    flow = across(nodes, [FlowLine("other", "face")], [30, 30], 100)
    assert flow.boxes["face"].y == flow.boxes["other"].y
    assert len(flow.paths[0].corners) == 2


def test_what_follows_in_the_same_stage_stands_below() -> None:
    nodes = [FlowNode(name, 0, 50, 50) for name in ("paint", "wash", "hair")]
    lines = [FlowLine("wash", "paint"), FlowLine("paint", "hair")]
    assert [each.name for each in followed(nodes, lines)] == ["wash", "paint", "hair"]
    for flow in (across(nodes, lines, [30], 100), down(nodes, lines, 1)):
        assert sorted(flow.boxes, key=lambda name: flow.boxes[name].y) == ["wash", "paint", "hair"]
        assert [len(path.corners) for path in flow.paths] == [2, 2]


def test_a_broken_line_has_a_gap_and_its_ends_are_closed() -> None:
    nodes = [FlowNode("mold", 0, 80, 80), FlowNode("face", 1, 80, 80)]
    whole, broken = (across(nodes, [FlowLine("mold", "face", each)], [30, 30], 100).paths[0] for each in (False, True))
    assert whole.outline.count("M") == 1
    assert broken.outline.count("M") == 2
    assert (whole.ends, broken.ends.count("M")) == ("", 2)
    (x, _), (to_x, _) = broken.corners
    assert broken.outline == f"M{x:g} 70L{(x + to_x) / 2 - 4:g} 70M{(x + to_x) / 2 + 4:g} 70L{to_x:g} 70"


def test_stretches_that_meet_get_lanes_of_their_own() -> None:
    assert side_by_side({"a": (0, 10), "b": (5, 20), "c": (15, 30)}, 4) == {"a": 0, "b": 1, "c": 0}


def test_a_line_is_told_by_its_corners_alone() -> None:
    assert straightened([(0, 0), (5, 0), (9, 0), (9, 0), (9, 4)]) == ((0, 0), (9, 0), (9, 4))
