"""The linkage: length of the rod over the travel, its arm, and how far the drive can take the leaf.

The arm is the rod's change of length per travel: positive where the rod grows as the leaf opens (the drive
pushes it open), negative where it shortens (the drive pulls it open). A rod force counted as push, times the
arm, is the opening moment [N m] of a hinged leaf, or the opening force of a straight one. A direct drive has
the arm 1 and, for rod length, the travel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hutwright.errors import ModelError, RequestError
from hutwright.laws.crossing import crossing
from hutwright.layout.frame import Floats, door_of
from hutwright.layout.leaf import full_travel, leaf_pose, leaf_velocity
from hutwright.layout.solid import Solid, rod
from hutwright.model.door import Linkage, LinkageKind, Point
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project

DRIVE = "drive"
GRID = 361  # places over the travel at which the arm's sign and the reach are looked at [-]
SLACK = 1e-9  # rod lengths within a nanometre agree [m]
HALVINGS = 60  # of the bracket round a rod length; 2^-60 of the travel is below rounding [-]


@dataclass(frozen=True, slots=True)
class Reach:
    """What the rod must span, what the drive can, and how far the leaf gets [m; travel in rad or m].

    `first` and `last` bound the travel round which the drive's stroke suffices, counted from the first place
    from shut on where it does; None where it does nowhere.
    """

    shut: float
    open: float
    least: float
    greatest: float
    shortest: float
    longest: float
    first: float | None
    last: float | None

    @property
    def too_short(self) -> float:
        """By how much the drive's longest length misses the greatest wanted; 0 or less: enough [m]."""
        return self.greatest - self.longest

    @property
    def too_long(self) -> float:
        """By how much the drive's shortest length exceeds the least wanted; 0 or less: enough [m]."""
        return self.shortest - self.least

    @property
    def whole(self) -> bool:
        """Whether the stroke covers the whole travel."""
        return self.too_short <= SLACK and self.too_long <= SLACK


def linkage_of(project: Project) -> Linkage:
    """The linkage.

    Raises
    ------
    RequestError
        Where none is described.
    ModelError
        Where a direct pull along a track is to move a hinged leaf.
    """
    if project.linkage is None:
        raise RequestError("this needs how the drive takes hold of the leaf; describe [linkage] first")
    if project.linkage.kind is LinkageKind.DIRECT and door_of(project).kind.hinged:
        raise ModelError(
            "linkage.kind", "direct", "a rod for a hinged leaf", "give linkage.foot and linkage.head"
        )
    return project.linkage


def is_direct(project: Project) -> bool:
    """Whether the drive pulls straight along the track."""
    return linkage_of(project).kind is LinkageKind.DIRECT


def _place(point: Point | None) -> Floats:
    if point is None:
        raise RequestError("this needs both pins of the rod; add linkage.foot and linkage.head")
    return np.array([point.x, point.y, point.z])


def foot_pin(project: Project) -> Floats:
    """The rod's pin on the hut [m]."""
    return _place(linkage_of(project).foot)


def head_pin(project: Project, travel: ArrayLike = 0.0) -> Floats:
    """The rod's pin on the leaf, at each travel [m]."""
    return leaf_pose(project, travel).apply(_place(linkage_of(project).head))


def rod_length(project: Project, travel: ArrayLike) -> Floats:
    """Distance between the pins at each travel; of a direct drive the travel itself [m]."""
    if is_direct(project):
        return np.array(travel, dtype=float)
    return np.asarray(np.linalg.norm(head_pin(project, travel) - foot_pin(project), axis=-1))


def arm(project: Project, travel: ArrayLike) -> Floats:
    """Change of the rod's length per travel [m/rad or m/m].

    Parameters
    ----------
    project : Project
        The project.
    travel : array
        From shut. [rad or m]
    """
    if is_direct(project):
        return np.ones(np.shape(travel))
    spoke = head_pin(project, travel) - foot_pin(project)
    length = np.linalg.norm(spoke, axis=-1)
    moved = leaf_velocity(project, _place(linkage_of(project).head), travel)
    along = np.einsum("...i,...i->...", spoke, moved)
    return np.asarray(along / np.where(length > SLACK, length, np.inf))


@once_a_project
def dead_centres(project: Project) -> tuple[float, ...]:
    """Every travel from shut to open where the arm is nothing, so that no force moves the leaf [rad or m]."""
    if is_direct(project):
        return ()
    at = np.linspace(0.0, full_travel(project), GRID)
    values = arm(project, at)
    if not np.any(np.abs(values) > SLACK):
        return (0.0,)  # the pin sits on the hinge line: dead everywhere
    found = [float(q) for q in at[np.abs(values) <= SLACK]]
    for left in np.flatnonzero(
        (values[:-1] * values[1:] < 0.0) & (np.abs(values[:-1] * values[1:]) > SLACK**2)
    ):
        found.append(crossing(lambda q: float(arm(project, q)), float(at[left]), float(at[left + 1])))
    return tuple(sorted(found))


def monotone_travel(project: Project) -> float:
    """Travel from shut up to the first dead centre, or to open [rad or m]."""
    return next((q for q in dead_centres(project) if q > SLACK), full_travel(project))


def travel_at_rod_length(project: Project, length: ArrayLike) -> Floats:
    """Travel at which the rod has a length, between shut and the first dead centre; NaN where it never has.

    Parameters
    ----------
    project : Project
        The project.
    length : array
        Between the pins. [m]
    """
    wanted = np.asarray(length, dtype=float)
    end = monotone_travel(project)
    shut, far = float(rod_length(project, 0.0)), float(rod_length(project, end))
    sign = 1.0 if far >= shut else -1.0
    low, high = np.zeros(wanted.shape), np.full(wanted.shape, end)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        short = sign * (rod_length(project, middle) - wanted) < 0.0
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    reached = (sign * (wanted - shut) >= -SLACK) & (sign * (far - wanted) >= -SLACK)
    return np.where(reached, (low + high) / 2, np.nan)


def reach(project: Project) -> Reach:
    """What the rod must span over the travel against what the drive's stroke can.

    Raises
    ------
    RequestError
        Where a rod's drive has no described length.
    """
    end = full_travel(project)
    if is_direct(project) and (project.drive is None or project.drive.length is None):
        return Reach(0.0, end, 0.0, end, 0.0, end, 0.0, end)
    if project.drive is None or project.drive.length is None:
        raise RequestError("this needs the rod's shortest length and stroke; add drive.length")
    stroke = project.drive.length.stroke
    shortest = 0.0 if is_direct(project) else project.drive.length.shortest
    longest = shortest + stroke
    # As np.unique, which would load all of masked arrays first
    at = np.array(sorted({*np.linspace(0.0, end, GRID).tolist(), *dead_centres(project)}))
    lengths = rod_length(project, at)
    first, last = _reached(project, at, lengths, shortest, longest)
    return Reach(
        shut=float(lengths[0]),
        open=float(lengths[-1]),
        least=float(lengths.min()),
        greatest=float(lengths.max()),
        shortest=shortest,
        longest=longest,
        first=first,
        last=last,
    )


def _reached(
    project: Project, at: Floats, lengths: Floats, shortest: float, longest: float
) -> tuple[float | None, float | None]:
    """Ends of the first stretch of travel over which the rod's length stays within the drive's."""
    within = (lengths >= shortest - SLACK) & (lengths <= longest + SLACK)
    if not within.any():
        return None, None

    def spare(q: float) -> float:
        length = float(rod_length(project, q))
        return min(length - shortest, longest - length) + SLACK

    start = int(np.argmax(within))
    after = np.flatnonzero(~within[start:])
    stop = start + int(after[0]) if len(after) else len(at)
    first = float(at[0]) if start == 0 else crossing(spare, float(at[start - 1]), float(at[start]))
    last = float(at[-1]) if stop == len(at) else crossing(spare, float(at[stop - 1]), float(at[stop]))
    return first, last


def drive_solid(project: Project, travel: ArrayLike = 0.0) -> Solid | None:
    """The rod drive from pin to pin, as thick as its body all along; None for a direct drive."""
    if is_direct(project):
        return None
    radius = 0.0 if project.drive is None else project.drive.body / 2
    return rod(DRIVE, foot_pin(project), head_pin(project, travel), radius)
