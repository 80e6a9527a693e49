"""Slow turning of an orbit's plane, and the rate of a satellite whose track repeats over the ground."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.laws.orbit import EARTH_TURNING

GRAVITY = 3.986004418e14  # m3/s2, WGS 84 and Galileo; standing: read (public orbit code)
EARTH_RADIUS = 6_378_137.0  # m, WGS 84 equator; standing: recalled
OBLATENESS = 1.08263e-3  # J2; WGS 84; standing: recalled


def node_drift(semi_major_axis: ArrayLike, inclination: ArrayLike) -> NDArray[np.float64]:
    r"""Turning of the plane of a circular orbit by the Earth's bulge.

    .. math:: \dot\Omega = -\tfrac32 J_2 (R/a)^2 \sqrt{\mu/a^3} \cos i

    Parameters
    ----------
    semi_major_axis : array_like, shape (...)
        Radius of the orbit. [m]
    inclination : array_like, shape (...)
        Tilt of the plane against the equator. [rad]

    Returns
    -------
    numpy.ndarray, shape (...)
        Rate of the ascending node against the stars, negative to the west. [rad/s]

    Notes
    -----
    Valid for circular orbits. Sun and Moon turn the planes of navigation satellites as well, by up to a
    quarter as much: 0.01 deg a day.

    References
    ----------
    .. [1] elementary theory of perturbations, first order in J2. Standing: recalled; held to the printed
       drift of the GPS and Galileo reference constellations.

    Examples
    --------
    >>> round(float(np.degrees(node_drift(26_559.7e3, np.radians(55.0)))) * 86_400.0, 3)
    -0.039
    """
    axis = np.asarray(semi_major_axis, dtype=float)
    motion = np.sqrt(GRAVITY / axis**3)
    return np.asarray(-1.5 * OBLATENESS * (EARTH_RADIUS / axis) ** 2 * motion * np.cos(inclination))


def repeating_latitude_rate(node_rate: ArrayLike, orbits: ArrayLike, days: ArrayLike) -> NDArray[np.float64]:
    r"""Rate at which a satellite goes round when its ground track repeats.

    .. math:: \dot u = (\omega_e - \dot\Omega)\, N / D

    Parameters
    ----------
    node_rate : array_like, shape (...)
        Rate of the ascending node against the stars. [rad/s]
    orbits : array_like, shape (...)
        Orbits until the track repeats. [-]
    days : array_like, shape (...)
        Turns of the Earth, seen from the orbit's plane, until the track repeats. [-]

    Returns
    -------
    numpy.ndarray, shape (...)
        Rate of the argument of latitude, counted from the node. [rad/s]

    Notes
    -----
    Valid for circular orbits kept on their track. Exact.

    References
    ----------
    .. [1] elementary physics, closed ground track. Standing: derived here; held to the printed rate of the
       Galileo reference constellation.

    Examples
    --------
    >>> rate = repeating_latitude_rate(np.radians(-0.02764398 / 86_400.0), 17, 10)
    >>> round(float(np.degrees(rate)) * 86_400.0, 3)
    613.723
    """
    turning = EARTH_TURNING - np.asarray(node_rate, dtype=float)
    return np.asarray(turning * np.asarray(orbits, dtype=float) / np.asarray(days, dtype=float))
