"""Convex solids at one pose or many: how far apart two are, or how deep one sits in the other.

A solid may be rounded: `radius` is added all round, so a rod is an edge with a radius.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from hutwright.layout.frame import Floats

Indices = tuple[int, ...]
# Corners of a block: round the low side counter-clockwise seen from above, then round the top likewise.
BLOCK_FACES: tuple[Indices, ...] = (
    (0, 3, 2, 1),
    (4, 5, 6, 7),
    (0, 1, 5, 4),
    (1, 2, 6, 5),
    (2, 3, 7, 6),
    (3, 0, 4, 7),
)
# Sorted; the first three run along x, y and z in a box, whose faces 0, 2 and 3 look along z, y and x.
BLOCK_EDGES = ((0, 1), (0, 3), (0, 4), (1, 2), (1, 5), (2, 3), (2, 6), (3, 7), (4, 5), (4, 7), (5, 6), (6, 7))
TINY = 1e-12  # shorter than this an axis has no direction [m2]
SPARE = 1e-9  # rounding allowed between a gap on an axis and the distance [m]


@dataclass(frozen=True, slots=True)
class Solid:
    """A convex solid.

    `corners` has the shape (..., n, 3): leading axes are poses of the same solid. Faces run counter-clockwise
    seen from outside. `sides` and `runs` pick one face and one edge of each direction.
    """

    name: str
    corners: Floats
    faces: tuple[Indices, ...]
    edges: tuple[tuple[int, int], ...]
    sides: Indices
    runs: Indices
    radius: float = 0.0

    def moved(self, corners: Floats) -> Solid:
        """The same solid at other poses: its corners turned and shifted, never bent."""
        return replace(self, corners=corners)


def solid(name: str, corners: ArrayLike, faces: Sequence[Indices] = BLOCK_FACES) -> Solid:
    """A solid by its corners (n, 3) and faces; without faces, an edge from first to last corner [m]."""
    points = np.asarray(corners, dtype=float)
    if not np.all(np.isfinite(points)):
        raise ValueError(f"the corners of {name} are not all numbers")
    edges = tuple(
        sorted({_pair(a, b) for face in faces for a, b in zip(face, (*face[1:], face[0]), strict=True)})
    )
    if not faces:
        edges = ((0, len(points) - 1),)
    ends = np.array(edges)
    return Solid(
        name,
        points,
        tuple(faces),
        edges,
        _distinct(_normals(points, faces)) if faces else (),
        _distinct(points[ends[:, 1]] - points[ends[:, 0]]),
    )


def box(name: str, low: ArrayLike, high: ArrayLike) -> Solid:
    """A block along the axes between two opposite corners [m]."""
    (x0, y0, z0), (x1, y1, z1) = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    plan = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    corners = np.array([(*xy, z) for z in (z0, z1) for xy in plan])
    if not np.all(np.isfinite(corners)):
        raise ValueError(f"the corners of {name} are not all numbers")
    return Solid(name, corners, BLOCK_FACES, BLOCK_EDGES, (0, 2, 3), (0, 1, 2))


def rod(name: str, start: ArrayLike, end: ArrayLike, radius: float) -> Solid:
    """A rod with round ends between two points, which may be given for many poses (..., 3) [m]."""
    corners = np.stack(np.broadcast_arrays(np.asarray(start, float), np.asarray(end, float)), axis=-2)
    return Solid(name, corners, (), ((0, 1),), (), (0,), radius)


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _distinct(vectors: Floats) -> Indices:
    """The first vector of each direction, sign aside; vectors of no length are left out."""
    lengths = np.linalg.norm(vectors, axis=-1)
    units = vectors / np.maximum(lengths, TINY)[:, None]
    same = np.abs(units @ units.T) > 1.0 - 1e-14  # within about 1e-7 rad
    kept: list[int] = []
    for number in np.flatnonzero(lengths > TINY):
        if not same[number, kept].any():
            kept.append(int(number))
    return tuple(kept)


def _normals(corners: Floats, faces: Sequence[Indices]) -> Floats:
    """Outward normal of each face, of any length, over leading axes of poses."""
    found = []
    for face in faces:
        spokes = corners[..., face, :] - corners[..., face[0], None, :]
        found.append(_cross(spokes[..., :-1, :], spokes[..., 1:, :]).sum(axis=-2))
    return np.stack(found, axis=-2)


# ---- how far apart --------------------------------------------------------------------------------------


def separation(a: Solid, b: Solid) -> Floats:
    """Least distance between two solids, or minus how deep they sit in each other.

    Parameters
    ----------
    a : Solid
        One solid, at one pose or many.
    b : Solid
        The other; the leading axes of the two must fit each other.

    Returns
    -------
    ndarray
        Distance where they are apart (exact, from corners, edges and faces), zero where they touch, and minus
        the shortest shift that frees them where they overlap (separating axes), for each pose. [m]
    """
    shape = np.broadcast_shapes(a.corners.shape[:-2], b.corners.shape[:-2])
    one = np.broadcast_to(a.corners, (*shape, *a.corners.shape[-2:])).reshape(-1, *a.corners.shape[-2:])
    other = np.broadcast_to(b.corners, (*shape, *b.corners.shape[-2:])).reshape(-1, *b.corners.shape[-2:])
    found = _axis_gap(a, one, b, other)
    apart = found > 0.0
    if apart.any():
        found[apart] = _distance(a, one[apart], b, other[apart])
    return np.asarray(found.reshape(shape) - a.radius - b.radius)


def _directions(solid_: Solid, corners: Floats) -> tuple[Floats, Floats]:
    """Normals of its sides and directions of its edges, one each."""
    ends = np.array(solid_.edges)[list(solid_.runs)]
    edges = corners[:, ends[:, 1]] - corners[:, ends[:, 0]]
    if not solid_.sides:
        return corners[:, :0], edges
    return _normals(corners, [solid_.faces[side] for side in solid_.sides]), edges


def _axis_gap(a: Solid, one: Floats, b: Solid, other: Floats) -> Floats:
    """The widest gap between the shadows on any separating axis; negative where all shadows overlap."""
    sides_a, edges_a = _directions(a, one)
    sides_b, edges_b = _directions(b, other)
    crossed = _cross(edges_a[:, :, None, :], edges_b[:, None, :, :]).reshape(len(one), -1, 3)
    axes = np.concatenate([sides_a, sides_b, crossed], axis=1)
    lengths = np.linalg.norm(axes, axis=-1)
    usable = lengths > TINY
    axes = axes / np.where(usable, lengths, 1.0)[..., None]
    shadow_a, shadow_b = axes @ one.transpose(0, 2, 1), axes @ other.transpose(0, 2, 1)
    gaps = np.maximum(
        shadow_b.min(axis=-1) - shadow_a.max(axis=-1), shadow_a.min(axis=-1) - shadow_b.max(axis=-1)
    )
    if a.faces or b.faces:
        return np.asarray(np.where(usable, gaps, -np.inf).max(axis=-1))
    return np.full(len(one), np.inf)  # two rods have no inside


def _distance(a: Solid, one: Floats, b: Solid, other: Floats) -> Floats:
    """Distance between solids that are apart: edge to edge, corner to face and face to corner."""
    pairs = np.array(list(product(a.edges, b.edges)))
    found: Floats = _between_edges(
        one[:, pairs[:, 0, 0]], one[:, pairs[:, 0, 1]], other[:, pairs[:, 1, 0]], other[:, pairs[:, 1, 1]]
    ).min(axis=-1)
    for faces, corners, points in ((b.faces, other, one), (a.faces, one, other)):
        for count in sorted({len(face) for face in faces}):
            alike = np.array([face for face in faces if len(face) == count])
            found = np.minimum(found, _to_faces(points, corners[:, alike]))
    return np.asarray(found)


def _between_edges(p0: Floats, p1: Floats, q0: Floats, q1: Floats) -> Floats:
    """Least distance between straight edges p and q."""
    u, v, w = p1 - p0, q1 - q0, p0 - q0
    uu, uv, vv = _dot(u, u), _dot(u, v), _dot(v, v)
    uw, vw = _dot(u, w), _dot(v, w)
    spread = uu * vv - uv * uv
    level = spread > 1e-12 * np.maximum(uu * vv, TINY)  # else parallel: any place on p will do
    s = np.where(level, np.clip((uv * vw - vv * uw) / np.where(level, spread, 1.0), 0.0, 1.0), 0.0)
    t = np.clip((uv * s + vw) / np.maximum(vv, TINY), 0.0, 1.0)
    s = np.clip((uv * t - uw) / np.maximum(uu, TINY), 0.0, 1.0)
    return np.asarray(np.linalg.norm(w + s[..., None] * u - t[..., None] * v, axis=-1))


def _to_faces(points: Floats, faces: Floats) -> Floats:
    """Least height of points (m, p, 3) over the inside of faces (m, f, n, 3); infinite where none is."""
    spokes = faces - faces[:, :, :1]
    normal = _cross(spokes[:, :, :-1], spokes[:, :, 1:]).sum(axis=2)
    length = np.linalg.norm(normal, axis=-1, keepdims=True)
    normal = normal / np.maximum(length, TINY)
    inward = _cross(normal[:, :, None, :], np.roll(faces, -1, axis=2) - faces)
    reach = points @ inward.reshape(len(points), -1, 3).transpose(0, 2, 1)
    within = reach.reshape(*points.shape[:2], *faces.shape[1:3]) >= _dot(inward, faces)[:, None]
    height = points @ normal.transpose(0, 2, 1) - _dot(normal, faces[:, :, 0])[:, None]
    over = within.all(axis=-1) & (height >= 0.0) & (length[:, None, :, 0] > TINY)
    return np.asarray(np.where(over, height, np.inf).min(axis=(1, 2)))


def _cross(a: Floats, b: Floats) -> Floats:
    """As numpy's, for many short vectors and several times as quick."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=-1)


def _dot(a: Floats, b: Floats) -> Floats:
    return np.asarray(np.einsum("...i,...i->...", a, b))


# ---- over a whole travel --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Approach:
    """How near a moving solid comes to another, and at which travel; negative where it goes through [m]."""

    name: str
    distance: float
    travel: float


def sweep(moving: Solid, travel: ArrayLike, obstacles: Iterable[Solid]) -> tuple[Approach, ...]:
    """The closest approach of a moving solid to each obstacle.

    Parameters
    ----------
    moving : Solid
        At as many poses as there are values of travel.
    travel : array
        What each pose belongs to. [rad or m]
    obstacles : iterable of Solid
        Each at one pose, or at as many as the moving one.

    Returns
    -------
    tuple of Approach
        In the order of the obstacles.
    """
    at = np.asarray(travel, dtype=float)
    return tuple(_closest(moving, at, obstacle) for obstacle in obstacles)


def _closest(moving: Solid, at: Floats, obstacle: Solid) -> Approach:
    """The closest approach to one obstacle; no gap on an axis exceeds the distance, so few poses matter."""
    shape = (len(at), *obstacle.corners.shape[-2:])
    other = np.broadcast_to(obstacle.corners, shape)
    least = _axis_gap(moving, moving.corners, obstacle, other)
    nearest = int(np.argmin(least))
    if least[nearest] > 0.0:
        bound = _distance(moving, moving.corners[[nearest]], obstacle, other[[nearest]])[0]
        near = np.flatnonzero(least <= bound + SPARE)
        distances = _distance(moving, moving.corners[near], obstacle, other[near])
        nearest, found = int(near[np.argmin(distances)]), float(distances.min())
    else:
        found = float(least[nearest])
    return Approach(obstacle.name, found - moving.radius - obstacle.radius, float(at[nearest]))


# ---- in a plane, for the many poses of a leaf and a machine -----------------------------------------------


def flat_separation(a: Floats, b: Floats) -> Floats:
    """As `separation`, for convex polygons in a plane, (..., n, 2) and (..., m, 2) [m]."""
    gaps = np.full(np.broadcast_shapes(a.shape[:-2], b.shape[:-2]), -np.inf)
    for shape, other in ((a, b), (b, a)):
        for number in range(shape.shape[-2]):
            edge = shape[..., number, :] - shape[..., number - 1, :]
            normal = np.stack([edge[..., 1], -edge[..., 0]], axis=-1)
            normal = normal / np.maximum(np.linalg.norm(normal, axis=-1, keepdims=True), TINY)
            own, its = _along(shape, normal), _along(other, normal)
            gap = np.maximum(its.min(axis=-1) - own.max(axis=-1), own.min(axis=-1) - its.max(axis=-1))
            gaps = np.maximum(gaps, gap)
    apart = gaps > 0.0
    return np.where(apart, np.minimum(_corners_to_edges(a, b), _corners_to_edges(b, a)), gaps)


def _along(shape: Floats, direction: Floats) -> Floats:
    return shape[..., 0] * direction[..., None, 0] + shape[..., 1] * direction[..., None, 1]


def _corners_to_edges(points: Floats, shape: Floats) -> Floats:
    """Least distance from corners to the edges of a polygon."""
    found: Floats = np.full(np.broadcast_shapes(points.shape[:-2], shape.shape[:-2]), np.inf)
    x, y = points[..., 0], points[..., 1]
    for number in range(shape.shape[-2]):
        start, edge = shape[..., number - 1, :], shape[..., number, :] - shape[..., number - 1, :]
        square = np.maximum(edge[..., 0] ** 2 + edge[..., 1] ** 2, TINY)
        part_x, part_y = (edge[..., 0] / square)[..., None], (edge[..., 1] / square)[..., None]
        from_x, from_y = x - start[..., None, 0], y - start[..., None, 1]
        share = np.clip(from_x * part_x + from_y * part_y, 0.0, 1.0)
        away_x = from_x - share * edge[..., None, 0]
        away_y = from_y - share * edge[..., None, 1]
        found = np.minimum(found, (away_x * away_x + away_y * away_y).min(axis=-1))
    return np.sqrt(found)
