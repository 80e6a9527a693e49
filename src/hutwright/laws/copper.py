"""Copper windings in heat and cold."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Temperature = TypeVar("Temperature", float, NDArray[np.float64])

CELSIUS_ZERO = 273.15  # SI Brochure, 9th edition, section 2.3.1; standing: read
COPPER_ZERO = (
    234.5  # IEC 60028: the resistance line of copper meets nought at -234.5 degC; standing: recalled
)


def winding_factor(temperature: Temperature) -> Temperature:
    r"""Resistance of a copper winding as a multiple of that at 20 degC.

    .. math:: R / R_{20} = (234.5 + t) / 254.5, \quad t = T - 273.15

    Parameters
    ----------
    temperature : float or ndarray
        Temperature of the winding. [K]

    Returns
    -------
    float or ndarray
        Multiple of the resistance at 20 degC. [-]

    Notes
    -----
    Valid for -50 to 150 degC, within 0.5 % for annealed copper.

    References
    ----------
    .. [1] IEC 60028, constant-mass temperature coefficient of copper, 0.393 %/K at 20 degC.
       Standing: recalled.

    Examples
    --------
    >>> round(winding_factor(273.15 - 20.0), 3)
    0.843
    """
    return (COPPER_ZERO + temperature - CELSIUS_ZERO) / (COPPER_ZERO + 20.0)
