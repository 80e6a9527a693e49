"""How long the reservoir carries the board while the motor starts."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick
from hutwright.checks.step import Number, Step
from hutwright.laws.hold_up import constant_current_time, constant_power_time
from hutwright.model.circuit import Regulator
from hutwright.model.project import Project
from hutwright.plant.regulators import FedRegulator, entry_feed, regulator_row
from hutwright.plant.start import motor_start
from hutwright.sources import HOLD_UP, MOTOR_EQUATIONS
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.trades.wiring.regulating import (
    LEFT_OF_CAPACITOR,
    at_entry,
    bare,
    farads,
    holds_up,
    larger_reservoir,
    least_input,
    less_load,
    may_fall,
    other_kind,
)


def ask(project: Project) -> tuple[Check, ...]:
    """Time that the reservoir lasts against the time that a start keeps its feed too low.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a reservoir behind a diode, or where motor and board hang on different supplies.
    """
    row = regulator_row(project)
    if not row or not holds_up(project.regulators[row[0].name]):
        return ()
    air = project.site.air
    moments = [each for each in (_moment(project, row, t) for t in (air.coldest, air.warmest)) if each]
    if not moments:
        return ()
    first, regulator = row[0], project.regulators[row[0].name]
    moment = max(moments, key=lambda each: each.down)
    drop = regulator.diode_drop
    rest, least, allowed = moment.rest, moment.least, moment.allowed
    stands = Step(
        symbol="I_allowed",
        formula="U_allowed / R_shared",
        numbers={"U_allowed": allowed.result, "R_shared": ohms(moment.shared)},
        result=amperes(allowed.result.value / moment.shared),
        words="while the motor draws more than this, the reservoir carries the board alone",
    )
    full = Step(
        symbol="U_full",
        formula="U_rest - U_diode",
        numbers={"U_rest": rest.result, "U_diode": volts(drop)},
        result=volts(rest.result.value - drop),
        words="what the reservoir holds before the start",
    )
    empty = Step(
        symbol="U_empty",
        formula="U_least - U_diode",
        numbers={"U_least": least[-1].result, "U_diode": volts(drop)},
        result=volts(least[-1].result.value - drop),
        words="what it may fall to while the board still keeps its voltage",
    )
    kept = Step(
        symbol="C",
        formula="C_reservoir * left",
        numbers={"C_reservoir": farads(regulator.reservoir), "left": bare(LEFT_OF_CAPACITOR)},
        result=farads(LEFT_OF_CAPACITOR * regulator.reservoir),
        words="what its tolerance may leave of it",
    )
    lasts = _lasts(regulator, first, full.result, empty.result, kept.result)
    return (
        Check(
            value=lasts[-1].result.value,
            limit=moment.down,
            dimension=units.TIME,
            sense=Sense.AT_LEAST,
            method=HOLD_UP,
            limit_from=MOTOR_EQUATIONS,
            working=(rest, *least, allowed, stands, full, empty, kept, *lasts),
            levers=_levers(project, first.name),
            meaning="So long the reservoir alone keeps the board's voltage while a start pulls it down.",
        ),
    )


@dataclass(frozen=True, slots=True)
class Moment:
    """A start at one temperature, and how far and how long it pulls down what feeds the board."""

    rest: Step
    least: tuple[Step, ...]
    allowed: Step
    shared: float  # resistance that motor and board share [ohm]
    down: float  # how long the feed stands too low for the board [s]


def _moment(project: Project, row: tuple[FedRegulator, ...], temperature: float) -> Moment | None:
    way, start = entry_feed(project, temperature), motor_start(project, temperature)
    if way is None or start is None or not way.shared > 0.0:
        return None
    rest = at_entry(way, 0.0, row[0].taken, "where the first regulator is fed while the motor rests")
    least = least_input(project, row)
    allowed = may_fall(rest, least[-1])
    return Moment(rest, least, allowed, way.shared, start.above(allowed.result.value / way.shared))


def _lasts(
    regulator: Regulator, first: FedRegulator, full: Number, empty: Number, kept: Number
) -> tuple[Step, ...]:
    numbers = {"C": kept, "U_full": full, "U_empty": empty}
    if regulator.efficiency >= 1.0:
        time = constant_current_time(kept.value, full.value, empty.value, first.taken)
        words = "a linear regulator draws the same current all the while"
        formula = "C * max(0, U_full - U_empty) / I"
        numbers |= {"I": amperes(first.taken)}
        return (
            Step(symbol="t", formula=formula, numbers=numbers, result=Number(time, units.TIME), words=words),
        )
    power = regulator.output * first.load / regulator.efficiency + full.value * regulator.quiescent
    draws = Step(
        symbol="P",
        formula="U_out * I / efficiency + U_full * I_own",
        numbers={
            "U_out": volts(regulator.output),
            "I": amperes(first.load),
            "efficiency": bare(regulator.efficiency),
            "U_full": full,
            "I_own": amperes(regulator.quiescent),
        },
        result=Number(power, units.POWER),
        words="a switching regulator draws the same power all the while",
    )
    time = constant_power_time(kept.value, full.value, empty.value, power)
    carries = Step(
        symbol="t",
        formula="C * max(0, U_full - U_empty) * (U_full + U_empty) / (2 * P)",
        numbers={**numbers, "P": draws.result},
        result=Number(time, units.TIME),
        words="so long it carries the board",
    )
    return (draws, carries)


def _levers(project: Project, name: str) -> tuple[Dial | Pick, ...]:
    dropout = project.regulators[name].dropout
    kind = other_kind(project, name, lambda each: each.dropout.nominal < dropout)
    return (larger_reservoir(name), *((kind,) if kind is not None else ()), less_load())


QUESTION = Question(
    key="wiring.hold_up",
    title="How long the reservoir carries the board while the motor starts",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("regulators",), ("drive",), ("electronics", "bridge"), ("electronics", "logic")),
    ask=ask,
)
