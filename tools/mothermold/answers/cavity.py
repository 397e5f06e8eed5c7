"""How much a mold holds, by one of four ways: clay, water, scans, or a good casting weighed."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any, Final

from mothermold.answers.amounts import amount
from mothermold.answers.question import Typed, option, question
from mothermold.answers.result import Result, notices_text, reckoning_refused
from mothermold.answers.scan import edge_words, measure_scans
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.quantities.units import UNITS
from mothermold.reckon.cavity import WATER_USUAL_DEGC, volume_of, water_density
from mothermold.reckon.errors import ReckoningError

_NO_THICKNESS: Final[Mapping[str, float | None]] = {"min": None, "median": None, "p95": None}
EMPTY: dict[str, Any] = {"method": None, "volume_ml": None, "area_cm2": None, "thickness_mm": dict(_NO_THICKNESS)}

_CAUTIONS: Final[Mapping[str, str]] = {
    "clay": "Only the sculpture counts: overflow clay and what fills undercuts stay off the scale.",
    "water": "Only in a sealed mold or by bagged clay; never in bare gypsum, which drinks the water and must dry again.",
    "casting": "Weigh a good casting with its flashing; what is lost there is then counted in.",
    "scan": "A mesh of flat triangles is a little low on round shapes; overflow and what stays in the cups come on top.",
}
_US_FL_OZ_ML: Final = float(UNITS["US fl oz"].factor)
_METHODS: Final = {
    "clay": "the weight of its clay",
    "water": "water",
    "casting": "the weight of a casting",
    "scan": "scan",
}


@dataclass(frozen=True, slots=True)
class CavityAsked:
    """What is measured, as typed; exactly one of clay, water, piece and mesh."""

    piece: Annotated[Typed, option("Q", "a good casting weighed with its flashing, like '214 g'; the best way")] = None
    clay: Annotated[Typed, option("Q", "the weight of the sculpture's clay")] = None
    density: Annotated[Typed, option("Q", "of the casting or the clay, like '1.08 g/ml'")] = None
    water: Annotated[Typed, option("Q", "water a sealed mold holds or bagged clay displaces, in ml or g")] = None
    temperature: Annotated[Typed, option("Q", "of weighed water; default: 20 degC")] = None
    mesh: Annotated[
        Typed, option("FILE", "a closed mesh (STL, OBJ, PLY): the cavity, or the sculpture with --core")
    ] = None
    core: Annotated[Typed, option("FILE", "the core's closed mesh, in the same position")] = None
    unit: Annotated[Typed, option("UNIT", "of the meshes: mm, cm, in or m; default: mm")] = None
    thin: Annotated[Typed, option("Q", "a place under this is thin; default: '1 mm'")] = None
    up: Annotated[Typed, option("AXIS", "the axis that points up: y (the face looks along +z) or z (along -y)")] = None
    picture: Annotated[Typed, option("FILE", "write a drawing of the thin places, like thin.svg")] = None


# Which option may stand with which way of measuring.
_GOES_WITH: Final[Mapping[str, tuple[str, ...]]] = {
    "clay": ("density",),
    "water": ("temperature",),
    "piece": ("density",),
    "mesh": ("core", "unit", "thin", "up", "picture"),
}
_NEEDS_CORE: Final = ("thin", "up", "picture")


def _text(result: Result) -> str:
    data = result.data
    volume = data["volume_ml"]
    lines = [f"The cavity holds {volume:.1f} ml ({volume / _US_FL_OZ_ML:.2f} US fl oz), by {_METHODS[data['method']]}."]
    lines += textwrap.wrap(data["caution"], 100)
    if data["area_cm2"] is not None:
        lines.append(f"Surface {data['area_cm2']:.1f} cm2.")
    thick = data["thickness_mm"]
    if thick["median"] is not None:
        lines += [
            f"Thickness: half of it over {thick['median']:.2f} mm, 95 % under {thick['p95']:.2f} mm, least "
            f"{thick['min']:.2f} mm; looked at about every {data['sampled_every_mm']:.1f} mm.",
            *textwrap.wrap(edge_words(data), 100),
        ]
    for place in data.get("places", ()):
        told = "opening" if place["kind"] == "opening" else f"thin, least {place['least_mm']:.2f} mm"
        lines.append(f"  {told}: {place['where']}; {place['across_mm']:.0f} mm across")
    lines += ["", "For the mold's page, with the day added as `date: 2026-04-20`:", f"    {data['record']}"]
    return "\n".join(lines) + "\n" + notices_text(result)


@question("cavity", empty=EMPTY, text=_text, page="sums.html")
def measure_cavity(asked: CavityAsked) -> Result:
    """Reckons a cavity.

    Args:
        asked: What was measured.

    Raises:
        RefusedError: No way of measuring or two of them, an amount or a mesh that cannot be used.
        CannotRunError: A mesh is given and the parts for scans are not installed.
    """
    way = _one_way(asked)
    try:
        return _WAYS[way](asked)
    except ReckoningError as problem:
        raise reckoning_refused(problem) from None


def _one_way(asked: CavityAsked) -> str:
    given = [way for way in _GOES_WITH if getattr(asked, way) is not None]
    if not given:
        raise refused(
            "no-measure",
            "Nothing says how the cavity was measured.",
            "Give one of `--piece 214 g --density 1.08 g/ml`, `--clay`, `--water` or `--mesh`.",
        )
    if len(given) > 1:
        raise refused(
            "two-fills",
            f"{' and '.join(f'`--{way}`' for way in given)} say two different amounts.",
            "Give only one of them.",
        )
    way = given[0]
    for each in ("density", "temperature", "core", "unit", "thin", "up", "picture"):
        if getattr(asked, each) is None:
            continue
        if each not in _GOES_WITH[way]:
            raise refused(
                "option-unused", f"`--{each}` says nothing where `--{way}` is given.", f"Leave out `--{each}`."
            )
        if each in _NEEDS_CORE and asked.core is None:
            raise refused(
                "option-unused",
                f"`--{each}` needs the core: without it no thickness is known.",
                f"Give `--core` with the core's mesh, or leave out `--{each}`.",
            )
    return way


def _weighed(asked: CavityAsked, option: str, method: str) -> Result:
    weight = amount(f"--{option}", str(getattr(asked, option)), "mass")
    if asked.density is None:
        what = "clay" if method == "clay" else "casting"
        raise refused(
            "no-density",
            f"A weight alone gives no volume: the density of the {what} is missing.",
            f"Give `--density {'1.52' if method == 'clay' else '1.08'} g/ml`, from a weighed block or the label.",
        )
    density = amount("--density", asked.density, "density")
    return _answer(method, volume_of(weight.value, density.value))


def _water(asked: CavityAsked) -> Result:
    water = amount("--water", str(asked.water), "volume", "mass")
    if water.dimension == "volume":
        if asked.temperature is not None:
            raise refused(
                "option-unused",
                "`--temperature` says nothing where the water was measured by volume.",
                "Leave out `--temperature`, or give the water's weight.",
            )
        return _answer("water", water.value)
    warmth = WATER_USUAL_DEGC
    if asked.temperature is not None:
        warmth = amount("--temperature", asked.temperature, "temperature").value
    return _answer("water", volume_of(water.value, water_density(warmth)))


def _answer(
    method: str, volume: Fraction | float, notices: Sequence[Notice] = (), more: Mapping[str, Any] | None = None
) -> Result:
    data = {
        **EMPTY,
        "method": method,
        "volume_ml": float(volume),
        "thickness_mm": dict(_NO_THICKNESS),
        **(more or {}),
        "caution": _CAUTIONS[method],
        "record": _record(method, float(volume)),
    }
    return Result(data, notices)


def _record(method: str, volume: float) -> str:
    """The line for the mold's own page; the day is the person's to add."""
    shown = f"{volume:.0f}" if volume >= 1000 else f"{volume:.1f}" if volume >= 1 else f"{volume:.3g}"
    more = ", flashing: included" if method == "casting" else ""
    return f"cavity: {{volume: {shown} ml, how: {method}{more}}}"


def _scan(asked: CavityAsked) -> Result:
    how = {"unit": asked.unit, "thin": asked.thin, "up": asked.up, "picture": asked.picture}
    found = measure_scans(str(asked.mesh), asked.core, **how)
    return _answer("scan", found.volume_ml, found.notices, found.data)


_WAYS: Final[Mapping[str, Callable[[CavityAsked], Result]]] = {
    "clay": lambda asked: _weighed(asked, "clay", "clay"),
    "water": _water,
    "piece": lambda asked: _weighed(asked, "piece", "casting"),
    "mesh": _scan,
}
