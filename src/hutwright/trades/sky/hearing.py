"""What the questions about the sky share: who is heard, in whole satellites, and what the method leaves open.

A count is a whole number, because the method is no better than one satellite; the least and the most that
its accuracy allows are worked out beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Doubt, Sense
from hutwright.checks.lever import Dial, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.errors import RequestError
from hutwright.model.machine import StartRule
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.sky.inside import FLOOR_DB, State, loss_db
from hutwright.plant.sky.readiness import (
    Flags,
    accuracy,
    counted,
    day,
    doubt_db,
    enough_share,
    heard,
    ready_share,
)
from hutwright.sources import FIELD_INSIDE, Source, Standing
from hutwright.trades.sky.bettering import better
from hutwright.units import NUMBER, Dimension

NEEDS: tuple[Keys, ...] = (
    ("site", "place"),
    ("hut",),
    ("machine", "parked"),
    ("machine", "antenna"),
    ("machine", "receiver"),
    ("machine", "start_rule"),
)
# What moves the antenna or the skin takes a new field table
DEAR: tuple[Keys, ...] = (("machine", "parked"), ("machine", "antenna"), ("hut",), ("openings",), ("door",))
START_RULE = Source("the description itself", "machine.start_rule", Standing.READ)
WORST_DILUTION = 99.0  # stands for no position at all: ours to choose [-]
# What tells more than the integral does
BETTER = "a full-wave solution, or readings of the machine's display in sky.csv"
ONE = 1.0  # satellite: a mean count is no better than that, however sure the levels are: ours to choose
Working = tuple[tuple[Step, ...], tuple[float, float]]
Levers = Callable[[], Sequence[Dial | Pick]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """What a value is held against.

    Attributes
    ----------
    limit : float
        The limit. [dimension]
    limit_from : Source
        Where it comes from.
    meaning : str
        One sentence for the builder.
    dimension : Dimension
        What kind of quantity it is.
    sense : Sense
        On which side the value must stay.
    subject : str
        The thing it is about; "" where there is only one.
    """

    limit: float
    limit_from: Source
    meaning: str
    dimension: Dimension = NUMBER
    sense: Sense = Sense.AT_LEAST
    subject: str = ""


def held_to(held: Held, working: Callable[[], Working], levers: Levers) -> Check:
    """A check of a value whose working may turn out to be impossible.

    Parameters
    ----------
    held : Held
        What it is held against.
    working : Callable
        Gives the steps, the last of which is the value, and the least and the most that the method's
        accuracy allows.
    levers : Callable
        Finds what would change it.
    """
    doubt: Doubt | None
    try:
        steps, (low, high) = working()
        doubt = Doubt(low=low, high=high, settled_by=BETTER)
    except RequestError as error:
        steps, doubt = (stated("n", math.nan, held.dimension, str(error)),), None
    return Check(
        subject=held.subject,
        value=steps[-1].result.value,
        limit=held.limit,
        dimension=held.dimension,
        sense=held.sense,
        method=FIELD_INSIDE,
        limit_from=held.limit_from,
        working=steps,
        levers=WhenWanted(levers),
        doubt=doubt,
        meaning=held.meaning,
    )


def left_open(steps: tuple[Step, ...], *, least_width: float = 0.0) -> Working:
    """A working whose last step is the value, after two with the ends that the method's accuracy allows.

    Parameters
    ----------
    steps : tuple
        The steps.
    least_width : float
        How far each end is from the value at least. [the value's]
    """
    *_, one, other, last = (step.result.value for step in steps)
    return steps, (min(one, other, last - least_width), max(one, other, last + least_width))


def stated(symbol: str, value: float, dimension: Dimension, words: str) -> Step:
    """A step that only states a value and says in words where it comes from."""
    number, name = Number(value, dimension), f"{symbol}_found"
    return Step(symbol=symbol, formula=name, numbers={name: number}, result=number, words=words)


def difference(symbol: str, numbers: dict[str, float], dimension: Dimension, words: str) -> Step:
    """A step that takes all numbers but the first off the first."""
    first, *others = numbers.values()
    for each in others:
        first = first - each
    return Step(
        symbol=symbol,
        formula=" - ".join(numbers),
        numbers={name: Number(value, dimension) for name, value in numbers.items()},
        result=Number(first, dimension),
        words=words,
    )


def whole(count: float) -> float:
    """The nearest whole number of satellites [-]."""
    return math.floor(count + 0.5)


def wanted(project: Project) -> StartRule | None:
    """The rule by which the machine starts; None where it is not described."""
    return None if project.machine is None else project.machine.start_rule


# ---- steps ------------------------------------------------------------------------------------------------


def level_steps(project: Project, state: State) -> tuple[Step, Step]:
    """What antenna and hut may take of a satellite's level, and what the hut takes of the middle one."""
    machine = project.machine
    assert machine is not None
    assert machine.receiver is not None
    receiver = machine.receiver
    room = Step(
        symbol="room",
        formula="C_overhead / C_least",
        numbers={
            "C_overhead": Number(receiver.overhead, units.CARRIER_TO_NOISE),
            "C_least": Number(receiver.threshold, units.CARRIER_TO_NOISE),
        },
        result=Number(receiver.overhead / receiver.threshold, units.GAIN),
        words="what the antenna's own pattern and the hut may take together",
    )
    over = day(project)
    losses = over.inside.of(loss_db(project, state))[over.clear]
    middle = float(np.median(losses)) if losses.size else FLOOR_DB
    bound = "; below that the method says nothing" if middle <= FLOOR_DB else ""
    words = f"what the hut leaves of the satellite in the middle of all that are in view{bound}"
    return room, stated("leaves", 10.0 ** (middle / 10.0), units.GAIN, words)


def count_steps(project: Project, state: State) -> tuple[Step, ...]:
    """How many are heard on average: the most and the least that the accuracy allows, and as worked out."""
    least, most = doubt_db(project, state)
    words = accuracy(project, state).words
    return (
        *level_steps(project, state),
        _count_step(project, state, most, "n_most", f"the most that is likely; {words}"),
        _count_step(project, state, least, "n_least", f"the least that is likely; {words}"),
        _count_step(project, state, 0.0, "n", "on average over a day of the constellations as planned"),
    )


def _count_step(project: Project, state: State, louder_db: float, symbol: str, words: str) -> Step:
    found = heard(project, state, louder_db)
    up, heard_ = whole(found.up), whole(found.up - found.hidden - found.weak)
    hidden = min(whole(found.hidden), up - heard_)
    numbers = {"n_sky": up, "n_hidden": hidden, "n_weak": up - hidden - heard_}
    return difference(symbol, numbers, NUMBER, words)


def mean_count(flags: Flags) -> float:
    """How many satellites there are on average, a whole number [-]."""
    return whole(float(flags.sum(axis=1).mean()))


def ready_steps(project: Project, state: State) -> Working:
    """The share of the day in which the machine could start, and how far the method may be off.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    """
    least, most = doubt_db(project, state)
    known = accuracy(project, state).words
    count = mean_count(counted(project, state))
    both = "" if project.roof_antenna is None else ", by machine and roof antenna both"
    steps = (
        *level_steps(project, state),
        stated("n", count, NUMBER, f"satellites heard on average{both}"),
        _share_step(project, state, most, "t_most", f"the most that is likely; {known}"),
        _share_step(project, state, least, "t_least", f"the least that is likely; {known}"),
        _share_step(project, state, 0.0, "t", "share of the day in which it could start"),
    )
    return left_open(steps)


def _share_step(project: Project, state: State, louder_db: float, symbol: str, words: str) -> Step:
    enough, ready = enough_share(project, state, louder_db), ready_share(project, state, louder_db)
    numbers = {"t_enough": enough, "t_bunched": enough - ready}
    return difference(symbol, numbers, units.RATIO, words)


def ready_checks(project: Project, state: State, meaning: str) -> tuple[Check, ...]:
    """The share of the day in which the machine could start, against the one that it must be able to.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    meaning : str
        One sentence for the builder.
    """
    rule, shared = wanted(project), project.roof_antenna is not None
    if rule is None:
        return ()
    held = Held(limit=rule.share_of_day, limit_from=START_RULE, meaning=meaning, dimension=units.RATIO)
    return (
        held_to(held, lambda: ready_steps(project, state), lambda: better(project, state, shared=shared)),
    )
