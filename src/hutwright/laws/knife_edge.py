"""What a straight edge in the way costs."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

LEAST = -0.78  # ITU-R P.526-15, section 4.1: below it the loss counts as nothing; standing: second-hand [-]


def knife_edge_measure(height: float, distance: float, beyond: float, wavelength: float) -> float:
    r"""How far an edge reaches into the way, in the measure of diffraction.

    .. math:: \nu = h \sqrt{\frac{2}{\lambda} \left(\frac{1}{d_1} + \frac{1}{d_2}\right)}

    Parameters
    ----------
    height : float
        Of the edge over the straight line between the ends, below it negative. [m]
    distance : float
        From one end to the edge. [m]
    beyond : float
        From the edge to the other end; infinite for a satellite. [m]
    wavelength : float
        Wavelength. [m]

    Returns
    -------
    float
        The measure; NaN where a distance is not above zero. [-]

    Notes
    -----
    Valid for edges that are far from both ends against their height, and long across the way.

    References
    ----------
    .. [1] ITU-R P.526-15, section 4.1, eq. (26). Standing: second-hand.

    Examples
    --------
    >>> round(knife_edge_measure(0.5, 10.0, math.inf, 0.19), 3)
    0.513
    """
    if not (distance > 0.0 and beyond > 0.0 and wavelength > 0.0):
        return math.nan
    return height * math.sqrt(2.0 / wavelength * (1.0 / distance + 1.0 / beyond))


def knife_edge_loss_db(measure: ArrayLike) -> NDArray[np.float64]:
    r"""Loss behind a straight edge.

    .. math:: J = 6.9 + 20 \lg \left(\sqrt{(\nu - 0.1)^2 + 1} + \nu - 0.1\right)

    Parameters
    ----------
    measure : array
        How far the edge reaches into the way; 0 at the straight line. [-]

    Returns
    -------
    array
        Loss, nothing below -0.78. [dB]

    Notes
    -----
    Valid for a single absorbing edge; within 0.15 dB of the Fresnel integral up to a measure of 5.

    References
    ----------
    .. [1] ITU-R P.526-15, section 4.1, eq. (31). Standing: second-hand.

    Examples
    --------
    >>> round(float(knife_edge_loss_db(0.0)), 2)
    6.03
    """
    nu = np.asarray(measure, dtype=float)
    above = np.maximum(nu, LEAST) - 0.1
    loss = 6.9 + 20.0 * np.log10(np.hypot(above, 1.0) + above)
    return np.asarray(np.where(nu > LEAST, np.maximum(loss, 0.0), np.where(np.isnan(nu), np.nan, 0.0)))
