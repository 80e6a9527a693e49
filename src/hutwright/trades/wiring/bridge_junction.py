"""How hot the bridge gets while the drive runs at its rating."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.bridges import BRIDGES
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.laws.junction_temperature import junction_temperature
from hutwright.model.circuit import BRIDGE, Bridge
from hutwright.model.project import Project
from hutwright.plant.circuit import bridge_drop, feed
from hutwright.sources import THERMAL_CHAIN
from hutwright.trades.wiring.bridge_choice import choices, limits_source
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.units import NUMBER

# From junction to air with heat sinks that can be bought, junction to case included; standing: practice.
COOLINGS = (20.0, 14.0, 10.0, 7.0, 5.0, 3.5)
LEAST_SINK = 0.5  # case to sink, greased: the least that practice gives [K/W]
WORST_COOLING = 100.0  # of a bare chip in still air: a choice of this project [K/W]
SINK_ACCURACY = 0.2  # law of the thermal chain: a sink's own figure is seldom better


def ask(project: Project) -> tuple[Check, ...]:
    """Junction temperature in the box's warmest air, as though the drive ran without end.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a drive or a bridge that a supply feeds.
    """
    electronics, drive, fed = project.electronics, project.drive, feed(project, BRIDGE)
    if electronics is None or electronics.bridge is None or drive is None or fed is None:
        return ()
    bridge, rated, voltage = electronics.bridge, drive.rating.current, project.supplies[fed.supply].voltage
    steps = _working(bridge, rated, voltage, electronics.warmest)
    power, hot = steps[1].result.value, steps[2].result.value
    sink = Dial(
        path=("electronics", "bridge", "cooling"),
        dimension=units.THERMAL_RESISTANCE,
        lowest=BRIDGES[bridge.kind].junction_case + LEAST_SINK,
        highest=max(WORST_COOLING, bridge.cooling),
        words="cool the bridge, from junction to air, with no more than",
        effort=Effort.BUY_SMALL,
        sizes=COOLINGS,
    )
    return (
        Check(
            value=hot,
            limit=bridge.junction_limit,
            dimension=units.TEMPERATURE,
            sense=Sense.AT_MOST,
            method=THERMAL_CHAIN,
            limit_from=limits_source(bridge),
            working=steps,
            levers=WhenWanted(lambda: (sink, *choices(project, bridge))),
            accuracy=SINK_ACCURACY * power * bridge.cooling,
            meaning="Above this the bridge switches off or burns; short runs with long pauses heat it less.",
        ),
    )


def _working(bridge: Bridge, rated: float, voltage: float, air: float) -> tuple[Step, Step, Step]:
    """The drop, the heat and the temperature."""
    drop = bridge_drop(bridge, rated)
    power = drop * rated + voltage * bridge.quiescent
    hot = junction_temperature(air, power, bridge.cooling)
    return (
        Step(
            symbol="U_bridge",
            formula="U_0 + R_channel * I_rated / n",
            numbers={
                "U_0": volts(bridge.offset),
                "R_channel": ohms(bridge.resistance),
                "I_rated": amperes(rated),
                "n": Number(bridge.paralleled, NUMBER),
            },
            result=volts(drop),
            words="what the bridge takes from the voltage at the drive's rated current",
        ),
        Step(
            symbol="P",
            formula="U_bridge * I_rated + U_supply * I_own",
            numbers={
                "U_bridge": volts(drop),
                "I_rated": amperes(rated),
                "U_supply": volts(voltage),
                "I_own": amperes(bridge.quiescent),
            },
            result=Number(power, units.POWER),
            words="heat in the bridge",
        ),
        Step(
            symbol="T_j",
            formula="T_box + P * R_air",
            numbers={
                "T_box": Number(air, units.TEMPERATURE),
                "P": Number(power, units.POWER),
                "R_air": Number(bridge.cooling, units.THERMAL_RESISTANCE),
            },
            result=Number(hot, units.TEMPERATURE),
            words="in the box's air on the warmest day, as though the drive ran without end",
        ),
    )


QUESTION = Question(
    key="wiring.bridge_junction",
    title="Temperature inside the bridge",
    concern=Concern.SAFETY,
    needs=(("supplies",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
