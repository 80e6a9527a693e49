"""What share of the motor's current the sensor sees while the door moves slowly."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.sensors import SENSORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.circuit import CurrentSensor, SensorPlace
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.sensing import SENSOR, in_place

LEAST = 0.95  # of the motor's current; common practice of the trade: an error within that of the sensor [-]
RIPPLE = 0.01  # common practice of the trade: what current ripple adds to the mean of a small motor [-]
PRACTICE = Source("common practice of the trade", "motor current seen to within 5 %", Standing.PRACTICE)
CHOPPED = Source("elementary physics", "mean current before a chopping bridge", Standing.DERIVED)


def ask(project: Project) -> tuple[Check, ...]:
    """Share of the motor's current at the sensor, at the slowest speed, against nearly all.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where sensor or controller is not described.
    """
    sensor = project.electronics.current_sensor if project.electronics is not None else None
    if sensor is None or project.controller is None:
        return ()
    slowest = project.controller.speed.last
    if sensor.place is SensorPlace.MOTOR_LEAD:
        value = 1.0
        step = Step(
            symbol="s_seen",
            formula="1",
            numbers={},
            result=Number(value, units.RATIO),
            words="in the motor's lead it sees all of the motor's current at every speed",
        )
    else:
        value = slowest
        step = Step(
            symbol="s_seen",
            formula="d_slowest",
            numbers={"d_slowest": Number(slowest, units.RATIO)},
            result=Number(value, units.RATIO),
            words="in the supply's lead it sees only the share of the time that the bridge conducts",
        )
    return (
        Check(
            value=value,
            limit=LEAST,
            dimension=units.RATIO,
            sense=Sense.AT_LEAST,
            method=CHOPPED,
            limit_from=PRACTICE,
            working=(step,),
            accuracy=RIPPLE,
            levers=() if sensor.place is SensorPlace.MOTOR_LEAD else (_in_motor_lead(sensor),),
            meaning=(
                "In the supply's lead an obstacle shows too little current just where the door moves slowly "
                "to be gentle."
            ),
        ),
    )


def _in_motor_lead(sensor: CurrentSensor) -> Pick:
    """The sensor moved to the motor's lead, and one for both directions where the present one is not."""
    move: dict[Keys, object] = {(*SENSOR, "place"): SensorPlace.MOTOR_LEAD.value}
    words = "move the current sensor into one of the motor's leads"
    if SENSORS[sensor.kind].both_ways:
        options: tuple[Option, ...] = (Option(words, move),)
    else:
        both = sorted((kind for kind in SENSORS.values() if kind.both_ways), key=lambda kind: kind.range)
        enough = [kind for kind in both if kind.range >= sensor.range] or both[-1:]
        swaps = [in_place(kind.name) for kind in enough]
        where = "into one of the motor's leads"
        options = tuple(Option(f"{each.words} {where}", {**each.changes, **move}) for each in swaps)
    return Pick(words="the sensor in the motor's lead", options=options, effort=Effort.REWIRE)


QUESTION = Question(
    key="wiring.sensor_place",
    title="Share of the motor's current that the sensor sees at the slowest speed",
    concern=Concern.SAFETY,
    needs=(("electronics", "current_sensor"), ("controller",)),
    ask=ask,
)
