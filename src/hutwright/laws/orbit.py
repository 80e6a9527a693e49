"""Where a satellite stands by the orbital elements of an almanac or of a broadcast ephemeris."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Number = float | Floats

GPS_GRAVITY = 3.986005e14  # m3/s2; IS-GPS-200 (ICD-GPS-200C p. 98); standing: read (quoted in public code)
GALILEO_GRAVITY = 3.986004418e14  # m3/s2; Galileo OS SIS ICD; standing: read (quoted in public code)
BEIDOU_GRAVITY = 3.986004418e14  # m3/s2; BDS-SIS-ICD; standing: recalled
EARTH_TURNING = 7.2921151467e-5  # rad/s; IS-GPS-200, same for Galileo; standing: read (quoted in public code)
BEIDOU_EARTH_TURNING = 7.2921150e-5  # rad/s; BDS-SIS-ICD; standing: recalled
_BEIDOU_TILT = 5.0 * pi / 180.0  # rad, frame of geostationary elements; BDS-SIS-ICD 2.1, 5.2.4.12; recalled

_MOST_ROUNDS = 12  # Newton's; five are enough below an eccentricity of 0.5
_ENOUGH = 1e-12  # rad; 0.03 mm at the height of these orbits


class OrbitElements(NamedTuple):
    """Orbital elements at their epoch; each a number or an array, all of matching shapes.

    The last ten are the corrections of a broadcast ephemeris; an almanac has none of them.
    """

    semi_major_axis: Number  # [m]
    eccentricity: Number  # [-]
    inclination: Number  # [rad]
    node: Number  # east longitude of the ascending node at the epoch. [rad]
    node_rate: Number  # of the node against the stars. [rad/s]
    perigee: Number  # argument of perigee. [rad]
    mean_anomaly: Number  # [rad]
    gravity: Number = GPS_GRAVITY  # [m3/s2]
    earth_turning: Number = EARTH_TURNING  # [rad/s]
    motion_added: Number = 0.0  # to the mean motion. [rad/s]
    inclination_rate: Number = 0.0  # [rad/s]
    latitude_cosine: Number = 0.0  # Cuc. [rad]
    latitude_sine: Number = 0.0  # Cus. [rad]
    radius_cosine: Number = 0.0  # Crc. [m]
    radius_sine: Number = 0.0  # Crs. [m]
    inclination_cosine: Number = 0.0  # Cic. [rad]
    inclination_sine: Number = 0.0  # Cis. [rad]


def node_longitude(
    node_at_week_start: ArrayLike, second_of_week: ArrayLike, earth_turning: ArrayLike = EARTH_TURNING
) -> Floats:
    r"""Longitude of the ascending node at an almanac's or ephemeris' own epoch.

    .. math:: \Omega_e = \Omega_0 - \omega_e t_{oa}

    Parameters
    ----------
    node_at_week_start : array_like, shape (...)
        The file's number: the node's longitude as the Earth stood at the start of the week. [rad]
    second_of_week : array_like, shape (...)
        The epoch, seconds into that week. [s]
    earth_turning : array_like, shape (...)
        The system's own rate of the Earth's turning. [rad/s]

    Returns
    -------
    numpy.ndarray, shape (...)
        East longitude of the node at the epoch; may exceed a turn. [rad]

    Notes
    -----
    Valid for any system; exact. The rates of two systems differ by 2e-8: 25 m over a week.

    References
    ----------
    .. [1] IS-GPS-200, table 20-IV. Standing: read, as Navipedia gives it ("Coordinates Computation from
       Almanac Data"); meaning of the node: public description of the YUMA format. Standing: read.

    Examples
    --------
    >>> round(float(node_longitude(1.2710842193, 233_472.0)) % (2 * pi), 3)
    3.096
    """
    turned = np.asarray(earth_turning, dtype=float) * np.asarray(second_of_week, dtype=float)
    return np.asarray(np.asarray(node_at_week_start, dtype=float) - turned)


def eccentric_anomaly(mean_anomaly: ArrayLike, eccentricity: ArrayLike) -> Floats:
    r"""Eccentric anomaly by Kepler's equation.

    .. math:: E - e \sin E = M

    Parameters
    ----------
    mean_anomaly : array_like, shape (...)
        Mean anomaly; may exceed a turn. [rad]
    eccentricity : array_like, shape (...)
        Eccentricity. [-]

    Returns
    -------
    numpy.ndarray, shape (...)
        Eccentric anomaly, in the same turn; NaN outside the law's range. [rad]

    Notes
    -----
    Valid for ``0 <= eccentricity <= 0.5``. Within 1e-12 rad.

    References
    ----------
    .. [1] elementary physics, Kepler's equation by Newton's method. Standing: derived here.

    Examples
    --------
    >>> round(float(eccentric_anomaly(1.0, 0.1)), 6)
    1.088598
    """
    shape = np.asarray(eccentricity, dtype=float)
    shape = np.where((shape >= 0.0) & (shape <= 0.5), shape, np.nan)
    mean = np.asarray(mean_anomaly, dtype=float)
    if not np.any(shape):
        return np.asarray(mean + shape)
    found = mean + shape * np.sin(mean)
    for _ in range(_MOST_ROUNDS):
        change = (found - shape * np.sin(found) - mean) / (1.0 - shape * np.cos(found))
        found = found - change
        if not np.any(np.abs(change) > _ENOUGH):  # NaN counts as found
            break
    return np.asarray(found)


class _InPlane(NamedTuple):
    """Place in the plane of the orbit, and the plane's tilt."""

    along: Floats
    across: Floats
    inclination: Floats


def _in_plane(elements: OrbitElements, elapsed: Floats) -> _InPlane:
    """Place in the orbit's plane, x towards the node, with the corrections where there are any."""
    axis = np.asarray(elements.semi_major_axis, dtype=float)
    shape = np.asarray(elements.eccentricity, dtype=float)
    motion = np.sqrt(np.asarray(elements.gravity, dtype=float) / axis**3) + elements.motion_added
    anomaly = eccentric_anomaly(elements.mean_anomaly + motion * elapsed, shape)
    if np.any(shape):
        sine, cosine = np.sin(anomaly), np.cos(anomaly)
        latitude = np.arctan2(np.sqrt(1.0 - shape * shape) * sine, cosine - shape) + elements.perigee
        radius = axis * (1.0 - shape * cosine)
    else:
        latitude, radius = anomaly + elements.perigee, np.asarray(axis)
    inclination = np.asarray(elements.inclination + elements.inclination_rate * elapsed)
    if any(np.any(each) for each in elements[-6:]):
        twice_sine, twice_cosine = np.sin(2.0 * latitude), np.cos(2.0 * latitude)

        def waves(cosine: Number, sine: Number) -> Floats:
            return np.asarray(cosine * twice_cosine + sine * twice_sine)

        radius = radius + waves(elements.radius_cosine, elements.radius_sine)
        inclination = inclination + waves(elements.inclination_cosine, elements.inclination_sine)
        latitude = latitude + waves(elements.latitude_cosine, elements.latitude_sine)
    return _InPlane(radius * np.cos(latitude), radius * np.sin(latitude), inclination)


def _turned(place: _InPlane, node: Floats) -> Floats:
    """The place with its plane tilted and turned to the node."""
    level, up = place.across * np.cos(place.inclination), place.across * np.sin(place.inclination)
    cosine, sine = np.cos(node), np.sin(node)
    east = place.along * cosine - level * sine
    return np.stack(np.broadcast_arrays(east, place.along * sine + level * cosine, up), axis=-1)


def orbit_position(elements: OrbitElements, elapsed: ArrayLike) -> Floats:
    r"""Place of a satellite in the frame that turns with the Earth.

    .. math::
        M = M_0 + (\sqrt{\mu/a^3} + \Delta n)\, t, \quad E - e \sin E = M, \quad
        \varphi = \operatorname{atan2}(\sqrt{1-e^2} \sin E, \cos E - e) + \omega

        u = \varphi + C_{us} \sin 2\varphi + C_{uc} \cos 2\varphi, \quad
        r = a (1 - e \cos E) + C_{rs} \sin 2\varphi + C_{rc} \cos 2\varphi

        i = i_0 + \dot i\, t + C_{is} \sin 2\varphi + C_{ic} \cos 2\varphi, \quad
        \Omega = \Omega_e + (\dot\Omega - \omega_e)\, t

    Parameters
    ----------
    elements : OrbitElements
        Elements of shape (...), with the node's longitude at the epoch.
    elapsed : array_like, shape (...)
        Time since the epoch of the elements; it broadcasts against them. [s]

    Returns
    -------
    numpy.ndarray, shape (..., 3)
        Place, x through Greenwich on the equator, z through the north pole. [m]

    Notes
    -----
    Valid for GPS, Galileo and BeiDou satellites in medium or inclined orbits; BeiDou's geostationary ones
    need `geostationary_position`. With all elements of a broadcast ephemeris within 6 m for an hour either
    way; without its corrections (an almanac) within 1 km there and 3.2 km after six hours: 0.01 deg of the
    sky.

    References
    ----------
    .. [1] IS-GPS-200, 20.3.3.4.3 and 20.3.3.5.2.1, table 20-IV. Standing: equations read, as Navipedia gives
       them; clause numbers recalled. Accuracy: measured on 105 broadcast records against precise orbits.

    Examples
    --------
    >>> still = OrbitElements(26_560e3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    >>> [round(float(each) / 1e3) for each in orbit_position(still, 0.0)]
    [26560, 0, 0]
    """
    elapsed = np.asarray(elapsed, dtype=float)
    turning = elements.node_rate - elements.earth_turning
    return _turned(_in_plane(elements, elapsed), np.asarray(elements.node + turning * elapsed))


def geostationary_position(elements: OrbitElements, elapsed: ArrayLike) -> Floats:
    r"""Place of a geostationary BeiDou satellite in the frame that turns with the Earth.

    .. math:: X = R_z(\omega_e t)\, R_x(-5^\circ)\, X'

    with X' from the elements as in `orbit_position`, but in the frame that stood still at the epoch.

    Parameters
    ----------
    elements : OrbitElements
        Elements of shape (...), given for a frame tilted by 5 deg.
    elapsed : array_like, shape (...)
        Time since the epoch of the elements; it broadcasts against them. [s]

    Returns
    -------
    numpy.ndarray, shape (..., 3)
        Place, x through Greenwich on the equator, z through the north pole. [m]

    Notes
    -----
    Valid for BeiDou's geostationary satellites within hours of the epoch. As exact as `orbit_position`.

    References
    ----------
    .. [1] BDS-SIS-ICD 2.1, 5.2.4.12. Standing: recalled; held to a point that stands still over the equator.

    Examples
    --------
    >>> tilted = OrbitElements(42_164e3, 0.0, np.radians(5.0), pi, 0.0, 0.0, 0.0)
    >>> place = geostationary_position(tilted, 3_600.0)
    >>> round(float(np.linalg.norm(place)) / 1e3), round(float(place[2]))
    (42164, 0)
    """
    elapsed = np.asarray(elapsed, dtype=float)
    still = _turned(_in_plane(elements, elapsed), np.asarray(elements.node + elements.node_rate * elapsed))
    x, y, z = np.moveaxis(still, -1, 0)
    cosine, sine = np.cos(_BEIDOU_TILT), np.sin(_BEIDOU_TILT)
    y, z = y * cosine - z * sine, y * sine + z * cosine
    angle = elements.earth_turning * elapsed
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.stack(np.broadcast_arrays(x * cosine + y * sine, y * cosine - x * sine, z), axis=-1)
