"""What a fuse lets through before it opens, from the few points that its standard prints."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hutwright.laws.fuse_time import Gate, opening_time


def latest_opening(gates: Sequence[Gate], multiple: float) -> float:
    r"""Greatest time to open, with no more heat than at any printed point below.

    .. math:: t = \min\left(t_{long}(m), \; \min_{m_k \le m} t_k (m_k / m)^2\right)

    Parameters
    ----------
    gates : sequence of Gate
        Printed points, multiples rising.
    multiple : float
        Current as a multiple of the rating. [-]

    Returns
    -------
    float
        No fuse that meets the gates opens later; infinite where nothing promises that it opens. [s]

    Raises
    ------
    ValueError
        If there are no gates, or their multiples do not rise.

    Notes
    -----
    Valid for what `opening_time` is, below the voltage and the current that the fuse can break. Above a
    printed point it uses that the melting integral never grows with the current, which `opening_time` leaves
    out of its upper bound. The arc after melting is left out: short at 12 to 24 V, where the rated voltage
    is above.

    References
    ----------
    .. [1] IEC 60127-2, sheets 2, 3 and 5: the gates. Standing: second-hand.
    .. [2] elementary physics, melting integral never grows with the current. Standing: derived here.

    Examples
    --------
    >>> blade = (Gate(1.6, 0.25, 50.0), Gate(2.0, 0.15, 5.0))
    >>> latest_opening(blade, 2.0), latest_opening(blade, 8.0)
    (5.0, 0.3125)
    """
    longest = opening_time(gates, multiple)[1]
    heats = (gate.longest * (gate.multiple / multiple) ** 2 for gate in _passed(gates, multiple))
    return min([longest, *heats])


def heat_at(gate: Gate, rating: float) -> float:
    r"""Greatest heating integral that a fuse lets through at one printed point.

    .. math:: t_k (m_k I_n)^2

    Parameters
    ----------
    gate : Gate
        The printed point.
    rating : float
        Rated current of the fuse, above zero. [A]

    Returns
    -------
    float
        Integral of the squared current over time, infinite where no longest time is printed. [A2 s]

    Notes
    -----
    Valid for the point's own current; by the reason of `latest_opening` no more at any greater one.

    References
    ----------
    .. [1] IEC 60127-2, sheets 2, 3 and 5: the gates. Standing: second-hand.

    Examples
    --------
    >>> heat_at(Gate(2.0, 0.15, 5.0), 5.0)
    500.0
    """
    current = gate.multiple * rating
    return gate.longest * (current * current)


def let_through(gates: Sequence[Gate], rating: float, current: float) -> float:
    r"""Greatest heating integral that a fuse lets through.

    .. math:: I^2 t

    Parameters
    ----------
    gates : sequence of Gate
        Printed points, multiples rising.
    rating : float
        Rated current of the fuse, above zero. [A]
    current : float
        Current that flows. [A]

    Returns
    -------
    float
        Integral of the squared current over time, infinite where nothing promises that it opens. [A2 s]

    Raises
    ------
    ValueError
        If there are no gates, or their multiples do not rise.

    Notes
    -----
    Valid for what `latest_opening` is.

    References
    ----------
    .. [1] elementary physics, melting integral never grows with the current. Standing: derived here.

    Examples
    --------
    >>> blade = (Gate(1.6, 0.25, 50.0), Gate(2.0, 0.15, 5.0))
    >>> let_through(blade, 5.0, 10.0), let_through(blade, 5.0, 40.0)
    (500.0, 500.0)
    """
    multiple = current / rating
    longest = opening_time(gates, multiple)[1]
    return min([current * current * longest, *(heat_at(each, rating) for each in _passed(gates, multiple))])


def _passed(gates: Sequence[Gate], multiple: float) -> tuple[Gate, ...]:
    """The printed points, at or below a multiple, by which it opens for sure."""
    return tuple(gate for gate in gates if gate.multiple <= multiple and gate.longest < math.inf)
