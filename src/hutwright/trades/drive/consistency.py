"""Whether the numbers of the drive's listing agree with each other."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.model.drive import Drive
from hutwright.model.project import Project
from hutwright.sources import MOTOR_EQUATIONS, MOTOR_PARAMETERS, Source, Standing
from hutwright.trades.drive.running import amperes, newtons
from hutwright.units import NUMBER

ENERGY = Source("elementary physics", "no drive gives more work than it takes", Standing.DERIVED)
APART = 1.5  # listings round, and stall currents are measured warm or behind leads; standing: practice
LISTING_PRACTICE = Source(
    "common practice of the trade", "listings of small drives, rounded", Standing.PRACTICE
)

_CONTRADICTION = (
    "Above 1 the listing promises more than is possible: ask the seller, or measure force, speed "
    "and current yourself."
)
_DOUBT = (
    "Where a listing contradicts itself, speed and force under load are as doubtful as "
    "its numbers: measure free running, full load and stall before buying fuse and bridge for it."
)


def ask(project: Project) -> tuple[Check, ...]:
    """The load's share of the motor's work, and the stall current against the line of the other two points.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        Two: efficiency and stall.
    """
    return () if project.drive is None else (_efficiency(project.drive), _stall(project.drive))


def _efficiency(drive: Drive) -> Check:
    rating, free = drive.rating, drive.no_load
    more = rating.current - free.current
    if not more > 0.0:
        return _unsaid("efficiency", 1.0, ENERGY, _same_current(drive), _CONTRADICTION)
    back = (free.speed * rating.current - rating.speed * free.current) / more
    value = rating.force * back / (rating.voltage * more)
    steps = (
        Step(
            symbol="v_0",
            formula="(v_free * I_rated - v_rated * I_free) / (I_rated - I_free)",
            numbers=_points(drive),
            result=Number(back, units.SPEED),
            words="how fast it would run without any friction of its own, on the straight line through both "
            "points of the listing",
        ),
        Step(
            symbol="q",
            formula="F_rated * v_0 / (U_rated * (I_rated - I_free))",
            numbers={
                "F_rated": newtons(rating.force),
                "v_0": Number(back, units.SPEED),
                "U_rated": Number(rating.voltage, units.VOLTAGE),
                "I_rated": amperes(rating.current),
                "I_free": amperes(free.current),
            },
            result=Number(value, NUMBER),
            words="work at the rod for each unit of work that the load's part of the current does",
        ),
    )
    weaker = Dial(
        path=("drive", "rating", "force"),
        dimension=units.FORCE,
        lowest=1.0,
        highest=max(1.0, rating.force),
        words="count on a rated force of no more than",
        effort=Effort.SETTING,
        step=5.0,
    )
    return Check(
        subject="efficiency",
        value=value,
        limit=1.0,
        dimension=NUMBER,
        sense=Sense.AT_MOST,
        method=MOTOR_EQUATIONS,
        limit_from=ENERGY,
        working=steps,
        levers=(weaker,),
        meaning=_CONTRADICTION,
    )


def _points(drive: Drive) -> dict[str, Number]:
    return {
        "v_free": Number(drive.no_load.speed, units.SPEED),
        "I_rated": amperes(drive.rating.current),
        "v_rated": Number(drive.rating.speed, units.SPEED),
        "I_free": amperes(drive.no_load.current),
    }


def _stall(drive: Drive) -> Check:
    rating, free, listed = drive.rating, drive.no_load, drive.stall.current
    slower = free.speed - rating.speed
    if not slower > 0.0:
        return _unsaid("stall", APART, LISTING_PRACTICE, _same_speed(drive), _DOUBT)
    cross = free.speed * rating.current - rating.speed * free.current
    on_line = cross / slower
    value = max(listed / on_line, on_line / listed)
    steps = (
        Step(
            symbol="I_line",
            formula="(v_free * I_rated - v_rated * I_free) / (v_free - v_rated)",
            numbers=_points(drive),
            result=amperes(on_line),
            words="where the straight line of free running and full load comes to rest",
        ),
        Step(
            symbol="q",
            formula="max(I_stall / I_line, I_line / I_stall)",
            numbers={"I_stall": amperes(listed), "I_line": amperes(on_line)},
            result=Number(value, NUMBER),
            words="how many times that and the stall current of the listing are apart, either way",
        ),
    )
    measured = Dial(
        path=("drive", "stall", "current"),
        dimension=units.CURRENT,
        lowest=min(listed, on_line),
        highest=max(listed, on_line),
        words="measure the stall current; the other numbers agree with it from",
        effort=Effort.SETTING,
    )
    return Check(
        subject="stall",
        value=value,
        limit=APART,
        dimension=NUMBER,
        sense=Sense.AT_MOST,
        method=MOTOR_PARAMETERS,
        limit_from=LISTING_PRACTICE,
        working=steps,
        levers=(measured,),
        meaning=_DOUBT,
    )


def _same_current(drive: Drive) -> Step:
    more = amperes(drive.rating.current - drive.no_load.current)
    points = _points(drive)
    return Step(
        symbol="I_load",
        formula="I_rated - I_free",
        numbers={each: points[each] for each in ("I_rated", "I_free")},
        result=more,
        words="the listing has one current for running free and for full load, so that nothing is left for "
        "the load; one of the two is wrong",
    )


def _same_speed(drive: Drive) -> Step:
    slower = Number(drive.no_load.speed - drive.rating.speed, units.SPEED)
    points = _points(drive)
    return Step(
        symbol="v_lost",
        formula="v_free - v_rated",
        numbers={each: points[each] for each in ("v_free", "v_rated")},
        result=slower,
        words="the listing has one speed for running free and for full load, so that no line leads to a "
        "stall; one of the two is wrong",
    )


def _unsaid(subject: str, limit: float, source: Source, step: Step, meaning: str) -> Check:
    """A check that the listing's two points do not allow."""
    return Check(
        subject=subject,
        value=math.nan,
        limit=limit,
        dimension=NUMBER,
        sense=Sense.AT_MOST,
        method=MOTOR_EQUATIONS,
        limit_from=source,
        working=(step,),
        meaning=meaning,
    )


QUESTION = Question(
    key="drive.consistency",
    title="Numbers of the listing against each other",
    concern=Concern.COMFORT,
    needs=(("drive",),),
    ask=ask,
)
