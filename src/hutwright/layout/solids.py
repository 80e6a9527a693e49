"""The hut, its base, the ground before the door and the machine as convex solids.

The ground before the door lies below the floor by the height of the threshold and rises with the lane's
slope. The wall above, below and beside the door's hole is in pieces; a wall under a ridge is split there.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from hutwright.errors import RequestError
from hutwright.layout.frame import Floats, Frame, Slope, frame, wall_thickness
from hutwright.layout.leaf import hole
from hutwright.layout.solid import BLOCK_FACES, Solid, box, solid
from hutwright.model.machine import Machine, Parked
from hutwright.model.project import Project

GROUND = (
    0.2  # how thick the ground before the door is drawn; any depth that nothing passes through will do [m]
)
SLIVER = 1e-9  # thinner pieces of wall are none [m]


def _column(name: str, x: tuple[float, float], y: tuple[float, float], low: float, tops: Floats) -> Solid:
    """A block with a level foot, whose four top corners have their own heights."""
    plan = ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))
    foot = [(*xy, low) for xy in plan]
    return solid(name, [*foot, *((*xy, float(z)) for xy, z in zip(plan, tops, strict=True))], BLOCK_FACES)


def _wall(
    sizes: Frame,
    name: str,
    x: tuple[float, float],
    y: tuple[float, float],
    low: float,
    high: float | None = None,
) -> list[Solid]:
    """A piece of wall up to a height, or up to the roof's underside."""
    if x[1] - x[0] <= SLIVER or y[1] - y[0] <= SLIVER:
        return []
    if high is not None:
        return [] if high - low <= SLIVER else [box(name, (x[0], y[0], low), (x[1], y[1], high))]
    cuts = [x[0], *([sizes.ridge] if sizes.ridge is not None and x[0] < sizes.ridge < x[1] else []), x[1]]
    found = []
    for left, right in pairwise(cuts):
        tops = sizes.underside(np.array([left, right, right, left]), np.array([y[0], y[0], y[1], y[1]]))
        if tops.min() - low > SLIVER:
            found.append(_column(name, (left, right), y, low, tops))
    return found


def door_wall(project: Project) -> tuple[Solid, ...]:
    """The wall round the door's hole: left and right of it, above and below."""
    sizes = frame(project)
    seen = hole(project)
    y = (0.0, sizes.wall)
    return (
        *_wall(sizes, "wall left of the door", (0.0, seen.left), y, 0.0),
        *_wall(sizes, "wall right of the door", (seen.right, sizes.width), y, 0.0),
        *_wall(sizes, "wall above the door", (seen.left, seen.right), y, seen.high),
        *_wall(sizes, "wall below the door", (seen.left, seen.right), y, 0.0, seen.low),
    )


def other_walls(project: Project) -> tuple[Solid, ...]:
    """The back wall, and the left and right walls between it and the door wall."""
    sizes = frame(project)
    inner, whole = (sizes.wall, sizes.depth - sizes.wall), (0.0, sizes.width)
    return (
        *_wall(sizes, "back wall", whole, (inner[1], sizes.depth), 0.0),
        *_wall(sizes, "left wall", (0.0, sizes.wall), inner, 0.0),
        *_wall(sizes, "right wall", (sizes.width - sizes.wall, sizes.width), inner, 0.0),
    )


def walls(project: Project) -> tuple[Solid, ...]:
    """All walls; none where no hut is described, and a whole door wall is left out without a door."""
    if project.hut is None:
        return ()
    front = () if project.door is None else door_wall(project)
    return (*front, *other_walls(project))


def roof(project: Project) -> tuple[Solid, ...]:
    """The roof's one or two slabs with their overhang."""
    if project.hut is None:
        return ()
    sizes = frame(project)
    return tuple(_slab(sizes, slope) for slope in sizes.slopes)


def _slab(sizes: Frame, slope: Slope) -> Solid:
    over = sizes.overhang
    left = slope.start[0] - (over if slope.start[0] == 0.0 else 0.0)
    right = slope.end[0] + (over if slope.end[0] == sizes.width else 0.0)
    x, y = (
        np.array([left, right, right, left]),
        np.array([-over, -over, sizes.depth + over, sizes.depth + over]),
    )
    low = slope.z(x, y)
    high = low + sizes.roof * slope.stretch
    return solid(slope.name.replace("_", " "), np.concatenate([np.c_[x, y, low], np.c_[x, y, high]]))


def base(project: Project) -> tuple[Solid, ...]:
    """The base's slab below the floor, standing out by its margin; none where it has no thickness."""
    if project.hut is None or not project.hut.base.thickness > 0.0:
        return ()
    sizes, under = frame(project), project.hut.base
    low = (-under.margin, -under.margin, -under.thickness)
    return (box("base", low, (sizes.width + under.margin, sizes.depth + under.margin, 0.0)),)


def step_height(project: Project) -> float:
    """Height of the threshold: how far the ground before the door lies below the floor [m]."""
    dock = project.dock
    return 0.0 if dock is None or dock.threshold is None else dock.threshold.height


def lane_slope(project: Project) -> float:
    """Rise of the lane per length, uphill away from the hut positive [-]."""
    return 0.0 if project.dock is None or project.dock.lane is None else project.dock.lane.slope


def threshold(project: Project) -> tuple[Solid, ...]:
    """The step under the door's hole, from the ground up to the floor."""
    height = step_height(project)
    if not height > 0.0 or project.door is None:
        return ()
    seen, wall = hole(project), wall_thickness(project)
    return (box("threshold", (seen.left, 0.0, -height), (seen.right, max(wall, SLIVER), 0.0)),)


def lane(project: Project) -> tuple[Solid, ...]:
    """The ground of the lane before the door; none where no lane is described."""
    if project.dock is None or project.dock.lane is None or project.door is None:
        return ()
    way, seen = project.dock.lane, hole(project)
    parked = None if project.machine is None else project.machine.parked
    middle = (seen.left + seen.right) / 2 if parked is None else parked.x
    near = -step_height(project)
    far = near + way.slope * way.length
    x, y = (middle - way.width / 2, middle + way.width / 2), (-way.length, 0.0)
    return (_column("lane", x, y, min(near, far) - GROUND, np.array([far, far, near, near])),)


def surroundings(project: Project) -> tuple[Solid, ...]:
    """All that stands still: walls, roof, base, threshold and lane."""
    return (*walls(project), *roof(project), *base(project), *threshold(project), *lane(project))


# ---- the machine ------------------------------------------------------------------------------------------


def parked_machine(project: Project) -> tuple[Machine, Parked]:
    """The machine and where it stands.

    Raises
    ------
    RequestError
        Where either is not described.
    """
    if project.machine is None or project.machine.parked is None:
        raise RequestError(
            "this needs the machine and where it stands; describe machine.body and machine.parked"
        )
    return project.machine, project.machine.parked


def machine_at(project: Project, way: ArrayLike = 0.0) -> Solid:
    """The machine's box after some way out of the hut, straight along -y from where it is parked.

    Parameters
    ----------
    project : Project
        The project.
    way : array
        From the parked place, out positive. [m]

    Returns
    -------
    Solid
        At as many poses. It stands on the floor and grows upwards by what it climbs: sill and threshold while
        it passes the door, the lane's rise beyond.
    """
    machine, parked = parked_machine(project)
    body = machine.body
    out = np.asarray(way, dtype=float)
    half = np.array([body.width / 2, body.length / 2, 0.0])
    middle = np.array([parked.x, parked.y, 0.0])
    shut = box("machine", middle - half, middle + half + (0.0, 0.0, body.height))
    shift = np.zeros((*out.shape, 1, 3))
    shift[..., 0, 1] = -out
    corners = np.asarray(shut.corners + shift)
    corners[..., 4:, 2] += climbed(project, out)[..., None]
    return shut.moved(corners)


def climbed(project: Project, way: ArrayLike) -> Floats:
    """How much higher than parked the machine's top may stand after some way out [m]."""
    machine, parked = parked_machine(project)
    front = parked.y - machine.body.length / 2 - np.asarray(way, dtype=float)
    passing = (front <= wall_thickness(project)) & (front + machine.body.length >= 0.0)
    rise = np.maximum(0.0, lane_slope(project) * np.maximum(0.0, -front))
    return np.maximum(np.where(passing, climb(project), 0.0), rise)


def climb(project: Project) -> float:
    """The step that the machine takes at the door: the hole's sill or the threshold [m]."""
    sill = 0.0 if project.door is None else project.door.opening.sill
    return max(sill, step_height(project))


def machine_passage(project: Project, way: float) -> Solid:
    """All that the machine passes through between parked and some way out, as one box [m]."""
    corners = np.concatenate([machine_at(project, 0.0).corners, machine_at(project, way).corners])
    return box("machine on its way", corners.min(axis=0), corners.max(axis=0))
