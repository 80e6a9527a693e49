"""Room beside the machine in the door, with the leaf where it really hangs."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.layout.clear_opening import clear_for_machine
from hutwright.model.door import Door
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.swept import hangs_at
from hutwright.trades.door.clear_height import NO_FIT, farther
from hutwright.trades.door.moving import GEOMETRY, metres, practice, stated, where
from hutwright.trades.door.turning import stroke, when_wanted

SPARE = 0.01  # on each side, past the parking error: a choice of this project [m]
LIMIT = practice("the machine, its parking error to both sides, and 10 mm on each")
ASIDE = 0.3  # how far the parked place is looked for: a choice of this project [m]
WIDER = (0.05, 0.10, 0.15, 0.20, 0.30)  # of the hole, to choose from: a choice of this project [m]


def ask(project: Project) -> tuple[Check, ...]:
    """Clear width about the machine's middle against the machine's width.

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
    at = hangs_at(project)
    levers: tuple[Dial | Pick, ...] = ()
    if at is None:
        step = stated("w", math.nan, units.LENGTH, NO_FIT)
    else:
        found = clear_for_machine(project, at)
        width = machine.body.width
        step = Step(
            symbol="w",
            formula="w_machine + 2 * min(s_left, s_right)",
            numbers={
                "w_machine": metres(width),
                "s_left": metres(found.left),
                "s_right": metres(found.right),
            },
            result=metres(width + 2 * min(found.left, found.right)),
            words=f"as wide as the way is about the machine's middle, {where(project, at)}",
        )
        levers = (_aside(machine.parked.x, (found.right - found.left) / 2),)
    return (
        Check(
            value=step.result.value,
            limit=machine.body.width + 2 * (machine.parked.error + SPARE),
            dimension=units.LENGTH,
            sense=Sense.AT_LEAST,
            method=GEOMETRY,
            limit_from=LIMIT,
            working=(step,),
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    *levers,
                    farther(project),
                    stroke(project),
                    _wider(door),
                ),
            ),
            meaning="With less the machine rubs along the frame or the leaf when it is parked a little off.",
        ),
    )


def _aside(x: float, off: float) -> Dial:
    """The lever of a machine parked nearer the middle of the way."""
    off = max(-ASIDE, min(ASIDE, off))
    return Dial(
        path=("machine", "parked", "x"),
        dimension=units.LENGTH,
        lowest=min(x, x + off),
        highest=max(x, x + off),
        words="park the machine, across the front, at x =",
        effort=Effort.SETTING,
        step=0.005,
    )


def _wider(door: Door) -> Pick:
    """The choice of a wider hole and leaf."""
    options = []
    for more in WIDER:
        changes: dict[Keys, object] = {
            ("door", "opening", "width"): _text(door.opening.width + more),
            ("door", "leaf", "width"): _text(door.leaf.width + more),
            ("door", "opening", "left"): _text(max(0.0, door.opening.left - more / 2)),
        }
        if door.track is not None:
            changes["door", "track", "travel"] = _text(door.track.travel + more)
        options.append(Option(f"cut the hole {round(more * 1000)} mm wider, with a wider leaf", changes))
    return Pick(words="a wider hole", options=tuple(options), effort=Effort.REBUILD)


def _text(value: float) -> str:
    return units.write_as(value, units.LENGTH, "m")


QUESTION = Question(
    key="door.clear_width",
    title="Room beside the machine in the open door",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("machine", "parked")),
    ask=ask,
)
