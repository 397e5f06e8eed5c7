"""A drawing of a scanned cavity from the front and from the side, its thin places marked by shape and number.

Plain shapes only, so that a book takes it as a drawing beside a step.
"""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any, Final

from mothermold.reckon.places import MeshPlace, Up
from mothermold.reckon.scans import ScannedCavity

_ROWS: Final = 60
_MARGIN: Final = 12.0
_TEXT: Final = 5.0
# Of one mark no more numbers fit on a small drawing.
_MOST_MARKS: Final = 20


def draw_places(cavity: ScannedCavity, title: str, thin_mm: float, up: Up) -> str:
    """The drawing as SVG, in millimeters of the scan.

    Args:
        cavity: What was found.
        title: What was scanned.
        thin_mm: The limit below which a place is thin.
        up: The axis of the scan that points up.
    """
    side, height, front = _turned(cavity.points, up)
    places = cavity.places[:_MOST_MARKS]
    centers = [_turned(_one(place), up) for place in places]
    # The front view as one stands before the wearer: the wearer's left is on the right.
    views = (
        ("front, wearer's left is on the right", side, [float(center[0][0]) for center in centers]),
        ("side, the front is on the right", front, [float(center[2][0]) for center in centers]),
    )
    ups = [float(center[1][0]) for center in centers]
    top, bottom = float(height.max()), float(height.min())
    shapes: list[str] = []
    left = _MARGIN
    for words, across, marks in views:
        low, high = float(across.min()), float(across.max())
        width = max(high - low, 70.0)
        shift = left - low + (width - (high - low)) / 2
        outline = " ".join(
            f"{x + shift:.1f},{_MARGIN * 2 + top - y:.1f}" for x, y in _outline(across, height, top, bottom)
        )
        shapes.append(f'<polygon points="{outline}" fill="#eeeeee" stroke="#333333" stroke-width="0.6"/>')
        shapes += [
            _mark(place, number, mark + shift, _MARGIN * 2 + top - y)
            for number, (place, mark, y) in enumerate(zip(places, marks, ups, strict=True), start=1)
        ]
        shapes.append(_text(left, _MARGIN * 2 + top - bottom + 8, words))
        left += width + _MARGIN
    under = _MARGIN * 2 + top - bottom + 18
    legend = _legend(places, thin_mm)
    shapes += [_text(_MARGIN, under + 7 * line, words) for line, words in enumerate(legend)]
    scale = under + 7 * len(legend)
    shapes.append(
        f'<line x1="{_MARGIN}" y1="{scale}" x2="{_MARGIN + 20}" y2="{scale}" stroke="#333333" stroke-width="0.8"/>'
    )
    shapes.append(_text(_MARGIN + 23, scale + 1.5, "20 mm"))
    size = f"{max(left, 190.0):.0f} {scale + 8:.0f}"
    name = html.escape(title)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}">\n<title>{name}</title>\n'
        f"{_text(_MARGIN, 9, title)}\n" + "\n".join(shapes) + "\n</svg>\n"
    )


def _one(place: MeshPlace) -> Any:
    import numpy as np  # noqa: PLC0415 - an extra

    return np.array([place.center])


def _turned(points: Any, up: Up) -> tuple[Any, Any, Any]:
    """To the wearer's left, up, and to the front."""
    x, y, z = points[:, 0], points[:, 1], points[:, 2]
    return (x, y, z) if up == "y" else (x, z, -y)


def _outline(across: Any, height: Any, top: float, bottom: float) -> Sequence[tuple[float, float]]:
    """The outline of points seen from one side: down its left and up its right, row by row."""
    import numpy as np  # noqa: PLC0415

    row = np.minimum(((top - height) / (top - bottom + 1e-9) * _ROWS).astype(int), _ROWS - 1)
    least, most = np.full(_ROWS, np.inf), np.full(_ROWS, -np.inf)
    np.minimum.at(least, row, across)
    np.maximum.at(most, row, across)
    rows = [each for each in range(_ROWS) if np.isfinite(least[each])]
    levels = [top - (each + 0.5) / _ROWS * (top - bottom) for each in rows]
    down = [(float(least[each]), level) for each, level in zip(rows, levels, strict=True)]
    return down + [(float(most[each]), level) for each, level in zip(rows, levels, strict=True)][::-1]


def _mark(place: MeshPlace, number: int, x: float, y: float) -> str:
    if place.kind == "thin":
        shape = f"M {x:.1f} {y - 3.5:.1f} L {x + 3.5:.1f} {y + 2.5:.1f} L {x - 3.5:.1f} {y + 2.5:.1f} Z"
    else:
        shape = f"M {x - 3:.1f} {y - 3:.1f} h 6 v 6 h -6 Z"
    drawn = f'<path d="{shape}" fill="#ffffff" stroke="#000000" stroke-width="0.7"/>'
    return drawn + _text(x + 4.5, y + 2, str(number), bold=True)


def _legend(places: Sequence[MeshPlace], thin_mm: float) -> list[str]:
    lines = [
        f"{number} {'triangle: thin' if place.kind == 'thin' else 'square: opening'}, {place.where}"
        + (f", least {place.least:.2f} mm" if place.kind == "thin" else "")
        for number, place in enumerate(places, start=1)
    ]
    lines = lines or [f"No place away from the edges is under {thin_mm:g} mm."]
    return [*lines, "Thin at the cutting edge is not marked."]


def _text(x: float, y: float, words: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{_TEXT:g}" font-family="sans-serif" fill="#000000"{weight}>'
        f"{html.escape(words)}</text>"
    )
