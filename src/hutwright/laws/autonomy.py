"""How long a battery carries a load, and what the cold takes from it."""

from __future__ import annotations

import math

# Capacities are printed for 25 degC; common practice of the trade.
RATED_TEMPERATURE = 298.15


def autonomy_time(charge: float, current: float, usable_share: float) -> float:
    r"""Time that a battery carries a mean current.

    .. math:: t = s Q / I

    Parameters
    ----------
    charge : float
        Charge of the full battery at its temperature. [C]
    current : float
        Mean current, its own discharge included, not below zero. [A]
    usable_share : float
        Share of the charge that may be taken. [-]

    Returns
    -------
    float
        Time; infinite without load. [s]

    Notes
    -----
    Valid for currents of a twentieth of the capacity per hour or less; faster ones take less out of lead.

    References
    ----------
    .. [1] elementary physics, balance of charge. Standing: derived here.

    Examples
    --------
    >>> round(autonomy_time(18.0 * 3600.0, 0.05, 0.5) / 86400.0, 1)
    7.5
    """
    usable = charge * usable_share
    if current == 0.0:
        return math.inf + 0.0 * usable
    return usable / current


def cold_capacity_factor(temperature: float, coefficient: float) -> float:
    r"""Share of its printed capacity that a battery has in the cold.

    .. math:: f = \min(1, \max(0, 1 - c (298.15 - T)))

    Parameters
    ----------
    temperature : float
        Temperature of the battery. [K]
    coefficient : float
        Loss per kelvin below 25 degC, not below zero: 0.006 to 0.010 for lead. [1/K]

    Returns
    -------
    float
        Share of the printed capacity, from 0 to 1. [-]

    Notes
    -----
    Valid for -20 to 40 degC, as a range over the coefficient; warmth above 25 degC is not counted.

    References
    ----------
    .. [1] common practice of the trade, lead-acid capacity in the cold, 0.6 to 1 %/K.
       Standing: practice.

    Examples
    --------
    >>> round(cold_capacity_factor(255.15, 0.008), 2)
    0.66
    """
    share = 1.0 - coefficient * (RATED_TEMPERATURE - temperature)
    if share > 1.0:
        return 1.0
    return 0.0 if share < 0.0 else share
