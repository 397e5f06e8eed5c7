"""Which way the triangles of a closed mesh face, and whether its surface runs through itself.

Along a straight line every surface is crossed into the solid and out of it: the count of how often one is inside
must be 0 or 1 everywhere. A count of 2 is a surface inside another, -1 a body turned inside out (winding number,
textbook). Lines are laid in three directions, so what is smaller than the gap between them can be missed.
"""

from __future__ import annotations

from typing import Any


def turned_outward(mesh: Any) -> bool:
    """Turns the triangles of a closed mesh to face outward, in place; hollows keep facing inward.

    Returns:
        Whether any had to be turned.
    """
    import numpy as np  # noqa: PLC0415 - an extra

    turn = np.zeros(len(mesh.faces), dtype=bool)
    if not mesh.is_winding_consistent:
        turn = _against_neighbors(mesh)
        _turn(mesh, turn)
    labels = _bodies(mesh)
    volumes = _volumes(mesh, labels)
    if volumes[np.abs(volumes).argmax()] < 0:
        _turn(mesh, np.ones(len(turn), dtype=bool))
        volumes, turn = -volumes, ~turn
    for body in np.flatnonzero(volumes < 0):
        if not _within_others(mesh, labels, int(body)):
            _turn(mesh, labels == body)
            turn[labels == body] ^= True
    return bool(turn.any())


def overlaps(mesh: Any, lines: int, rounding: float) -> bool:
    """Whether lines through the mesh find a place that is inside it more than once, or less than outside.

    Args:
        mesh: A closed mesh.
        lines: How many lines each way, in a square grid, in each of three directions.
        rounding: Overlaps shorter than this along a line are the rounding of the file.
    """
    return any(_overlaps_along(mesh, axis, lines, rounding) for axis in range(3))


def _turn(mesh: Any, turn: Any) -> None:
    import numpy as np  # noqa: PLC0415

    mesh.faces = np.where(turn[:, None], mesh.faces[:, ::-1], mesh.faces)


def _pairs(faces: Any) -> tuple[Any, Any]:
    """The two triangles at each edge of a closed mesh, and whether they run along it the same way, which is wrong."""
    import numpy as np  # noqa: PLC0415

    edges = faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    ordered = np.sort(edges, axis=1)
    order = np.lexsort((ordered[:, 1], ordered[:, 0]))
    first, second = order[::2], order[1::2]
    return np.column_stack((first // 3, second // 3)), edges[first, 0] == edges[second, 0]


def _graph(faces: Any, pairs: Any) -> Any:
    import numpy as np  # noqa: PLC0415
    from scipy.sparse import coo_matrix  # noqa: PLC0415

    ones = np.ones(len(pairs), dtype=np.int8)
    return coo_matrix((ones, (pairs[:, 0], pairs[:, 1])), shape=(len(faces), len(faces))).tocsr()


def _bodies(mesh: Any) -> Any:
    """The number of the body each triangle belongs to."""
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415

    pairs, _same = _pairs(mesh.faces)
    return connected_components(_graph(mesh.faces, pairs), directed=False)[1]


def _against_neighbors(mesh: Any) -> Any:
    """Which triangles must be turned so that all of a body face the same way as its first."""
    import numpy as np  # noqa: PLC0415
    from scipy.sparse.csgraph import breadth_first_order  # noqa: PLC0415

    pairs, same = _pairs(mesh.faces)
    graph, labels = _graph(mesh.faces, pairs), _bodies(mesh)
    wrong = {tuple(pair) for pair in pairs[same].tolist()}
    turn = np.zeros(len(mesh.faces), dtype=bool)
    for first in np.unique(labels, return_index=True)[1]:
        order, before = breadth_first_order(graph, first, directed=False)
        for face in order[1:]:
            pair = (int(before[face]), int(face))
            turn[face] = turn[pair[0]] ^ (pair in wrong or pair[::-1] in wrong)
    return turn


def _volumes(mesh: Any, labels: Any) -> Any:
    import numpy as np  # noqa: PLC0415

    corners = (mesh.vertices - mesh.bounds.mean(axis=0))[mesh.faces]
    each = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
    return np.bincount(labels, weights=each)


def _within_others(mesh: Any, labels: Any, body: int) -> bool:
    """Whether a body lies inside another: a line upward from it leaves more surfaces than it enters."""
    import numpy as np  # noqa: PLC0415

    corners = np.asarray(mesh.vertices)[mesh.faces]
    # A point in a triangle at odd shares, which no line of a modeled thing meets by chance.
    start = np.array([0.3719, 0.4133, 0.2148]) @ corners[np.flatnonzero(labels == body)[0]]
    others = corners[labels != body] - start
    _line, height, _sign = _crossings(others, np.zeros((1, 2)), np.zeros(len(others), int), np.arange(len(others)))
    return bool((height > 0).sum() % 2)


def _crossings(corners: Any, points: Any, point: Any, face: Any) -> tuple[Any, Any, Any]:
    """Where upright lines cross triangles.

    Args:
        corners: Triangles, their last coordinate upright.
        points: Where the lines stand.
        point: For each pair to be looked at, the line.
        face: For each pair, the triangle.

    Returns:
        For each crossing the line, the height, and +1 where the line leaves the solid, -1 where it enters.
    """
    import numpy as np  # noqa: PLC0415

    a, b, c = (corners[face, corner, :2] - points[point] for corner in range(3))
    areas = [first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0] for first, second in ((b, c), (c, a), (a, b))]
    whole = areas[0] + areas[1] + areas[2]
    inside = np.logical_or(
        (areas[0] > 0) & (areas[1] > 0) & (areas[2] > 0), (areas[0] < 0) & (areas[1] < 0) & (areas[2] < 0)
    )
    shares = np.column_stack([area[inside] / whole[inside] for area in areas])
    heights = np.einsum("ij,ij->i", shares, corners[face[inside], :, 2])
    return point[inside], heights, np.sign(whole[inside])


def _overlaps_along(mesh: Any, axis: int, lines: int, rounding: float) -> bool:
    import numpy as np  # noqa: PLC0415

    turned = [(axis + 1) % 3, (axis + 2) % 3, axis]
    corners = np.asarray(mesh.vertices)[mesh.faces][:, :, turned]
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    # Odd offsets, so that lines pass beside the points and edges of modeled things.
    start = low[:2] + (high - low)[:2] / lines * np.array([0.37193, 0.41337])
    step = np.maximum((high - low)[:2] / lines, 1e-12)
    least = np.clip(np.ceil((corners[:, :, :2].min(axis=1) - start) / step), 0, lines).astype(int)
    most = np.clip(np.floor((corners[:, :, :2].max(axis=1) - start) / step), -1, lines - 1).astype(int)
    wide = np.maximum(most - least + 1, 0)
    counts = wide[:, 0] * wide[:, 1]
    face = np.repeat(np.arange(len(corners)), counts)
    nth = np.arange(len(face)) - np.repeat(np.cumsum(counts) - counts, counts)
    column = least[face, 0] + nth % wide[face, 0]
    row = least[face, 1] + nth // wide[face, 0]
    rows, columns = np.divmod(np.arange(lines * lines), lines)
    points = start + np.column_stack((columns, rows)) * step
    line, height, sign = _crossings(corners, points, row * lines + column, face)
    order = np.lexsort((height, line))
    line, height, sign = line[order], height[order], sign[order]
    # From below: entering a solid meets a triangle that faces down (-1), leaving it one that faces up.
    inside = np.cumsum(-sign)
    gap = np.append(height[1:] - height[:-1], 0.0)
    same = np.append(line[1:] == line[:-1], False)
    # A line that met an edge ends with a count that is not 0: it and its neighbors in the sum are not judged.
    totals = np.bincount(line, weights=-sign, minlength=lines * lines)
    before = np.concatenate(([0.0], np.cumsum(totals)))[line]
    counted = inside - before
    wrong = same & (gap > rounding) & (totals[line] == 0) & ((counted > 1.5) | (counted < -0.5))
    return bool(wrong.any())
