"""How a material holds and loses a radio wave: its relative permittivity.

Waves go as exp(-i w t) throughout, so a loss is a positive imaginary part.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

LIGHT_SPEED = 299_792_458.0  # SI Brochure, 9th edition, section 2.2, exact; standing: read [m/s]
VACUUM_PERMITTIVITY = 8.8541878128e-12  # CODATA 2018, electric constant; standing: recalled [F/m]
GIGAHERTZ = 1e9


def permittivity_of_fit(
    frequency: ArrayLike, a: float, b: float, c: float, d: float
) -> NDArray[np.complex128]:
    r"""Relative permittivity of a building material from its fit over frequency.

    .. math:: \eta' = a f^b, \quad \sigma = c f^d, \quad
        \epsilon = \eta' + i \frac{\sigma}{2 \pi f \epsilon_0} \quad (f \text{ in GHz in the powers})

    Parameters
    ----------
    frequency : array
        Frequency. [Hz]
    a : float
        Real part at 1 GHz. [-]
    b : float
        Exponent of the real part. [-]
    c : float
        Conductivity at 1 GHz. [S/m]
    d : float
        Exponent of the conductivity. [-]

    Returns
    -------
    array
        Relative permittivity; its imaginary part is positive where the material absorbs. [-]

    Notes
    -----
    Valid for the range of frequencies of the row of the table that the four numbers come from. The
    recommendation writes waves as exp(+i w t), and its imaginary part negative.

    References
    ----------
    .. [1] ITU-R P.2040-3, section 3, table 3. Standing: second-hand, from two public transcriptions.

    Examples
    --------
    >>> round(complex(permittivity_of_fit(1.57542e9, 1.99, 0.0, 0.0047, 1.0718)).imag, 4)
    0.0873
    """
    at = np.asarray(frequency, dtype=float)
    conductivity = c * (at / GIGAHERTZ) ** d
    imaginary = conductivity / (2.0 * math.pi * at * VACUUM_PERMITTIVITY)
    return np.asarray(a * (at / GIGAHERTZ) ** b + 1j * imaginary)


def conductivity_of_fit(frequency: ArrayLike, c: float, d: float) -> NDArray[np.float64]:
    r"""Conductivity of a building material from its fit over frequency.

    .. math:: \sigma = c f^d \quad (f \text{ in GHz})

    Parameters
    ----------
    frequency : array
        Frequency. [Hz]
    c : float
        Conductivity at 1 GHz. [S/m]
    d : float
        Exponent. [-]

    Returns
    -------
    array
        Conductivity. [S/m]

    Notes
    -----
    Valid for the range of frequencies of the row of the table that the two numbers come from.

    References
    ----------
    .. [1] ITU-R P.2040-3, section 3, table 3. Standing: second-hand, from two public transcriptions.

    Examples
    --------
    >>> round(float(conductivity_of_fit(9e9, 0.0047, 1.0718)), 6)
    0.049528
    """
    return np.asarray(c * (np.asarray(frequency, dtype=float) / GIGAHERTZ) ** d)


def permittivity_of_loss_tangent(real: float, loss_tangent: float) -> complex:
    r"""Relative permittivity from its real part and the loss tangent.

    .. math:: \epsilon = \epsilon' (1 + i \tan \delta)

    Parameters
    ----------
    real : float
        Real part. [-]
    loss_tangent : float
        Loss tangent. [-]

    Returns
    -------
    complex
        Relative permittivity. [-]

    Notes
    -----
    Valid for any absorbing material; a definition.

    References
    ----------
    .. [1] Definition of the loss tangent. Standing: derived here.

    Examples
    --------
    >>> permittivity_of_loss_tangent(2.0, 0.5)
    (2+1j)
    """
    return complex(real, real * loss_tangent)


def mixed_permittivity(permittivity: complex, share: float) -> complex:
    r"""Relative permittivity of a material with much air in it, by mixing refractive indices.

    .. math:: \sqrt{\epsilon_m} = 1 + v (\sqrt{\epsilon} - 1)

    Parameters
    ----------
    permittivity : complex
        Relative permittivity of the solid. [-]
    share : float
        Its share of the volume, 0 to 1. [-]

    Returns
    -------
    complex
        Relative permittivity of the whole. [-]

    Notes
    -----
    Valid for hollow or foamed material whose cells are small against the wavelength, within about 10 %.

    References
    ----------
    .. [1] Refractive (Birchak) mixing. Standing: recalled.

    Examples
    --------
    >>> round(mixed_permittivity(4.0 + 0.0j, 0.5).real, 2)
    2.25
    """
    return complex((1.0 + share * (np.sqrt(complex(permittivity)) - 1.0)) ** 2)
