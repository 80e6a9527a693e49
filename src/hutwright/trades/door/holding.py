"""What the drive must hold without current in the gale of fifty years, with the leaf shut and open."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.holding import peak_pressure
from hutwright.plant.loads import loads, wind_load
from hutwright.plant.travel import travel
from hutwright.sources import EN_1991_1_4_SIGNBOARD, EN_1991_1_4_WALLS, Source, Standing
from hutwright.trades.door.moving import metres, newtons, stated
from hutwright.trades.door.turning import Worth, force_worth, pins, when_wanted

LISTING = Source("the drive as described", "drive.holding", Standing.READ)
# What self-locking drives, brakes and stays hold; standing: practice.
HOLDS = (500.0, 750.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0, 6000.0)
SHUT, OPENED = "shut", "opened"


def ask(project: Project) -> tuple[Check, ...]:
    """Force along the drive against what it holds; friction is not counted on.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for the shut leaf and one for the open one.
    """
    if project.door is None or project.linkage is None or project.drive is None:
        return ()
    return (_check(project, SHUT), _check(project, OPENED))


def _check(project: Project, subject: str) -> Check:
    drive = project.drive
    assert drive is not None
    index = 0 if subject == SHUT else -1
    steps = _steps(project, subject, index)
    return Check(
        subject=subject,
        value=steps[-1].result.value,
        limit=drive.holding,
        dimension=units.FORCE,
        sense=Sense.AT_MOST,
        method=EN_1991_1_4_WALLS if subject == SHUT else EN_1991_1_4_SIGNBOARD,
        limit_from=LISTING,
        working=steps,
        levers=when_wanted(ask, project, subject, lambda: _levers(project, index, steps[-1].result.value)),
        meaning="Above this the gale draws the shut leaf open."
        if subject == SHUT
        else "Above this the gale slams the open leaf, with nothing to stop it.",
    )


def _levers(project: Project, index: int, force: float) -> tuple[Dial, ...]:
    drive, over = project.drive, travel(project)
    assert drive is not None
    holds = Dial(
        path=("drive", "holding"),
        dimension=units.FORCE,
        lowest=1.0,
        highest=max(HOLDS[-1], drive.holding),
        words="take a drive, or add a stay, that holds without current at least",
        effort=Effort.BUY_LARGE,
        sizes=HOLDS,
    )
    if not over.hinged:
        return (holds,)
    load = np.full(len(over.places), force * abs(float(over.arm[index])))
    return (holds, *pins(project, _at(index, force_worth(load, drive.holding))))


def _steps(project: Project, subject: str, index: int) -> tuple[Step, ...]:
    over, peak = travel(project), peak_pressure(project)
    gravity = float(loads(project, Conditions(0.0), opening=True).gravity[index])
    arm = abs(float(over.arm[index]))
    unit, symbol = (units.TORQUE, "M") if over.hinged else (units.FORCE, "P")
    if over.dead[index]:
        words = "the rod stands at a dead centre, where what it holds cannot be told; see door.dead_centre"
        return (stated("F", math.nan, units.FORCE, words),)
    pressure = stated(
        "q_peak", peak, units.PRESSURE, "velocity pressure of the gust that comes once in 50 years"
    )
    out = float(wind_load(project, -peak)[index]) if over.hinged else 0.0
    into = float(wind_load(project, peak)[index]) if over.hinged else 0.0
    g, w, p = (f"{symbol}_{name}" for name in ("gravity", "out", "in"))
    numbers = {g: Number(gravity, unit), w: Number(out, unit)}
    if subject == SHUT:
        load = Step(
            symbol=symbol,
            formula=f"max(0, -({g} + {w}))",
            numbers=numbers,
            result=Number(max(0.0, -(gravity + out)), unit),
            words="towards open, with the wind at q_peak drawing at the shut leaf"
            if over.hinged
            else "towards open; wind square to the track adds nothing along it",
        )
    else:
        load = Step(
            symbol=symbol,
            formula=f"max(abs({g} + {w}), abs({g} + {p}))",
            numbers={**numbers, p: Number(into, unit)},
            result=Number(max(abs(gravity + out), abs(gravity + into)), unit),
            words="with the wind at q_peak on the open leaf, from the worse side"
            if over.hinged
            else "wind square to the track adds nothing along it",
        )
    force = Step(
        symbol="F",
        formula=f"{symbol} / r",
        numbers={symbol: load.result, "r": metres(arm) if over.hinged else Number(arm, units.RATIO)},
        result=newtons(load.result.value / arm),
        words="along the drive, without current",
    )
    return (pressure, load, force)


def _at(index: int, worth: Worth) -> Worth:
    """Worth of a pin's place by what it takes at one place of the travel only."""

    def one(lengths: Floats, arms: Floats) -> Floats:
        return worth(lengths, np.repeat(arms[:, [index]], arms.shape[1], axis=1))

    return one


QUESTION = Question(
    key="door.holding",
    title="What the drive holds without current in a gale",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
