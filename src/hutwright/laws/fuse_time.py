"""When a fuse opens, from the few points that its standard prints, and what pulses it stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

# Fuse maker's selection guide, pulse endurance, pulses 10 s apart: number of pulses, share of the melting
# integral; standing: read.
PULSE_ENDURANCE = ((100.0, 0.48), (1_000.0, 0.38), (10_000.0, 0.29), (100_000.0, 0.22))


class Gate(NamedTuple):
    """One printed point of a fuse's time and current.

    Attributes
    ----------
    multiple : float
        Current as a multiple of the rating. [-]
    shortest : float
        Least time to open, 0 where none is printed. [s]
    longest : float
        Greatest time to open, infinite where none is printed. [s]
    """

    multiple: float
    shortest: float
    longest: float


def opening_time(gates: Sequence[Gate], multiple: float) -> tuple[float, float]:
    r"""Bounds on the time to open at a multiple of the rating.

    .. math:: t_{short} = \min\left(t_1, t_2 (m_2 / m)^2\right), \quad
        \ln t_{long} \text{ straight over } \ln m

    Parameters
    ----------
    gates : sequence of Gate
        Printed points, multiples rising.
    multiple : float
        Current as a multiple of the rating. [-]

    Returns
    -------
    shortest : float
        No fuse that meets the gates opens sooner. [s]
    longest : float
        No such fuse opens later; infinite where nothing promises that it opens. [s]

    Raises
    ------
    ValueError
        If there are no gates, or their multiples do not rise.

    Notes
    -----
    Valid for the printed gates in air near 23 degC; between them only as bounds. The lower bound uses
    that the melting integral never grows with the current; a straight line in the logarithms would promise
    too much, because the curves sag below it. For the same reason that line is safe as the upper bound.
    Above the last gate the lower bound goes on falling with the square, and the upper bound stays. A current
    error of 2.5 % moves the time by 15 % or more near 1.5 to 2.75 times the rating.

    References
    ----------
    .. [1] IEC 60127-2, sheets 2, 3 and 5: the gates. Standing: second-hand.
    .. [2] elementary physics, melting integral never grows with the current. Standing: derived here.

    Examples
    --------
    >>> glass = (Gate(2.1, 0.0, 120.0), Gate(2.75, 0.6, 10.0), Gate(4.0, 0.15, 3.0))
    >>> opening_time(glass, 4.0)
    (0.15, 3.0)
    >>> [round(time, 2) for time in opening_time(glass, 3.3)]
    [0.22, 5.57]
    """
    _refuse_disorder(gates)
    if math.isnan(multiple):
        return math.nan, math.nan
    if multiple <= 0.0:
        return math.inf, math.inf
    return _shortest_time(gates, multiple), _longest_time(gates, multiple)


def _shortest_time(gates: Sequence[Gate], multiple: float) -> float:
    """The lower bound: the next printed gate's integral, capped by the one before."""
    before: Gate | None = None
    for gate in gates:
        if gate.shortest <= 0.0:
            continue
        if gate.multiple >= multiple:
            bound = gate.shortest * (gate.multiple / multiple) ** 2
            return bound if before is None else min(before.shortest, bound)
        before = gate
    return 0.0 if before is None else before.shortest * (before.multiple / multiple) ** 2


def _longest_time(gates: Sequence[Gate], multiple: float) -> float:
    """The upper bound: straight in the logarithms between two gates that print one."""
    before: Gate | None = None
    for gate in gates:
        if gate.longest == math.inf:
            continue
        if gate.multiple == multiple:
            return gate.longest
        if gate.multiple > multiple:
            return math.inf if before is None else _on_the_line(before, gate, multiple)
        before = gate
    return math.inf if before is None else before.longest


def _on_the_line(before: Gate, after: Gate, multiple: float) -> float:
    """Longest time between two gates, straight in both logarithms."""
    way = math.log(multiple / before.multiple) / math.log(after.multiple / before.multiple)
    return before.longest * math.exp(way * math.log(after.longest / before.longest))


def _refuse_disorder(gates: Sequence[Gate]) -> None:
    """Refuse gates from which nothing can be told."""
    if not gates:
        raise ValueError("no gates; give at least one printed point of the fuse")
    previous = 0.0
    for gate in gates:
        if not gate.multiple > previous:
            raise ValueError(f"gate {gate.multiple:g} follows {previous:g}; sort them by rising multiple")
        previous = gate.multiple


def rectangle_pulse(current: float, duration: float) -> float:
    r"""Heating integral of a rectangular pulse.

    .. math:: I^2 t

    Parameters
    ----------
    current : float
        Height of the pulse. [A]
    duration : float
        Length of the pulse. [s]

    Returns
    -------
    float
        Integral of the squared current over time. [A2 s]

    Notes
    -----
    Valid for any length; exact.

    References
    ----------
    .. [1] fuse maker's selection guide, pulse shapes. Standing: read.

    Examples
    --------
    >>> rectangle_pulse(4.0, 0.5)
    8.0
    """
    return current * current * duration


def decaying_pulse(peak: float, time_constant: float) -> float:
    r"""Heating integral of a pulse that dies away exponentially.

    .. math:: \tfrac12 \hat{I}^2 \tau

    Parameters
    ----------
    peak : float
        Height of the pulse at its start. [A]
    time_constant : float
        Time in which the current falls to 1/e. [s]

    Returns
    -------
    float
        Integral of the squared current over time. [A2 s]

    Notes
    -----
    Valid for a pulse that dies away to nothing; exact.

    References
    ----------
    .. [1] fuse maker's selection guide, pulse shapes. Standing: read.

    Examples
    --------
    >>> decaying_pulse(4.0, 0.5)
    4.0
    """
    return 0.5 * peak * peak * time_constant


def ramp_pulse(peak: float, duration: float) -> float:
    r"""Heating integral of a pulse that rises or falls along a straight line.

    .. math:: \tfrac13 \hat{I}^2 t

    Parameters
    ----------
    peak : float
        Greatest current. [A]
    duration : float
        Length of the pulse, from or to zero. [s]

    Returns
    -------
    float
        Integral of the squared current over time. [A2 s]

    Notes
    -----
    Valid for a straight line from or to zero; exact.

    References
    ----------
    .. [1] fuse maker's selection guide, pulse shapes. Standing: read.

    Examples
    --------
    >>> round(ramp_pulse(3.0, 0.5), 2)
    1.5
    """
    return peak * peak * duration / 3.0


def pulse_share(pulses: float) -> float:
    r"""Share of its melting integral that one pulse may have, for a number of pulses in its life.

    Parameters
    ----------
    pulses : float
        Number of pulses, at least 10 s apart. [-]

    Returns
    -------
    float
        Share of the melting integral. [-]

    Notes
    -----
    Valid for up to 100 000 pulses, NaN above; straight over the logarithm of the number between the printed
    points. Below 100 pulses the share for 100 is given.

    References
    ----------
    .. [1] fuse maker's selection guide, pulse endurance. Standing: read.

    Examples
    --------
    >>> pulse_share(10_000)
    0.29
    """
    few, share = PULSE_ENDURANCE[0]
    if pulses <= few:
        return share
    for many, less in PULSE_ENDURANCE[1:]:
        if pulses == many:
            return less
        if pulses < many:
            way = math.log(pulses / few) / math.log(many / few)
            return share + (less - share) * way
        few, share = many, less
    return math.nan
