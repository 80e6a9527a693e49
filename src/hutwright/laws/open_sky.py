"""How strongly a satellite is heard under an open sky."""

from __future__ import annotations

from math import inf, log10, nan, pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

LIGHT_SPEED = 299_792_458.0  # m/s; definition
BOLTZMANN = 1.380649e-23  # J/K; definition
# dB-Hz overhead. "45 to 50 strong or at the zenith": a glossary of satellite navigation, and two receiver
# manuals; a worked link budget gives 45.4 with an isotropic antenna; standing: read.
ZENITH_DENSITY_DB = 45.0


def open_sky_density_db(
    field_share: ArrayLike, zenith_db: ArrayLike = ZENITH_DENSITY_DB
) -> NDArray[np.float64]:
    r"""Carrier over noise density of a satellite under an open sky.

    .. math:: C/N_0 = Z + 20 \lg g

    Parameters
    ----------
    field_share : array_like, shape (...)
        Field that the antenna takes in from the satellite's direction over that from the zenith. [-]
    zenith_db : array_like, shape (...)
        Value at the zenith. [dB-Hz]

    Returns
    -------
    numpy.ndarray, shape (...)
        Carrier to noise density, minus infinity where nothing is heard. [dB-Hz]

    Notes
    -----
    Valid for open ground, the first frequency of each system and a healthy receiver. The satellites shape
    their beams so that a like power comes from every elevation; what remains is the antenna's own pattern.
    With a patch it runs from 45 dB-Hz at the zenith to 40 at 5 deg. Within 4 dB for any one satellite, within
    2 dB on average: systems and satellites differ by as much.

    References
    ----------
    .. [1] glossary of satellite navigation and two receiver manuals: 45 to 50 dB-Hz at the zenith, 35 to 45
       low down. Standing: read.

    Examples
    --------
    >>> round(float(open_sky_density_db(0.5)), 1)
    39.0
    """
    with np.errstate(divide="ignore"):
        return np.asarray(zenith_db + 20.0 * np.log10(np.asarray(field_share, dtype=float)))


def link_density_db(
    power_dbw: float,
    gain_db: float,
    distance: float,
    frequency: float,
    losses_db: float,
    noise_temperature: float,
) -> float:
    r"""Carrier over noise density by a link budget, for an isotropic antenna on the ground.

    .. math:: C/N_0 = P + G - 20 \lg \frac{4 \pi d f}{c} - L - 10 \lg k T

    Parameters
    ----------
    power_dbw : float
        Power of the sender. [dBW]
    gain_db : float
        Gain of its antenna towards the place. [dB]
    distance : float
        From the satellite to the place, above zero. [m]
    frequency : float
        Of the carrier, above zero. [Hz]
    losses_db : float
        Polarisation, mismatch and air. [dB]
    noise_temperature : float
        Of the receiver with its antenna, above zero. [K]

    Returns
    -------
    float
        Carrier to noise density, NaN outside the law's range. [dB-Hz]

    Notes
    -----
    Valid for free space. Exact.

    References
    ----------
    .. [1] course page "GNSS link and receiver-noise analysis". Standing: read.

    Examples
    --------
    >>> round(link_density_db(16.5, 11.8, 20_180e3, 1575.42e6, 4.0, 316.0), 1)
    45.4
    """
    if not all(0.0 < each < inf for each in (distance, frequency, noise_temperature)):
        return nan
    spread_db = 20.0 * log10(4.0 * pi * distance * frequency / LIGHT_SPEED)
    return power_dbw + gain_db - spread_db - losses_db - 10.0 * log10(BOLTZMANN * noise_temperature)
