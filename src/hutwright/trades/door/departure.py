"""A machine that starts unasked, with the door shut or on its way: how near it comes to the leaf."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.layout.lane import way_to_door
from hutwright.model.project import Project
from hutwright.plant.motion import Motion
from hutwright.plant.swept import meetings
from hutwright.trades.door.departure_wait import describes_a_race, wait_steps
from hutwright.trades.door.moving import (
    BALANCE,
    metres,
    obstacle_to_moving,
    practice,
    seconds,
    speed,
    stated,
    worst_move,
)
from hutwright.trades.door.turning import quicker, when_wanted

LEAST = 0.05  # between machine and leaf: a choice of this project [m]
LIMIT = practice("50 mm between two bodies that move on their own")
FARTHER_IN = 0.3  # how far the parked place is looked for: a choice of this project [m]
UNASKED = ("machine", "motion", "leaves_unasked")


def ask(project: Project) -> tuple[Check, ...]:
    """Closest approach where the machine starts with the door shut, and where both start at once.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        Two, or none where the machine never starts unasked or a part of the race is not described.
    """
    if not describes_a_race(project) or project.machine is None or not project.machine.motion.leaves_unasked:
        return ()
    motion = worst_move(project, opening=True)
    return (_shut(project), _opening(project, motion))


def _shut(project: Project) -> Check:
    """It drives against the shut leaf, or against one that shuts before it: both end in a touch."""
    machine = project.machine
    assert machine is not None
    way = way_to_door(project)
    steps = (
        Step(
            symbol="t",
            formula="s / v",
            numbers={"s": metres(way), "v": speed(machine.motion.speed)},
            result=seconds(way / machine.motion.speed),
            words="after so long its nose is at the leaf, if that is shut or shuts meanwhile",
        ),
        stated("d", 0.0, units.LENGTH, "it touches the leaf"),
    )
    return _check(project, "shut", steps, "A machine that starts by itself drives against the shut door.")


def _opening(project: Project, motion: Motion | None) -> Check:
    meaning = (
        "A machine that starts by itself while the door begins to open; below zero it drives into the leaf."
    )
    if motion is None:
        words = obstacle_to_moving(project) or ""
        return _check(project, "opening", (stated("d", math.nan, units.LENGTH, words),), meaning)
    machine = project.machine
    assert machine is not None
    met = meetings(project)
    places = motion.travel_at(met.ways / machine.motion.speed)
    distances = met.at(places)
    index = int(np.argmin(distances))
    when = float(met.ways[index]) / machine.motion.speed
    late = wait_steps(project, motion)[-1].result
    words = (
        f"where both start at once, {seconds(when).show()} later, on the coldest day; it would clear it "
        f"if it started {late.show()} after the door"
    )
    steps = (stated("d", float(distances[index]), units.LENGTH, words),)
    return _check(project, "opening", steps, meaning)


def _check(project: Project, subject: str, steps: tuple[Step, ...], meaning: str) -> Check:
    return Check(
        subject=subject,
        value=steps[-1].result.value,
        limit=LEAST,
        dimension=units.LENGTH,
        sense=Sense.AT_LEAST,
        method=BALANCE,
        limit_from=LIMIT,
        working=steps,
        levers=when_wanted(
            ask,
            project,
            subject,
            lambda: (
                _asked(),
                *((_farther_in(project), quicker(project)) if subject == "opening" else ()),
            ),
        ),
        meaning=meaning,
    )


def _asked() -> Pick:
    """The choice of a machine that starts only when it is sent."""
    words = "let the machine start only when the controller sends it, not by a timetable of its own"
    return Pick(
        words="a machine that asks first", options=(Option(words, {UNASKED: False}),), effort=Effort.SETTING
    )


def _farther_in(project: Project) -> Dial | None:
    """The lever of a machine that parks farther from the door."""
    machine = project.machine
    if machine is None or machine.parked is None:
        return None
    return Dial(
        path=("machine", "parked", "y"),
        dimension=units.LENGTH,
        lowest=machine.parked.y,
        highest=machine.parked.y + FARTHER_IN,
        words="park the machine's middle farther in, at y =",
        effort=Effort.SETTING,
        step=0.01,
    )


QUESTION = Question(
    key="door.departure",
    title="A machine that starts unasked against the leaf",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",), ("machine", "parked")),
    ask=ask,
)
