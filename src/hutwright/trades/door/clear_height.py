"""Room over the machine in the door, with the leaf where it really hangs."""

from __future__ import annotations

import math
from math import pi

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.layout.clear_opening import clear_for_machine, leaf_shadow
from hutwright.layout.leaf import hole
from hutwright.layout.solids import climb
from hutwright.model.door import Door, DoorKind, Linkage
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.swept import hangs_at
from hutwright.plant.travel import travel
from hutwright.trades.door.moving import GEOMETRY, metres, practice, stated, where
from hutwright.trades.door.turning import stroke, when_wanted

SPARE = 0.02  # over the machine: a choice of this project [m]
LIMIT = practice("the machine, the step it climbs, and 20 mm")
HIGHER = (0.05, 0.10, 0.15, 0.20, 0.30, 0.40)  # of the hole, to choose from: a choice of this project [m]
NO_FIT = "the drive fits the linkage nowhere, so that the leaf hangs nowhere; see door.linkage_reach"


def ask(project: Project) -> tuple[Check, ...]:
    """Clear height over the sill against the machine's height.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where door, linkage, machine or its place is not described.
    """
    door, machine = project.door, project.machine
    if door is None or project.linkage is None or machine is None or machine.parked is None:
        return ()
    step = climb(project) - door.opening.sill
    at = hangs_at(project)
    if at is None:
        steps: tuple[Step, ...] = (stated("h", math.nan, units.LENGTH, NO_FIT),)
    else:
        steps = (_height(project, at),)
    return (
        Check(
            value=steps[-1].result.value,
            limit=machine.body.height + max(step, 0.0) + SPARE,
            dimension=units.LENGTH,
            sense=Sense.AT_LEAST,
            method=GEOMETRY,
            limit_from=LIMIT,
            working=steps,
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    farther(project),
                    stroke(project),
                    _higher(door, project.linkage),
                ),
            ),
            meaning="With less the machine knocks against the leaf or the frame when it drives out.",
        ),
    )


def _height(project: Project, at: float) -> Step:
    found, free, leaf = clear_for_machine(project, at), hole(project), leaf_shadow(project, at)
    place = where(project, at)
    if found.height == leaf.low - free.low:
        numbers = {"z_leaf": metres(leaf.low), "z_sill": metres(free.low)}
        return Step(
            symbol="h",
            formula="z_leaf - z_sill",
            numbers=numbers,
            result=metres(leaf.low - free.low),
            words=f"under the leaf's lowest place, {place}",
        )
    if found.height == free.high - leaf.high:
        numbers = {"z_top": metres(free.high), "z_leaf": metres(leaf.high)}
        return Step(
            symbol="h",
            formula="z_top - z_leaf",
            numbers=numbers,
            result=metres(free.high - leaf.high),
            words=f"over the leaf's highest place, {place}",
        )
    if found.height == free.high - free.low:
        numbers = {"z_top": metres(free.high), "z_sill": metres(free.low)}
        return Step(
            symbol="h",
            formula="z_top - z_sill",
            numbers=numbers,
            result=metres(free.high - free.low),
            words=f"the leaf is out of the way, {place}",
        )
    return stated("h", found.height, units.LENGTH, f"the leaf covers the way, {place}")


def farther(project: Project) -> Dial | None:
    """The lever of a leaf that opens farther."""
    door = project.door
    if door is None:
        return None
    full = travel(project).full
    if door.kind.hinged:
        return Dial(
            path=("door", "open_angle"),
            dimension=units.ANGLE,
            lowest=full,
            highest=max(full, pi if door.kind is not DoorKind.BOTTOM_HINGED else pi / 2),
            words="open the leaf as far as",
            effort=Effort.SETTING,
        )
    return Dial(
        path=("door", "track", "travel"),
        dimension=units.LENGTH,
        lowest=full,
        highest=max(full, 1.2 * (door.leaf.height if door.kind is DoorKind.LIFT else door.leaf.width)),
        words="let the leaf travel as far as",
        effort=Effort.REBUILD,
        step=0.01,
    )


def _higher(door: Door, linkage: Linkage | None) -> Pick:
    """The choice of a higher hole; its leaf, hinge and rod go with it."""
    options = []
    for more in HIGHER:
        changes: dict[Keys, object] = {
            ("door", "opening", "height"): _text(door.opening.height + more),
            ("door", "leaf", "height"): _text(door.leaf.height + more),
        }
        if door.kind is DoorKind.TOP_HINGED and door.hinge is not None and door.hinge.z is not None:
            changes["door", "hinge", "z"] = _text(door.hinge.z + more)
            for pin in ("foot", "head"):  # that the rod stays as it is
                point = None if linkage is None else getattr(linkage, pin)
                if point is not None:
                    changes["linkage", pin, "z"] = _text(point.z + more)
        options.append(
            Option(
                f"cut the hole {round(more * 1000)} mm higher, with leaf, hinge and rod to match",
                changes,
            )
        )
    return Pick(words="a higher hole", options=tuple(options), effort=Effort.REBUILD)


def _text(value: float) -> str:
    return units.write_as(value, units.LENGTH, "m")


QUESTION = Question(
    key="door.clear_height",
    title="Room over the machine in the open door",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("machine", "parked")),
    ask=ask,
)
