"""Pressure of the wind on a leaf: shut as a part of the wall, open as a plate in the wind.

Coefficients are those for small areas (1 m2 and less). Signs: a pressure above zero pushes the shut leaf in.
"""

from __future__ import annotations

import math
from typing import NamedTuple

# EN 1991-1-4:2005, table 7.1, c_pe,1; standing: second-hand (public code and two transcriptions)
ZONE_A = -1.4  # the wind passes along the wall: next to the edge that it meets first
ZONE_B = -1.1  # behind zone A
ZONE_C = -0.5  # behind zone B
ZONE_D = 1.0  # the wind meets the wall
ZONE_E = ((0.25, -0.3), (1.0, -0.5), (5.0, -0.7))  # the wind leaves the wall: height over depth, coefficient
# EN 1991-1-4:2005, 7.2.9, where the openings are not known; standing: recalled (-0.3 stands in an example)
INTERNAL_OVER = 0.2
INTERNAL_UNDER = -0.3
# EN 1991-1-4:2005, 7.2.9: openings over all the others', share of the pressure outside; standing: recalled
DOMINANT_SHARE = ((2.0, 0.75), (3.0, 0.90))
# EN 1991-1-4:2005, 7.4.3, signboards: force coefficient, offset of the force over the width.
# Standing: second-hand (a public worked example); that an open leaf may be so reckoned is practice.
OPEN_LEAF_COEFFICIENT = 1.8
OPEN_LEAF_OFFSET = 0.25


class ShutLeafPressure(NamedTuple):
    """Worst pressures on a shut leaf, in Pa: one above zero pushes it in, the one below draws it out."""

    inward: float
    outward: float


def edge_zone(crosswind: float, height: float) -> float:
    r"""Length of wall behind an edge over which the wind draws hard.

    .. math:: e = \min(b, 2 h)

    Parameters
    ----------
    crosswind : float
        Breadth of the hut across the wind, above zero. [m]
    height : float
        Height of the hut, above zero. [m]

    Returns
    -------
    float
        Length e: zone A is its first fifth, zone B the rest; NaN outside the law's range. [m]

    Notes
    -----
    Valid for rectangular plans.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.2.2, figure 7.5. Standing: second-hand.

    Examples
    --------
    >>> edge_zone(1.1, 1.2)
    1.1
    """
    if not (0.0 < crosswind < math.inf and 0.0 < height < math.inf):
        return math.nan
    return min(crosswind, 2.0 * height)


def side_coefficient(near: float, far: float, zone: float) -> float:
    r"""Mean pressure coefficient of a strip of wall that the wind passes along.

    .. math:: \bar c = \frac{1}{x_2 - x_1} \int_{x_1}^{x_2} c_{pe}(x) \, dx

    Parameters
    ----------
    near : float
        Distance of the strip's near end from the edge that the wind meets first, 0 or above. [m]
    far : float
        Distance of its far end, above the near one. [m]
    zone : float
        Length e of `edge_zone`. [m]

    Returns
    -------
    float
        Mean of the coefficients of zones A, B and C, NaN outside the law's range. [-]

    Notes
    -----
    Valid for areas of 1 m2 and less on vertical walls.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.2.2, table 7.1. Standing: second-hand.

    Examples
    --------
    >>> round(side_coefficient(0.0, 0.44, 1.1), 2)
    -1.25
    """
    if not (0.0 <= near < far < math.inf and 0.0 < zone < math.inf):
        return math.nan
    total = 0.0
    for start, end, coefficient in (
        (0.0, zone / 5.0, ZONE_A),
        (zone / 5.0, zone, ZONE_B),
        (zone, math.inf, ZONE_C),
    ):
        total += coefficient * max(min(far, end) - max(near, start), 0.0)
    return total / (far - near)


def lee_coefficient(slenderness: float) -> float:
    r"""Pressure coefficient of the wall that the wind leaves.

    Parameters
    ----------
    slenderness : float
        Height of the hut over its depth along the wind, above zero. [-]

    Returns
    -------
    float
        Coefficient, straight between the printed points and level beyond; NaN outside the range. [-]

    Notes
    -----
    Valid for slenderness up to 5; taller things are no huts.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.2.2, table 7.1. Standing: second-hand.

    Examples
    --------
    >>> lee_coefficient(1.0)
    -0.5
    """
    if not 0.0 < slenderness <= ZONE_E[-1][0]:
        return math.nan
    before, low = ZONE_E[0]
    if slenderness <= before:
        return low
    for after, high in ZONE_E[1:]:
        if slenderness <= after:
            return low + (high - low) * (slenderness - before) / (after - before)
        before, low = after, high
    return low


def dominant_internal(external: float, ratio: float) -> float:
    r"""Pressure coefficient inside a hut with most of its openings on one face.

    .. math:: c_{pi} = 0.75\,c_{pe} \ldots 0.90\,c_{pe}

    Parameters
    ----------
    external : float
        Pressure coefficient outside, at those openings. [-]
    ratio : float
        Area of that face's openings over that of all the others, leaks included. [-]

    Returns
    -------
    float
        Coefficient inside; NaN below a ratio of 2, where no face is dominant. [-]

    Notes
    -----
    Valid for a ratio of 2 or above, straight between 2 and 3. An open door is such a face.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.2.9, eqs. (7.1) and (7.2). Standing: recalled.

    Examples
    --------
    >>> dominant_internal(1.0, 4.0)
    0.9
    """
    (few, least), (many, most) = DOMINANT_SHARE
    if not ratio >= few:
        return math.nan
    way = min((ratio - few) / (many - few), 1.0)
    return external * (least + (most - least) * way)


def leaf_pressure(peak_pressure: float, external: float, internal: float) -> float:
    r"""Net pressure on a shut leaf.

    .. math:: w = q_p (c_{pe} - c_{pi})

    Parameters
    ----------
    peak_pressure : float
        Peak velocity pressure. [Pa]
    external : float
        Pressure coefficient outside. [-]
    internal : float
        Pressure coefficient inside. [-]

    Returns
    -------
    float
        Net pressure; above zero it pushes the leaf in. [Pa]

    Notes
    -----
    Valid for huts less than 15 m high, whose size and dynamic factors are 1.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 5.2, eqs. (5.1) and (5.2). Standing: second-hand.

    Examples
    --------
    >>> round(leaf_pressure(500.0, 1.0, -0.3))
    650
    """
    return peak_pressure * (external - internal)


def shut_leaf_pressure(peak_pressure: float, near: float, far: float, zone: float) -> ShutLeafPressure:
    r"""Worst pressures on a shut leaf from any direction of the wind.

    .. math:: w_{in} = q_p (1.0 + 0.3), \quad w_{out} = q_p (\bar c_{side} - 0.2)

    Parameters
    ----------
    peak_pressure : float
        Peak velocity pressure. [Pa]
    near : float
        Distance of the leaf from the nearer side edge of its wall. [m]
    far : float
        Distance of its other side from that same edge. [m]
    zone : float
        Length e of `edge_zone` for wind along the wall. [m]

    Returns
    -------
    ShutLeafPressure
        Pressure inwards and, below zero, outwards. [Pa]

    Notes
    -----
    Valid for a leaf of 1 m2 and less in a vertical wall of a hut without a dominant opening.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.2.2, table 7.1. Standing: second-hand.
    .. [2] EN 1991-1-4:2005, 7.2.9, internal pressure. Standing: recalled.

    Examples
    --------
    >>> [round(each) for each in shut_leaf_pressure(500.0, 0.0, 0.22, 1.1)]
    [650, -800]
    """
    return ShutLeafPressure(
        inward=leaf_pressure(peak_pressure, ZONE_D, INTERNAL_UNDER),
        outward=leaf_pressure(peak_pressure, side_coefficient(near, far, zone), INTERNAL_OVER),
    )


def open_leaf_pressure(peak_pressure: float) -> float:
    r"""Net pressure across an open leaf, to be reckoned both ways.

    .. math:: w = 1.8 q_p

    Parameters
    ----------
    peak_pressure : float
        Peak velocity pressure. [Pa]

    Returns
    -------
    float
        Pressure square to the leaf; either face may be the one pushed. [Pa]

    Notes
    -----
    Valid for a leaf that stands or lies out in the wind, at any angle from about 10 deg from shut; cautious
    where the hut shelters it. The standard has no entry for such a leaf: the one for signboards is used.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.4.3, signboards. Standing: second-hand.
    .. [2] common practice of the trade, an open leaf reckoned as a signboard. Standing: practice.

    Examples
    --------
    >>> open_leaf_pressure(500.0)
    900.0
    """
    return OPEN_LEAF_COEFFICIENT * peak_pressure


def open_leaf_arm(width: float) -> float:
    r"""Worst distance from the hinge at which the wind's force on an open leaf acts.

    .. math:: x = (0.5 + 0.25) b

    Parameters
    ----------
    width : float
        Width of the leaf, from its hinge to its edge. [m]

    Returns
    -------
    float
        Distance from the hinge. [m]

    Notes
    -----
    Valid for a leaf hinged along one side.

    References
    ----------
    .. [1] EN 1991-1-4:2005, 7.4.3, offset of the force. Standing: second-hand.

    Examples
    --------
    >>> round(open_leaf_arm(0.56), 2)
    0.42
    """
    return (0.5 + OPEN_LEAF_OFFSET) * width
