"""Snow on a roof, and snow that lies before a door."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

# EN 1991-1-3:2003, table 5.1; standing: second-hand
EXPOSURE_FACTORS: Mapping[str, float] = MappingProxyType({"windswept": 0.8, "normal": 1.0, "sheltered": 1.2})
_FLAT = math.radians(30.0)
_STEEP = math.radians(60.0)
# Side pressure of snow on a leaf that pushes it, over the weight above: loose fresh snow gives way, old
# snow packs. Least, usual, greatest. Standing: practice
SIDE_PRESSURE_RATIO = (0.3, 1.0, 3.0)


def roof_shape_coefficient(pitch: float, *, snow_guard: bool = False) -> float:
    r"""Share of the snow on the ground that lies on a roof.

    .. math:: \mu_1 = 0.8 \quad (\alpha \le 30°), \qquad
        \mu_1 = 0.8 (60° - \alpha) / 30°, \qquad \mu_1 = 0 \quad (\alpha \ge 60°)

    Parameters
    ----------
    pitch : float
        Slope of the roof against level, 0 to 90 deg. [rad]
    snow_guard : bool
        Whether something keeps the snow from sliding off.

    Returns
    -------
    float
        Shape coefficient, NaN outside the law's range. [-]

    Notes
    -----
    Valid for mono-pitch and duo-pitch roofs without drifts from taller walls.

    References
    ----------
    .. [1] EN 1991-1-3:2003, 5.3, table 5.2. Standing: second-hand.

    Examples
    --------
    >>> round(roof_shape_coefficient(math.radians(45.0)), 2)
    0.4
    """
    if not 0.0 <= pitch <= math.pi / 2.0:
        return math.nan
    if snow_guard or pitch <= _FLAT:
        return 0.8
    return 0.8 * max(_STEEP - pitch, 0.0) / (_STEEP - _FLAT)


def roof_snow_load(ground_load: float, shape: float, exposure: float, *, thermal: float = 1.0) -> float:
    r"""Snow load on a roof, per area on plan.

    .. math:: s = \mu C_e C_t s_k

    Parameters
    ----------
    ground_load : float
        Characteristic snow load on the ground. [Pa]
    shape : float
        Shape coefficient. [-]
    exposure : float
        Exposure factor: 0.8 windswept, 1.0 normal, 1.2 sheltered. [-]
    thermal : float
        Thermal factor, below 1 only for badly insulated heated roofs. [-]

    Returns
    -------
    float
        Load per area on plan. [Pa]

    Notes
    -----
    Valid for lasting snow; exceptional falls and drifts are not covered.

    References
    ----------
    .. [1] EN 1991-1-3:2003, 5.2, eq. (5.1). Standing: second-hand.

    Examples
    --------
    >>> round(roof_snow_load(650.0, 0.8, 1.0))
    520
    """
    return shape * exposure * thermal * ground_load


def drift_pressure(unit_weight: float, depth: float, ratio: float) -> float:
    r"""Pressure of snow against the foot of a leaf that pushes it.

    .. math:: p = K \gamma d

    Parameters
    ----------
    unit_weight : float
        Weight of the snow by volume, density times g. [N/m3]
    depth : float
        Depth of the snow before the leaf. [m]
    ratio : float
        Side pressure over the weight above, 0.3 to 3. [-]

    Returns
    -------
    float
        Pressure at the foot; it falls along a straight line to nothing at the surface. [Pa]

    Notes
    -----
    Valid for snow that has not frozen to the leaf; a factor of three either way is all that is known.

    References
    ----------
    .. [1] common practice of the trade, snow pushed by a leaf. Standing: practice.

    Examples
    --------
    >>> drift_pressure(2000.0, 0.25, 1.0)
    500.0
    """
    return ratio * unit_weight * depth


def drift_force(unit_weight: float, depth: float, width: float, ratio: float) -> float:
    r"""Force of snow against a leaf that pushes it; it acts at a third of the depth.

    .. math:: F = \tfrac12 K \gamma d^2 b

    Parameters
    ----------
    unit_weight : float
        Weight of the snow by volume, density times g. [N/m3]
    depth : float
        Depth of the snow before the leaf, where it touches the leaf. [m]
    width : float
        Width of leaf that touches the snow. [m]
    ratio : float
        Side pressure over the weight above, 0.3 to 3. [-]

    Returns
    -------
    float
        Force square to the leaf, at a third of the depth above its foot. [N]

    Notes
    -----
    Valid for snow that has not frozen to the leaf; a factor of three either way is all that is known. A leaf
    that slides past the snow feels this force times their friction.

    References
    ----------
    .. [1] common practice of the trade, snow pushed by a leaf. Standing: practice.

    Examples
    --------
    >>> drift_force(2000.0, 0.25, 0.8, 1.0)
    50.0
    """
    return 0.5 * drift_pressure(unit_weight, depth, ratio) * depth * width
