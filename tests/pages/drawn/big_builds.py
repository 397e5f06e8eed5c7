"""Writes books with one large build, at random: many things in all stages, made from each other in every direction, and many runs."""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path
from typing import Final

from mothermold.trade.vocabulary import STAGES

BUILD: Final = "big"
_WORDS: Final = [
    "left",
    "right",
    "brow",
    "cheek",
    "lower",
    "jowl",
    "Nasenflügel",
    "über-long-word-without-any-end",
    "ear",
    "neck-and-shoulder",
    "x",
]
_STATES: Final = ("in use", "broken", "retired", "drying", "repaired")


def lay_out(folder: Path, seed: int, things: int = 60, runs: int = 300, visibility: str = "public") -> Path:
    """A book with such a build; the same seed writes the same."""
    chance = random.Random(seed)
    stages = list(STAGES) if seed % 3 else chance.sample(STAGES, 4)
    made = STAGES[:6]
    files = {"book.yaml": "title: A large book\n"}
    names, stage_of, lines = [], {}, []
    for number in range(things):
        stage = chance.choice([each for each in stages if each in made] or ["cast"])
        # A name has at most sixty letters.
        words = "-".join(chance.sample(_WORDS, chance.randint(1, 3))).lower().replace("ü", "u")
        name = f"{words[:50].strip('-')}-{number}"
        recipe = f"{stage}/r{number}"
        title = " ".join(chance.choices(_WORDS, k=chance.randint(1, 9)))
        files[f"{recipe}.yaml"] = _recipe(title, stage, visibility)
        others = chance.sample(names, min(len(names), chance.choice((0, 1, 1, 2, 4))))
        lines.append(f"  - {{id: {name}, recipe: {recipe}@1, from: [{', '.join(others)}]}}")
        names.append(name)
        stage_of[name] = stage
    worn = [stage for stage in ("application", "wear", "removal") if stage in stages]
    for stage in worn:
        files[f"{stage}/w.yaml"] = _recipe(f"The {stage}", stage, visibility)
    looks = [
        f"  - {{id: look-{number}, pieces: [{{thing: {chance.choice(names)}}}, {{thing: {chance.choice(names)}}}]"
        + "".join(f", {stage}: [{stage}/w@1]" for stage in worn)
        + "}"
        for number in range(3)
    ]
    start = date(2025, 11, 3)
    days = [
        f"  - {{day: {start + timedelta(days=chance.randint(100, 420))}, look: look-0, what: shoot}}" for _ in range(12)
    ]
    build = f"title: Big\nvisibility: {visibility}\nthings:\n" + "\n".join(lines)
    build += "\nlooks:\n" + "\n".join(looks) + "\ndays:\n" + "\n".join(days) + "\n"
    files[f"builds/{BUILD}/build.yaml"] = build
    for number in range(runs):
        name = chance.choice(names)
        day = start + timedelta(days=chance.choice((3, 40, chance.randint(0, 400))))
        outcome = chance.choice(("good", "usable", "scrapped", ""))
        told = f"outcome: {outcome}\n" if outcome else ""
        told += "went_wrong: [{what: A bubble}]\n" if chance.random() < 0.3 else ""
        recipe = f"{stage_of[name]}/r{names.index(name)}"
        files[f"builds/{BUILD}/runs/r-{number}.yaml"] = (
            f"id: r-{number}\nkind: {chance.choice(('run', 'run', 'test', 'pull'))}\nrecipe: {recipe}@1\nthing: {name}\n"
            f"started: {day} 09:00\nvisibility: {visibility}\n{told}"
        )
        if stage_of[name] == "mold" and chance.random() < 0.5:
            files[f"builds/{BUILD}/molds/m-{number}.yaml"] = (
                f"title: Mold {' '.join(chance.choices(_WORDS, k=3))} {number}\nmade: r-{number}\n"
                f"state: {chance.choice(_STATES)}\nvisibility: {visibility}\n"
            )
    for name, text in files.items():
        file = folder / "recipes" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return folder


def _recipe(title: str, stage: str, visibility: str) -> str:
    return f"title: {title}\nstage: {stage}\nversion: 1\nstatus: locked\nvisibility: {visibility}\nsteps: [{{id: a, title: Do}}]\n"
