"""The cavity from scans: reads the meshes, takes the core out of the sculpture, and says where it is thin."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args

from mothermold.answers.amounts import amount
from mothermold.answers.scan_drawing import draw_places
from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.writing import write_text
from mothermold.reckon.meshes import UNITS_MM, Solid, need_scan_parts, read_solid, refuse_large
from mothermold.reckon.places import EDGE_MM, Up
from mothermold.reckon.scans import FILM_MM, ScannedCavity, subtract


@dataclass(frozen=True, slots=True)
class Scanned:
    """What the scans say: the volume, what else is known of the cavity, and what to look at."""

    volume_ml: float
    data: Mapping[str, Any]
    notices: tuple[Notice, ...]


def measure_scans(
    mesh: str, core: str | None, *, unit: str | None, thin: str | None, up: str | None, picture: str | None
) -> Scanned:
    """Reckons the cavity of a mesh, or between a sculpture and its core; writes the drawing where one is wanted.

    Args:
        mesh: A closed mesh: the cavity itself, or the sculpture where a core is given.
        core: The mesh of the core.
        unit: The unit of the meshes.
        thin: Under how much a place is thin.
        up: The axis of the meshes that points up.
        picture: The drawing to be written.

    Raises:
        RefusedError: A word, a file or a name that cannot be used, or a drawing that is already there.
        ReckoningError: A mesh that closes no volume, or two that leave no cavity.
        CannotRunError: The parts for scans are not installed, or the disk refused.
    """
    # What a glance at the files refuses costs no loading of libraries.
    for given in (each for each in (mesh, core) if each is not None):
        _look_at(Path(given))
    unit, axis = _unit(unit), _up(up)
    least = Fraction(1) if thin is None else amount("--thin", thin, "length").value
    if picture is not None:
        _refuse_picture(picture)
    need_scan_parts()
    sculpture = _solid(mesh, unit)
    if core is None:
        return Scanned(sculpture.volume_ml, {"area_cm2": sculpture.area_cm2}, tuple(_told(sculpture)))
    inner = _solid(core, unit)
    cavity = subtract(sculpture, inner, float(least), axis)
    told = (*_told(sculpture), *_told(inner), *_about(cavity, float(least), drawn=picture is not None))
    if picture is not None:
        title = f"{sculpture.name} on {inner.name}, thin under {float(least):g} mm"
        write_text(Path(picture), draw_places(cavity, title, float(least), axis))
    return Scanned(cavity.volume_ml, _cavity_data(cavity), told)


def _cavity_data(cavity: ScannedCavity) -> dict[str, Any]:
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
        raise refused("unknown-unit", f"`{asked}` is not a unit of a scan.", f"Type one of {', '.join(UNITS_MM)}.")
    return asked


def _up(asked: str | None) -> Up:
    if asked is None:
        return "y"
    if asked not in get_args(Up):
        raise refused("unknown-axis", f"`{asked}` is not an axis that points up.", "Type `--up y` or `--up z`.")
    return asked  # type: ignore[return-value]


def _refuse_picture(name: str) -> None:
    # Looked at before the long arithmetic; the writing itself looks again.
    if not name.endswith(".svg"):
        raise refused(
            "wrong-suffix", f"`{name}` is not a drawing by its name.", f"Type `--picture {Path(name).stem}.svg`."
        )
    if Path(name).exists():
        raise refused(
            "already-there",
            f"{Path(name).name} is already there.",
            "Choose another name or move the file away; nothing was written.",
        )


def _look_at(path: Path) -> None:
    if not os.path.isfile(path):  # noqa: PTH113 - `Path.is_file` ends with an error where a name is too long
        raise refused("no-such-file", f"There is no file `{path}`.", "Type the name of the scan with its folder.")
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
                f"Triangles of {solid.name} faced inward and were turned before it was measured; the file is as it was.",
                "Let the program it was made in turn its surface outward, and save it again.",
            )
        )
    if solid.bodies > 1:
        told.append(
            Notice(
                "mesh-bodies",
                "warning",
                f"{solid.name} holds {solid.bodies} separate surfaces; all were counted, a hollow inside one was taken off.",
                "Delete crumbs of the scan that are not part of the piece.",
            )
        )
    return told


def _about(cavity: ScannedCavity, thin: float, *, drawn: bool) -> list[Notice]:
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
    if cavity.film:
        told.append(
            Notice(
                "scan-film",
                "warning",
                f"{cavity.film * 100:.0f} % of the surface lies within {FILM_MM:g} mm of the core: bare core, scanned twice and not the same.",
                "Cut the sculpture's scan off a little beyond its edge; as it is, the volume is too high and the thickness says little.",
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
