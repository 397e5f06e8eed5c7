"""The page of a mold: what it holds, how it dried, what was cast in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from mothermold.answers.mold_life import ended_molds, next_mold_words, rims_of
from mothermold.answers.molds import is_offered, standing_words
from mothermold.answers.records import record_of, went_wrong_in
from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.model.mold import Cavity, Mold, Weight
from mothermold.model.names import RunRef
from mothermold.model.parts import Repair
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.pages.calculators import mold_mixes, page_block
from mothermold.pages.content import Block, Content, Heading, Labels, Lead, Para, Row, Widget, Words
from mothermold.pages.pictures import pictures_widget
from mothermold.pages.runs import entries, run_line
from mothermold.pages.saying import (
    Loose,
    cells,
    joined,
    labels,
    listing,
    marked,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
    table,
    words,
)
from mothermold.quantities.wording import times_words
from mothermold.reckon.gypsum import is_dry
from mothermold.view.view import View

WIDTH: Final = 320
HEIGHT: Final = 110


@dataclass(frozen=True, slots=True)
class Curve:
    """Weights over days as a line: points in a box of WIDTH by HEIGHT, and what its ends say."""

    points: str
    dots: tuple[tuple[float, float], ...]
    first: str
    last: str


def content(view: View, document: Document[Mold]) -> Content:
    """What the page of a mold shows."""
    mold = document.model
    runs = view.evidence.lineage.in_mold(document.address)
    return Content(
        mold.title,
        words("Mold"),
        words(document.address),
        (
            section("glance", "", _glance(view, document, len(runs))),
            section("cavity", "", _cavity(mold.cavity) if mold.cavity else None),
            section("standing", "", None if is_offered(mold) else _standing(view, document)),
            section("photos", "Photos", pictures_widget(mold.photos, "photos")),
            section("mix", "Mix for this mold", *_mixes(view, document, runs)),
            section("parts", "Its parts", *_parts(mold)),
            section("weighed", "Weighed", *_weighed(mold.weights)),
            listing("repairs", "Repairs", mold.repairs, _repair),
            section("next", "", _next(view, document, len(runs))),
            section("rims", "Rim and flashing over its castings", *_rims(runs)),
            section("cast", "Cast in it", *_cast(view, runs)),
        ),
    )


_HOW: Final = {
    "casting": "found by weighing a casting",
    "clay": "found by weighing the clay",
    "water": "found by filling with water",
    "scan": "found by a scan",
    "reckoned": "worked out, not measured",
    None: "found in a way nobody wrote down",
}


def _glance(view: View, document: Document[Mold], castings: int) -> Labels:
    mold, build = document.model, build_of(document.file)
    return labels(
        # A build the edition leaves out is not named either.
        ("Build", Lead("build", build) if build and build in view.on("build") else None),
        ("Holds", said("cavity", volume=mold.cavity.volume) if mold.cavity else None),
        ("State", said(state=mold.state)),
        ("Castings on record", castings),
        ("Bolts", said(bolts=mold.bolts)),
        ("Shelf", said(shelf=mold.shelf)),
        ("Wearer", said(wearer=mold.wearer)),
        style="glance",
    )


def _cavity(cavity: Cavity) -> Para:
    how = said(
        "cavity",
        how=_HOW[cavity.how],
        date=cavity.date and (" on ", cavity.date),
        flashing=cavity.flashing and f", flashing {cavity.flashing}",
        run=cavity.run and (": ", cavity.run),
    )
    return para("The cavity was ", how, ".")


def _standing(view: View, document: Document[Mold]) -> Para:
    mold = document.model
    so = "Not yet" if mold.state == "drying" else "Nothing is mixed for it"
    return para(f"{so}: {standing_words(view, 'This mold', document.address, mold)}", style="notice warning")


def _mixes(view: View, document: Document[Mold], runs: Sequence[Run]) -> Iterator[Block]:
    mixed = mold_mixes(view, document.address, document.model, runs)
    for one in mixed:
        recipe = Lead("recipe", one.address, one.recipe.title)
        bench = Lead("bench", f"{one.address}@{one.recipe.version}", "at the bench")
        version = f", version {one.recipe.version}"
        yield Heading(
            words(one.calculator.title, " ", quiet("of ", recipe, version, (", ", bench) if one.recipe.steps else None))
        )
        if one.casting:
            goes_by = "Nobody wrote the cavity down; it goes by the last good casting with its flashing, "
            yield para(goes_by, marked("bold", one.casting.weight), ": ", Lead("run", one.casting.run.id), ".")
        yield Widget("sizes", one.calculator)
    if mixed:
        yield Widget("scripts", page_block(view, [each.calculator for each in mixed], clays=False))


def _parts(mold: Mold) -> Iterator[Block]:
    yield para("Made ", said(made=_made(mold.made, "in the run ")), ".")
    yield points(
        said(*at, what=part.what, made=part.made and (" ", quiet("made ", _made(part.made, "in "))))
        for at, part in numbered(mold.parts, "parts")
    )


def _made(made: RunRef | date | str, inside: str) -> Loose:
    if made == "unknown":
        return "at a time nobody knows"
    return ("on ", made) if isinstance(made, date) else (inside, made)


def _weighed(weights: Sequence[Weight]) -> Iterator[Block | None]:
    curve = drying_curve(weights)
    yield Widget("curve", curve) if curve else None
    rows = (Row(cells(at, each, "date", "weight", "state")) for at, each in numbered(weights, "weights"))
    yield table("Weighings", {"Day": "day", "Weight": "number", "State": ""}, rows)
    if is_dry([(each.date, each.weight.value) for each in weights]):
        yield para("The last two weighings are equal: that is the sign of dry stone.", style="quiet")


def _repair(at: KeyPath, repair: Repair) -> Words:
    return said(
        *at,
        date=repair.date and (repair.date, " "),
        what=repair.what,
        failure=repair.failure and (" ", quiet("after ", repair.failure)),
    )


def _next(view: View, document: Document[Mold], castings: int) -> Para | None:
    """When to make the next one, of a mold that still casts and whose like have ended."""
    mold = document.model
    ended = ended_molds(view, document.address, mold)
    if not is_offered(mold) or not ended:
        return None
    who = joined(
        (words(Lead("mold", each.name, each.title), f", {each.state} after {each.castings}") for each in ended), "; "
    )
    return para(next_mold_words(castings, ended), " ", quiet(who, "."), style="notice advice")


def _rims(runs: Sequence[Run]) -> Iterator[Block]:
    rows = rims_of(runs)
    if not rows:
        return
    heads = list(dict.fromkeys(what for row in rows for what in row.values))
    columns = {"Casting": "", **dict.fromkeys((head.capitalize() for head in heads), "number")}
    yield table(
        "Rim and flashing",
        columns,
        (
            Row(
                (
                    words(f"{row.casting}. ", Lead("run", row.run.id, f"{row.run.started:%Y-%m-%d}")),
                    *(words(row.values.get(head)) for head in heads),
                )
            )
            for row in rows
        ),
    )
    yield para(
        "Written as each run says it. A rim that grows is a mold that no longer closes, or is wearing (common practice, no source).",
        style="quiet",
    )


def _cast(view: View, runs: Sequence[Run]) -> Iterator[Block]:
    if runs:
        yield para(f"{str(record_of(runs)).capitalize()}.")
        yield points(map(run_line, entries(view, reversed(runs))), "plain runs")
    if counts := went_wrong_in(runs):
        troubles = (
            (Lead("failure", name), f" ({times_words(count)})" if count > 1 else "") for name, count in counts.items()
        )
        yield para("What went wrong in it: ", joined(troubles, ", "), ".")


def drying_curve(weights: Sequence[Weight]) -> Curve | None:
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
