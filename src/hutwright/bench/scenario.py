"""A rehearsal's scenario: what happens, what must come of it, and whether it did.

What must come of it is declared beside the scenario, before anything runs: the states in which the door may
end, the faults it may report, why it may have done what it did last, and limits of what is measured on the
way. The promises of the controller's commands always count, whatever was declared.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

import numpy as np

from hutwright import units
from hutwright.checks.check import Sense
from hutwright.native.words import Broken, Counter, Ended, Fault, Mode, Why
from hutwright.sources import Source
from hutwright.units import NUMBER, Dimension

if TYPE_CHECKING:
    from hutwright.bench.stage import Stage

Record = Any  # one numpy record with the layout of a C struct
NO_FORCE = 1e-6  # less than that is none: a choice of this project [N]
TRIPS = (Counter.RESIDUAL, Counter.RISE, Counter.BACKSTOP, Counter.EDGE)


class Family(Enum):
    """What a scenario is about; the value heads its part of a table."""

    FREE = "Moving freely"
    OBSTACLE = "Something in the way"
    COMMAND = "Commands"
    MACHINE = "The machine in the doorway"
    SUPPLY = "Supply"
    ENDS = "Ends of the travel"
    SENSOR = "Current sensor"
    DRIVE = "Bridge, mount and ice"


class Quantity(Enum):
    """What can be bounded: the value is its name for people."""

    PEAK = "peak force"
    LASTING = "time above 150 N"
    PRESSING = "time above 25 N"
    REST = "force 5 s after contact"
    REVERSAL = "time from contact to moving back"
    OPENING = "time of opening"
    CLOSING = "time of closing"
    TRIPS = "reversals"
    STARTS = "moves begun"
    PLACE = "share of the travel left to open"
    SPEED = "speed of the leaf at the end"

    @property
    def dimension(self) -> Dimension:
        """What kind of quantity it is."""
        return _DIMENSIONS.get(self, NUMBER)

    def of(self, result: Record, door: Record) -> float:
        """Its value in a run [dimension]: infinite where it never ended, NaN where it did not arise."""
        return float(_VALUES[self](result, door))


_DIMENSIONS: dict[Quantity, Dimension] = {
    Quantity.PEAK: units.FORCE,
    Quantity.REST: units.FORCE,
    **dict.fromkeys((Quantity.LASTING, Quantity.PRESSING, Quantity.REVERSAL), units.TIME),
    **dict.fromkeys((Quantity.OPENING, Quantity.CLOSING), units.TIME),
    Quantity.SPEED: units.SPEED,
}


def _force(value: float) -> float:
    """A force that is nothing where an instrument's memory is all that is left of it."""
    return 0.0 if value <= NO_FORCE else value  # what is no number stays none


def _reversal(result: Record) -> float:
    """From contact until the edge moves back; NaN where the leaf met nothing, so that it never counts."""
    if result["contact_time"] < 0.0:
        return math.nan
    back = float(result["back_time"])
    return back - float(result["contact_time"]) if back >= 0.0 else math.inf


def _taken(time: float) -> float:
    return time if time >= 0.0 else math.inf


_VALUES: dict[Quantity, Callable[[Record, Record], float]] = {
    Quantity.PEAK: lambda result, _: _force(result["peak_seen"]),
    Quantity.LASTING: lambda result, _: result["above_150"],
    Quantity.PRESSING: lambda result, _: result["above_25"],
    Quantity.REST: lambda result, _: _force(result["at_5s"]),
    Quantity.REVERSAL: lambda result, _: _reversal(result),
    Quantity.OPENING: lambda result, _: _taken(result["open_time"]),
    Quantity.CLOSING: lambda result, _: _taken(result["close_time"]),
    Quantity.TRIPS: lambda result, _: sum(int(result["counters"][each]) for each in TRIPS),
    Quantity.STARTS: lambda result, _: int(result["counters"][Counter.STARTS]),
    Quantity.PLACE: lambda result, door: 1.0 - result["end_q"] / door["full"],
    Quantity.SPEED: lambda result, door: abs(result["end_rate"]) * door["edge_radius"],
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Bound:
    """A limit of something that is measured in a run.

    Attributes
    ----------
    quantity : Quantity
        What is bounded.
    limit : float
        The limit. [dimension of the quantity]
    source : Source
        Where it comes from.
    sense : Sense
        On which side of it the value must stay.
    """

    quantity: Quantity
    limit: float
    source: Source
    sense: Sense = Sense.AT_MOST

    def margin(self, value: float) -> float:
        """How far a value [dimension] is on the good side [dimension]."""
        return self.limit - value if self.sense is Sense.AT_MOST else value - self.limit

    def kept(self, value: float) -> bool:
        """Whether a value [dimension] keeps it; one that is not known never does."""
        return self.margin(value) >= 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Expected:
    """What must come of a scenario, declared before it runs.

    Attributes
    ----------
    words : str
        The same for people, without a full stop.
    modes : frozenset
        States in which the door may end.
    faults : frozenset
        Faults that it may report at the end.
    whys : frozenset
        Why it may have done what it did last; anything where empty.
    bounds : tuple
        Limits of what is measured on the way.
    source : Source
        Where the states and faults come from.
    """

    words: str
    modes: frozenset[Mode]
    faults: frozenset[Fault] = frozenset({Fault.WELL})
    whys: frozenset[Why] = frozenset()
    bounds: tuple[Bound, ...] = ()
    source: Source


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Prepared:
    """One run that is ready to be made.

    Attributes
    ----------
    words : str
        In what circumstances, such as the weather; "" where there is but one.
    door : Record
        The simulated door.
    settings : Record
        The controller's settings, sealed.
    events : Record
        What happens, and when: the simulation's scenario.
    """

    words: str
    door: Record
    settings: Record
    events: Record


@dataclass(frozen=True, kw_only=True, slots=True)
class Scenario:
    """One scenario of a rehearsal.

    Attributes
    ----------
    key : str
        Its address: the family and a name.
    family : Family
        What it is about.
    title : str
        What happens, for people.
    tells : str
        One sentence for the builder: what it is good for to know.
    expects : Callable
        From the stage to what must come of it.
    make : Callable
        From the stage to the runs that are ready to be made; none where the scenario does not arise there.
    follows : str
        Key of a milder one: what does not help that does not help this; "" where there is none.
    """

    key: str
    family: Family
    title: str
    tells: str
    expects: Callable[[Stage], Expected]
    make: Callable[[Stage], tuple[Prepared, ...]]
    follows: str = ""


def of_family(
    prefix: str, family: Family
) -> Callable[
    [str, str, str, Callable[[Stage], Expected], Callable[[Stage], tuple[Prepared, ...]]], Scenario
]:
    """What makes the scenarios of a family, from name, title, what it tells, what it expects, and its runs.

    Parameters
    ----------
    prefix : str
        What their keys begin with.
    family : Family
        The family.
    """

    def made(
        name: str,
        title: str,
        tells: str,
        expects: Callable[[Stage], Expected],
        make: Callable[[Stage], tuple[Prepared, ...]],
    ) -> Scenario:
        key = f"{prefix}.{name}"
        return Scenario(key=key, family=family, title=title, tells=tells, expects=expects, make=make)

    return made


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What came of one bound in one run.

    Attributes
    ----------
    bound : Bound
        The bound.
    value : float
        What was measured; NaN where it did not arise. [dimension of the quantity]
    """

    bound: Bound
    value: float

    @property
    def margin(self) -> float:
        """How far on the good side [dimension of the quantity]."""
        return self.bound.margin(self.value)

    @property
    def kept(self) -> bool:
        """Whether the bound is kept."""
        return self.bound.kept(self.value)

    @property
    def badness(self) -> float:
        """For sorting: above zero where the bound is not kept, as a share of the limit."""
        if math.isnan(self.value):
            return math.inf
        return -self.margin / (abs(self.bound.limit) or 1.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Judgement:
    """What came of one run, held against what was declared.

    Attributes
    ----------
    mode : Mode
        State at the end.
    fault : Fault
        Fault at the end.
    why : Why
        Why the controller did what it did last.
    broken : Broken
        Promises of the commands that were broken.
    finite : bool
        Whether the simulated state stayed within any sense.
    as_declared : bool
        Whether state, fault and reason are among those declared.
    readings : tuple
        Every bound with its value.
    """

    mode: Mode
    fault: Fault
    why: Why
    broken: Broken
    finite: bool
    as_declared: bool
    readings: tuple[Reading, ...]

    @property
    def met(self) -> bool:
        """Whether all that was declared came about, and no promise was broken."""
        kept = all(reading.kept for reading in self.readings)
        return self.finite and self.as_declared and not self.broken and kept

    @property
    def badness(self) -> tuple[bool, float]:
        """For sorting: what went wrong beyond any number first, then the worst bound."""
        beyond = not (self.finite and self.as_declared) or bool(self.broken)
        return beyond, max((reading.badness for reading in self.readings), default=-math.inf)


def judge(expected: Expected, result: Record, door: Record) -> Judgement:
    """Hold what came of a run against what was declared.

    Parameters
    ----------
    expected : Expected
        What was declared.
    result : Record
        The simulation's result.
    door : Record
        The door that it was made with.

    Returns
    -------
    Judgement
        Met or not, with every bound's value.
    """
    mode, fault = Mode(int(result["end_mode"])), Fault(int(result["end_fault"]))
    why = Why(int(result["end_why"]))
    declared = mode in expected.modes and fault in expected.faults
    finite = int(result["ended_early"]) != Ended.SENSELESS and bool(np.isfinite(result["end_q"]))
    return Judgement(
        mode=mode,
        fault=fault,
        why=why,
        broken=Broken(int(result["broken"])),
        finite=finite,
        as_declared=declared and (not expected.whys or why in expected.whys),
        readings=tuple(
            Reading(bound=bound, value=bound.quantity.of(result, door)) for bound in expected.bounds
        ),
    )
