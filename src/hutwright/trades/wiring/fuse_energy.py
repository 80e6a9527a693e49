"""Heat that a short circuit puts into a cable before the fuse opens."""

from __future__ import annotations

import math
from dataclasses import replace

from hutwright import units
from hutwright.catalogue.cores import CORES
from hutwright.catalogue.fuses import FUSES
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick
from hutwright.checks.step import Number, Step
from hutwright.laws.adiabatic import LONGEST_TIME, PVC_COPPER_CONSTANT, withstand_integral
from hutwright.laws.fuse_let_through import heat_at, let_through
from hutwright.laws.fuse_time import Gate
from hutwright.model.project import Project
from hutwright.plant.protection import ShortCircuit, guarded, short_circuit
from hutwright.sources import ADIABATIC, FUSE_CURVE
from hutwright.trades.wiring.feeding import amperes
from hutwright.trades.wiring.fuse_cable import short_step
from hutwright.trades.wiring.fusing import (
    carries,
    duty,
    firm_gates,
    other_kind,
    other_rating,
    stouter_together,
)
from hutwright.units import NUMBER


def ask(project: Project) -> tuple[Check, ...]:
    """The integral that each fuse lets through against the one its cables stand.

    The short circuit lies at the far end of a cable: nearer the fuse more current flows, and the fuse lets
    through no more for it. Both the coldest and the warmest conductors are tried, for more current and a
    slower fuse both may hurt.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each fuse behind which a short circuit is more than the cables carry for ever.
    """
    found = []
    for name in project.fuses:
        cases = [
            _check(project, name, cable, short, when)
            for cable in guarded(project, name)
            for temperature, when in _days(project)
            if (short := short_circuit(project, cable, temperature)) is not None
            and short.current > carries(project, cable)
        ]
        if cases:
            worst = min(cases, key=lambda check: -math.inf if math.isnan(check.margin) else check.margin)
            found.append(replace(worst, levers=_levers(project, name)))
    return tuple(found)


def _days(project: Project) -> tuple[tuple[float, str], ...]:
    air = project.site.air
    return (air.coldest, "on the coldest day"), (air.warmest, "on the warmest day")


def _check(project: Project, name: str, cable: str, short: ShortCircuit, when: str) -> Check:
    fuse, area = project.fuses[name], CORES[project.cables[cable].core].area
    gates, current = firm_gates(fuse), short.current
    heat = let_through(gates, fuse.rating, current) if gates else math.nan
    able = duty(project, (cable,)).breaks(FUSES[fuse.kind], fuse.rating)
    reached = able and heat <= LONGEST_TIME * current * current
    limit = withstand_integral(area)
    multiple = Step(
        symbol="m",
        formula="I_short / I_n",
        numbers={"I_short": amperes(current), "I_n": amperes(fuse.rating)},
        result=Number(current / fuse.rating, NUMBER),
        words=f"times the rating of {name}"
        if able
        else f"times the rating of {name}; more than it can break",
    )
    withstand = Step(
        symbol="k2S2",
        formula="(k * S)**2",
        numbers={"k": Number(PVC_COPPER_CONSTANT, NUMBER), "S": Number(area, units.AREA)},
        result=Number(limit, units.MELTING_INTEGRAL),
        words=f"what the {cable} cable stands once, k in A s^0.5 per square metre: the limit",
    )
    steps = (withstand, short_step(short, cable, when), multiple)
    return Check(
        subject=name,
        value=heat if reached else math.nan,
        limit=limit,
        dimension=units.MELTING_INTEGRAL,
        sense=Sense.AT_MOST,
        method=FUSE_CURVE,
        limit_from=ADIABATIC,
        working=(*steps, _through(gates, fuse.rating, current, heat)) if reached else steps,
        meaning="More than this softens the insulation before the fuse opens; it is unknown where nothing "
        "promises that the fuse opens within 5 s, or that it can break the current at all.",
    )


def _through(gates: tuple[Gate, ...], rating: float, current: float, heat: float) -> Step:
    """The last line: by the printed point that promises least heat, or by a time between two points."""
    at = next(
        (gate for gate in gates if gate.multiple * rating <= current and heat_at(gate, rating) == heat), None
    )
    result = Number(heat, units.MELTING_INTEGRAL)
    if at is None:
        time = Number(heat / (current * current), units.TIME)
        words = "what the fuse lets through if it is as slow as its standard allows"
        numbers = {"I_short": amperes(current), "t_open": time}
        return Step(symbol="I2t", formula="I_short**2 * t_open", numbers=numbers, result=result, words=words)
    numbers = {
        "t_printed": Number(at.longest, units.TIME),
        "m_printed": Number(at.multiple, NUMBER),
        "I_n": amperes(rating),
    }
    words = "what the slowest fuse of its standard lets through there; more current lets through no more heat"
    formula = "t_printed * (m_printed * I_n)**2"
    return Step(symbol="I2t", formula=formula, numbers=numbers, result=result, words=words)


def _levers(project: Project, name: str) -> tuple[Dial | Pick, ...]:
    cables = guarded(project, name)
    found = (
        other_rating(project, name, rising=False),
        other_kind(project, name),
        stouter_together(project, cables),
    )
    return tuple(each for each in found if each is not None)


QUESTION = Question(
    key="wiring.fuse_energy",
    title="Heat in a cable until the fuse opens on a short circuit",
    concern=Concern.SAFETY,
    needs=(("supplies",), ("cables",), ("fuses",)),
    ask=ask,
)
