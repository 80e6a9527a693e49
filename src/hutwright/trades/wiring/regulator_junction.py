"""Heat of each regulator, in the warmest box and at the highest voltage."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.laws.junction_temperature import junction_temperature
from hutwright.model.circuit import Regulator
from hutwright.model.project import Project
from hutwright.plant.regulators import EntryFeed, FedRegulator, entry_feed, regulator_row
from hutwright.sources import THERMAL_CHAIN
from hutwright.trades.wiring.feeding import amperes, volts
from hutwright.trades.wiring.regulating import (
    bare,
    cooler,
    diode_drop,
    highest,
    less_load,
    made_of,
    other_kind,
    shared_heat,
    switching,
)

# A sink's own figure is seldom better than 20 %: common practice. [-]
SINK_SPREAD = 0.2
# Junction to air with the clip-on and screw-on sinks that are sold for small packages, the few K/W inside
# the package included: common practice. [K/W]
SINKS = (40.0, 30.0, 25.0, 20.0, 15.0, 10.0, 8.0)


def ask(project: Project) -> tuple[Check, ...]:
    """Junction of each regulator on the way to the board against the highest it stands.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each regulator that the board hangs on.
    """
    way, electronics = entry_feed(project, project.site.air.coldest), project.electronics
    if way is None or electronics is None:
        return ()
    found = []
    before = highest(way.supply)
    steps: tuple[Step, ...] = (before,)
    for fed in regulator_row(project):
        found.append(_check(project, way, fed, steps, electronics.warmest))
        steps = (*steps, made_of(project.regulators[fed.name], fed.name, steps[-1].result.value))
    return tuple(found)


def _check(
    project: Project, way: EntryFeed, fed: FedRegulator, before: tuple[Step, ...], warmest: float
) -> Check:
    regulator = project.regulators[fed.name]
    drop = diode_drop(regulator)
    into = Step(
        symbol="U_in",
        formula="U_before - U_diode",
        numbers={"U_before": volts(before[-1].result.value), "U_diode": volts(drop)},
        result=volts(before[-1].result.value - drop),
        words=f"the most that {fed.name} is fed with; what cables lose on the way is left out",
    )
    heat = _heat(regulator, fed, into.result.value)
    warm = Step(
        symbol="T_junction",
        formula="T_box + P * R_cooling",
        numbers={
            "T_box": Number(warmest, units.TEMPERATURE),
            "P": heat.result,
            "R_cooling": Number(regulator.cooling, units.THERMAL_RESISTANCE),
        },
        result=Number(junction_temperature(warmest, heat.result.value, regulator.cooling), units.TEMPERATURE),
        words="in the air of the box on the warmest day",
    )
    choices = (other_kind(project, fed.name, switching), shared_heat(project, fed.name))
    return Check(
        subject=fed.name,
        value=warm.result.value,
        limit=regulator.junction_limit,
        dimension=units.TEMPERATURE,
        sense=Sense.AT_MOST,
        method=THERMAL_CHAIN,
        limit_from=REGULATORS[regulator.kind].source,
        working=(*before, into, heat, warm),
        levers=(
            cooler(project, fed.name, SINKS),
            *(each for each in choices if each is not None),
            less_load(),
        ),
        accuracy=SINK_SPREAD * abs(warm.result.value - warmest),
        meaning=f"Above this {fed.name} switches itself off or dies, and what touches it gets hot.",
    )


def _heat(regulator: Regulator, fed: FedRegulator, voltage: float) -> Step:
    """The heat of a regulator: from the voltages of a linear one, from the efficiency of a switching one."""
    numbers = {
        "U_in": volts(voltage),
        "U_out": volts(regulator.output),
        "I": amperes(fed.load),
        "I_own": amperes(regulator.quiescent),
    }
    own = voltage * regulator.quiescent
    if regulator.efficiency >= 1.0:
        formula = "max(0, U_in - U_out) * I + U_in * I_own"
        heat = max(0.0, voltage - regulator.output) * fed.load + own
        words = "a linear regulator burns what it does not let through"
    else:
        formula = "U_out * I * (1 / efficiency - 1) + U_in * I_own"
        heat = regulator.output * fed.load * (1.0 / regulator.efficiency - 1.0) + own
        numbers["efficiency"] = bare(regulator.efficiency)
        words = "what a switching regulator loses"
    return Step(symbol="P", formula=formula, numbers=numbers, result=Number(heat, units.POWER), words=words)


QUESTION = Question(
    key="wiring.regulator_junction",
    title="Heat of the regulator",
    concern=Concern.SAFETY,
    needs=(("supplies",), ("regulators",), ("electronics", "logic")),
    ask=ask,
)
