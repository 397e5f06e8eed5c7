"""The page of a mold: what it holds, how it dried, what was cast in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from mothermold.answers.molds import is_offered, standing_words
from mothermold.answers.records import all_runs, record_of, went_wrong_in
from mothermold.book.document import Document
from mothermold.model.mold import Mold, Weight
from mothermold.model.names import RunRef
from mothermold.pages.calculators import mold_mixes, page_block
from mothermold.pages.leads import cited
from mothermold.pages.runs import entries
from mothermold.reckon.gypsum import is_dry
from mothermold.view.view import View

SHOWN: Final = ("title", "made", "parts", "wearer", "cavity", "weights", "bolts", "shelf", "state", "repairs")

WIDTH: Final = 320
HEIGHT: Final = 110


@dataclass(frozen=True, slots=True)
class Curve:
    """Weights over days as a line: points in a box of WIDTH by HEIGHT, and what its ends say."""

    points: str
    dots: tuple[tuple[float, float], ...]
    first: str
    last: str


def details(view: View, document: Document[Mold]) -> dict[str, Any]:
    """What the page of a mold shows beside the mold itself."""
    mold = document.model
    runs = [run for run in all_runs(view) if run.mold is not None and run.mold == document.address]
    mixed = mold_mixes(view, document.address, mold, runs)
    return {
        "mixed": mixed,
        "standing": None if is_offered(mold) else standing_words(view, "This mold", document.address, mold),
        "batch_block": page_block(view, [each.calculator for each in mixed], clays=False),
        "runs": entries(view, reversed(runs)),
        "record": record_of(runs),
        "troubles": went_wrong_in(runs),
        "cited": lambda name: cited(view, str(name)),
        "made_by": mold.made if isinstance(mold.made, RunRef) else None,
        "curve": drying_curve(mold.weights),
        "dry": is_dry([(each.date, each.weight.value) for each in mold.weights]),
    }


def drying_curve(weights: tuple[Weight, ...]) -> Curve | None:
    """The weighings as a line; None where there are fewer than three, which a table says better."""
    if len(weights) < 3:
        return None
    told = sorted(weights, key=lambda each: each.date)
    start = told[0].date
    days = [(each.date - start).days for each in told]
    grams = [float(each.weight.value) for each in told]
    span, low, high = max(days) or 1, min(grams), max(grams)
    height = (high - low) or 1.0
    dots = tuple(
        (round(8 + (WIDTH - 16) * day / span, 1), round(8 + (HEIGHT - 16) * (high - weight) / height, 1))
        for day, weight in zip(days, grams, strict=True)
    )
    return Curve(" ".join(f"{x},{y}" for x, y in dots), dots, str(told[0].weight), str(told[-1].weight))
