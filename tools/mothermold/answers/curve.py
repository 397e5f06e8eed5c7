"""How a piece cast flat fits a curved head, in millimeters of wrinkle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Final

from mothermold.answers.amounts import missing, one_amount, percent
from mothermold.answers.question import Typed, flag, option, question
from mothermold.answers.result import Result, cautions_text, reckoning_refused
from mothermold.ground.errors import refused
from mothermold.reckon import curve
from mothermold.reckon.errors import ReckoningError

EMPTY: Final[dict[str, Any]] = {
    "shape": None, "surface": None, "radius_mm": None, "off_percent": None, "about_percent": None, "wrinkle_mm": None,
    "tolerance_percent": None, "largest_across_mm": None, "cautions": [],
}  # fmt: skip
BOUND: Final = "Heads are not spheres: use the radii right at the place, and read this as a bound."


@dataclass(frozen=True, slots=True)
class CurveAsked:
    """What is asked, as typed; exactly one of the first two."""

    disc: Annotated[Typed, option("Q", "a round piece, how wide, like '60 mm'")] = None
    band: Annotated[Typed, option("Q", "or a long band, how wide, like '40 mm'")] = None
    radius: Annotated[Typed, option("Q", "gauge radius of the place, like '90 mm'")] = None
    across: Annotated[Typed, option("Q", "gauge radius at right angles to it, or flat; default: the same")] = None
    saddle: Annotated[bool, flag("the two bend to opposite sides, as on a nose bridge")] = False
    tolerance: Annotated[Typed, option("P", "how much still lies down; default: 2 %")] = None


def _text(result: Result) -> str:
    data = result.data
    if data["surface"] == "flat":
        return f"Flat one way: any size lies down by bending alone.\n{cautions_text(result)}"
    disc, off = data["shape"] == "disc", data["wrinkle_mm"]
    where = "around its rim" if disc else "along each 100 mm of an edge"
    what = f"{abs(off):.1f} mm too {'much' if off > 0 else 'little'} {where}"
    does = "wrinkles" if off > 0 else "stretches"
    return (
        f"The {data['shape']} {does}: {what} ({data['off_percent']:+.2f} %).\n"
        f"Up to {int(data['largest_across_mm'])} mm across stays within {data['tolerance_percent']:g} %.\n{cautions_text(result)}"
    )


@question("curve", empty=EMPTY, text=_text, page="sums.html")
def reckon_curve(asked: CurveAsked) -> Result:
    """Excess or stretch at the edge of a flat disc or band, and the largest one that lies down.

    Raises:
        RefusedError: Something is missing, given twice, cannot be read, or is beyond what the formulas hold for.
    """
    if asked.disc is not None and asked.band is not None:
        raise refused("two-fills", "`--disc` and `--band` name two different pieces.", "Give only one of them.")
    if (width := asked.disc or asked.band) is None or asked.radius is None:
        raise missing("The piece or the radius of the place", "mothermold curve --disc '60 mm' --radius '90 mm'")
    shape: curve.Shape = "disc" if asked.disc is not None else "band"
    half = one_amount(f"--{shape}", width, "length") / 2
    radius = one_amount("--radius", asked.radius, "length")
    flat = asked.across is not None and asked.across.strip() == "flat"
    across = radius if asked.across is None else None if flat else one_amount("--across", asked.across, "length")
    tolerance = curve.TOLERANCE if asked.tolerance is None else float(percent("--tolerance", asked.tolerance))
    try:
        found = curve.fit(
            shape,
            float(half),
            float(radius),
            None if across is None else float(across),
            saddle=asked.saddle,
            tolerance=tolerance,
        )
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None
    return Result(
        {
            **EMPTY,
            "shape": shape,
            "surface": found.surface,
            "radius_mm": found.radius,
            "off_percent": found.share * 100,
            "about_percent": found.about * 100,
            "wrinkle_mm": found.wrinkle,
            "tolerance_percent": tolerance * 100,
            "largest_across_mm": None if found.largest is None else 2 * found.largest,
            "cautions": [BOUND],
        }
    )
