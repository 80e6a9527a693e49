"""Snow that has drifted before a hinged leaf, and the force that it takes to push it away."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.laws.snow import SIDE_PRESSURE_RATIO
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import drift, loads
from hutwright.plant.travel import travel
from hutwright.sources import SNOW_BEFORE_DOOR
from hutwright.trades.door.exerting import LISTING
from hutwright.trades.door.moving import metres, newtons, stated
from hutwright.trades.door.turning import cleared_snow, less_ice, stronger, when_wanted

HARDEST = SIDE_PRESSURE_RATIO[-1]  # of a leaf that presses the snow together [-]


def ask(project: Project) -> tuple[Check, ...]:
    """Force along the drive that breaks the leaf out of ice and pressed snow, against the drive's rating.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none for a leaf that goes along the wall.
    """
    door, drive = project.door, project.drive
    if door is None or project.linkage is None or drive is None or not door.kind.hinged:
        return ()
    return (
        Check(
            value=(steps := _steps(project))[-1].result.value,
            limit=drive.rating.force,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=SNOW_BEFORE_DOOR,
            limit_from=LISTING,
            working=steps,
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    cleared_snow(project),
                    less_ice(project),
                    stronger(project),
                ),
            ),
            meaning="Above this the snow keeps the door shut. What pressed snow withstands is known roughly.",
        ),
    )


def _steps(project: Project) -> tuple[Step, ...]:
    over = travel(project)
    if over.dead[0]:
        words = "the rod stands at a dead centre with the leaf shut; see door.dead_centre"
        return (stated("F", math.nan, units.FORCE, words),)
    snow = drift(project, ratio=HARDEST)
    still = loads(project, Conditions(project.site.air.coldest, ice=True), opening=True)
    parts = {"gravity": still.gravity, "friction": still.friction, "ice": still.ice}
    numbers = {f"M_{name}": Number(float(values[0]), units.TORQUE) for name, values in parts.items()}
    numbers["M_snow"] = Number(snow.load, units.TORQUE)
    total = numbers["M_gravity"].value + numbers["M_friction"].value
    total = total + numbers["M_ice"].value + snow.load
    arm = abs(float(over.arm[0]))
    lever = snow.load / snow.force if snow.force > 0.0 else 0.0
    return (
        Step(
            symbol="M_snow",
            formula="S * a",
            numbers={"S": newtons(snow.force), "a": metres(lever)},
            result=Number(snow.force * lever, units.TORQUE),
            words=f"snow {metres(snow.depth).show()} deep at the leaf, pressed to {HARDEST:g} times its own "
            "weight, about the hinge",
        ),
        Step(
            symbol="M",
            formula=" + ".join(numbers),
            numbers=numbers,
            result=Number(total, units.TORQUE),
            words="moment to open the shut leaf on the coldest day, with ice at its edge and no wind",
        ),
        Step(
            symbol="F",
            formula="M / r",
            numbers={"M": Number(total, units.TORQUE), "r": metres(arm)},
            result=newtons(total / arm),
            words="along the drive, with its arm at shut",
        ),
    )


QUESTION = Question(
    key="door.drift",
    title="Force that opens the door against drifted snow",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
