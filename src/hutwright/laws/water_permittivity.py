"""Relative permittivity of liquid water and of snow, dry and wet; losses are positive imaginary parts."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

GIGAHERTZ = 1e9
FREEZING = 273.15  # SI Brochure, 9th edition, section 2.3.1; standing: read [K]
# ITU-R P.527-6, section 5.1.1, eqs (8) to (13); standing: second-hand, from two public codes
STATIC = (77.66, 103.3)
MIDDLE = 0.0671
FAST = (3.52, -7.52)
FIRST_GIGAHERTZ = (20.20, -146.4, 316.0)
SECOND = 39.8
# Public code to Ulaby and Long, Microwave Radar and Radiometric Remote Sensing, 4.6; standing: second-hand
SNOW_RELAXATION_GIGAHERTZ = 9.07
WATER_DENSITY = 1000.0  # of the snow formulas, which count in g/cm3 [kg/m3]


def water_permittivity(frequency: ArrayLike, temperature: float = FREEZING) -> NDArray[np.complex128]:
    r"""Relative permittivity of pure liquid water, with two relaxations.

    .. math:: \epsilon = \epsilon_\infty + \frac{\epsilon_s - \epsilon_1}{1 - i f / f_1}
        + \frac{\epsilon_1 - \epsilon_\infty}{1 - i f / f_2}

    Parameters
    ----------
    frequency : array
        Frequency. [Hz]
    temperature : float
        Of the water. [K]

    Returns
    -------
    array
        Relative permittivity. [-]

    Notes
    -----
    Valid for 1 to 1000 GHz and -4 to 40 degC, within a few per cent. Water is worst when cold: a film at the
    freezing point loses about twice what it loses at 25 degC.

    References
    ----------
    .. [1] ITU-R P.527-6, section 5.1.1, eqs (6) to (13). Standing: second-hand.

    Examples
    --------
    >>> round(complex(water_permittivity(1.57542e9)).imag, 1)
    14.1
    """
    f = np.asarray(frequency, dtype=float) / GIGAHERTZ
    theta = 300.0 / temperature - 1.0
    static = STATIC[0] + STATIC[1] * theta
    middle = MIDDLE * static
    fast = FAST[0] + FAST[1] * theta
    first = FIRST_GIGAHERTZ[0] + FIRST_GIGAHERTZ[1] * theta + FIRST_GIGAHERTZ[2] * theta**2
    slow_part = (static - middle) / (1.0 - 1j * f / first)
    return np.asarray(fast + slow_part + (middle - fast) / (1.0 - 1j * f / (SECOND * first)))


def dry_snow_permittivity(density: float) -> float:
    r"""Relative permittivity of dry snow, whose loss is nothing here.

    .. math:: \epsilon' = 1 + 1.7 \rho + 0.7 \rho^2 \quad (\rho \text{ in g/cm}^3)

    Parameters
    ----------
    density : float
        Of the snow. [kg/m3]

    Returns
    -------
    float
        Relative permittivity, real. [-]

    Notes
    -----
    Valid for 0 to 600 kg/m3 and 10 MHz to 20 GHz, within 3 %.

    References
    ----------
    .. [1] A thesis on snow that quotes Tiuri and others (1984). Standing: second-hand.

    Examples
    --------
    >>> dry_snow_permittivity(200.0)
    1.368
    """
    rho = density / WATER_DENSITY
    return 1.0 + 1.7 * rho + 0.7 * rho**2


def wet_snow_permittivity(frequency: float, density: float, wetness: float) -> complex:
    r"""Relative permittivity of wet snow, by the modified Debye form.

    .. math:: \epsilon' = A_1 (1 + 1.83 \rho + 0.02 m^{1.015}) + B_1 + \frac{0.073 A_1 m^{1.31}}{1 + x^2},
        \quad \epsilon'' = \frac{0.073 A_2 x m^{1.31}}{1 + x^2}, \quad x = f / 9.07

    with m in per cent by volume, f in GHz, the density in g/cm3 and three short polynomials in f.

    Parameters
    ----------
    frequency : float
        Frequency. [Hz]
    density : float
        Of the snow without its water. [kg/m3]
    wetness : float
        Share of the volume that is liquid water, 0 to 0.12. [-]

    Returns
    -------
    complex
        Relative permittivity. [-]

    Notes
    -----
    Valid for 3 to 15 GHz, 90 to 380 kg/m3; at the satellites' 1.6 GHz it is extrapolated, and its loss
    is a rough one. Without water, use `dry_snow_permittivity`.

    References
    ----------
    .. [1] Ulaby and Long, Microwave Radar and Radiometric Remote Sensing, section 4.6, in its public code.
       Standing: second-hand.

    Examples
    --------
    >>> round(wet_snow_permittivity(5.5e9, 300.0, 0.05).imag, 2)
    0.26
    """
    f, rho, m = frequency / GIGAHERTZ, density / WATER_DENSITY, 100.0 * wetness
    if not (f > 0.0 and rho >= 0.0 and m >= 0.0):
        return complex(math.nan, math.nan)
    a1 = 0.78 + 0.03 * f - 0.00058 * f**2
    a2 = 0.97 - 0.0039 * f + 0.00039 * f**2
    b1 = 0.31 - 0.05 * f + 0.00087 * f**2
    x = f / SNOW_RELAXATION_GIGAHERTZ
    liquid = 0.073 * m**1.31 / (1.0 + x**2)
    return complex(a1 * (1.0 + 1.83 * rho + 0.02 * m**1.015) + b1 + a1 * liquid, a2 * x * liquid)
