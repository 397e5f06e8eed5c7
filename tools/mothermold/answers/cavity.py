"""How much a mold holds, by one of four ways: clay, water, scans, or a good casting weighed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from mothermold.answers.amounts import amount
from mothermold.answers.result import Result, reckoning_refused
from mothermold.answers.scan import Scans, measure_scans
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
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


@dataclass(frozen=True, slots=True)
class Asked:
    """What is measured, as typed; exactly one of clay, water, piece and mesh.

    Attributes:
        clay: Weight of the sculpture's clay.
        water: Volume or weight of the water.
        piece: Weight of a good casting.
        mesh: A closed mesh: the cavity itself, or the sculpture where a core is given.
        core: The mesh of the core.
        density: Of the clay or the casting.
        temperature: Of weighed water.
        unit: The unit of the meshes.
        thin: Under how much a place is thin.
        up: The axis of the meshes that points up.
        picture: The drawing to be written.
    """

    clay: str | None = None
    water: str | None = None
    piece: str | None = None
    mesh: str | None = None
    core: str | None = None
    density: str | None = None
    temperature: str | None = None
    unit: str | None = None
    thin: str | None = None
    up: str | None = None
    picture: str | None = None


# Which option may stand with which way of measuring.
_GOES_WITH: Final[Mapping[str, tuple[str, ...]]] = {
    "clay": ("density",),
    "water": ("temperature",),
    "piece": ("density",),
    "mesh": ("core", "unit", "thin", "up", "picture"),
}
_NEEDS_CORE: Final = ("thin", "up", "picture")


def measure_cavity(asked: Asked) -> Result:
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


def _one_way(asked: Asked) -> str:
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
    for option in ("density", "temperature", "core", "unit", "thin", "up", "picture"):
        if getattr(asked, option) is None:
            continue
        if option not in _GOES_WITH[way]:
            raise refused(
                "option-unused", f"`--{option}` says nothing where `--{way}` is given.", f"Leave out `--{option}`."
            )
        if option in _NEEDS_CORE and asked.core is None:
            raise refused(
                "option-unused",
                f"`--{option}` needs the core: without it no thickness is known.",
                f"Give `--core` with the core's mesh, or leave out `--{option}`.",
            )
    return way


def _weighed(asked: Asked, option: str, method: str) -> Result:
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


def _water(asked: Asked) -> Result:
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


def _scan(asked: Asked) -> Result:
    found = measure_scans(Scans(str(asked.mesh), asked.core, asked.unit, asked.thin, asked.up, asked.picture))
    return _answer("scan", found.volume_ml, found.notices, found.data)


_WAYS: Final[Mapping[str, Callable[[Asked], Result]]] = {
    "clay": lambda asked: _weighed(asked, "clay", "clay"),
    "water": _water,
    "piece": lambda asked: _weighed(asked, "piece", "casting"),
    "mesh": _scan,
}
