"""Large books of invented recipes, for the bench: so many recipes of so many versions, one save a version.

A recipe has 12 steps and about 160 lines; beside them lie 1,000 failure notes and 1,000 runs that name recipes, molds and
each other's failures, as a shop of some years has them. The same numbers make the same book to the last byte.
"""

from __future__ import annotations

import random
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Final

_WORDS: Final = [
    "edge",
    "rim",
    "flange",
    "keys",
    "wall",
    "seam",
    "core",
    "clay",
    "gel",
    "film",
    "brush",
    "coat",
    "lift",
    "work",
    "dry",
    "set",
    "warm",
    "cool",
    "thin",
    "thick",
    "even",
    "slow",
    "press",
    "open",
    "close",
    "bolt",
    "strap",
    "wash",
    "degrease",
    "mist",
    "pour",
    "vent",
    "bubble",
    "skin",
    "brow",
    "jaw",
    "nose",
    "cheek",
    "neck",
    "ear",
    "lid",
    "mold",
    "shell",
    "stone",
    "fiber",
    "jacket",
    "cup",
    "scale",
    "weigh",
    "mix",
    "stir",
    "scrape",
    "trim",
    "blend",
    "tint",
    "base",
    "glaze",
    "hair",
    "punch",
    "lay",
    "seal",
    "cure",
    "demold",
    "release",
    "soften",
    "bind",
    "feather",
    "tear",
    "shine",
]
_STAGES: Final = ("sculpt", "core", "mold", "cast", "finish")
_STEP: Final = """\
  - id: step-{n}
    phase: {phase}
    title: {title}
    do: {do}
    hands_on: {minutes} min
    wait: 10 min
    uses:
      - {{material: {material}, as: coat, on: face, amount: {ml} ml, how: brush}}
    check: {check}
"""
_RECIPE: Final = """\
title: {title}
stage: {stage}
version: {version}
status: locked
why: {why}
fixes: [{fixes}]
mixes:
  - id: base
    title: Base silicone
    by: weight
    parts:
      - {{material: gel-a, parts: 100}}
      - {{material: gel-b, parts: 100}}
      - {{material: deadener, percent: {percent}, of: [gel-a, gel-b]}}
    fills: {ml} ml
    allowance: {{percent: 10 %, left_in_cups: 15 g}}
    pot_life: {{time: 25 min, at: 23 degC}}
    demold: {{time: 4 h, at: 23 degC}}
surfaces:
  - {{id: face, material: gypsum}}
steps:
{steps}  - id: pour
    phase: work
    title: Pour the gel
    do: {pour}
    hands_on: 12 min
    starts: base
    uses:
      - {{mix: base, as: cast, on: face}}
    wait: {{demold: base}}
"""
_MATERIALS: Final = {
    "gel-a": "title: Platinum gel silicone, part A\nfamilies: [platinum-silicone]\ndensity: 1.05 g/ml\n",
    "gel-b": "title: Platinum gel silicone, part B\nfamilies: [platinum-silicone]\ndensity: 1.05 g/ml\n",
    "gypsum": "title: High-strength gypsum cement\nfamilies: [gypsum-cement]\n",
    "deadener": "title: Silicone deadener\nfamilies: [silicone-deadener]\ndensity: 0.97 g/ml\n",
}
_SHEET: Final = "sds: {where: the folder at the door, dated: 2026-01-05}\n"
_ZONE: Final = "time_zone: UTC\n"


def _prose(draw: random.Random, words: int) -> str:
    told = " ".join(draw.choice(_WORDS) for _ in range(words))
    return f"{told[0].upper()}{told[1:]}."


class LargeBook:
    """A book and how it came about."""

    def __init__(self, recipes: int, versions: int, *, notes: int = 1000, runs: int = 1000) -> None:
        self.recipes, self.versions, self.notes, self.runs = recipes, versions, notes, runs
        self._draw = random.Random(20260101)
        self._steps = [[self._step(n) for n in range(11)] for _ in range(recipes)]

    def address(self, number: int) -> str:
        """What a recipe is called."""
        return f"{_STAGES[number % len(_STAGES)]}/part-{number // 5 % 10}/piece-{number}"

    def _step(self, number: int) -> str:
        draw = self._draw
        return _STEP.format(
            n=number, phase="work" if number else "prepare", title=_prose(draw, 4)[:-1], do=_prose(draw, 25),
            minutes=draw.randint(3, 40), material=draw.choice(("gel-a", "deadener")), ml=draw.randint(2, 40), check=_prose(draw, 9),
        )  # fmt: skip

    def recipe(self, number: int, version: int) -> str:
        """The text of a version; each changes a step or three and a percent."""
        steps = self._steps[number]
        if version > 1:
            for place in self._draw.sample(range(len(steps)), self._draw.randint(1, 3)):
                steps[place] = self._step(place)
        answers = range(number + (version - 1) * self.recipes, self.notes, self.recipes * self.versions)
        return _RECIPE.format(
            title=f"Piece {number}", stage=_STAGES[number % len(_STAGES)], version=version, why=_prose(self._draw, 8), fixes=", ".join(f"note-{n}" for n in answers),
            percent=20 + version, ml=150 + number % 60, steps="".join(steps), pour=_prose(self._draw, 20),
        )  # fmt: skip

    def note(self, number: int) -> str:
        """A failure note."""
        draw = self._draw
        where = f"{self.address(number % self.recipes)}@{number // self.recipes % self.versions + 1}"
        return (
            f"title: {_prose(draw, 5)[:-1]}\nseen_at: {draw.choice(_STAGES)}\ncaused_at: {draw.choice(_STAGES)}\n"
            f"symptoms:\n  - {_prose(draw, 6)}\n  - {_prose(draw, 8)}\nnow:\n  - {_prose(draw, 15)}\n"
            f"causes:\n  - {{what: {_prose(draw, 12)} , sure: guess}}\n"
            f"fixes:\n  - {{do: {_prose(draw, 10)} , in: {where}}}\n"
        ).replace(" ,", ",")

    def run(self, number: int) -> str:
        """A run of some recipe's version, every third with something that went wrong."""
        draw = self._draw
        where = f"{self.address(draw.randrange(self.recipes))}@{draw.randint(1, self.versions)}"
        day = f"20{20 + number % 6}-{1 + number % 12:02}-{1 + number % 28:02}"
        wrong = f"went_wrong:\n  - {{failure: note-{draw.randrange(self.notes)}, step: step-{draw.randrange(11)}}}\n"
        return (
            f"id: r-{number}\nkind: run\nrecipe: {where}\nstarted: {day} 10:00\nfinished: {day} 15:00\n"
            f"outcome: {draw.choice(('good', 'good', 'usable', 'scrapped'))}\nconditions: {{room: {draw.randint(18, 27)} degC}}\n"
            f"batch:\n  - {{mix: base, weighed: {draw.randint(150, 260)} g}}\n{wrong if number % 3 == 0 and self.notes else ''}"
        )

    def saves(self) -> Iterator[dict[str, str]]:
        """What each save writes, in order."""
        first = {"recipes/book.yaml": f"title: A large book\n{_ZONE}", ".gitignore": "/site/\n/private/\n"}
        yield first | {f"recipes/materials/{name}.yaml": text + _SHEET for name, text in _MATERIALS.items()}
        for version in range(1, self.versions + 1):
            for number in range(self.recipes):
                yield {f"recipes/{self.address(number)}.yaml": self.recipe(number, version)}
        yield {f"recipes/failures/note-{n}.yaml": self.note(n) for n in range(self.notes)}
        yield {f"recipes/runs/20{20 + n % 6}/r-{n}.yaml": self.run(n) for n in range(self.runs)}

    def make(self, root: Path) -> None:
        """Writes the book and its history into a new folder."""
        subprocess.run(["git", "init", "--quiet", "--initial-branch=main", str(root)], check=True)
        told: list[bytes] = []
        for second, files in enumerate(self.saves()):
            when = f"{1_700_000_000 + 3600 * second} +0000"
            told.append(f"commit refs/heads/main\ncommitter bench <bench@localhost> {when}\ndata 4\nsave\n".encode())
            for file, text in files.items():
                data = text.encode()
                told.append(f"M 100644 inline {file}\ndata {len(data)}\n".encode() + data + b"\n")
        git = ["git", "-C", str(root)]
        subprocess.run([*git, "fast-import", "--quiet"], input=b"".join(told), check=True)
        subprocess.run([*git, "reset", "--quiet", "--hard"], check=True)
