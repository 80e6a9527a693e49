"""The most current that the drive draws on its way, on any day, and how to say so."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.motor import Line
from hutwright.trades.drive.running import (
    Way,
    amperes,
    current_numbers,
    current_of,
    days,
    dead_step,
    force_step,
    ways,
)


def greatest(project: Project) -> tuple[float, tuple[Step, ...]] | None:
    """The most current on either way, and the working that ends in it; NaN where the rod has no arm.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple or None
        Current [A] and steps; None where the travel cannot be worked out.
    """
    return _greatest(project)


@once_a_project
def _greatest(project: Project) -> tuple[float, tuple[Step, ...]] | None:
    found = ways(project)
    if not found:
        return None
    dead = found[0].dead
    if dead is not None:
        return math.nan, (dead_step(found[0], dead),)
    way, index = max((_most(project, each) for each in found), key=lambda each: each[2])[:2]
    force = float(way.force[index])
    at = days(project, slow=bool(way.slow[index])).named()
    steps = tuple(_step(symbol, day, drive, force) for symbol, day, drive in at)
    most = max(each.result.value for each in steps)
    last = Step(
        symbol="I_most",
        formula="max(I_cold, I_20, I_warm)",
        numbers={each.symbol: each.result for each in steps},
        result=amperes(most),
        words="the most of the three: cold grease asks for more, a warm magnet gives less for each ampere",
    )
    return most, (force_step(way, index), *steps, last)


def _most(project: Project, way: Way) -> tuple[Way, int, float]:
    """The place of the way at which most current flows, on whichever day that is."""
    normal, last = (
        np.max([drive.current(way.force) for _, _, drive in days(project, slow=slow).named()], axis=0)
        for slow in (False, True)
    )
    current = way.at_duty(normal, last)
    index = int(np.argmax(current))
    return way, index, float(current[index])


def _step(symbol: str, day: str, drive: Line, force: float) -> Step:
    numbers = current_numbers(drive, force)
    loop = drive.constants.resistance + drive.series_resistance
    return Step(
        symbol=f"I_{symbol}",
        formula="min(U / R, i_0 + i_100 * F_rod / F_100)",
        numbers={
            "U": Number(drive.voltage, units.VOLTAGE),
            "R": Number(loop, units.RESISTANCE),
            **numbers,
        },
        result=amperes(min(drive.voltage / loop, current_of(numbers))),
        words=f"what the motor draws there {day}; never more than held fast",
    )
