"""Lines on which a run is written down at the bench, in the order in which the form asks for it afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from mothermold.desk.forms.layouts import LAYOUTS
from mothermold.handouts.pen import TICK
from mothermold.handouts.prose import Block
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.pages.content import Lead
from mothermold.pages.saying import Loose

_Lines = Callable[[RecipeOnPaper], Iterable[Loose]]


def run_form(text: RecipeOnPaper) -> list[Block]:
    """The lines for one run of a recipe, under the headings of the form."""
    pen = text.pen
    blocks = [pen.heading("What happened this time"), pen.para("Afterwards it goes into the book in this order.")]
    for title, keys in LAYOUTS["run"]:
        lines = [line for key in keys.split() for line in _LINES.get(key, _nothing)(text)]
        told = [*pen.blanks(lines), *(_went_wrong(text) if "went_wrong" in keys.split() else ())]
        blocks += [pen.heading(title, level=3), *told] if told else []
    return blocks


def _nothing(_text: RecipeOnPaper) -> tuple[Loose, ...]:
    return ()


def _mixes(text: RecipeOnPaper) -> Iterable[Loose]:
    for mix in text.recipe.mixes:
        called = text.titles[mix.id]
        yield f"{called}: weighed"
        yield f"{called}: pot life"


def _lots(text: RecipeOnPaper) -> Iterable[Loose]:
    names = dict.fromkeys(str(part.material) for mix in text.recipe.mixes for part in mix.parts if part.material)
    return [f"Lot of {text.titles.get(name, name)}" for name in names]


_LINES: Final[Mapping[str, _Lines]] = {
    "started": lambda _: ("Began (day, time)",),
    "finished": lambda _: ("Ended (day, time)",),
    "outcome": lambda _: ("Good / usable / scrapped",),
    "mold": lambda text: ("Mold",) if text.recipe.stage in ("cast", "core", "mold") else (),
    "batch": _mixes,
    "lots": _lots,
    "conditions": lambda _: ("Room, °C or °F", "Relative humidity, %", "Mold, °C or °F", "Materials, °C or °F"),
    "kept": lambda text: ("Piece, and how good", "Box") if text.recipe.stage == "cast" else (),
    "measured": lambda _: ("Measured", "How much"),
    "changed": lambda _: ("Done differently: step", "What"),
    "photos": lambda _: ("Photos taken",),
}
"""By key of a run: the lines on which it is written."""


def _went_wrong(text: RecipeOnPaper) -> list[Block]:
    """What the steps say to watch for, to be ticked, and room for what has no note yet."""
    names = dict.fromkeys(str(name) for step in text.recipe.steps for name in step.watch)
    rows: list[list[Loose | list[object]]] = [[TICK, Lead("failure", name), "", ""] for name in names]
    rows += [[TICK, "", "", ""] for _ in range(2)]
    return text.pen.table({"It": "auto", "What": "across", "Step": "blank", "Note": "wide"}, rows)
