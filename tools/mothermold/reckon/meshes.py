"""Reads the mesh of a scan and says what volume it closes; a mesh that closes none is refused.

Owns file kinds, units, the limit of triangles, and what makes a mesh a solid: every edge shared by exactly two
triangles, one way round, and no surface running through itself. Volume by the divergence theorem (sum of
a·(b x c)/6 over the triangles, textbook), around the middle of the mesh so that far from the origin nothing is
lost. An inscribed mesh of a round thing is always low: an icosphere of 1280 triangles by 0.86 %, of 20480 by
0.054 % (reckoned).
"""

from __future__ import annotations

import io
import logging
import re
import warnings
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any, Final

from mothermold.ground.errors import CannotRunError
from mothermold.reckon.errors import ReckoningError

MOST_BYTES: Final = 200_000_000
MOST_TRIANGLES: Final = 500_000
UNITS_MM: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4, "m": 1000.0}
# A face, a head or a hand lies between these; outside, the unit is asked about (common practice, no source).
_SMALLEST_MM, _LARGEST_MM = 20.0, 500.0
_KINDS: Final = (".stl", ".obj", ".ply")
# Lines laid through a mesh in each direction to find where its surface runs through itself.
_LINES: Final = 96
# A place where the surface overlaps itself by less than this is the rounding of the file.
_ROUNDING_MM: Final = 0.01


@dataclass(frozen=True, slots=True)
class Solid:
    """A closed mesh in millimeters.

    Attributes:
        name: The file's name, for messages.
        mesh: The mesh, a ``trimesh.Trimesh``.
        mended: Whether triangles were turned to face outward.
        bodies: How many separate closed surfaces it holds.
    """

    name: str
    mesh: Any
    mended: bool
    bodies: int

    @property
    def volume_ml(self) -> float:
        """The volume it closes, in milliliters."""
        # The middle as origin: far away the products of the formula would eat the digits.
        middle = self.mesh.bounds.mean(axis=0)
        return signed_volume(self.mesh.vertices - middle, self.mesh.faces) / 1000

    @property
    def area_cm2(self) -> float:
        """Its whole surface in square centimeters."""
        return float(self.mesh.area) / 100


def need_scan_parts() -> None:
    """Says so where the libraries for scans are not installed.

    Raises:
        CannotRunError: They are not.
    """
    try:
        import manifold3d  # noqa: F401, PLC0415 - an extra
        import numpy  # noqa: F401, ICN001, PLC0415
        import rtree  # noqa: F401, PLC0415
        import scipy  # noqa: F401, PLC0415
        import trimesh  # noqa: F401, PLC0415

        # What the library remarks about a file, with its stack of calls, is told below in our words.
        logging.getLogger("trimesh").addHandler(logging.NullHandler())
    except ImportError:
        raise CannotRunError(
            "Scans need a part that is not installed: type `pip install 'mothermold[scan]'`, or measure with `--clay`, `--water` or `--piece`."
        ) from None


def refuse_large(name: str, size: int) -> None:
    """Refuses a file by its size alone, so that it is never read.

    Raises:
        ReckoningError: ``mesh-too-large``.
    """
    if size > MOST_BYTES:
        raise _too_large(name, f"{size / 1e6:.0f} MB, and the limit is {MOST_BYTES // 1_000_000} MB")


def read_solid(name: str, data: bytes, unit: str | None = None) -> Solid:
    """Reads a mesh and makes sure that it closes a volume.

    Args:
        name: The file's name; its ending says the kind.
        data: The file.
        unit: The unit of its numbers; STL and OBJ carry none. Without it millimeters are taken, and asked about
            where the mesh is then smaller than 20 or larger than 500 mm.

    Raises:
        ReckoningError: ``mesh-unreadable``, ``mesh-too-large``, ``mesh-unit``, ``mesh-open`` or
            ``mesh-crossing``.
        CannotRunError: The libraries for scans are not installed.
    """
    need_scan_parts()
    import numpy as np  # noqa: PLC0415 - an extra
    import trimesh  # noqa: PLC0415

    mesh = _read(name, data)
    if unit is None:
        _ask_unit(name, float(max(mesh.extents)))
    # Sharp points of an STL are written once per triangle: what lies in the same place becomes one point.
    mesh = trimesh.Trimesh(np.asarray(mesh.vertices) * UNITS_MM[unit or "mm"], mesh.faces, process=False)
    mesh.merge_vertices(merge_tex=True, merge_norm=True)
    faces = np.asarray(mesh.faces)
    # Of a triangle with two corners in one place nothing is left; without it the mesh is as closed as before.
    whole = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    mesh.update_faces(whole)
    mesh.remove_unreferenced_vertices()
    if not len(mesh.faces) or float(mesh.area) <= 0:
        raise _unreadable(name, "has no surface: all its triangles are lines or points")
    if not mesh.is_watertight:
        raise _open(name, mesh)
    return _outward(name, mesh)


def signed_volume(vertices: Any, faces: Any) -> float:
    """The volume of a closed mesh, negative where it is inside out."""
    import numpy as np  # noqa: PLC0415

    a, b, c = (vertices[faces[:, corner]] for corner in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def _read(name: str, data: bytes) -> Any:
    import numpy as np  # noqa: PLC0415
    import trimesh  # noqa: PLC0415

    kind = PurePath(name).suffix.casefold()
    if kind not in _KINDS:
        raise _unreadable(name, "is no STL, OBJ or PLY by its name")
    if not data.strip():
        raise _unreadable(name, "is empty")
    count = _triangles(kind, data)
    if count > MOST_TRIANGLES:
        raise _too_large(name, f"{count:,} triangles, and the limit is {MOST_TRIANGLES:,}")
    try:
        settings = {"skip_materials": True} if kind == ".obj" else {}
        with warnings.catch_warnings():
            # What the library remarks about a file is judged below, in our words.
            warnings.simplefilter("ignore")
            mesh = trimesh.load_mesh(io.BytesIO(data), file_type=kind[1:], process=False, **settings)
        points, faces = np.asarray(mesh.vertices, dtype=float), np.asarray(mesh.faces)
    except Exception:  # whatever the library stumbles over, the file is no mesh to us
        raise _unreadable(name, "cannot be read as a mesh") from None
    if not len(points) or not len(faces):
        raise _unreadable(name, "holds no triangles")
    if points.shape[1:] != (3,) or faces.shape[1:] != (3,):
        raise _unreadable(name, "has points that are not three numbers each")
    if faces.min() < 0 or faces.max() >= len(points):
        raise _unreadable(name, "names points that are not in it")
    if not np.isfinite(points).all() or np.abs(points).max() > 1e9:
        raise _unreadable(name, "has points that are nowhere")
    if len(faces) > MOST_TRIANGLES:
        raise _too_large(name, f"{len(faces):,} triangles, and the limit is {MOST_TRIANGLES:,}")
    return trimesh.Trimesh(points, faces, process=False)


def _triangles(kind: str, data: bytes) -> int:
    """How many triangles a file says it has, without taking it apart."""
    if kind == ".obj":
        return data.count(b"\nf ") + data.startswith(b"f ")
    if kind == ".ply":
        found = re.search(rb"element face (\d{1,18})", data[:4096])
        return int(found[1]) if found else 0
    count = int.from_bytes(data[80:84], "little") if len(data) >= 84 else 0
    return count if len(data) == 84 + 50 * count else data.count(b"endfacet")


def _ask_unit(name: str, size: float) -> None:
    if _SMALLEST_MM <= size <= _LARGEST_MM:
        return
    # Meters give fractions of one, inches a few, centimeters some tens: the first in which it is face-sized.
    likely = next((unit for unit in ("cm", "in", "m") if 80 <= size * UNITS_MM[unit] <= _LARGEST_MM), None)
    told = f"Type `--unit {likely}` if that is what it was saved in, or" if likely else "Type"
    raise ReckoningError(
        "mesh-unit",
        f"{name} is {size:.4g} across, which is {'small' if size < _SMALLEST_MM else 'large'} for millimeters.",
        f"{told} `--unit mm` if it really is {size:.4g} mm.",
    )


def _outward(name: str, mesh: Any) -> Solid:
    from mothermold.reckon.winding import overlaps, turned_outward  # noqa: PLC0415 - needs the extra

    mended = turned_outward(mesh)
    if overlaps(mesh, _LINES, _ROUNDING_MM):
        raise ReckoningError(
            "mesh-crossing",
            f"The surface of {name} runs through itself, so part of its volume would be counted twice.",
            "Join its parts into one solid in the program it was made in, and save it again.",
        )
    volume = signed_volume(mesh.vertices - mesh.bounds.mean(axis=0), mesh.faces)
    if volume <= 1e-9 * float(mesh.area) ** 1.5:
        raise _unreadable(name, "closes no volume: its surface is folded flat")
    return Solid(name, mesh, mended, int(mesh.body_count))


def _open(name: str, mesh: Any) -> ReckoningError:
    import numpy as np  # noqa: PLC0415

    counts = np.unique(np.sort(mesh.edges, axis=1), axis=0, return_counts=True)[1]
    loose = int((counts != 2).sum())
    return ReckoningError(
        "mesh-open",
        f"{name} is not closed: {loose} of its edges are not shared by exactly two triangles, so it holds no volume.",
        "Close its holes in the program it was scanned or modeled in, and save it again.",
    )


def _unreadable(name: str, why: str) -> ReckoningError:
    return ReckoningError(
        "mesh-unreadable", f"{name} {why}.", "Save the scan again as STL, OBJ or PLY, and give that file."
    )


def _too_large(name: str, why: str) -> ReckoningError:
    return ReckoningError(
        "mesh-too-large",
        f"{name} is too large: {why}.",
        "Thin it out in the program it was scanned with; 200,000 triangles are plenty for a face.",
    )
