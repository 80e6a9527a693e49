"""What a scale, a bucket, a watch, a meter, a pace and a fist tell: the laws behind everyday observations.

All take arrays of readings as well as single ones.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.laws.copper import winding_factor
from hutwright.laws.kinetic import FREE_FALL

# kg/m3; CIPM formula for water, 20 degC: 998.2; 0 to 30 degC lies within 0.4 %; standing: recalled
WATER = 998.2
# rad; a fist at arm's length is 10 degrees wide, a finger 2; common practice of sky watchers
FIST, FINGER = math.radians(10.0), math.radians(2.0)
Floats = NDArray[np.float64]


def _floats(values: ArrayLike) -> Floats:
    return np.asarray(values, dtype=np.float64)


def load_and_friction(there: ArrayLike, back: ArrayLike) -> tuple[Floats, Floats]:
    r"""What a scale tells that moves something slowly one way and lets it back the other way.

    .. math:: F_l = (F_1 + F_2) / 2, \qquad F_f = (F_1 - F_2) / 2

    Parameters
    ----------
    there : array_like
        Pull while it moves against its load. [N]
    back : array_like
        Pull while it goes back, held by the scale; below zero where it has to be pushed back. [N]

    Returns
    -------
    tuple of ndarray
        Load, and friction. [N]

    Notes
    -----
    Valid for slow, steady motion and friction that is the same both ways.

    References
    ----------
    .. [1] elementary physics, the same friction both ways. Standing: derived here.

    Examples
    --------
    >>> load, friction = load_and_friction(14.0, 10.0)
    >>> float(load), float(friction)
    (12.0, 2.0)
    """
    one, other = _floats(there), _floats(back)
    return 0.5 * (one + other), 0.5 * (one - other)


def leaf_mass(force: ArrayLike, lever: ArrayLike, reach: ArrayLike, angle: ArrayLike) -> Floats:
    r"""Mass of a leaf on a level hinge that a scale at its edge holds up.

    .. math:: m = F r / (g s \sin\theta)

    Parameters
    ----------
    force : array_like
        Load at the edge, square to the leaf. [N]
    lever : array_like
        From the hinge line to the scale. [m]
    reach : array_like
        From the hinge line to the centre of gravity. [m]
    angle : array_like
        Of the leaf from upright, above 0 and below pi. [rad]

    Returns
    -------
    ndarray
        Mass; NaN where the leaf stands upright. [kg]

    Notes
    -----
    Valid for a leaf whose centre of gravity lies in its own plane, at angles well off upright.

    References
    ----------
    .. [1] elementary physics, law of the lever. Standing: derived here.

    Examples
    --------
    >>> round(float(leaf_mass(20.0, 0.56, 0.28, 1.5707963)), 2)
    4.08
    """
    slope = np.sin(_floats(angle))
    below = FREE_FALL * _floats(reach) * slope
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(slope > 1e-6, _floats(force) * _floats(lever) / below, np.nan)


def water_weight(volume: ArrayLike, tare: ArrayLike = 0.0) -> Floats:
    r"""Weight of a bucket of water.

    .. math:: F = g (\rho V + m_0)

    Parameters
    ----------
    volume : array_like
        Of the water. [m3]
    tare : array_like
        Mass of the empty bucket and its rope. [kg]

    Returns
    -------
    ndarray
        Force. [N]

    Notes
    -----
    Valid for fresh water of 0 to 30 degC within 0.4 %.

    References
    ----------
    .. [1] CIPM formula for the density of water, 2001, 20 degC. Standing: recalled.

    Examples
    --------
    >>> round(float(water_weight(0.010, 0.4)), 1)
    101.8
    """
    return FREE_FALL * (WATER * _floats(volume) + _floats(tare))


def drop_resistance(idle: ArrayLike, loaded: ArrayLike, current: ArrayLike) -> Floats:
    r"""Resistance of a supply from its voltage without and with a load.

    .. math:: R = (U_0 - U) / I

    Parameters
    ----------
    idle : array_like
        Voltage without load. [V]
    loaded : array_like
        Voltage with it, a second later. [V]
    current : array_like
        Of the load. [A]

    Returns
    -------
    ndarray
        Resistance; NaN without a current. [ohm]

    Notes
    -----
    Valid for seconds: over minutes a battery gives way further.

    References
    ----------
    .. [1] elementary physics, Ohm's law. Standing: derived here.

    Examples
    --------
    >>> round(float(drop_resistance(12.6, 12.1, 5.0)), 3)
    0.1
    """
    flowing = _floats(current)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(flowing > 0.0, (_floats(idle) - _floats(loaded)) / flowing, np.nan)


def current_at_listing(
    current: ArrayLike, voltage: ArrayLike, listed: ArrayLike, temperature: ArrayLike
) -> Floats:
    r"""Current of a drive held fast, at the listing's voltage and 20 degC.

    .. math:: I_s = I \, \frac{U_n}{U} \, \frac{R(T)}{R_{20}}

    Parameters
    ----------
    current : array_like
        As read. [A]
    voltage : array_like
        At the drive's own terminals meanwhile. [V]
    listed : array_like
        Of the listing. [V]
    temperature : array_like
        Of the drive. [K]

    Returns
    -------
    ndarray
        Current. [A]

    Notes
    -----
    Valid for a second: then the winding gets warm.

    References
    ----------
    .. [1] IEC 60028, temperature coefficient of copper. Standing: recalled.

    Examples
    --------
    >>> round(float(current_at_listing(6.8, 11.4, 12.0, 283.15)), 2)
    6.88
    """
    return _floats(current) * _floats(listed) / _floats(voltage) * winding_factor(_floats(temperature))


def hand_elevation(fists: ArrayLike, fingers: ArrayLike = 0.0) -> Floats:
    """Elevation of what stands so many fists and fingers above the horizon, at arm's length.

    Parameters
    ----------
    fists : array_like
        Fists, one on the other, 10 degrees each. [-]
    fingers : array_like
        Fingers on top of them, 2 degrees each. [-]

    Returns
    -------
    ndarray
        Elevation. [rad]

    Notes
    -----
    Valid for up to 60 degrees; a hand and its arm grow alike, so that one fist is 10 degrees within a tenth
    for nearly everybody.

    References
    ----------
    .. [1] common practice of sky watchers. Standing: practice.

    Examples
    --------
    >>> round(float(np.degrees(hand_elevation(2, 1))), 6)
    22.0
    """
    return np.asarray(FIST * _floats(fists) + FINGER * _floats(fingers))


def snow_pressure(depth: ArrayLike, unit_weight: ArrayLike) -> Floats:
    r"""Load of lying snow.

    .. math:: s = \gamma d

    Parameters
    ----------
    depth : array_like
        As deep as it lay. [m]
    unit_weight : array_like
        Weight by volume of its kind. [N/m3]

    Returns
    -------
    ndarray
        Load. [Pa]

    Notes
    -----
    Valid for snow that lay on open ground; a code's map counts where it says more.

    References
    ----------
    .. [1] EN 1991-1-3:2003, annex E. Standing: second-hand.

    Examples
    --------
    >>> float(snow_pressure(0.30, 2000.0))
    600.0
    """
    return _floats(depth) * _floats(unit_weight)
