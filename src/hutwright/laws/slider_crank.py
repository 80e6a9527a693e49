"""A crank that moves a slide through a rod: where the slide is, and how fast everything moves."""

from __future__ import annotations

import math
from typing import NamedTuple


class SlideMotion(NamedTuple):
    """Place and motion of slide and rod."""

    position: float  # of the slide, from the crank's axis along its way. [m]
    rod_angle: float  # of the rod, from the crank's end towards the slide, against the way. [rad]
    speed: float  # of the slide. [m/s]
    rod_rate: float  # turning of the rod. [rad/s]


def slider_crank(crank: float, rod: float, angle: float, rate: float, *, offset: float = 0.0) -> SlideMotion:
    r"""Place and speed of a slide that a crank moves through a rod.

    .. math::
        a \sin\theta + b \sin\varphi = e, \quad x = a \cos\theta + b \cos\varphi, \quad
        \dot\varphi = -\frac{a \omega \cos\theta}{b \cos\varphi}, \quad
        \dot x = -a \omega \sin\theta - b \dot\varphi \sin\varphi

    Parameters
    ----------
    crank : float
        Length of the crank, above zero. [m]
    rod : float
        Length of the rod, above zero. [m]
    angle : float
        Angle of the crank from the slide's way. [rad]
    rate : float
        Turning of the crank. [rad/s]
    offset : float
        Distance of the slide's way from the crank's axis, towards rising angles. [m]

    Returns
    -------
    SlideMotion
        Position [m], rod angle [rad], speed [m/s] and rod rate [rad/s]; NaN where the rod does not reach the
        way or stands square to it.

    Notes
    -----
    Valid for the slide ahead of the crank's end (the other way of putting the same lengths together is its
    mirror image). Exact.

    References
    ----------
    .. [1] elementary physics, triangle of crank, rod and slide. Standing: derived here.

    Examples
    --------
    >>> motion = slider_crank(0.12, 0.26, math.radians(65.0), 1.6)
    >>> round(motion.position, 5), round(motion.rod_angle, 5)
    (0.28688, -0.43157)
    """
    sine = (offset - crank * math.sin(angle)) / rod if crank > 0.0 and rod > 0.0 else math.nan
    if not abs(sine) < 1.0:
        return SlideMotion(math.nan, math.nan, math.nan, math.nan)
    rod_angle = math.asin(sine)
    along = rod * math.cos(rod_angle)
    rod_rate = -crank * rate * math.cos(angle) / along
    return SlideMotion(
        position=crank * math.cos(angle) + along,
        rod_angle=rod_angle,
        speed=-crank * rate * math.sin(angle) - rod * rod_rate * sine,
        rod_rate=rod_rate,
    )
