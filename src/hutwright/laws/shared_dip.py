"""What is left at a point of the feed while others draw current through the same wires."""

from __future__ import annotations

from collections.abc import Iterable


def node_voltage(source: float, shares: Iterable[tuple[float, float]]) -> float:
    r"""Voltage at a point of a feed behind shared resistances.

    .. math:: U = U_0 - \sum R_k I_k

    Parameters
    ----------
    source : float
        Voltage of the source without load. [V]
    shares : iterable of (float, float)
        For each piece of the way its resistance [ohm] and the whole current through it [A].

    Returns
    -------
    float
        Voltage at the end of the way. [V]

    Notes
    -----
    Valid for steady state; inductance of the wires is left out. Exact.

    References
    ----------
    .. [1] elementary physics, Ohm's law along a shared feed. Standing: derived here.

    Examples
    --------
    >>> round(node_voltage(12.0, [(0.08, 7.5), (0.3, 7.5)]), 2)
    9.15
    """
    voltage = source
    for resistance, current in shares:
        voltage -= resistance * current
    return voltage
