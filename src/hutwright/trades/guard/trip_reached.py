"""Whether the motor's current can reach the trip at all while the leaf is held fast."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.motor import Line, line
from hutwright.sources import MOTOR_EQUATIONS, Source, Standing
from hutwright.trades.guard.meeting import NEEDS, WEATHERS, bare
from hutwright.trades.guard.softening import DUTY_STEP, TRIP_STEP

AS_DESCRIBED = Source("the description itself", "controller.detection.trip", Standing.READ)
DIFFERENCE = 0.01  # between a slow stretch and the rest, for it to be one: a choice of this project [-]
LEAST_TRIP = 0.1  # A; below that any drive trips while it runs: common practice


def ask(project: Project) -> tuple[Check, ...]:
    """The current of the standing motor against the trip, over most of the travel and in the last stretch.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each share of full duty that the closing leaf really runs at.
    """
    if project.controller is None:
        return ()
    speed = project.controller.speed
    stretches = [("normal", speed.normal)]
    if speed.last_over > 0.0 and speed.last < speed.normal:
        stretches.append(("last", speed.last))
    drives = [(words, line(project, weather(project))) for words, weather in WEATHERS]
    weather, weakest = min(drives, key=lambda each: each[1].stall_current)
    return tuple(_check(project, weather, weakest, name, share) for name, share in stretches)


def _check(project: Project, weather: str, drive: Line, name: str, share: float) -> Check:
    assert project.controller is not None
    trip = project.controller.detection.trip
    standing = share * drive.voltage / (drive.constants.resistance + drive.series_resistance)
    step = Step(
        symbol="I_stand",
        formula="share * U / (R_motor + R_before)",
        numbers={
            "share": bare(share),
            "U": Number(drive.voltage, units.VOLTAGE),
            "R_motor": Number(drive.constants.resistance, units.RESISTANCE),
            "R_before": Number(drive.series_resistance, units.RESISTANCE),
        },
        result=Number(standing, units.CURRENT),
        words=f"what the motor draws while the leaf is held fast, {weather}; U is what the bridge leaves",
    )
    return Check(
        subject=name,
        value=standing,
        limit=trip,
        dimension=units.CURRENT,
        sense=Sense.AT_LEAST,
        method=MOTOR_EQUATIONS,
        limit_from=AS_DESCRIBED,
        working=(step,),
        levers=WhenWanted(lambda: _levers(project, name, trip)),
        meaning="Below the trip the controller never notices what it presses on, and presses until its "
        "run-time cap.",
    )


def _levers(project: Project, name: str, trip: float) -> tuple[Dial, ...]:
    assert project.controller is not None
    speed = project.controller.speed
    least = LEAST_TRIP if project.drive is None else project.drive.no_load.current
    lower = Dial(
        path=("controller", "detection", "trip"),
        dimension=units.CURRENT,
        lowest=min(least, trip),
        highest=trip,
        words="reverse at no more than",
        effort=Effort.SETTING,
        step=TRIP_STEP,
    )
    if name == "normal":
        path, low, high = ("controller", "speed", "normal"), speed.normal, 1.0
    else:
        path, low, high = ("controller", "speed", "last"), speed.last, speed.normal - DIFFERENCE
    if not low < high:
        return (lower,)
    quicker = Dial(
        path=path,
        dimension=units.RATIO,
        lowest=low,
        highest=high,
        words="run there at no less of full duty than",
        effort=Effort.SETTING,
        step=DUTY_STEP,
    )
    return lower, quicker


QUESTION = Question(
    key="guard.trip_reached",
    title="Current of the motor when something holds the leaf fast",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
