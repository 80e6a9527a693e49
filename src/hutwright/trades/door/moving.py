"""What several questions of the door show of a move: place, load, arm, force and speed, each as a step."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from hutwright import units
from hutwright.checks.shown import shown
from hutwright.checks.step import Number, Step
from hutwright.layout.linkage import is_direct
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.conditions import Conditions, coldest_worst
from hutwright.plant.loads import loads
from hutwright.plant.motion import Motion, duty_at, move
from hutwright.plant.motor import line
from hutwright.plant.swept import rod_span
from hutwright.plant.travel import travel
from hutwright.sources import Source, Standing
from hutwright.units import Dimension

BALANCE = Source(
    "elementary physics", "balance of all that acts on the leaf, place by place", Standing.DERIVED
)
GEOMETRY = Source("elementary geometry", "straight-sided bodies over the travel", Standing.DERIVED)
STROKE_SLACK = 1e-9  # rod lengths within a nanometre agree [m]
HUNDRED_NEWTONS = 100.0  # lines are printed as what each 100 N takes [N]
TEN_MILLIMETRES = 0.01  # and as the voltage that each 10 mm/s wants [m/s]


def metres(value: float) -> Number:
    """A length put into a step."""
    return Number(value, units.LENGTH)


def newtons(value: float) -> Number:
    """A force put into a step."""
    return Number(value, units.FORCE)


def seconds(value: float) -> Number:
    """A time put into a step."""
    return Number(value, units.TIME)


def speed(value: float) -> Number:
    """A speed put into a step."""
    return Number(value, units.SPEED)


def practice(what: str) -> Source:
    """A limit of common practice."""
    return Source("common practice of the trade", what, Standing.PRACTICE)


def where(project: Project, place: float) -> str:
    """A place of the travel in words."""
    over = travel(project)
    return _where(place, over.full, hinged=over.hinged)


@lru_cache(maxsize=1024)
def _where(place: float, full: float, *, hinged: bool) -> str:
    if place <= 0.0:
        return "with the leaf shut"
    if place >= full:
        return "with the leaf open"
    return f"with the leaf {shown(place, units.ANGLE if hinged else units.LENGTH)} from shut"


def stated(symbol: str, value: float, dimension: Dimension, words: str) -> Step:
    """A step that only states a value and says in words where it comes from."""
    number = Number(value, dimension)
    return Step(
        symbol=symbol,
        formula=f"{symbol}_found",
        numbers={f"{symbol}_found": number},
        result=number,
        words=words,
    )


def obstacle_to_moving(project: Project) -> str | None:
    """Why a whole move cannot be worked out, in words; None where it can."""
    if travel(project).dead.any():
        return "the linkage passes a dead centre, where no force moves the leaf; see door.dead_centre"
    if reach_left(project) < -STROKE_SLACK:
        return "the drive's stroke does not reach over the whole travel; see door.linkage_reach"
    return None


def reach_left(project: Project) -> float:
    """What the stroke has to spare at the nearer end; infinite where no length is described [m]."""
    drive = project.drive
    if drive is None or drive.length is None:
        return math.inf
    if is_direct(project):
        return drive.length.stroke - travel(project).full
    span, shortest = rod_span(project), drive.length.shortest
    return min(shortest + drive.length.stroke - span.greatest, span.least - shortest)


def worst_move(project: Project, *, opening: bool) -> Motion | None:
    """The whole move on the coldest day with gust, ice and snow against it; None where there is no such move.

    Parameters
    ----------
    project : Project
        The project.
    opening : bool
        Whether the leaf opens; else it closes.
    """
    return _worst_opening(project) if opening else _worst_closing(project)


@once_a_project
def _worst_opening(project: Project) -> Motion | None:
    if obstacle_to_moving(project) is not None:
        return None
    return move(project, coldest_worst(project, opening=True), opening=True)


@once_a_project
def _worst_closing(project: Project) -> Motion | None:
    if obstacle_to_moving(project) is not None:
        return None
    return move(project, coldest_worst(project, opening=False), opening=False)


# ---- the force at a place ---------------------------------------------------------------------------------


def force_steps(project: Project, conditions: Conditions, *, opening: bool, index: int) -> tuple[Step, Step]:
    """The load at a place, part by part, and the force that it takes there.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether the leaf opens; else it closes.
    index : int
        Which of the travel's places. [-]
    """
    over = travel(project)
    parts = loads(project, conditions, opening=opening).parts()
    unit = units.TORQUE if over.hinged else units.FORCE
    symbol = "M" if over.hinged else "P"
    shown_parts = {f"{symbol}_{name}": Number(float(values[index]), unit) for name, values in parts.items()}
    load = _summed(shown_parts)
    adds = " + ".join(shown_parts)
    place = where(project, float(over.places[index]))
    about = "moment about the hinge" if over.hinged else "force along the track"
    first = Step(
        symbol=symbol,
        formula=adds,
        numbers=shown_parts,
        result=Number(load, unit),
        words=f"{about} that the drive must give towards open, {place}",
    )
    arm = abs(float(over.arm[index]))
    turned = load if opening else -load
    second = Step(
        symbol="F",
        formula=f"{symbol} / r" if opening else f"-{symbol} / r",
        numbers={
            symbol: first.result,
            "r": metres(arm) if over.hinged else Number(arm, units.RATIO),
        },
        result=newtons(first.result.value / arm if opening else -first.result.value / arm),
        words="along the drive, with its arm at that place"
        if turned >= 0.0
        else "below zero: the load helps",
    )
    return first, second


def _summed(numbers: dict[str, Number]) -> float:
    """In the order of the formula, so that it recomputes to the last digit."""
    found = 0.0
    for position, number in enumerate(numbers.values()):
        found = number.value if position == 0 else found + number.value
    return found


# ---- the time of a move -----------------------------------------------------------------------------------


def time_steps(
    project: Project, conditions: Conditions, motion: Motion, *, duty: float | None = None
) -> tuple[Step, ...]:
    """Where the move is hardest, how fast it is there, and how long it takes in all.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    motion : Motion
        The move.
    duty : float or None
        That it runs at all the way; None for that of the place. [-]
    """
    over = travel(project)
    index = int(np.argmax(motion.rod_force))
    force = float(motion.rod_force[index])
    steps: list[Step] = list(force_steps(project, conditions, opening=motion.opening, index=index))
    if force >= 0.0:
        if duty is None:
            duty = duty_at(project, float(over.edge_way[index]), opening=motion.opening)
        steps += _speed_steps(project, conditions, duty, steps[-1].result.value)
    way = float(np.abs(np.diff(over.rod_length)).sum())
    if math.isfinite(motion.total):
        mean = way / motion.total
        steps.append(
            Step(
                symbol="t",
                formula="s / v_mean",
                numbers={"s": metres(way), "v_mean": speed(mean)},
                result=seconds(way / mean),
                words="the rod's way over its mean speed, reckoned from place to place",
            )
        )
    else:
        words = f"the drive stalls {where(project, motion.stalls_at or 0.0)}"
        steps.append(stated("t", motion.total, units.TIME, words))
    return tuple(steps)


def _speed_steps(project: Project, conditions: Conditions, duty: float, force: float) -> tuple[Step, Step]:
    drive = line(project, conditions, duty=duty)
    constants = drive.constants
    per_hundred = HUNDRED_NEWTONS / constants.force_constant
    current = constants.friction_current + per_hundred * force / HUNDRED_NEWTONS
    per_ten = constants.constant * TEN_MILLIMETRES
    before = constants.resistance + drive.series_resistance
    found = max(0.0, drive.voltage - before * current) * TEN_MILLIMETRES / per_ten
    first = Step(
        symbol="I",
        formula="I_free + I_100 * F / F_100",
        numbers={
            "I_free": Number(constants.friction_current, units.CURRENT),
            "I_100": Number(per_hundred, units.CURRENT),
            "F": newtons(force),
            "F_100": newtons(HUNDRED_NEWTONS),
        },
        result=Number(current, units.CURRENT),
        words="what the motor wants for that force; I_100 is what each 100 N adds",
    )
    second = Step(
        symbol="v",
        formula="max(0, U - R * I) * v_10 / U_10",
        numbers={
            "U": Number(drive.voltage, units.VOLTAGE),
            "R": Number(before, units.RESISTANCE),
            "I": first.result,
            "v_10": speed(TEN_MILLIMETRES),
            "U_10": Number(per_ten, units.VOLTAGE),
        },
        result=speed(found),
        words="of the rod there, behind cables and bridge; U_10 is what each 10 mm/s wants; 0 is a stall",
    )
    return first, second
