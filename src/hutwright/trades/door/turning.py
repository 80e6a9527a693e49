"""The levers that the questions about the door share: the pins, the drive, the leaf, the weather."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from hutwright import units
from hutwright.checks.check import Check
from hutwright.checks.lever import Dial, Effort, Option, Pick, WhenWanted
from hutwright.errors import HutwrightError
from hutwright.layout.frame import Floats, frame
from hutwright.layout.leaf import leaf_pose, leaf_velocity
from hutwright.layout.linkage import foot_pin, head_pin, is_direct, linkage_of
from hutwright.model.door import DoorKind, Point
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.model.remembered import KEPT
from hutwright.model.watched import answered, apart, moved
from hutwright.plant.swept import link_key
from hutwright.plant.travel import travel

MOST_MOVED = 0.25  # a pin is looked for no farther from where it is: a choice of this project [m]
TRIED = 26  # places of a pin that are looked at [-]
PIN_STEP = 0.005  # pins are set to 5 mm: a choice of this project [m]
CLEAR_OF_WALL = 0.03  # a pin's bracket keeps it off the walls: a choice of this project [m]
MOST_PINS = 2  # ways to move a pin that are offered: a choice of this project
# What rod drives are sold in; standing: practice.
STROKES = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.60, 0.75, 1.0)
GEARS = (1.25, 1.5, 2.0, 3.0)  # of a family: force times speed is roughly constant; practice
LEAST_GUST = 3.0  # below that a door that waits for calm hardly opens: a choice of this project [m/s]
LIGHTEST, HEAVIEST = 0.1, 3.0  # of the leaf's mass as it is: a choice of this project [-]
# Ends of what is searched where a value is not known exactly: choices of this project.
WILDEST_GUST = 40.0  # [m/s]
LONGEST_STROKE = 2.0  # [m]
DEEPEST_SNOW = 1.5  # [m]
MOST_ICE = 500.0  # [N]

Worth = Callable[[Floats, Floats], Floats]


@dataclass(frozen=True, slots=True)
class _Where:
    key: Hashable
    project: Project = field(compare=False, repr=False)


def pins(project: Project, worth: Worth) -> tuple[Dial, ...]:
    """The levers of other places for the rod's pins, those that help most.

    Parameters
    ----------
    project : Project
        The project.
    worth : Callable
        From rod lengths [m] and arms [m/rad or -], each (places of the pin, of the leaf), to how good each
        place of the pin is; at or above zero where it serves.
    """
    if is_direct(project):
        return ()
    found: list[tuple[float, Dial]] = []
    for pin in ("foot", "head"):
        for axis in ("x", "y", "z"):
            dial = _pin(project, pin, axis, worth)
            if dial is not None:
                found.append(dial)
    serving = [each for each in found if each[0] >= 0.0] or found
    return tuple(dial for _, dial in sorted(serving, key=lambda each: -each[0])[:MOST_PINS])


def _pin(project: Project, pin: str, axis: str, worth: Worth) -> tuple[float, Dial] | None:
    where, lengths, arms = _moved(_Where((link_key(project), _room(project)), project), pin, axis)
    steady = (arms > 0.0).all(axis=1) | (arms < 0.0).all(axis=1)
    values = np.where(steady, worth(lengths, arms), -np.inf)
    start = getattr(getattr(linkage_of(project), pin), axis)
    best = int(np.argmax(values))
    now = int(np.argmin(np.abs(where - start)))
    if not values[best] > values[now] or not np.isfinite(values[best]):
        return None
    low, high = sorted((start, float(where[best])))
    what = "hut" if pin == "foot" else "leaf"
    return float(values[best]), Dial(
        path=("linkage", pin, axis),
        dimension=units.LENGTH,
        lowest=low,
        highest=high,
        words=f"move the rod's pin on the {what} to {axis} =",
        effort=Effort.REBUILD,
        step=PIN_STEP,
    )


def _room(project: Project) -> Hashable:
    hut = project.hut
    return (
        None
        if hut is None
        else (apart(hut.inside), apart(hut.roof), hut.walls.build_up, len(project.build_ups))
    )


@lru_cache(maxsize=KEPT)
def _moved(where: _Where, pin: str, axis: str) -> tuple[Floats, Floats, Floats]:
    """Places of a pin along an axis, and rod lengths and arms over the travel for each."""
    project = where.project
    linkage, at = linkage_of(project), travel(project).places
    point = getattr(linkage, pin)
    tried = getattr(point, axis) + np.linspace(-MOST_MOVED, MOST_MOVED, TRIED)
    if pin == "foot" and project.hut is not None:
        tried = np.clip(tried, *_inside(project, point, axis))
    tried = np.array(sorted({*tried.tolist(), getattr(point, axis)}))
    lengths, arms = [], []
    foot, head = foot_pin(project), _triple(linkage.head)
    pose, heads, moving = leaf_pose(project, at), head_pin(project, at), leaf_velocity(project, head, at)
    for value in tried:
        there = _triple(replace(apart(point), **{axis: float(value)}))
        if pin == "foot":
            foot = there
        else:
            heads, moving = pose.apply(there), leaf_velocity(project, there, at)
        spoke = heads - foot
        length = np.linalg.norm(spoke, axis=-1)
        lengths.append(length)
        arms.append(np.einsum("...i,...i->...", spoke, moving) / np.maximum(length, 1e-9))
    return tried, np.array(lengths), np.array(arms)


def _triple(point: Point | None) -> Floats:
    assert point is not None
    return np.array([point.x, point.y, point.z])


def _inside(project: Project, point: Point, axis: str) -> tuple[float, float]:
    """Where a pin inside the hut may sit along an axis; it may always stay where it is."""
    sizes = frame(project)
    near = CLEAR_OF_WALL
    ends = {
        "x": (sizes.wall + near, sizes.width - sizes.wall - near),
        "y": (sizes.wall + near, sizes.depth - sizes.wall - near),
        "z": (near, float(sizes.underside(point.x, point.y)) - near),
    }
    low, high = ends[axis]
    value = getattr(point, axis)
    return min(low, value), max(high, value)


def force_worth(load: Floats, allowed: float) -> Worth:
    """Worth of a pin's place by the greatest force that it takes.

    Parameters
    ----------
    load : ndarray
        What the drive must give over the places of the travel, against it above zero. [N m or N]
    allowed : float
        What it may give. [N]
    """
    return lambda lengths, arms: allowed - np.max(load / np.maximum(np.abs(arms), 1e-9), axis=1)


# ---- drive ------------------------------------------------------------------------------------------------


def stroke(project: Project) -> Dial | None:
    """The lever of a drive with another stroke; None where its length is not described."""
    drive = project.drive
    if drive is None or drive.length is None:
        return None
    return Dial(
        path=("drive", "length", "stroke"),
        dimension=units.LENGTH,
        lowest=drive.length.stroke,
        highest=max(LONGEST_STROKE, drive.length.stroke),
        words="take a drive with a stroke of",
        effort=Effort.BUY_LARGE,
        sizes=STROKES,
    )


def stronger(project: Project) -> Pick | None:
    """The choice of a stronger, slower drive of the same family; None without a drive."""
    return _geared(project, GEARS)


def quicker(project: Project) -> Pick | None:
    """The choice of a quicker, weaker drive of the same family; None without a drive."""
    return _geared(project, tuple(round(1.0 / gear, 2) for gear in GEARS))


def _geared(project: Project, gears: tuple[float, ...]) -> Pick | None:
    drive = project.drive
    if drive is None:
        return None
    options = []
    for gear in gears:
        force = units.write_as(round(drive.rating.force * gear, 1), units.FORCE, "N")
        rated, free = (
            units.write_as(round(each / gear, 5), units.SPEED, "mm/s")
            for each in (drive.rating.speed, drive.no_load.speed)
        )
        changes: dict[Keys, object] = {
            ("drive", "rating", "force"): force,
            ("drive", "rating", "speed"): rated,
            ("drive", "no_load", "speed"): free,
            ("drive", "stall", "force"): None,
            ("drive", "holding"): None,
        }
        options.append(Option(f"take a drive of the same family that gives {force} at {rated}", changes))
    which = "a stronger, slower" if gears[0] > 1.0 else "a quicker, weaker"
    return Pick(words=f"{which} drive of the family", options=tuple(options), effort=Effort.BUY_LARGE)


# ---- leaf and weather -------------------------------------------------------------------------------------


def calmer(project: Project) -> Dial:
    """The lever of leaving the door alone in more wind."""
    return Dial(
        path=("site", "wind", "working"),
        dimension=units.SPEED,
        lowest=LEAST_GUST,
        highest=max(WILDEST_GUST, project.site.wind.working),
        words="leave the door as it is in gusts above",
        effort=Effort.SETTING,
        step=1.0,
    )


def cleared_snow(project: Project) -> Dial:
    """The lever of clearing the snow before it lies deep."""
    return Dial(
        path=("site", "snow", "drift"),
        dimension=units.LENGTH,
        lowest=0.0,
        highest=max(DEEPEST_SNOW, project.site.snow.drift),
        words="clear the snow before the door as soon as it is deeper than",
        effort=Effort.SETTING,
        step=0.05,
    )


def lighter(project: Project) -> Dial | None:
    """The lever of a lighter leaf; None without a door."""
    if project.door is None:
        return None
    mass = project.door.leaf.mass
    return Dial(
        path=("door", "leaf", "mass"),
        dimension=units.MASS,
        lowest=LIGHTEST * mass,
        highest=HEAVIEST * mass,
        words="make the leaf weigh no more than",
        effort=Effort.REBUILD,
        step=0.1,
    )


def counterweight(project: Project) -> Dial | None:
    """The lever of a counterweight; None where the leaf need not be lifted."""
    door = project.door
    if door is None or door.kind not in (DoorKind.TOP_HINGED, DoorKind.LIFT):
        return None
    return Dial(
        path=("door", "counterweight"),
        dimension=units.MASS,
        lowest=door.counterweight,
        highest=max(door.counterweight, door.leaf.mass + door.leaf.fittings),
        words="hang a counterweight on the leaf's edge of",
        effort=Effort.REBUILD,
        step=0.1,
    )


def less_ice(project: Project) -> Dial | None:
    """The lever of an edge that freezes less; None without a door."""
    if project.door is None:
        return None
    return Dial(
        path=("door", "ice"),
        dimension=units.FORCE,
        lowest=0.0,
        highest=max(MOST_ICE, project.door.ice),
        words="grease or heat the edge, so that it freezes no faster than",
        effort=Effort.BUY_SMALL,
        step=5.0,
    )


Ask = Callable[[Project], tuple[Check, ...]]


def when_wanted(
    ask: Ask, project: Project, subject: str, find: Callable[[], tuple[Dial | Pick | None, ...]]
) -> WhenWanted[Dial | Pick]:
    """The levers of a check that could serve, found once they are looked at.

    A dial is left out where, turned all the way with all else as described, it changes nothing,
    or leaves short a check that is short as described.

    Parameters
    ----------
    ask : Callable
        The question.
    project : Project
        As described.
    subject : str
        Which of its checks.
    find : Callable
        To what may be turned or chosen; None where there is no such thing.
    """

    def margin(changes: dict[Keys, object]) -> float:
        try:
            other = moved(project, changes)
        except HutwrightError:
            return math.inf  # a listing that must change with it: let the search find out
        return next((each.margin for each in answered(ask, other) if each.subject == subject), math.inf)

    def serving() -> tuple[Dial | Pick, ...]:
        now = margin({})
        levers = tuple(each for each in find() if each is not None)
        return tuple(each for each in levers if isinstance(each, Pick) or _serves(each, now, margin))

    return WhenWanted(serving)


def _serves(dial: Dial, now: float, margin: Callable[[dict[Keys, object]], float]) -> bool:
    reached = max(_known(margin({dial.path: end})) for end in (dial.lowest, dial.highest))
    return reached >= 0.0 if not now >= 0.0 else reached > now


def _known(margin: float) -> float:
    """A margin that is not known serves nothing."""
    return -math.inf if math.isnan(margin) else margin
