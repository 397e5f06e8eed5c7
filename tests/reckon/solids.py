"""Solids made by formula, for the tests of scans: each is a ``trimesh.Trimesh``."""

from __future__ import annotations

from typing import Any

import numpy as np
import trimesh

from mothermold.reckon.meshes import Solid, read_solid


def as_file(mesh: Any, kind: str = "ply") -> bytes:
    """The mesh as the bytes of a file."""
    data = mesh.export(file_type=kind)
    return data.encode() if isinstance(data, str) else bytes(data)


def solid(mesh: Any, name: str = "piece", kind: str = "ply", unit: str | None = None) -> Solid:
    """The mesh written and read again."""
    return read_solid(f"{name}.{kind}", as_file(mesh, kind), unit)


def box(at: tuple[float, float, float] = (0, 0, 0), scale: float = 1.0) -> Any:
    """A box of 10 by 20 by 30, in another place or size."""
    made = trimesh.creation.box((10 * scale, 20 * scale, 30 * scale))
    made.apply_translation(at)
    return made


def together(*meshes: Any) -> Any:
    """Several meshes in one file."""
    return trimesh.util.concatenate(meshes)


def inverted(mesh: Any) -> Any:
    """The mesh inside out."""
    return trimesh.Trimesh(mesh.vertices, mesh.faces[:, ::-1], process=False)


def turned(mesh: Any, *faces: int) -> Any:
    """The mesh with some triangles the wrong way round."""
    changed = np.array(mesh.faces)
    changed[list(faces)] = changed[list(faces), ::-1]
    return trimesh.Trimesh(mesh.vertices, changed, process=False)


def without(mesh: Any, *faces: int) -> Any:
    """The mesh without some triangles."""
    kept = [face for face in range(len(mesh.faces)) if face not in faces]
    return trimesh.Trimesh(mesh.vertices, mesh.faces[kept], process=False)


def head() -> Any:
    """A core: a ball of 80 mm."""
    return trimesh.creation.icosphere(5, 80)


def face_piece(*dents: tuple[tuple[float, float, float], float]) -> Any:
    """A hump of clay 7.8 mm thick on the front of the core, pressed in to a thickness at places."""
    ball = head()
    ways = np.array(ball.vertices) / np.linalg.norm(ball.vertices, axis=1)[:, None]
    angle = np.arccos(np.clip(ways @ (0, 0, 1), -1, 1))
    # Outside the piece the sculpture lies a millimeter inside the core, as clay does that is not there.
    thick = np.where(angle < 0.8, 8 * np.sqrt(np.clip(1 - (angle / 0.8) ** 2, 0, 1)) - 0.2, -1.0)
    for way, depth in dents:
        there = np.array(way) / np.linalg.norm(way)
        near = np.arccos(np.clip(ways @ there, -1, 1)) < 0.12
        thick = np.where(near, np.minimum(thick, depth), thick)
    return trimesh.Trimesh(ways * (80 + thick)[:, None], ball.faces, process=False)
