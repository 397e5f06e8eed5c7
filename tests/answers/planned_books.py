"""Books with one build, made at random, that are to be planned: a core, a mold, pieces cast and painted, days in the chair."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import yaml

MONDAY = date(2026, 3, 2)


@dataclass
class PlannedBook:
    """A book to be laid out.

    Attributes:
        documents: By file below ``recipes``.
        today: The day it is planned on.
    """

    documents: dict[str, dict[str, Any]]
    today: date = MONDAY
    build: dict[str, Any] = field(default_factory=dict)

    def laid_out(self, folder: Path) -> Path:
        """Writes it into a folder; what lies there is written over."""
        for file, document in {**self.documents, "builds/watch/build.yaml": self.build}.items():
            path = folder / "recipes" / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(yaml.safe_dump(document, sort_keys=False, allow_unicode=True), encoding="utf-8")
        return folder


def recipe(stage: str, *steps: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """A recipe of these steps."""
    return {
        "title": f"A {stage}", "stage": stage, "version": 1, "status": "locked", **more,
        "steps": [{"id": f"step-{number}", "title": f"Step {number}", **step} for number, step in enumerate(steps, 1)],
    }  # fmt: skip


def made_at_random(seed: int) -> PlannedBook:
    """The book of a seed."""
    chance = random.Random(seed)

    def minutes(low: int, high: int) -> str:
        return f"{chance.randrange(low, high + 1)} min"

    def steps(count: int, *, wait: int, holds: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = []
        for number in range(count):
            step: dict[str, Any] = {"hands_on": minutes(5, 90)}
            if chance.random() < 0.15:
                step = {"hands_on": f"{chance.randrange(3, 13)} h", "may_pause": "yes"}
            if chance.random() < 0.5:
                step |= {"wait": minutes(5, wait), "holds": chance.choice((holds, "bench", "nothing"))}
            elif chance.random() < 0.2:
                step["coats"] = {"count": chance.randrange(2, 5), "between": minutes(5, 60), "last": minutes(0, 90)}
            if number and chance.random() < 0.15:
                step["within"] = {"time": f"{chance.randrange(8, 30)} h", "after": f"step-{number}", "from": "wait"}
            if number > 1 and chance.random() < 0.2:
                step["after"] = [f"step-{number - 1}"]
            found.append(step)
        return found

    dry = {
        "hands_on": "10 min",
        "until": {"what": "two equal weighings", "usual": f"{chance.randrange(1, 6)} days", "longest": "9 days"},
        "holds": chance.choice(("oven", "mold")),
    }
    casting = steps(chance.randrange(1, 4), wait=400, holds="mold")
    if chance.random() < 0.5:
        casting[0]["once"] = chance.choice(("build", "mold"))
    casting += [
        {"hands_on": minutes(10, 30), "wait": minutes(60, 500), "holds": "mold"},
        {"hands_on": minutes(10, 40), "wait": "12 h", "holds": "bench"},
    ]
    people = chance.choice((1, 1, 2))
    if people == 2:
        casting[-2]["people"] = 2
    kinds = chance.random() < 0.3
    documents: dict[str, dict[str, Any]] = {
        "core/core.yaml": recipe("core", *steps(2, wait=600, holds="nothing"), dry),
        "mold/mold.yaml": recipe("mold", *steps(chance.randrange(2, 4), wait=300, holds="mold"), dry),
        "cast/piece.yaml": recipe("cast", *casting, **({"yields": {"left": 1, "right": 2}} if kinds else {"yields": chance.choice((1, 1, 2))})),
        "finish/paint.yaml": recipe("finish", *steps(chance.randrange(1, 4), wait=120, holds="bench")),
        "application/on.yaml": recipe("application", *({"hands_on": minutes(5, 25), "wait": minutes(0, 8), "holds": "person"} for _ in range(4))),
        "removal/off.yaml": recipe("removal", {"hands_on": "20 min"}, {"hands_on": "15 min"}),
        "book.yaml": {"format": 1, "title": "A small book", "time_zone": "Europe/Berlin", "holidays": [str(MONDAY + timedelta(days=chance.randrange(30)))]},
    }  # fmt: skip
    if chance.random() < 0.8:
        closes = chance.choice(("16:30", "18:00", "20:00"))
        documents["book.yaml"]["hours"] = dict.fromkeys(("mon", "tue", "wed", "thu", "fri"), f"09:00-{closes}") | {
            "sat": "10:00-14:00"
        }
    first = MONDAY + timedelta(days=chance.randrange(9, 40))
    days = sorted(
        {first, first + timedelta(days=chance.randrange(1, 9)), first + timedelta(days=chance.randrange(1, 20))}
    )
    pieces = (
        [{"thing": "piece", "piece": "left"}, {"thing": "piece", "piece": "right"}] if kinds else [{"thing": "piece"}]
    )
    build = {
        "title": "The watch", "people": people, "wearers": ["W1"],
        "things": [
            {"id": "core", "recipe": "core/core@1", "wearer": "W1"},
            {"id": "mold", "recipe": "mold/mold@1", "from": ["core"], "wearer": "W1"},
            {"id": "piece", "recipe": "cast/piece@1", "from": ["mold"], "wearer": "W1", "worn": "yes"},
            {"id": "painted", "recipe": "finish/paint@1", "from": ["piece"], "wearer": "W1"},
        ],
        "looks": [{"id": "full", "pieces": pieces, "application": "application/on@1", "removal": "removal/off@1", "spares": chance.randrange(2)}],
        "days": [{"day": str(day), "what": "shoot", "look": "full", "chair": "06:00", "ready": "09:00", "wrap": "17:00"} for day in days],
    }  # fmt: skip
    return PlannedBook(documents, MONDAY, build)
