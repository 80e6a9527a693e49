"""Whether a fuse bears the current of a start."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.laws.fuse_time import opening_time
from hutwright.model.project import Project
from hutwright.plant.circuit import MotorLoop, motor_loop, winding_resistance
from hutwright.plant.protection import drive_fuses, logic_draw
from hutwright.sources import FUSE_CURVE, MOTOR_EQUATIONS
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.trades.wiring.fusing import all_gates, other_kind, other_rating
from hutwright.units import NUMBER

SETTLED = (
    0.1  # a start is over when a tenth of the way from stall to running is left: a choice of this project
)
LONG = 3600.0  # beside a start as good as for ever: a choice of this project [s]
TWENTY_DEGREES = 293.15  # temperature to which the motor's values belong [K]


def ask(project: Project) -> tuple[Check, ...]:
    """The soonest that a fuse may open at the start current against how long that current lasts.

    The start is replaced by a rectangle of its peak with the same heating integral. No pulse below that peak
    with that integral heats a fuse more: heat put in early has had time to leak away. Inductance lowers the
    peak and leaves the integral as it is, so it is left out.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each fuse in the motor's way.
    """
    loop = motor_loop(project, project.site.air.coldest)
    if loop is None or project.drive is None:
        return ()
    return tuple(_check(project, name, loop) for name in drive_fuses(project))


def _check(project: Project, name: str, loop: MotorLoop) -> Check:
    assert project.drive is not None
    fuse, drive, logic = project.fuses[name], project.drive, logic_draw(project)
    beside = 0.0
    if logic is not None and any(project.cables[cable].fuse == name for cable in logic[0].cables):
        beside = logic[1]
    start, running = loop.stall_current + beside, drive.rating.current + beside
    at_20 = winding_resistance(drive, TWENTY_DEGREES)
    constant = drive.motor.time_constant * loop.total / at_20
    lasts = _heat(start, running, constant) / (start * start) if start > running else math.inf
    gates = all_gates(fuse)
    known = start > running and bool(gates)
    opening = opening_time(gates, start / fuse.rating)[0] if known else math.nan
    peak = Step(
        symbol="I_start",
        formula="(U_supply - U_bridge) / R_loop + I_logic",
        numbers={
            "U_supply": volts(loop.voltage),
            "U_bridge": volts(loop.offset),
            "R_loop": ohms(loop.total),
            "I_logic": amperes(beside),
        },
        result=amperes(start),
        words="through the fuse when the motor is switched on, on the coldest day",
    )
    lasting = _lasting(start, running, constant, drive.motor.time_constant, loop.total, at_20)
    offers = (other_rating(project, name, rising=True), other_kind(project, name))
    return Check(
        subject=name,
        value=min(LONG, opening) if known else math.nan,
        limit=lasts,
        dimension=units.TIME,
        sense=Sense.AT_LEAST,
        method=FUSE_CURVE,
        limit_from=MOTOR_EQUATIONS,
        working=(peak, *lasting, *_opening(name, fuse.rating, start, opening)) if known else (peak,),
        levers=tuple(each for each in offers if each is not None),
        meaning="A fuse that is too small or too quick blows at the start of a move with nothing wrong.",
    )


def _opening(name: str, rating: float, start: float, soonest: float) -> tuple[Step, Step]:
    """How far the start is above the rating, and the soonest that the fuse may open then."""
    return (
        Step(
            symbol="m",
            formula="I_start / I_n",
            numbers={"I_start": amperes(start), "I_n": amperes(rating)},
            result=Number(start / rating, NUMBER),
            words=f"times the rating of {name}",
        ),
        Step(
            symbol="t_fuse",
            formula="min(t_long, t_printed)",
            numbers={"t_printed": Number(soonest, units.TIME), "t_long": Number(LONG, units.TIME)},
            result=Number(min(LONG, soonest), units.TIME),
            words="the soonest that its standard lets it open; beside a start an hour is as good as for ever",
        ),
    )


def _heat(start: float, running: float, constant: float) -> float:
    """Heating integral of the current that decays from start to running, until the start is over, in A2 s."""
    above = start - running
    return constant * (
        above * above * (1.0 - SETTLED * SETTLED) / 2.0
        + 2.0 * running * above * (1.0 - SETTLED)
        + running * running * -math.log(SETTLED)
    )


def _lasting(
    start: float, running: float, constant: float, own: float, total: float, winding: float
) -> tuple[Step, Step, Step]:
    heat = _heat(start, running, constant)
    return (
        Step(
            symbol="t_c",
            formula="t_motor * R_loop / R_20",
            numbers={"t_motor": Number(own, units.TIME), "R_loop": ohms(total), "R_20": ohms(winding)},
            result=Number(constant, units.TIME),
            words="how fast the start current decays with all that stands in the motor's way",
        ),
        Step(
            symbol="I2t",
            formula="t_c * ((I_start - I_run)**2 * (1 - q**2) / 2 + 2 * I_run * (I_start - I_run) * (1 - q)"
            " - I_run**2 * ln(q))",
            numbers={
                "t_c": Number(constant, units.TIME),
                "I_start": amperes(start),
                "I_run": amperes(running),
                "q": Number(SETTLED, NUMBER),
            },
            result=Number(heat, units.MELTING_INTEGRAL),
            words="heat of the decaying current until a tenth of the way to running at rated load is left",
        ),
        Step(
            symbol="t_start",
            formula="I2t / I_start**2",
            numbers={"I2t": Number(heat, units.MELTING_INTEGRAL), "I_start": amperes(start)},
            result=Number(heat / (start * start), units.TIME),
            words="how long its peak would have to last for the same heat: the limit",
        ),
    )


QUESTION = Question(
    key="wiring.fuse_inrush",
    title="Fuse against the current of a start",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("cables",), ("fuses",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
