"""The cavity between the scan of a sculpture and the scan of its core: volume, free surface, thickness, thin places.

volume = sculpture minus core (a boolean of solids). Thickness at a point of the sculpture's free surface is the
distance to the nearest point of the core, from points laid evenly by area with a fixed start, so that the same
scans give the same answer. Distances are sampled, so a thin place smaller than about the gap between two points
can be missed; the gap is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.meshes import Solid, signed_volume
from mothermold.reckon.places import MeshPlace, PlaceWords, Up, find_edges, find_openings, find_thin

_POINTS: Final = 8000
# Nearer than this the sculpture lies on the core; it is the rounding of scans and no cavity.
_TOUCHING_MM: Final = 0.005
FILM_MM: Final = 0.3
"""Two scans of the same bare core differ by about this much (common practice, no source)."""
# Above this share of the free surface a film that thin is scans that differ, not an edge.
_MOST_FILM: Final = 0.25


@dataclass(frozen=True, slots=True)
class Thickness:
    """How thick a cavity is, in millimeters, over the points of its free surface."""

    least: float
    median: float
    p95: float


@dataclass(frozen=True, slots=True)
class ScannedCavity:
    """What lies between sculpture and core.

    Attributes:
        volume_ml: Its volume.
        area_cm2: The sculpture's free surface.
        thickness: Over that surface.
        thin_at_edges: Share of the free surface that is thin within 5 mm of an edge.
        places: Thin places away from edges, largest first, then openings.
        gap_mm: The usual gap between two sampled points.
        points: The sampled points, an array of n by 3.
        film: Share of the free surface within 0.3 mm of the core, where that is a quarter or more; else 0. It is then
            two scans of the bare core that differ, and openings are not looked for.
    """

    volume_ml: float
    area_cm2: float
    thickness: Thickness
    thin_at_edges: float
    places: tuple[MeshPlace, ...]
    gap_mm: float
    points: Any
    film: float


def subtract(sculpture: Solid, core: Solid, thin_mm: float = 1.0, up: Up = "y") -> ScannedCavity:
    """Reckons the cavity between a sculpture and its core.

    Args:
        sculpture: The scan of the sculpture, closed.
        core: The scan of the core it was built on, closed and in the same position.
        thin_mm: Under how many millimeters a place is thin.
        up: The axis of the scans that points up: with ``y`` the face looks along +z, with ``z`` along -y; both
            ways +x is the wearer's left.

    Raises:
        ReckoningError: ``mesh-apart`` where the two do not lie together, ``mesh-crossing`` where the boolean
            cannot be done.
    """
    import numpy as np  # noqa: PLC0415 - an extra

    if (sculpture.mesh.bounds[0] > core.mesh.bounds[1]).any() or (core.mesh.bounds[0] > sculpture.mesh.bounds[1]).any():
        raise _apart(sculpture, core)
    middle = sculpture.mesh.bounds.mean(axis=0)
    points, faces, free = _difference(sculpture, core, middle)
    volume = signed_volume(points, faces) / 1000
    if not free.any() or volume <= 1e-6:
        raise ReckoningError(
            "mesh-apart",
            f"Nothing of {sculpture.name} stands out from {core.name}, so there is no cavity.",
            "Give the sculpture as `--mesh` and the core as `--core`; were they swapped?",
        )
    sampled, area = _even_points(points, faces[free])
    distances = _distances(core, sampled + middle)
    kept = distances > _TOUCHING_MM
    if not kept.any():
        raise _apart(sculpture, core)
    sampled, distances = sampled[kept], distances[kept]
    gap = float(np.sqrt(area / _POINTS))
    loops = find_edges(points, faces, free)
    words = PlaceWords(sampled, up, middle)
    places, at_edges = find_thin((sampled, distances), thin_mm, gap, loops, words)
    film = float((distances < FILM_MM).mean())
    film = film if film >= _MOST_FILM else 0.0
    least, median, p95 = (float(each) for each in (distances.min(), np.median(distances), np.percentile(distances, 95)))
    return ScannedCavity(
        volume_ml=volume,
        area_cm2=area * float(kept.mean()) / 100,
        thickness=Thickness(least, median, p95),
        thin_at_edges=at_edges,
        places=(*places, *(() if film else find_openings(loops, words))),
        gap_mm=gap,
        points=sampled + middle,
        film=film,
    )


def _difference(sculpture: Solid, core: Solid, middle: Any) -> tuple[Any, Any, Any]:
    """Points and triangles of sculpture minus core, and which triangles are of the sculpture's own surface."""
    import manifold3d  # noqa: PLC0415 - an extra
    import numpy as np  # noqa: PLC0415

    solids = []
    for each in (sculpture, core):
        points = np.ascontiguousarray(each.mesh.vertices - middle, dtype=np.float64)
        solid = manifold3d.Manifold(manifold3d.Mesh64(points, np.ascontiguousarray(each.mesh.faces, dtype=np.uint64)))
        if solid.status() != manifold3d.Error.NoError:
            raise _impossible(sculpture, core)
        solids.append(solid.as_original())
    rest = solids[0] - solids[1]
    if rest.status() != manifold3d.Error.NoError:
        raise _impossible(sculpture, core)
    mesh = rest.to_mesh64()
    faces = np.asarray(mesh.tri_verts, dtype=np.int64).reshape(-1, 3)
    starts = np.asarray(mesh.run_index, dtype=np.int64) // 3
    free = np.zeros(len(faces), dtype=bool)
    for run, origin in enumerate(mesh.run_original_id):
        free[starts[run] : starts[run + 1]] = origin == solids[0].original_id()
    points, same = np.unique(np.asarray(mesh.vert_properties)[:, :3], axis=0, return_inverse=True)
    return points, same.reshape(-1)[faces], free


def _even_points(points: Any, faces: Any) -> tuple[Any, float]:
    """Points laid evenly over triangles, one in each of as many equal shares of their area; and the area."""
    import numpy as np  # noqa: PLC0415

    corners = points[faces]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    sums = np.cumsum(areas)
    chance = np.random.default_rng(0)
    at = (np.arange(_POINTS) + chance.random(_POINTS)) / _POINTS * sums[-1]
    face = np.minimum(np.searchsorted(sums, at), len(faces) - 1)
    root, second = np.sqrt(chance.random(_POINTS)), chance.random(_POINTS)
    shares = np.column_stack((1 - root, root * (1 - second), root * second))
    return np.einsum("ij,ijk->ik", shares, corners[face]), float(sums[-1])


def _distances(core: Solid, points: Any) -> Any:
    """The distance of each point to the core's surface."""
    import trimesh  # noqa: PLC0415
    from scipy.spatial import cKDTree  # noqa: PLC0415

    # No nearest point lies further than the nearest corner; triangles beyond that need no search.
    furthest = float(cKDTree(core.mesh.vertices).query(points)[0].max())
    low, high = points.min(axis=0) - furthest, points.max(axis=0) + furthest
    corners = core.mesh.triangles
    near = (corners.max(axis=1) >= low).all(axis=1) & (corners.min(axis=1) <= high).all(axis=1)
    part = trimesh.Trimesh(core.mesh.vertices, core.mesh.faces[near], process=False)
    return trimesh.proximity.closest_point(part, points)[1]


def _apart(sculpture: Solid, core: Solid) -> ReckoningError:
    return ReckoningError(
        "mesh-apart",
        f"{sculpture.name} and {core.name} do not lie in the same place.",
        "Save both from the same scene, without moving or centering either.",
    )


def _impossible(sculpture: Solid, core: Solid) -> ReckoningError:
    return ReckoningError(
        "mesh-crossing",
        f"{core.name} could not be taken out of {sculpture.name}: one of them is not a clean solid.",
        "Repair both in the program they were made in, so that no surface touches or crosses itself.",
    )
