"""Where a cavity is thin, where the core comes through, and what its edges are, in the wearer's words.

Where the free surface meets the core is an edge: the longest one is taken for the cutting edge, shorter closed ones
for openings, which may be an eye or a place where the core comes through. A thin place nearer than 5 mm to an edge
is counted with the edge and not told apart from its feathering.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

Up = Literal["y", "z"]
EDGE_MM: Final = 5.0
"""How near to an edge a thin place counts as the edge's feathering (common practice, no source)."""
# Of the free surface; thinner shares are grains of the boolean.
_SMALLEST_SHARE: Final = 0.0005
_MOST_OPENINGS: Final = 12


@dataclass(frozen=True, slots=True)
class MeshPlace:
    """A place to look at.

    Attributes:
        kind: ``thin`` away from every edge, or ``opening``, where the core comes through.
        center: Its middle, in millimeters of the scan.
        share: Its share of the free surface; 0 for an opening.
        least: The least thickness in it, in millimeters.
        across: How far it reaches, in millimeters.
        where: In plain words, as the wearer has it.
    """

    kind: Literal["thin", "opening"]
    center: tuple[float, float, float]
    share: float
    least: float
    across: float
    where: str


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge where the free surface meets the core.

    Attributes:
        points: Points along it, at least one every millimeter.
        length: In millimeters.
    """

    points: Any
    length: float


def find_edges(points: Any, faces: Any, free: Any) -> list[Edge]:
    """The edges where the free surface meets the core's, longest first."""
    import numpy as np  # noqa: PLC0415
    from scipy.sparse import coo_matrix  # noqa: PLC0415
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415

    edges = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    kind = np.repeat(free, 3)
    every, index = np.unique(edges, axis=0, return_inverse=True)
    index = index.reshape(-1)
    own = np.bincount(index, weights=kind, minlength=len(every))
    other = np.bincount(index, weights=~kind, minlength=len(every))
    border = every[(own > 0) & (other > 0)]
    if not len(border):
        return []
    ones = np.ones(len(border), dtype=np.int8)
    labels = connected_components(
        coo_matrix((ones, (border[:, 0], border[:, 1])), shape=(len(points), len(points))), directed=False
    )[1]
    of = labels[border[:, 0]]
    loops = []
    for label in np.unique(of):
        mine = border[of == label]
        first, second = points[mine[:, 0]], points[mine[:, 1]]
        lengths = np.linalg.norm(second - first, axis=1)
        steps = np.maximum(1, np.ceil(lengths)).astype(int)
        # A point at least every millimeter, for long edges of coarse meshes have nothing in between.
        part = np.repeat(np.arange(len(mine)), steps)
        nth = np.arange(len(part)) - np.repeat(np.cumsum(steps) - steps, steps)
        share = (nth / steps[part])[:, None]
        loops.append(Edge(np.concatenate((first[part] * (1 - share) + second[part] * share, second)), lengths.sum()))
    return sorted(loops, key=lambda loop: -loop.length)


class PlaceWords:
    """Says where a point lies on the wearer, by thirds of the free surface's extent."""

    def __init__(self, points: Any, up: Up, middle: Any) -> None:
        self._low, self._high = points.min(axis=0), points.max(axis=0)
        self._up = up
        self.middle = middle

    def where(self, point: Any) -> str:
        """The place in words: ``upper, wearer's left, front``."""
        third = [
            1 if each > 2 / 3 else -1 if each < 1 / 3 else 0
            for each in (point - self._low) / (self._high - self._low + 1e-9)
        ]
        side, height, front = (third[0], third[1], third[2]) if self._up == "y" else (third[0], third[2], -third[1])
        words = [
            {1: "upper", 0: "middle", -1: "lower"}[height],
            {1: "wearer's left", 0: "center", -1: "wearer's right"}[side],
            {1: "toward the front", 0: "", -1: "toward the back"}[front],
        ]
        return ", ".join(word for word in words if word)


def find_thin(
    sampled: tuple[Any, Any], limit: float, gap: float, loops: list[Edge], words: PlaceWords
) -> tuple[list[MeshPlace], float]:
    """Thin places away from the edges, and the share of the surface that is thin at them."""
    import numpy as np  # noqa: PLC0415
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415
    from scipy.spatial import cKDTree  # noqa: PLC0415

    points, distances = sampled
    thin = distances < limit
    near = np.zeros(len(points), dtype=bool)
    if loops:
        border = cKDTree(np.concatenate([loop.points for loop in loops]))
        near = border.query(points, distance_upper_bound=EDGE_MM)[0] <= EDGE_MM
    inner = np.flatnonzero(thin & ~near)
    places = []
    if len(inner):
        tree = cKDTree(points[inner])
        labels = connected_components(tree.sparse_distance_matrix(tree, 2.5 * gap), directed=False)[1]
        for label in np.unique(labels):
            mine = inner[labels == label]
            share = len(mine) / len(points)
            if share >= _SMALLEST_SHARE:
                own = points[mine]
                places.append(_place("thin", own, share=share, least=float(distances[mine].min()), words=words))
    places.sort(key=lambda place: (-place.share, place.center))
    return places, float((thin & near).mean())


def find_openings(loops: list[Edge], words: PlaceWords) -> list[MeshPlace]:
    """Edges other than the longest, each as a place."""
    return [
        _place("opening", loop.points, share=0.0, least=0.0, words=words)
        for loop in loops[1 : _MOST_OPENINGS + 1]
        if loop.length >= 1.0
    ]


def _place(kind: Literal["thin", "opening"], own: Any, *, share: float, least: float, words: PlaceWords) -> MeshPlace:
    center = own.mean(axis=0)
    x, y, z = (float(each) for each in center + words.middle)
    across = float((own.max(axis=0) - own.min(axis=0)).max())
    return MeshPlace(kind, (x, y, z), share, least, across, words.where(center))
