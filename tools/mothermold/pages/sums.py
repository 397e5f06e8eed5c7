"""The page of small sums: forms a phone reckons with, and for paper or without scripts a small table of each."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.answers.bench_sums import SUMS as BENCH_SUMS
from mothermold.pages.addresses import SUMS
from mothermold.pages.page import Page, render
from mothermold.quantities.wording import bench_minutes
from mothermold.reckon.cure import Band, at_temperature
from mothermold.reckon.curve import TOLERANCE, Fit, fit
from mothermold.reckon.gypsum import Slurry, heat_rise, slurry_for_volume
from mothermold.view.view import View

RATIOS: Final = (30, 38, 40, 60, 70)
ROOMS: Final = (18, 23, 28)
STATED_AT: Final = 23
# A usual fast gel at 23 degC (trade reference, read in S14b), as an example.
EXAMPLE_MIN: Final = 6
HEAD_RADII: Final = (75, 90)
WIDTHS: Final = (40, 60, 80, 120)


@dataclass(frozen=True, slots=True)
class Room:
    """What a time stated at 23 degC becomes in a room: by which factors, and six minutes as an example."""

    temperature: int
    factors: Band
    example: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Width:
    """How a piece of a width fits the two radii of the table."""

    width: int
    discs: tuple[Fit, ...]
    bands: tuple[Fit, ...]


def sums(view: View) -> Page:
    """The page, the same in every edition."""
    largest = [
        (radius, *(int(2 * (fit(shape, 1, radius, radius).largest or 0)) for shape in ("disc", "band")))
        for radius in HEAD_RADII
    ]
    return render(
        view,
        "sums.html",
        SUMS[0],
        SUMS[1],
        called={name: each.title for name, each in BENCH_SUMS.items()},
        slurries=[_slurry(ratio) for ratio in RATIOS],
        rooms=[_room(each) for each in ROOMS],
        radii=HEAD_RADII,
        widths=[_width(each) for each in WIDTHS],
        largest=largest,
        tolerance=f"{TOLERANCE * 100:g} %",
    )


def _slurry(ratio: int) -> tuple[Slurry, Fraction]:
    return slurry_for_volume(Fraction(1000), Fraction(ratio)), heat_rise(Fraction(ratio))[1]


def _room(temperature: int) -> Room:
    band = at_temperature(EXAMPLE_MIN, STATED_AT, temperature)
    example = (bench_minutes(band.short), bench_minutes(band.usual), bench_minutes(band.long))
    return Room(temperature, at_temperature(1, STATED_AT, temperature), example)


def _width(width: int) -> Width:
    discs = tuple(fit("disc", width / 2, radius, radius) for radius in HEAD_RADII)
    return Width(width, discs, tuple(fit("band", width / 2, radius, radius) for radius in HEAD_RADII))
