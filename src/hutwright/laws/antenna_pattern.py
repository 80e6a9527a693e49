"""How strongly an antenna that looks up hears from each elevation, as a ratio of fields; 1 at the zenith."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

# Small helices hear about 3 to 4 dB less at 10 deg than at the zenith: the power of the cardioid that fits.
# Standing: practice [-]
HELIX_POWER = 0.8


def cardioid(sine: ArrayLike) -> NDArray[np.float64]:
    r"""Field pattern of a heart-shaped antenna that looks up, such as a small patch on the body of a machine.

    .. math:: g = (1 + \sin \epsilon) / 2

    Parameters
    ----------
    sine : array
        Sine of the elevation, -1 to 1. [-]

    Returns
    -------
    array
        Field over that from the zenith. [-]

    Notes
    -----
    Valid for patches of 20 to 35 mm on a body of about a wavelength, within some 2 dB above 10 deg: 4.6 dB
    down at 10 deg, 6 dB at the horizon, nothing from below.

    References
    ----------
    .. [1] common practice for small satellite antennas. Standing: practice.

    Examples
    --------
    >>> float(cardioid(0.0))
    0.5
    """
    return np.asarray((1.0 + np.asarray(sine, dtype=float)) / 2.0)


def helix(sine: ArrayLike) -> NDArray[np.float64]:
    r"""Field pattern of a small helix that looks up.

    .. math:: g = ((1 + \sin \epsilon) / 2)^{0.8}

    Parameters
    ----------
    sine : array
        Sine of the elevation, -1 to 1. [-]

    Returns
    -------
    array
        Field over that from the zenith. [-]

    Notes
    -----
    Valid for four-armed helices of a few centimetres; within some 2 dB above 10 deg.

    References
    ----------
    .. [1] common practice for small satellite antennas, 3 to 4 dB down at 10 deg. Standing: practice.

    Examples
    --------
    >>> round(20.0 * float(np.log10(helix(np.sin(np.radians(10.0))))), 1)
    -3.7
    """
    return np.asarray(np.maximum(cardioid(sine), 0.0) ** HELIX_POWER)


def isotropic(sine: ArrayLike) -> NDArray[np.float64]:
    r"""Field pattern of an antenna that hears alike from everywhere.

    .. math:: g = 1

    Parameters
    ----------
    sine : array
        Sine of the elevation, -1 to 1. [-]

    Returns
    -------
    array
        Field over that from the zenith. [-]

    Notes
    -----
    Valid for comparisons; no antenna is one.

    References
    ----------
    .. [1] Definition. Standing: derived here.

    Examples
    --------
    >>> float(isotropic(0.3))
    1.0
    """
    return np.ones(np.shape(sine))
