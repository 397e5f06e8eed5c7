"""How the castings of a build keep to the approved color: swatches by instrument under one light, by eye beside them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any, Final

from mothermold.answers.question import Typed, argument, option, question
from mothermold.answers.result import Result, notices_text
from mothermold.ground.errors import refused
from mothermold.ground.words import nearest, offer
from mothermold.model.build import Build, Target
from mothermold.model.run import Run
from mothermold.reckon.swatches import PUBLISHED, ColorReading, difference_2000, doubts, reading_of, unlike
from mothermold.view.view import View

EMPTY: Final[dict[str, Any]] = {"build": None, "runs": [], "approved": [], "said": []}
BUILD: Final = argument("BUILD", "the build, like saltpan-keeper")


@dataclass(frozen=True, slots=True)
class Approved:
    """What swatches are compared with.

    Attributes:
        words: What it is, in words.
        reading: Its color.
        run: The run whose swatch it is; None for a target of a look.
    """

    words: str
    reading: ColorReading
    run: str | None = None


def _text(result: Result) -> str:
    data = result.data
    lines = [f"{data['build']}: {len(data['runs'])} {'swatch' if len(data['runs']) == 1 else 'swatches'}"]
    lines += [f"against {each['words']}" for each in data["approved"]]
    lines.append("")
    for row in data["runs"]:
        figure = "   -" if row["delta_e00"] is None else f"{row['delta_e00']:4.1f}"
        told = "; ".join(filter(None, (f"by eye: {row['match']}" if row["match"] else "", row["why"], *row["doubts"])))
        lines += textwrap.wrap(f"{row['day']}  {figure}  {row['what']}  {told}", 96, subsequent_indent=" " * 18)
    for each in data["said"]:
        lines += ["", *textwrap.wrap(each, 96)]
    return "\n".join(lines) + "\n" + notices_text(result)


@question("drift", empty=EMPTY, text=_text, page="builds/BUILD.html")
def color_drift(
    view: View,
    build: Annotated[str, BUILD],
    zone: Annotated[Typed, option("ZONE", "the approved zone to compare with, where a look has several")] = None,
) -> Result:
    """The swatches of a build against the approved color.

    Args:
        view: The book.
        build: The build's name.
        zone: Which approved zone; without it the first with figures, for each light.

    Raises:
        RefusedError: ``unknown-reference``: there is no such build, or no such zone.
    """
    if build not in view.models(Build):
        near = nearest(build, view.on("build"))
        advice = f"Did you mean `{near}`?" if near else "Type the name of its folder in `recipes/builds`."
        raise refused("unknown-reference", f"No build is called `{build}`.", advice)
    zones = [str(target.zone) for target in _targets(view.models(Build)[build])]
    if zone is not None and zone not in zones:
        raise refused(
            "unknown-reference", f"--zone: no look approves a zone `{zone}`.", offer(zone, dict.fromkeys(zones))
        )
    return Result(drifted(view, build, zone), view.touching({view.of(Build)[build].file}))


def drifted(view: View, name: str, zone: str | None = None) -> dict[str, Any]:
    """The same as data: every swatch in the order of its run, and what is to be said of them all."""
    build = view.models(Build)[name]
    runs = [run for run in view.evidence.lineage.of_build(name) if run.swatch is not None]
    approved = _approved(build, runs, zone)
    rows = [_row(run, _for(approved, reading_of(run.swatch))) for run in runs if run.swatch is not None]
    return {
        "build": name,
        "runs": rows,
        "approved": [{"words": each.words, "light": each.reading.light or None, "run": each.run} for each in approved],
        "said": list(_said(build, approved, rows, zone)),
    }


def _targets(build: Build) -> list[Target]:
    return [target for look in build.looks for target in look.targets]


def _approved(build: Build, runs: Sequence[Run], zone: str | None) -> list[Approved]:
    """The approved colors, one for each light: a look's target, else the first swatch that was found the same by eye."""
    found: dict[str, Approved] = {}
    for target in _targets(build):
        reading = reading_of(target)
        if reading.lab is not None and zone in (None, str(target.zone)):
            light = f" under {reading.light}" if reading.light else ""
            day = f", approved {target.date}" if target.date else ""
            told = Approved(f"the target for {target.zone}{light}{day}", _as_first_read(reading, runs))
            found.setdefault(reading.light, told)
    if found:
        return list(found.values())
    for run in runs:
        if run.swatch is not None and _is_same(run) and (reading := reading_of(run.swatch)).lab is not None:
            light = f" under {reading.light}" if reading.light else ""
            words = f"the first swatch found the same by eye{light}, of {run.started.date()}"
            found.setdefault(reading.light, Approved(words, reading, str(run.id)))
    return list(found.values())


def _as_first_read(target: ColorReading, runs: Sequence[Run]) -> ColorReading:
    """A target says no thickness, backing and age: those of the first swatch found the same under its light stand for them."""
    for run in runs:
        if run.swatch is not None and _is_same(run):
            first = reading_of(run.swatch)
            if first.lab is not None and first.light == target.light:
                return replace(first, lab=target.lab)
    return target


def _is_same(run: Run) -> bool:
    return run.swatch is not None and str(run.swatch.match or "").casefold().startswith(("same", "approved"))


def _for(approved: Sequence[Approved], reading: ColorReading) -> Approved | None:
    """What a swatch is compared with: what was approved under its light, else the first."""
    return next((each for each in approved if each.reading.light == reading.light), next(iter(approved), None))


def _row(run: Run, approved: Approved | None) -> dict[str, Any]:
    swatch = run.swatch
    assert swatch is not None
    reading = reading_of(swatch)
    why = "nothing is approved yet" if approved is None else unlike(approved.reading, reading)
    figure = difference_2000(approved.reading, reading) if approved is not None and not why else None
    return {
        "run": str(run.id),
        "delta_e00": figure,
        "day": run.started.date().isoformat(),
        "thing": str(run.thing) if run.thing is not None else None,
        "what": str(run.thing) if run.thing is not None else run.recipe.address if run.recipe is not None else "test",
        "light": reading.light or None,
        "match": str(swatch.match) if swatch.match else None,
        "why": why or None,
        "doubts": list(doubts(approved.reading, reading)) if approved is not None and figure is not None else [],
        "is_approved": approved is not None and approved.run == str(run.id),
    }


def _said(
    build: Build, approved: Sequence[Approved], rows: Sequence[dict[str, Any]], zone: str | None
) -> Iterator[str]:
    if not rows:
        yield "No run has a swatch yet: type `swatch: {match: same, light: daylight}` in a run, with `L`, `a` and `b` where an instrument read it."
        return
    if not approved:
        yield (
            "Nothing is approved with figures: type `targets:` in the look, with `L`, `a`, `b` and the light, or `match: same` in the "
            "swatch that was approved."
        )
        return
    zones = list(dict.fromkeys(str(target.zone) for target in _targets(build) if reading_of(target).lab is not None))
    if zone is None and len(zones) > 1:
        yield f"The looks approve {len(zones)} zones ({', '.join(zones)}); this is against the first. A swatch does not say its zone: ask with `--zone`."
    if approved[0].run is None and any(row["delta_e00"] is not None for row in rows):
        yield (
            "A target says no thickness, backing or age: those of the first swatch found the same by eye stand for it. Read a swatch of each "
            "casting in one way, or the difference is not the color's alone."
        )
    if any(row["delta_e00"] is not None for row in rows):
        yield PUBLISHED
