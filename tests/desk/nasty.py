"""Writes documents at random in every way the language allows, and knows to which entry each comment belongs."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Any

Steps = tuple[str | int, ...]

PLAIN = ("a", "two words", "it's", "007", "20E5", "1:1", "no", "ü 鋳 🎭", "a-b", "x/y@3#z")
QUOTED = ('"a # b"', "'it''s'", '"c: d"', '"- e"', '"\\u00e9\\n"', "''", '"{f, g}"')


@dataclass
class Nasty:
    """A document.

    Attributes:
        text: Its text.
        owners: For each comment the entry it belongs to; None where it belongs to no single one.
        raw: What it says.
        is_cut: Whether it ends without a line end.
    """

    rng: random.Random
    lines: list[str] = field(default_factory=list)
    owners: dict[str, Steps | None] = field(default_factory=dict)
    raw: Any = None
    count: int = 0
    is_cut: bool = False

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + ("" if self.is_cut else "\n")

    def comment(self, owner: Steps | None) -> str:
        self.count += 1
        word = f"# c{self.count}"
        self.owners[word] = owner
        return word

    def maybe(self, chance: float) -> bool:
        return self.rng.random() < chance


def nasty(seed: int) -> Nasty:
    """The document of a seed."""
    made = Nasty(random.Random(seed))
    made.is_cut = made.maybe(0.2)
    if made.maybe(0.5):
        made.lines.append(made.comment(None))
    made.raw = _map(made, (), 0, 0)
    # Without a line end a block at the end would say less than it was meant to.
    made.is_cut = made.is_cut and not made.lines[-1].endswith("two: lines")
    return made


def _map(made: Nasty, path: Steps, indent: int, depth: int, opening: str = "") -> dict[str, Any]:
    """Keys below each other; ``opening`` is what already stands on the first one's line."""
    said: dict[str, Any] = {}
    for number in range(made.rng.randint(1, 4)):
        here = (*path, f"k{number}")
        is_open = number == 0 and bool(opening)
        if not is_open and (path or number):
            _between(made, here, indent)
        start = (opening if is_open else " " * indent) + f"k{number}:"
        said[f"k{number}"] = _value(made, here, indent, depth, start)
    return said


def _list(made: Nasty, path: Steps, indent: int, depth: int) -> list[Any]:
    said: list[Any] = []
    for number in range(made.rng.randint(1, 3)):
        here = (*path, number)
        _between(made, here, indent)
        start = " " * indent + "-"
        if made.maybe(0.4) and depth < 4:
            said.append(_map(made, here, indent + 2, depth + 1, opening=f"{start} "))
            if made.maybe(0.15):
                made.lines.append(" " * (indent + 1) + made.comment(here))
        else:
            said.append(_value(made, here, indent, 9, start))
    return said


def _between(made: Nasty, following: Steps, indent: int) -> None:
    if made.maybe(0.1):
        made.lines += ["", " " * made.rng.choice([0, indent]) + made.comment(following[:-1] or None), ""]
    elif made.maybe(0.1):
        made.lines.append("")
    for _ in range(made.rng.choice([0, 0, 0, 1, 2])):
        made.lines.append(" " * indent + made.comment(following))


def _value(made: Nasty, path: Steps, indent: int, depth: int, start: str) -> Any:
    rng = made.rng
    beside = lambda: " " * rng.randint(2, 4) + made.comment(path) if made.maybe(0.3) else ""  # noqa: E731
    ways = ["plain", "quoted", "block", "brackets", "braces", "spread", "below", "nothing"]
    ways += ["map", "list", "flat list"] if depth < 3 else []
    way = rng.choice(ways)
    space = " " * rng.choice([1, 1, 1, 3])
    if way == "nothing" and isinstance(path[-1], str):
        made.lines.append(start + beside())
        return None
    if way == "quoted":
        chosen = rng.choice(QUOTED)
        made.lines.append(start + space + chosen + beside())
        return _unquoted(chosen)
    if way == "block":
        sign = rng.choice([">-", "|-", ">", "|"])
        made.lines.append(start + space + sign + beside())
        made.lines += [" " * (indent + 2) + "one # no comment", " " * (indent + 2) + "two: lines"]
        joint = "\n" if sign[0] == "|" else " "
        return f"one # no comment{joint}two: lines" + ("" if sign.endswith("-") else "\n")
    if way == "brackets":
        values = [rng.choice(PLAIN) for _ in range(rng.randint(0, 3))]
        made.lines.append(start + space + f"[{', '.join(values)}]" + beside())
        return values
    if way == "braces":
        keys = [f"b{number}" for number in range(rng.randint(1, 3))]
        made.lines.append(
            start
            + space
            + "{"
            + ", ".join(f"{key}: {rng.choice(['x', chr(34) + 'x' + chr(34)])}" for key in keys)
            + "}"
            + beside()
        )
        return dict.fromkeys(keys, "x")
    if way == "spread":
        return _spread(made, path, indent, start + space)
    if way == "below" and isinstance(path[-1], str):
        made.lines += [start, " " * (indent + 3) + "stands below" + beside()]
        return "stands below"
    if way in ("map", "list", "flat list") and isinstance(path[-1], str):
        made.lines.append(start + beside())
        # Above the first entry a comment is that entry's; beside the key it is the key's.
        if way == "map":
            return _map(made, path, indent + 2, depth + 1)
        return _list(made, path, indent if way == "flat list" else indent + 2, depth + 1)
    chosen = rng.choice(PLAIN)
    made.lines.append(start + space + chosen + beside())
    return chosen


def _spread(made: Nasty, path: Steps, indent: int, start: str) -> list[str]:
    values = [made.rng.choice(PLAIN) for _ in range(made.rng.randint(1, 3))]
    made.lines.append(start + "[")
    for number, value in enumerate(values):
        comma = "," if number < len(values) - 1 or made.maybe(0.5) else ""
        beside = f"  {made.comment((*path, number))}" if made.maybe(0.5) else ""
        made.lines.append(" " * (indent + 4) + value + comma + beside)
    made.lines.append(" " * (indent + 2) + "]")
    return values


def _unquoted(chosen: str) -> str:
    if chosen[0] == "'":
        return chosen[1:-1].replace("''", "'")
    return chosen[1:-1].replace("\\u00e9", "é").replace("\\n", "\n")
