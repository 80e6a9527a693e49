"""Exact fields behind a hole in a screen, to hold a sum of patches to."""

from __future__ import annotations

import cmath
import math


def circular_aperture_field(radius: float, distance: float, wavelength: float) -> complex:
    r"""Field on the axis of a round hole that a plane wave meets squarely: first Rayleigh-Sommerfeld form.

    .. math:: U = e^{ikz} - \frac{z}{R} e^{ikR}, \quad R = \sqrt{z^2 + a^2}

    Parameters
    ----------
    radius : float
        Of the hole. [m]
    distance : float
        From the hole along its axis. [m]
    wavelength : float
        Wavelength. [m]

    Returns
    -------
    complex
        Field over that of the open wave in the plane of the hole. [-]

    Notes
    -----
    Valid for a scalar wave and a screen on which the field is nought; exact then.

    References
    ----------
    .. [1] Osterberg and Smith, Journal of the Optical Society of America 51 (1961). Standing: recalled;
       confirmed by quadrature.

    Examples
    --------
    >>> round(abs(circular_aperture_field(0.30, 0.50, 299792458.0 / 1575.42e6)), 6)
    1.821066
    """
    k, slant = 2.0 * math.pi / wavelength, math.hypot(distance, radius)
    return cmath.exp(1j * k * distance) - distance / slant * cmath.exp(1j * k * slant)


def circular_aperture_field_kirchhoff(radius: float, distance: float, wavelength: float) -> complex:
    r"""Field on the axis of a round hole that a plane wave meets squarely: Kirchhoff's form.

    .. math:: U = e^{ikz} - \frac12 \left(1 + \frac{z}{R}\right) e^{ikR}, \quad R = \sqrt{z^2 + a^2}

    Parameters
    ----------
    radius : float
        Of the hole. [m]
    distance : float
        From the hole along its axis. [m]
    wavelength : float
        Wavelength. [m]

    Returns
    -------
    complex
        Field over that of the open wave in the plane of the hole. [-]

    Notes
    -----
    Valid for a scalar wave and an absorbing screen; exact then, and the mean of the two other forms.

    References
    ----------
    .. [1] Goodman, Introduction to Fourier Optics, section 3.5, for the three forms. Standing: recalled.
    .. [2] Both integrals on the axis are elementary. Standing: derived here.

    Examples
    --------
    >>> round(abs(circular_aperture_field_kirchhoff(0.15, 0.50, 299792458.0 / 1575.42e6)), 3)
    0.704
    """
    k, slant = 2.0 * math.pi / wavelength, math.hypot(distance, radius)
    share = 0.5 * (1.0 + distance / slant)
    return cmath.exp(1j * k * distance) - share * cmath.exp(1j * k * slant)
