"""Swatches of castings against an approved color: how far apart, and whether the two may be compared at all.

The difference is CIEDE2000 (CIE 142-2001) as the library coloraide reckons it, checked against the test data of Sharma, Wu and Dalal,
Color Research and Application 30 (2005) 21. Two readings are compared only under one light. A translucent piece also reads otherwise
when it is thicker, on another backing, or older (J. Dent. Res., doi 10.1177/0022034510378012, abstract read): such a difference is
reckoned and told, never passed over.

What is just seen is published with much scatter, and no limit follows from it; ``PUBLISHED`` says who found what.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from mothermold.model.parts import Color
from mothermold.model.run import Swatch

PUBLISHED: Final = (
    "What is just seen on silicone skin differs from study to study, so no number here is a limit. One (Vision Research 223, 2024, "
    "108474, abstract) found 0.59 for light and 1.75 for dark skin by this formula, 0.80 and 2.63 by the older one of 1976; another "
    "(Prosthetics and Orthotics International, 2006, doi 10.1080/03093640500465096, abstract), by the older one only, found 0.8 seen "
    "and 1.8 still accepted on fair, 1.3 and 2.6 on dark skin. Your own eye under the light of the day decides."
)


@dataclass(frozen=True, slots=True)
class ColorReading:
    """A color as it was read.

    Attributes:
        lab: Its L*, a* and b*; None where one of them is not written.
        light: The light, in small letters; empty where it is not written.
        thick: How thick it was, as written; likewise.
        backing: What lay behind it.
        age: How old it was.
    """

    lab: tuple[float, float, float] | None
    light: str = ""
    thick: str = ""
    backing: str = ""
    age: str = ""


def reading_of(color: Color) -> ColorReading:
    """What a target or a swatch says."""
    lab = (color.L, color.a, color.b)
    known = [float(each.value) for each in lab if each is not None]
    light = " ".join(str(color.light or "").casefold().split())
    found = (known[0], known[1], known[2]) if len(known) == 3 else None
    if not isinstance(color, Swatch):
        return ColorReading(found, light)
    age = f"{float(color.age.value / 60):g} h" if color.age is not None else ""
    thick = f"{float(color.thick.value):g} mm" if color.thick is not None else ""
    return ColorReading(found, light, thick, " ".join(str(color.backing or "").casefold().split()), age)


def difference_2000(one: ColorReading, other: ColorReading) -> float | None:
    """How far two colors are apart by CIEDE2000; None where either is not read in full."""
    if one.lab is None or other.lab is None:
        return None
    from coloraide import Color as Coordinates  # noqa: PLC0415 - most of what is asked needs no color

    return float(Coordinates("lab-d65", one.lab).delta_e(Coordinates("lab-d65", other.lab), method="2000"))


def unlike(approved: ColorReading, other: ColorReading) -> str:
    """Why two readings are not compared at all; empty where they are."""
    if other.lab is None:
        return "judged by eye only" if approved.lab is not None else "neither has figures"
    if approved.lab is None:
        return "the approved one has no figures"
    if approved.light and other.light and approved.light != other.light:
        return f"read under {other.light}, the approved one under {approved.light}"
    return ""


def doubts(approved: ColorReading, other: ColorReading) -> Iterator[str]:
    """What else is not alike in two readings, or not known, so that the difference may not be the color's alone."""
    if not approved.light or not other.light:
        yield "the light of one is not written"
    for what, mine, its in (
        ("thick", other.thick, approved.thick),
        ("backing", other.backing, approved.backing),
        ("old", other.age, approved.age),
    ):
        if mine and its and mine != its:
            yield f"backing {mine}, not {its}" if what == "backing" else f"{mine} {what}, not {its}"
        elif not mine and its:
            yield {"thick": "its thickness", "backing": "its backing", "old": "its age"}[what] + " is not written"
