"""What a piece cast flat does on a curved head: wrinkles at its rim, or stretch, and how large it may be.

Only the Gauss curvature K = 1/(R1 R2) of the place counts, from two gauge radii at right angles; R = sqrt(|K|)^-1.
Disc of radius s laid along its radii: the rim is off by R sin(s/R)/s - 1, about -s^2/6R^2. Long band of half-width w
laid along its middle: the edge is off by cos(w/R) - 1, about -w^2/2R^2, three times as much. On a saddle the sine and
cosine are hyperbolic and the edge has to stretch. On a cylinder or cone nothing is off. Exact on a sphere
(differential geometry of textbooks; computed in the trade reference), close where the radii differ, for only their
product counts as long as the piece is small.

Not covered: heads are no spheres, so use the radii of the very place, and read the answer as a bound. Soft pieces take
up some of it; bending of thick pieces (thickness/2R at either face) is apart from it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, cosh, isfinite, pi, sin, sinh, sqrt
from typing import Final, Literal

from mothermold.reckon.errors import ReckoningError

CurvedSurface = Literal["dome", "flat", "saddle"]
Shape = Literal["disc", "band"]
# What is usually lost in stretch and edge: 2 %, common practice, no source.
TOLERANCE: Final = 0.02
LARGEST_TOLERANCE: Final = 0.2
# A quarter of the way round: past it a disc would have to close under itself.
FARTHEST: Final = pi / 2
_HALVINGS: Final = 60


@dataclass(frozen=True, slots=True)
class Fit:
    """How a flat piece fits.

    Attributes:
        surface: Whether the place is a dome, flat at least one way, or a saddle.
        radius: What the two radii come to, in mm; None where nothing is off.
        share: By which share the edge must change, below 0 on a dome (it has too much), above 0 on a saddle.
        about: The same by the approximation.
        wrinkle: Millimeters too much: of a disc all around the rim, of a band along each 100 mm of an edge;
            below 0 where they are too few.
        largest: The largest half-size in mm within the tolerance; None where any size fits.
    """

    surface: CurvedSurface
    radius: float | None
    share: float
    about: float
    wrinkle: float
    largest: float | None


def fit(
    shape: Shape,
    half: float,
    radius: float,
    across: float | None,
    *,
    saddle: bool = False,
    tolerance: float = TOLERANCE,
) -> Fit:
    """How a flat disc or a long flat band fits a curved place.

    Args:
        shape: Disc, or a band much longer than wide.
        half: Radius of the disc, or half the width of the band, in mm.
        radius: Gauge radius of the place one way, in mm.
        across: Gauge radius at right angles to it, in mm; None where it is flat that way.
        saddle: Whether the two bend to opposite sides.
        tolerance: The share of stretch or excess that still lies down, above 0 to 0.2.

    Raises:
        ReckoningError: ``out-of-range`` where a length is not above 0; ``beyond-range`` where the piece reaches farther
            than a quarter of the way round, or the tolerance is outside its range.
    """
    for length in (half, radius, *(() if across is None else (across,))):
        if not (length > 0 and isfinite(length)):
            raise ReckoningError("out-of-range", "A size or a radius is nothing or less.", "Give lengths above 0.")
    if not 0 < tolerance <= LARGEST_TOLERANCE:
        raise ReckoningError(
            "beyond-range",
            f"A tolerance of {tolerance * 100:.3g} % is outside what the formulas are used for.",
            "Give more than 0 and at most 20 %; 2 % is usual.",
        )
    if across is None:
        return Fit("flat", None, 0.0, 0.0, 0.0, None)
    one = sqrt(radius * across)
    if half / one > FARTHEST:
        raise ReckoningError(
            "beyond-range",
            f"{half:.4g} mm from the middle is more than a quarter of the way round a radius of {one:.4g} mm.",
            "Work out one smaller piece at a time, or cast it over the head's own shape.",
        )
    return _curved(shape, half, one, "saddle" if saddle else "dome", tolerance)


def _curved(shape: Shape, half: float, radius: float, surface: CurvedSurface, tolerance: float) -> Fit:
    share = _disc if shape == "disc" else _band
    sign = 1 if surface == "saddle" else -1
    ratio = half / radius
    off = share(ratio, sign)
    about = sign * ratio * ratio / (6 if shape == "disc" else 2)
    along = 2 * pi * half if shape == "disc" else 100
    return Fit(surface, radius, off, about, -off * along, radius * _reaching(share, sign, tolerance))


def _disc(ratio: float, sign: int) -> float:
    return (sinh(ratio) if sign > 0 else sin(ratio)) / ratio - 1


def _band(ratio: float, sign: int) -> float:
    return (cosh(ratio) if sign > 0 else cos(ratio)) - 1


def _reaching(share: Callable[[float, int], float], sign: int, tolerance: float) -> float:
    """The half-size, in radii, whose edge is off by the tolerance: found by halving, for a sine has no plain inverse."""
    low, high = 0.0, FARTHEST
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if abs(share(middle, sign)) < tolerance:
            low = middle
        else:
            high = middle
    return low
