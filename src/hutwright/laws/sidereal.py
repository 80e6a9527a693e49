"""How far the Earth has turned against the stars."""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.laws.gnss_time import DAY, gps_seconds, utc_from_gps

_J2000 = float(gps_seconds(2000, 1, 1, 43_200.0))  # UTC count of 2000-01-01 12:00; definition
_CENTURY = 36_525.0 * DAY  # s; definition
# Seconds of sidereal time: at J2000, per century (beside one turn a day), per century squared and cubed.
# IAU 1982 expression for mean sidereal time at Greenwich; standing: recalled.
_SECONDS = (67_310.548_41, 8_640_184.812_866, 0.093_104, -6.2e-6)


def greenwich_sidereal_angle(gps_time: ArrayLike) -> NDArray[np.float64]:
    r"""Angle from the vernal equinox to Greenwich, eastwards.

    .. math:: \theta = \tfrac{2\pi}{86400\,\mathrm{s}} (67310.548\,\mathrm{s} + UT_{J2000}
        + 8640184.813\,T + 0.0931\,T^2 - 6.2 \cdot 10^{-6} T^3)

    Parameters
    ----------
    gps_time : array_like, shape (...)
        GPS time since 1980-01-06. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        Mean sidereal angle of Greenwich, in 0 to 2 pi. [rad]

    Notes
    -----
    Valid for 1980 to 2100. Takes UTC for the Earth's own time, which is within 0.9 s, and leaves out the
    nodding of the axis: each at most 0.005 deg.

    References
    ----------
    .. [1] IAU 1982 expression for mean sidereal time at Greenwich. Standing: recalled; held to the Greenwich
       angle that the GPS performance standard prints for 1993-07-01.

    Examples
    --------
    >>> round(float(np.degrees(greenwich_sidereal_angle(gps_seconds(2021, 4, 28, 75_600.0)))), 2)
    171.98
    """
    since = utc_from_gps(gps_time) - _J2000
    centuries = since / _CENTURY
    first, second, third, fourth = _SECONDS
    seconds = first + since + centuries * (second + centuries * (third + centuries * fourth))
    return np.asarray((seconds % DAY) * (2.0 * pi / DAY))
