"""The motor's start as described: how high its current goes, how long it lasts, what it leaves at a node."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.laws.copper import winding_factor
from hutwright.laws.crossing import crossing
from hutwright.laws.hold_up import reservoir_voltage
from hutwright.laws.motor_start import peak_start_current, start_current, start_duration
from hutwright.model.project import Project
from hutwright.plant.circuit import MotorLoop, motor_loop

# A start counts as over once this share of the way from stall to running current is left: a choice of this
# project. [-]
SETTLED = 0.1
NEAR_STALL = 1.0 - 1e-9  # the law wants something to be left of the way [-]
LEAST_PART = 1e-6  # of the way: below that a start is over for any purpose [-]


@dataclass(frozen=True)
class MotorStart:
    """A motor switched on from rest under load.

    Attributes
    ----------
    loop : MotorLoop
        What stands in its way.
    inductance : float
        Of its winding. [H]
    time_constant : float
        Of rotor and load with the winding alone, at the winding's temperature. [s]
    running : float
        Current that carries the load. [A]
    """

    loop: MotorLoop
    inductance: float
    time_constant: float
    running: float

    @cached_property
    def peak(self) -> float:
        """Greatest current [A] on the way."""
        loop = self.loop
        return peak_start_current(
            loop.voltage,
            loop.total,
            self.inductance,
            loop.winding,
            self.time_constant,
            self.running,
            drop=loop.offset,
        )

    @property
    def way(self) -> float:
        """From running to stall current [A]; nothing for a rotor that cannot start."""
        return max(0.0, self.loop.stall_current - self.running)

    @property
    def share(self) -> float:
        """Share [-] of the way from running to stall current that the peak reaches; 1 for a rotor at rest."""
        return (self.peak - self.running) / self.way if self.way > 0.0 else 1.0

    @cached_property
    def duration(self) -> float:
        """Time [s] until the current is near the running one for good; infinite where the rotor stays put."""
        return self.settling(SETTLED)

    def settling(self, part: float) -> float:
        """Time until the current has fallen for good to a level above the running one.

        Parameters
        ----------
        part : float
            What is left of the way from stall to running current, above 0, below 1. [-]

        Returns
        -------
        float
            Since switching on; infinite where the rotor cannot start. [s]
        """
        loop = self.loop
        return start_duration(
            loop.voltage,
            loop.total,
            self.inductance,
            loop.winding,
            self.time_constant,
            self.running,
            settle=part,
            drop=loop.offset,
        )

    def above(self, current: float) -> float:
        """How long after switching on the current may still exceed a value.

        Parameters
        ----------
        current : float
            The value. [A]

        Returns
        -------
        float
            Nothing where it is never exceeded, infinite where the running current does. [s]
        """
        if current >= self.peak:
            return 0.0
        if current <= self.running or self.way == 0.0:
            return math.inf
        return self.settling(min((current - self.running) / self.way, NEAR_STALL))

    def current(self, time: ArrayLike) -> NDArray[np.float64]:
        """Current after switching on.

        Parameters
        ----------
        time : array_like, shape (...)
            Since switching on. [s]

        Returns
        -------
        numpy.ndarray, shape (...)
            Through the motor. [A]
        """
        loop = self.loop
        return start_current(
            time,
            loop.voltage,
            loop.total,
            self.inductance,
            loop.winding,
            self.time_constant,
            self.running,
            drop=loop.offset,
        )

    def node_voltage(self, time: ArrayLike, shared: float, load: float) -> NDArray[np.float64]:
        """Voltage at a node of the feed after switching on.

        Parameters
        ----------
        time : array_like, shape (...)
            Since switching on. [s]
        shared : float
            Resistance between supply and node that the motor's current passes too, supply included. [ohm]
        load : float
            What else is drawn there. [A]

        Returns
        -------
        numpy.ndarray, shape (...)
            At the node. [V]
        """
        return np.asarray(self.loop.voltage - shared * (self.current(time) + load))

    def kept(
        self, time: ArrayLike, shared: float, load: float, diode_drop: float, capacitance: float
    ) -> NDArray[np.float64]:
        """Voltage of a reservoir behind a diode at that node, after switching on.

        Parameters
        ----------
        time : array_like, shape (...)
            Since switching on. [s]
        shared : float
            Resistance between supply and node that the motor's current passes too. [ohm]
        load : float
            What is drawn from the reservoir. [A]
        diode_drop : float
            Forward voltage of the diode. [V]
        capacitance : float
            Of the reservoir, with its tolerance taken off. [F]

        Returns
        -------
        numpy.ndarray, shape (...)
            Of the reservoir: the higher of what it kept and what the node gives through the diode. [V]

        Notes
        -----
        Valid from the fall of the node until the reservoir meets it again, and while the node rises then.
        """
        times = np.asarray(time, dtype=np.float64)
        rest = self.loop.voltage - shared * load - diode_drop
        alone = np.array([reservoir_voltage(each, rest, load, capacitance) for each in times.ravel()])
        given = self.node_voltage(times, shared, load) - diode_drop
        return np.asarray(np.maximum(alone.reshape(times.shape), given), dtype=np.float64)


def motor_start(project: Project, temperature: float) -> MotorStart | None:
    """The start of the described motor at its rated load; None where its circuit is not described.

    Parameters
    ----------
    project : Project
        The project.
    temperature : float
        Of cables and winding. [K]

    Returns
    -------
    MotorStart or None
        The start.
    """
    loop = motor_loop(project, temperature)
    if loop is None or project.drive is None:
        return None
    motor = project.drive.motor
    # The time constant is J R / (K_t K_e), so it grows with the winding's resistance.
    grown = motor.time_constant * winding_factor(temperature)
    return MotorStart(loop, motor.inductance, grown, project.drive.rating.current)


def fall(start: MotorStart, shared: float) -> float:
    """Deepest fall [V] of a node that a start causes by itself.

    Parameters
    ----------
    start : MotorStart
        The start.
    shared : float
        Resistance between supply and node that the motor's current passes too. [ohm]
    """
    return shared * start.peak


def meeting(start: MotorStart, shared: float, load: float, capacitance: float) -> tuple[float, float]:
    """When a reservoir behind a diode meets the rising node again, and the motor's current then.

    Parameters
    ----------
    start : MotorStart
        The start.
    shared : float
        Resistance between supply and node that the motor's current passes too. [ohm]
    load : float
        What is drawn from the reservoir. [A]
    capacitance : float
        Of the reservoir, with its tolerance taken off, above zero. [F]

    Returns
    -------
    time : float
        Since switching on; infinite where the rotor cannot start. [s]
    current : float
        The motor's, for good no higher from then on. [A]

    Notes
    -----
    Where the reservoir falls as quickly as the node, the peak itself. Whatever time a search stops at bounds
    the fall from above, so that a verdict does not hang on its accuracy.
    """
    if start.way == 0.0:
        return math.inf, start.peak

    def gap(logarithm: float) -> tuple[float, float, float]:
        part = math.exp(logarithm)
        time, current = start.settling(part), start.running + part * start.way
        return load * time / capacitance - shared * current, time, current

    low, high = math.log(LEAST_PART), math.log(min(start.share, NEAR_STALL))
    left, right = gap(low), gap(high)
    if left[0] <= 0.0 or right[0] >= 0.0:
        return (left if left[0] <= 0.0 else right)[1:]
    return gap(crossing(lambda logarithm: gap(logarithm)[0], low, high))[1:]


def fall_behind_reservoir(
    start: MotorStart, shared: float, load: float, capacitance: float
) -> tuple[float, float, float]:
    """Most that a reservoir behind a diode can fall during a start.

    Parameters
    ----------
    start : MotorStart
        The start.
    shared : float
        Resistance between supply and node that the motor's current passes too. [ohm]
    load : float
        What is drawn from the reservoir. [A]
    capacitance : float
        Of the reservoir, with its tolerance taken off, above zero. [F]

    Returns
    -------
    fallen : float
        Below its voltage at rest, never more than the node itself falls. [V]
    time : float
        When it meets the node again. [s]
    current : float
        The motor's current then. [A]
    """
    time, current = meeting(start, shared, load, capacitance)
    return min(fall(start, shared), max(load * time / capacitance, shared * current)), time, current
