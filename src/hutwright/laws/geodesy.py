"""Places on the Earth by their angles or as x, y, z; and where in the sky a point stands."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Ellipsoid of WGS 84; standing: recalled (defining constants)
EQUATOR_RADIUS = 6_378_137.0  # m
FLATTENING = 1.0 / 298.257223563
_SQUARE = FLATTENING * (2.0 - FLATTENING)  # first eccentricity squared


class Geodetic(NamedTuple):
    """Place by its angles and its height above the ellipsoid."""

    latitude: Floats  # [rad]
    longitude: Floats  # [rad]
    height: Floats  # [m]


class LookAngles(NamedTuple):
    """Where a point stands in the sky."""

    azimuth: Floats  # clockwise from true north, 0 to 2 pi. [rad]
    elevation: Floats  # above the level through the place. [rad]
    distance: Floats  # [m]


def earth_fixed(latitude: ArrayLike, longitude: ArrayLike, height: ArrayLike) -> Floats:
    r"""Place as x, y, z from latitude, longitude and height.

    .. math:: x = (N + h) \cos\varphi \cos\lambda,\; y = (N + h) \cos\varphi \sin\lambda,\;
        z = (N (1 - e^2) + h) \sin\varphi, \quad N = a / \sqrt{1 - e^2 \sin^2\varphi}

    Parameters
    ----------
    latitude : array_like, shape (...)
        North positive. [rad]
    longitude : array_like, shape (...)
        East positive. [rad]
    height : array_like, shape (...)
        Above the ellipsoid; the sea lies within 110 m of it. [m]

    Returns
    -------
    numpy.ndarray, shape (..., 3)
        Place, x through Greenwich on the equator, z through the north pole. [m]

    Notes
    -----
    Valid for any place on or above the Earth. Exact.

    References
    ----------
    .. [1] WGS 84, defining constants. Standing: recalled.

    Examples
    --------
    >>> [round(float(each)) for each in earth_fixed(np.pi / 2, 0.0, 0.0)]
    [0, 0, 6356752]
    """
    sine, cosine = np.sin(latitude), np.cos(latitude)
    across = EQUATOR_RADIUS / np.sqrt(1.0 - _SQUARE * sine * sine)
    height = np.asarray(height, dtype=float)
    level = (across + height) * cosine
    x, y = level * np.cos(longitude), level * np.sin(longitude)
    return np.stack(np.broadcast_arrays(x, y, (across * (1.0 - _SQUARE) + height) * sine), axis=-1)


def geodetic(position: ArrayLike) -> Geodetic:
    r"""Latitude, longitude and height of a place.

    Parameters
    ----------
    position : array_like, shape (..., 3)
        Place, x through Greenwich on the equator, z through the north pole. [m]

    Returns
    -------
    Geodetic
        Latitude [rad], longitude [rad] and height above the ellipsoid [m].

    Notes
    -----
    Valid for places from 10 km under the ground to 50 000 km above it: within 1e-9 rad and 0.1 mm below
    10 km, within 1e-8 rad anywhere.

    References
    ----------
    .. [1] Bowring's formula by way of the reduced latitude, repeated. Standing: recalled; held to
       `earth_fixed`.

    Examples
    --------
    >>> place = geodetic(earth_fixed(0.9, 0.2, 300.0))
    >>> round(float(place.latitude), 9), round(float(place.height), 4)
    (0.9, 300.0)
    """
    x, y, z = np.moveaxis(np.asarray(position, dtype=float), -1, 0)
    level = np.hypot(x, y)
    short = EQUATOR_RADIUS * (1.0 - FLATTENING)
    reduced = np.arctan2(z, (1.0 - FLATTENING) * level)
    latitude = reduced
    for _ in range(3):
        latitude = np.arctan2(
            z + _SQUARE / (1.0 - _SQUARE) * short * np.sin(reduced) ** 3,
            level - _SQUARE * EQUATOR_RADIUS * np.cos(reduced) ** 3,
        )
        reduced = np.arctan2((1.0 - FLATTENING) * np.sin(latitude), np.cos(latitude))
    sine, cosine = np.sin(latitude), np.cos(latitude)
    height = level * cosine + z * sine - EQUATOR_RADIUS * np.sqrt(1.0 - _SQUARE * sine * sine)
    return Geodetic(latitude, np.arctan2(y, x), height)


def look_angles(position: ArrayLike, latitude: float, longitude: float, height: float) -> LookAngles:
    r"""Where points stand in the sky of a place.

    Parameters
    ----------
    position : array_like, shape (..., 3)
        The points, in the frame that turns with the Earth. [m]
    latitude : float
        Of the place, north positive. [rad]
    longitude : float
        Of the place, east positive. [rad]
    height : float
        Of the place above the ellipsoid. [m]

    Returns
    -------
    LookAngles
        Azimuth clockwise from true north [rad], elevation [rad] and distance [m].

    Notes
    -----
    Valid for any place but the poles, where north has no meaning. Exact but for the bending of rays in the
    air, which lifts what stands low: 0.5 deg at the horizon, under 0.2 deg from 5 deg up.

    References
    ----------
    .. [1] elementary geometry, east, north and up at a place. Standing: derived here.

    Examples
    --------
    >>> angles = look_angles(earth_fixed(0.9, 0.2, 1e6), 0.9, 0.2, 0.0)
    >>> round(float(angles.elevation), 6), round(float(angles.distance))
    (1.570796, 1000000)
    """
    towards = np.asarray(position, dtype=float) - earth_fixed(latitude, longitude, height)
    x, y, z = towards[..., 0], towards[..., 1], towards[..., 2]
    sine, cosine = np.sin(latitude), np.cos(latitude)
    sine_east, cosine_east = np.sin(longitude), np.cos(longitude)
    outward = x * cosine_east + y * sine_east
    east, north = y * cosine_east - x * sine_east, z * cosine - outward * sine
    up = outward * cosine + z * sine
    level = np.sqrt(east * east + north * north)
    azimuth = np.arctan2(east, north) % (2.0 * np.pi)
    return LookAngles(azimuth, np.arctan2(up, level), np.sqrt(level * level + up * up))
