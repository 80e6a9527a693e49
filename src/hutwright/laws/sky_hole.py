"""The part of the sky in which no satellite ever stands."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

_EARTH_RADIUS = 6_371_000.0  # m, mean; standing: recalled


def latitude_above(
    latitude: ArrayLike, azimuth: ArrayLike, elevation: ArrayLike, orbit_radius: ArrayLike
) -> NDArray[np.float64]:
    r"""Latitude over which a satellite stands that is seen in a direction.

    .. math:: \psi = \arccos(\tfrac{R}{a} \cos h) - h, \quad
        \sin\varphi' = \sin\varphi \cos\psi + \cos\varphi \sin\psi \cos\alpha

    Parameters
    ----------
    latitude : array_like, shape (...)
        Of the place, north positive. [rad]
    azimuth : array_like, shape (...)
        Clockwise from true north. [rad]
    elevation : array_like, shape (...)
        From 0 to 90 deg. [rad]
    orbit_radius : array_like, shape (...)
        Radius of a circular orbit. [m]

    Returns
    -------
    numpy.ndarray, shape (...)
        Latitude of the ground under the satellite, NaN outside the law's range. [rad]

    Notes
    -----
    Valid for orbits outside the Earth. Where the latitude is beyond the tilt of every orbit, the sky is empty
    there. The Earth counts as a ball: within 0.2 deg.

    References
    ----------
    .. [1] elementary geometry, triangle of place, satellite and the Earth's middle. Standing: derived here.

    Examples
    --------
    >>> round(float(np.degrees(latitude_above(np.radians(51.2), 0.0, np.radians(30.0), 26_560e3))), 1)
    80.8
    """
    up = np.asarray(elevation, dtype=float)
    share = _EARTH_RADIUS / np.asarray(orbit_radius, dtype=float)
    outside = np.where((share > 0.0) & (share < 1.0) & (up >= 0.0) & (up <= np.pi / 2 + 1e-12), share, np.nan)
    arc = np.arccos(outside * np.cos(up)) - up
    sine = np.sin(latitude) * np.cos(arc) + np.cos(latitude) * np.sin(arc) * np.cos(azimuth)
    return np.asarray(np.arcsin(np.clip(sine, -1.0, 1.0)))
