"""The one number to set: how long after the door starts to open the machine may be sent out."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.plant.motion import Motion
from hutwright.plant.swept import meetings
from hutwright.sources import Source, Standing
from hutwright.trades.door.moving import (
    BALANCE,
    metres,
    obstacle_to_moving,
    seconds,
    speed,
    stated,
    worst_move,
)
from hutwright.trades.door.turning import calmer, quicker, when_wanted

SPARE = 0.05  # between machine and leaf, past the parking error: a choice of this project [m]
WANTED = Source("the race of machine and leaf as described", "worked out above", Standing.DERIVED)
TOGETHER = ((8, 30), (6, 40), (4, 60))  # gust [m/s] and wait [s]: a choice of this project
LONGEST_WAIT = 300.0  # a machine that waits longer is not sent: a choice of this project [s]


def ask(project: Project) -> tuple[Check, ...]:
    """The wait that is set, against the least that lets the machine pass the opening leaf on the coldest day.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where door, linkage, drive, controller, machine or its place is not described.
    """
    controller = project.controller
    if controller is None or not describes_a_race(project):
        return ()
    motion = worst_move(project, opening=True)
    if motion is None:
        why = obstacle_to_moving(project) or ""
        steps: tuple[Step, ...] = (stated("T_needed", math.nan, units.TIME, why),)
    else:
        steps = wait_steps(project, motion)
    needed = steps[-1].result.value
    value = math.nan if math.isnan(needed) else controller.wait
    set_to = stated("T", value, units.TIME, "as set, from the start of opening to sending the machine out")
    wait = Dial(
        path=("controller", "wait"),
        dimension=units.TIME,
        lowest=0.0,
        highest=max(LONGEST_WAIT, controller.wait),
        words="send the machine out no sooner after the door starts to open than",
        effort=Effort.SETTING,
        step=1.0,
    )
    return (
        Check(
            value=value,
            limit=needed,
            dimension=units.TIME,
            sense=Sense.AT_LEAST,
            method=BALANCE,
            limit_from=WANTED,
            working=(*steps, set_to),
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    wait,
                    calmer(project),
                    _together(),
                    quicker(project),
                ),
            ),
            meaning="Sent out sooner, the machine meets the leaf that is still opening. Set this number for "
            "the coldest day; 'without end' means that it never clears the open leaf.",
        ),
    )


def _together() -> Pick:
    """The choice of a longer wait together with less wind, where neither is enough alone."""
    options = tuple(
        Option(
            f"leave the door as it is in gusts above {gust} m/s, and send the machine out after {wait} s",
            {("site", "wind", "working"): f"{gust} m/s", ("controller", "wait"): f"{wait} s"},
        )
        for gust, wait in TOGETHER
    )
    return Pick(words="a longer wait in less wind", options=options, effort=Effort.SETTING)


def describes_a_race(project: Project) -> bool:
    """Whether door, drive, machine and its place are described."""
    return not (
        project.door is None
        or project.linkage is None
        or project.drive is None
        or project.machine is None
        or project.machine.parked is None
    )


def wait_steps(project: Project, motion: Motion) -> tuple[Step, ...]:
    """The least wait with which the machine clears the opening leaf, as steps that end in it.

    Parameters
    ----------
    project : Project
        The project.
    motion : Motion
        The opening.
    """
    machine = project.machine
    assert machine is not None
    assert machine.parked is not None
    met = meetings(project)
    left = float(met.distances[-1].min())
    room = machine.parked.error + SPARE
    keeps = min(room, left)
    distance = Step(
        symbol="d",
        formula="min(e_parked + d_spare, d_open)",
        numbers={"e_parked": metres(machine.parked.error), "d_spare": metres(SPARE), "d_open": metres(left)},
        result=metres(keeps),
        words="to keep between machine and leaf: parking error and some room, or what the open leaf leaves",
    )
    if left <= 0.0:
        words = (
            "the open leaf hangs in the machine's way, so that no wait is long enough; see door.clear_height"
        )
        return (distance, stated("T_needed", math.inf, units.TIME, words))
    needed_at = met.clears_from(keeps)
    reaches = _when(motion, needed_at)
    starts = reaches - met.ways / machine.motion.speed
    index = int(np.argmax(starts))
    door, way = float(reaches[index]), float(met.ways[index])
    driven = Step(
        symbol="t_way",
        formula="s / v",
        numbers={"s": metres(way), "v": speed(machine.motion.speed)},
        result=seconds(way / machine.motion.speed),
        words="the machine's time to where it comes nearest to the leaf",
    )
    found = max(0.0, door - driven.result.value)
    return (
        distance,
        driven,
        Step(
            symbol="T_needed",
            formula="max(0, t_leaf - t_way)",
            numbers={"t_leaf": Number(door, units.TIME), "t_way": driven.result},
            result=seconds(found),
            words="t_leaf is when the leaf is far enough out of the way there, on the coldest day",
        ),
    )


def _when(motion: Motion, places: Floats) -> Floats:
    """When the leaf is at places; never beyond where it stalls."""
    reached = np.isfinite(motion.time)
    times = np.interp(places, motion.places[reached], motion.time[reached])
    return np.where(places > motion.places[reached][-1], np.inf, times)


QUESTION = Question(
    key="door.departure_wait",
    title="Wait between opening and sending the machine out",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",), ("controller",), ("machine", "parked")),
    ask=ask,
)
