"""Pressure of the wind near the ground, from the basic wind speed of the region."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

AIR_DENSITY = 1.25  # kg/m3; EN 1991-1-4:2005, 4.5; standing: second-hand
_REFERENCE_ROUGHNESS = 0.05  # m, category II; EN 1991-1-4:2005, 4.3.2; standing: second-hand
_GREATEST_HEIGHT = 200.0  # m; EN 1991-1-4:2005, 4.3.2; standing: second-hand
_PEAK = 7.0  # twice the peak factor 3.5; EN 1991-1-4:2005, 4.5; standing: second-hand


class TerrainRoughness(NamedTuple):
    """What one category of terrain does to the wind; lengths in m."""

    roughness_length: float
    least_height: float


# EN 1991-1-4:2005, table 4.1; standing: second-hand (public code; 0, I, II, III and IV in printed examples)
TERRAINS: Mapping[str, TerrainRoughness] = MappingProxyType(
    {
        "0": TerrainRoughness(0.003, 1.0),
        "I": TerrainRoughness(0.01, 1.0),
        "II": TerrainRoughness(0.05, 2.0),
        "III": TerrainRoughness(0.3, 5.0),
        "IV": TerrainRoughness(1.0, 10.0),
    }
)


def terrain_factor(roughness_length: float) -> float:
    r"""Factor of a terrain against open fields.

    .. math:: k_r = 0.19 (z_0 / 0.05\,\mathrm{m})^{0.07}

    Parameters
    ----------
    roughness_length : float
        Roughness length of the ground upwind, above zero. [m]

    Returns
    -------
    float
        Terrain factor, NaN outside the law's range. [-]

    Notes
    -----
    Valid for roughness lengths of 0.003 to 1 m; not refused beyond. Exact as the standard defines it.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.3.2, eq. (4.5). Standing: second-hand.

    Examples
    --------
    >>> round(terrain_factor(0.3), 3)
    0.215
    """
    if not 0.0 < roughness_length < math.inf:
        return math.nan
    return float(0.19 * (roughness_length / _REFERENCE_ROUGHNESS) ** 0.07)


def _profile(roughness_length: float, least_height: float, height: float) -> float:
    """Logarithm of height over roughness length, NaN outside the range."""
    if not (0.0 < roughness_length < least_height and 0.0 <= height <= _GREATEST_HEIGHT):
        return math.nan
    return math.log(max(height, least_height) / roughness_length)


def roughness_factor(roughness_length: float, least_height: float, height: float) -> float:
    r"""Mean wind speed at a height as a multiple of the basic wind speed.

    .. math:: c_r = k_r \ln(\max(z, z_{min}) / z_0)

    Parameters
    ----------
    roughness_length : float
        Roughness length of the ground upwind, above zero. [m]
    least_height : float
        Height below which the wind is taken as no weaker. [m]
    height : float
        Height above ground, 0 to 200 m. [m]

    Returns
    -------
    float
        Roughness factor, NaN outside the law's range. [-]

    Notes
    -----
    Valid for up to 200 m over level ground, without hills or taller buildings near by.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.3.2, eq. (4.4). Standing: second-hand.

    Examples
    --------
    >>> round(roughness_factor(0.3, 5.0, 8.0), 3)
    0.707
    """
    return terrain_factor(roughness_length) * _profile(roughness_length, least_height, height)


def turbulence_intensity(roughness_length: float, least_height: float, height: float) -> float:
    r"""Gustiness of the wind: standard deviation of its speed over the mean.

    .. math:: I_v = 1 / \ln(\max(z, z_{min}) / z_0)

    Parameters
    ----------
    roughness_length : float
        Roughness length of the ground upwind, above zero. [m]
    least_height : float
        Height below which the wind is taken as no less gusty. [m]
    height : float
        Height above ground, 0 to 200 m. [m]

    Returns
    -------
    float
        Turbulence intensity, NaN outside the law's range. [-]

    Notes
    -----
    Valid for up to 200 m over level ground; turbulence and orography factor are 1.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.4, eq. (4.7). Standing: second-hand.

    Examples
    --------
    >>> round(turbulence_intensity(1.0, 10.0, 9.0), 3)
    0.434
    """
    return 1.0 / _profile(roughness_length, least_height, height)


def exposure_factor(roughness_length: float, least_height: float, height: float) -> float:
    r"""Peak velocity pressure at a height as a multiple of the basic one.

    .. math:: c_e = (1 + 7 I_v) c_r^2

    Parameters
    ----------
    roughness_length : float
        Roughness length of the ground upwind, above zero. [m]
    least_height : float
        Height below which the wind is taken as no weaker. [m]
    height : float
        Height above ground, 0 to 200 m. [m]

    Returns
    -------
    float
        Exposure factor, NaN outside the law's range. [-]

    Notes
    -----
    Valid for up to 200 m over level ground.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.5, eqs. (4.8) and (4.9). Standing: second-hand.

    Examples
    --------
    >>> round(exposure_factor(1.0, 10.0, 9.0), 2)
    1.18
    """
    mean = roughness_factor(roughness_length, least_height, height)
    gusts = turbulence_intensity(roughness_length, least_height, height)
    return (1.0 + _PEAK * gusts) * mean * mean


def basic_velocity_pressure(basic_speed: float) -> float:
    r"""Pressure that goes with the basic wind speed.

    .. math:: q_b = \tfrac12 \rho v_b^2

    Parameters
    ----------
    basic_speed : float
        Basic wind speed: mean of ten minutes, 10 m above open fields. [m/s]

    Returns
    -------
    float
        Basic velocity pressure, NaN outside the law's range. [Pa]

    Notes
    -----
    Valid for air of 1.25 kg/m3.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.5, eq. (4.10). Standing: second-hand.

    Examples
    --------
    >>> basic_velocity_pressure(26.0)
    422.5
    """
    if not 0.0 <= basic_speed < math.inf:
        return math.nan
    return 0.5 * AIR_DENSITY * basic_speed * basic_speed


def peak_velocity_pressure(
    basic_speed: float, roughness_length: float, least_height: float, height: float
) -> float:
    r"""Greatest pressure of the wind at a height, gusts included.

    .. math:: q_p = c_e q_b

    Parameters
    ----------
    basic_speed : float
        Basic wind speed: mean of ten minutes, 10 m above open fields. [m/s]
    roughness_length : float
        Roughness length of the ground upwind, above zero. [m]
    least_height : float
        Height below which the wind is taken as no weaker. [m]
    height : float
        Height above ground, 0 to 200 m. [m]

    Returns
    -------
    float
        Peak velocity pressure, NaN outside the law's range. [Pa]

    Notes
    -----
    Valid for up to 200 m over level ground, without hills or taller buildings near by; constant below the
    least height, which for a hut is cautious. Within 0.6 % of the printed examples, which round on the way.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 4.5, eq. (4.8). Standing: second-hand.

    Examples
    --------
    >>> round(peak_velocity_pressure(26.0, 0.05, 2.0, 7.3))
    911
    """
    return basic_velocity_pressure(basic_speed) * exposure_factor(roughness_length, least_height, height)
