"""Room round the drive's body over the whole travel: to the hut, to the parked machine, to its way out."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Step
from hutwright.layout.frame import frame
from hutwright.layout.linkage import is_direct
from hutwright.layout.solid import Approach
from hutwright.model.project import Project
from hutwright.plant.swept import hangs_at, rod_to_hut, rod_to_machine, rod_to_passage
from hutwright.trades.door.clear_height import NO_FIT
from hutwright.trades.door.moving import GEOMETRY, metres, practice, stated, where
from hutwright.trades.door.turning import CLEAR_OF_WALL, PIN_STEP, when_wanted

LEAST = 0.005  # a choice of this project [m]
LIMIT = practice("5 mm round a moving part, for play and warp")
THINNEST = 0.02  # no rod drive is thinner: a choice of this project [m]
THICKEST = 0.2  # that is searched: a choice of this project [m]
FARTHEST = 0.3  # how far a pin or the machine is looked for: a choice of this project [m]
MEANINGS = {
    "hut": "With less the drive rubs on the hut or jams; below zero it passes through it.",
    "machine": "With less the drive strikes the parked machine; below zero it passes through it.",
    "passage": "With less the machine drives into the drive that holds the door open.",
}


def ask(project: Project) -> tuple[Check, ...]:
    """Least distance of the body from each of the three; the whole rod is taken as thick as the body.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each of the three that is described; none for a direct drive.
    """
    drive = project.drive
    if project.door is None or project.linkage is None or drive is None or is_direct(project):
        return ()
    found: list[Check] = []
    if project.hut is not None:
        found += _checks(project, "hut", rod_to_hut(project))
    if project.machine is not None and project.machine.parked is not None:
        found += _checks(project, "machine", rod_to_machine(project))
        found += _checks(project, "passage", rod_to_passage(project))
    return tuple(found)


def _checks(project: Project, subject: str, near: Approach | None) -> list[Check]:
    drive = project.drive
    assert drive is not None
    step: Step
    if near is None:
        if subject != "passage" or hangs_at(project) is not None:
            return []
        step = stated("d", math.nan, units.LENGTH, NO_FIT)
    else:
        step = Step(
            symbol="d",
            formula="d_axis - b / 2",
            numbers={"d_axis": metres(near.distance), "b": metres(drive.body)},
            result=metres(near.distance - drive.body / 2),
            words=f"from the {near.name}, {where(project, near.travel)}; d_axis is to the rod's middle line",
        )
    return [
        Check(
            subject=subject,
            value=step.result.value,
            limit=LEAST,
            dimension=units.LENGTH,
            sense=Sense.AT_LEAST,
            method=GEOMETRY,
            limit_from=LIMIT,
            working=(step,),
            levers=when_wanted(
                ask,
                project,
                subject,
                lambda: (
                    _thinner(drive.body),
                    *_pins(project),
                    *(_machine(project) if subject != "hut" else ()),
                ),
            ),
            meaning=MEANINGS[subject],
        )
    ]


def _thinner(body: float) -> Dial:
    return Dial(
        path=("drive", "body"),
        dimension=units.LENGTH,
        lowest=min(THINNEST, body),
        highest=max(THICKEST, body),
        words="take a drive whose body is no thicker than",
        effort=Effort.BUY_LARGE,
        step=PIN_STEP,
    )


def _pins(project: Project) -> tuple[Dial, ...]:
    """The levers of a foot that sits higher or lower, nearer or farther from the door, or to one side."""
    linkage = project.linkage
    if linkage is None or linkage.foot is None:
        return ()
    foot = linkage.foot
    ends = {
        "x": (foot.x - FARTHEST, foot.x + FARTHEST),
        "y": (foot.y - FARTHEST, foot.y + FARTHEST),
        "z": (max(0.0, foot.z - FARTHEST), foot.z + FARTHEST),
    }
    if project.hut is not None:
        sizes, near = frame(project), CLEAR_OF_WALL
        top = float(sizes.underside(foot.x, foot.y)) - near
        room = {
            "x": (sizes.wall + near, sizes.width - sizes.wall - near),
            "y": (sizes.wall + near, sizes.depth - sizes.wall - near),
            "z": (near, top),
        }
        ends = {axis: (max(ends[axis][0], room[axis][0]), min(ends[axis][1], room[axis][1])) for axis in ends}
    return tuple(
        Dial(
            path=("linkage", "foot", axis),
            dimension=units.LENGTH,
            lowest=low,
            highest=high,
            words=f"move the rod's pin on the hut to {axis} =",
            effort=Effort.REBUILD,
            step=PIN_STEP,
        )
        for axis, (low, high) in ends.items()
        if low < high
    )


def _machine(project: Project) -> tuple[Dial, ...]:
    """The lever of a machine that parks farther from the drive, as far as the back wall lets it."""
    machine = project.machine
    if machine is None or machine.parked is None or project.hut is None:
        return ()
    y, sizes = machine.parked.y, frame(project)
    deepest = sizes.wall + sizes.inner_depth - machine.body.length / 2 - machine.parked.error
    if deepest <= y:
        return ()
    return (
        Dial(
            path=("machine", "parked", "y"),
            dimension=units.LENGTH,
            lowest=y,
            highest=min(y + FARTHEST, deepest),
            words="park the machine's middle farther in, at y =",
            effort=Effort.SETTING,
            step=0.01,
        ),
    )


QUESTION = Question(
    key="door.body_clearance",
    title="Room round the drive's body",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
