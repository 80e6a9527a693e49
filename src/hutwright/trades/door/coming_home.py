"""A machine that comes home to a shut door: how near the leaf comes to it as it opens."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.layout.lane import way_when_before_door
from hutwright.model.project import Project
from hutwright.plant.swept import meetings, standing
from hutwright.trades.door.departure_wait import describes_a_race
from hutwright.trades.door.moving import (
    BALANCE,
    GEOMETRY,
    metres,
    obstacle_to_moving,
    practice,
    seconds,
    stated,
    where,
    worst_move,
)

LEAST = 0.05  # between machine and leaf: a choice of this project [m]
LIMIT = practice("50 mm between two bodies that move on their own")
FARTHEST = 3.0  # before the door: a choice of this project [m]
STOPS = ("dock", "comes_home", "stops_at")
WAITS = ("dock", "comes_home", "waits_for_door")


def ask(project: Project) -> tuple[Check, ...]:
    """Least distance of the opening leaf from the machine where it stops, and from one that drives on.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, two where the machine does not wait, none where it is not described how it comes home.
    """
    dock = project.dock
    if not describes_a_race(project) or dock is None or dock.comes_home is None:
        return ()
    found = [_standing(project, dock.comes_home.stops_at)]
    if not dock.comes_home.waits_for_door:
        found.append(_driving(project, dock.comes_home.stops_at))
    return tuple(found)


def _standing(project: Project, stops_at: float) -> Check:
    near = standing(project, stops_at)
    words = (
        f"least distance of leaf and machine, {where(project, near.travel)}; the machine stands "
        f"{metres(stops_at).show()} before the door"
    )
    stop = Dial(
        path=STOPS,
        dimension=units.LENGTH,
        lowest=stops_at,
        highest=max(FARTHEST, stops_at),
        words="let the machine coming home stop before the door by",
        effort=Effort.SETTING,
        step=0.05,
    )
    step = stated("d", near.distance, units.LENGTH, words)
    meaning = "With less the opening leaf strikes the machine that waits before it."
    return _check("waiting", step, stop, meaning)


def _driving(project: Project, stops_at: float) -> Check:
    """It halts at the shut door, and drives on as soon as the leaf begins to move."""
    machine, motion = project.machine, worst_move(project, opening=True)
    assert machine is not None
    choice = Pick(
        words="a machine that waits",
        options=(Option("let the machine wait before the door until that is open", {WAITS: True}),),
        effort=Effort.SETTING,
    )
    meaning = "A machine that does not wait may drive on while the leaf comes out; below zero they strike."
    if motion is None:
        step = stated("d", math.nan, units.LENGTH, obstacle_to_moving(project) or "")
        return _check("driving_on", step, choice, meaning)
    met = meetings(project, home_from=stops_at)
    before = way_when_before_door(project, stops_at) - met.ways
    times = np.maximum(0.0, before) / machine.motion.speed
    distances = np.where(before >= 0.0, met.at(motion.travel_at(times)), np.inf)
    index = int(np.argmin(distances))
    words = f"where it drives on as the leaf begins to open, {seconds(float(times[index])).show()} later"
    step = stated("d", float(distances[index]), units.LENGTH, words)
    return _check("driving_on", step, choice, meaning)


def _check(subject: str, step: Step, lever: Dial | Pick, meaning: str) -> Check:
    return Check(
        subject=subject,
        value=step.result.value,
        limit=LEAST,
        dimension=units.LENGTH,
        sense=Sense.AT_LEAST,
        method=GEOMETRY if subject == "waiting" else BALANCE,
        limit_from=LIMIT,
        working=(step,),
        levers=(lever,),
        meaning=meaning,
    )


QUESTION = Question(
    key="door.coming_home",
    title="The opening leaf against a machine that comes home",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",), ("machine", "parked"), ("dock", "comes_home")),
    ask=ask,
)
