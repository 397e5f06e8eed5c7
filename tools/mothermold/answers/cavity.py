"""How much a mold holds, by one of four ways: clay, water, scans, or a good casting weighed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, get_args

from mothermold.answers.amounts import amount
from mothermold.answers.result import Result, reckoning_refused, refused
from mothermold.answers.scan_drawing import draw_places
from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.ground.writing import write_text
from mothermold.reckon.cavity import WATER_USUAL_DEGC, volume_of, water_density
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.meshes import UNITS_MM, Solid, need_scan_parts, read_solid, refuse_large
from mothermold.reckon.scans import EDGE_MM, Cavity, Up, subtract

_NO_THICKNESS: Final[Mapping[str, float | None]] = {"min": None, "median": None, "p95": None}
EMPTY: dict[str, Any] = {"method": None, "volume_ml": None, "area_cm2": None, "thickness_mm": dict(_NO_THICKNESS)}

_CAUTIONS: Final[Mapping[str, str]] = {
    "clay": "Only the sculpture counts: overflow clay and what fills undercuts stay off the scale.",
    "water": "Only in a sealed mold or by bagged clay; never in bare gypsum, which drinks the water and must dry again.",
    "casting": "Weigh a good casting with its flashing; it is then counted in, and a batch needs no percent on top.",
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
            "It is not said how the cavity was measured.",
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


def _answer(method: str, volume: Fraction | float, **more: Any) -> Result:
    notices = more.pop("notices", ())
    data = {
        **EMPTY,
        "method": method,
        "volume_ml": float(volume),
        "thickness_mm": dict(_NO_THICKNESS),
        **more,
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
    # What a glance at the files refuses costs no loading of libraries.
    for given in filter(None, (asked.mesh, asked.core)):
        _look_at(Path(given))
    need_scan_parts()
    unit, up, thin = _unit(asked.unit), _up(asked.up), Fraction(1)
    if asked.thin is not None:
        thin = amount("--thin", asked.thin, "length").value
    if asked.picture is not None:
        _refuse_picture(asked.picture)
    sculpture = _solid(str(asked.mesh), unit)
    notices = _told(sculpture)
    if asked.core is None:
        return _answer("scan", sculpture.volume_ml, area_cm2=sculpture.area_cm2, notices=notices)
    core = _solid(asked.core, unit)
    cavity = subtract(sculpture, core, float(thin), up)
    notices += [*_told(core), *_about(cavity, float(thin), drawn=asked.picture is not None)]
    if asked.picture is not None:
        title = f"{sculpture.name} on {core.name}, thin under {float(thin):g} mm"
        write_text(Path(asked.picture), draw_places(cavity, title, float(thin), up))
    return _answer("scan", cavity.volume_ml, **_cavity_data(cavity), notices=notices)


def _cavity_data(cavity: Cavity) -> dict[str, Any]:
    found = cavity.thickness
    return {
        "area_cm2": cavity.area_cm2,
        "thickness_mm": {"min": found.least, "median": found.median, "p95": found.p95},
        "thin_at_edges": cavity.thin_at_edges,
        "places": [
            {
                "kind": place.kind,
                "where": place.where,
                "share": place.share,
                "least_mm": place.least,
                "across_mm": place.across,
                "center_mm": list(place.center),
            }
            for place in cavity.places
        ],
        "sampled_every_mm": cavity.gap_mm,
    }


def _unit(asked: str | None) -> str | None:
    if asked is not None and asked not in UNITS_MM:
        raise refused("unknown-unit", f"`{asked}` is no unit of a scan.", f"Type one of {', '.join(UNITS_MM)}.")
    return asked


def _up(asked: str | None) -> Up:
    if asked is None:
        return "y"
    if asked not in get_args(Up):
        raise refused("unknown-axis", f"`{asked}` is no axis that points up.", "Type `--up y` or `--up z`.")
    return asked  # type: ignore[return-value]


def _refuse_picture(name: str) -> None:
    # Looked at before the long arithmetic; the writing itself looks again.
    if not name.endswith(".svg"):
        raise refused(
            "wrong-suffix", f"`{name}` is no drawing by its name.", f"Type `--picture {Path(name).stem}.svg`."
        )
    if Path(name).exists():
        raise refused(
            "already-there",
            f"{Path(name).name} is already there.",
            "Choose another name or move the file away; nothing was written.",
        )


def _look_at(path: Path) -> None:
    if not path.is_file():
        raise refused("no-such-file", f"There is no file {path}.", "Type the name of the scan with its folder.")
    refuse_large(path.name, path.stat().st_size)


def _solid(given: str, unit: str | None) -> Solid:
    path = Path(given)
    try:
        data = path.read_bytes()
    except OSError as problem:
        raise CannotRunError(f"{given} could not be read: {problem.strerror or problem}.") from problem
    return read_solid(path.name, data, unit)


def _told(solid: Solid) -> list[Notice]:
    told = []
    if solid.mended:
        told.append(
            Notice(
                "mesh-mended",
                "advice",
                f"Triangles of {solid.name} faced inward and were turned for the reckoning; the file is as it was.",
                "Let the program it was made in turn its surface outward, and save it again.",
            )
        )
    if solid.bodies > 1:
        told.append(
            Notice(
                "mesh-bodies",
                "warning",
                f"{solid.name} holds {solid.bodies} separate surfaces; all were counted, a hollow inside one was taken off.",
                "Delete crumbs of the scan that are no part of the piece.",
            )
        )
    return told


def _about(cavity: Cavity, thin: float, *, drawn: bool) -> list[Notice]:
    told = []
    spots = [place for place in cavity.places if place.kind == "thin"]
    if spots:
        first = spots[0]
        others = f", and {len(spots) - 1} more" if len(spots) > 1 else ""
        told.append(
            Notice(
                "thin-places",
                "warning",
                f"Away from the edges the cavity is under {thin:g} mm at: {first.where} "
                f"({first.share * 100:.2g} % of the surface, least {first.least:.2f} mm){others}.",
                "Add clay there, or carve the core back" + ("." if drawn else "; `--picture thin.svg` draws where."),
            )
        )
    openings = [place for place in cavity.places if place.kind == "opening"]
    if openings:
        told.append(
            Notice(
                "core-through",
                "warning",
                f"The core comes through the sculpture at: {'; '.join(place.where for place in openings)}.",
                "Fine for an eye, a nostril or a mouth; anywhere else the clay is missing there.",
            )
        )
    return told


def edge_words(data: Mapping[str, Any]) -> str:
    """What is thin near edges, and what is not told apart."""
    return (
        f"{data['thin_at_edges'] * 100:.2g} % of the surface is thin within {EDGE_MM:g} mm of an edge, where a cutting "
        "edge feathers out by design; a thin place that near to an edge is not told apart from it."
    )


_WAYS: Final[Mapping[str, Callable[[Asked], Result]]] = {
    "clay": lambda asked: _weighed(asked, "clay", "clay"),
    "water": _water,
    "piece": lambda asked: _weighed(asked, "piece", "casting"),
    "mesh": _scan,
}
