"""A yielding block between a closing edge and a scale."""

from __future__ import annotations

import math

from hutwright.laws.kinetic import FREE_FALL


def scale_force(reading: float) -> float:
    r"""Force on a scale that shows a mass.

    .. math:: F = m g_n

    Parameters
    ----------
    reading : float
        What the scale shows, zero or more. [kg]

    Returns
    -------
    float
        Force, NaN outside the law's range. [N]

    Notes
    -----
    Valid for a scale that was set with weights: within 0.3 % anywhere on the ground, because gravity differs
    by that much from place to place.

    References
    ----------
    .. [1] 3rd General Conference on Weights and Measures (1901), declaration on weight. Standing: recalled.

    Examples
    --------
    >>> round(scale_force(5.0), 1)
    49.0
    """
    return FREE_FALL * reading if reading >= 0.0 else math.nan


def block_stiffness(force: float, pressed: float) -> float:
    r"""Stiffness of a block from a force and how far it gave way under it.

    .. math:: k = F / x

    Parameters
    ----------
    force : float
        Force on the block, above zero. [N]
    pressed : float
        How much thinner the block was under it, above zero. [m]

    Returns
    -------
    float
        Stiffness, NaN outside the law's range. [N/m]

    Notes
    -----
    Valid for a block that is pressed slowly and by not more than half of its thickness: foam gets stiffer
    from there on. Up to there foam's own curve bends, so that a stiffness from one force is right to a third
    or so.

    References
    ----------
    .. [1] Hooke's law; derived here. The bend of foam under pressure is common practice. Standing: practice.

    Examples
    --------
    >>> block_stiffness(60.0, 0.030)
    2000.0
    """
    if not (0.0 < force < math.inf and 0.0 < pressed < math.inf):
        return math.nan
    return force / pressed


def block_force(stiffness: float, pressed: float) -> float:
    r"""Force of a block that is pressed slowly.

    .. math:: F = k x

    Parameters
    ----------
    stiffness : float
        Of the block, above zero. [N/m]
    pressed : float
        How much thinner it is than without load; nothing presses below zero. [m]

    Returns
    -------
    float
        Force, NaN outside the law's range. [N]

    Notes
    -----
    Valid for blocks so soft that the force of moving masses does not count: the leaf comes to rest in them
    over many times the way of its first impact.

    References
    ----------
    .. [1] Hooke's law; derived here. Standing: practice.

    Examples
    --------
    >>> block_force(1000.0, 0.05)
    50.0
    """
    return stiffness * max(pressed, 0.0) if stiffness > 0.0 else math.nan
