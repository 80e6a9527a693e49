"""From a motor current to counts of the converter, and what one count is worth."""

from __future__ import annotations

import math

# Data sheet of a 5 V open-loop Hall current sensor: sensitivities are given at 5 V; standing: read.
RATED_SUPPLY = 5.0
CENTRE = 0.5


def hall_output(current: float, supply: float, sensitivity: float, zero_ratio: float = CENTRE) -> float:
    r"""Output of a ratiometric current sensor.

    .. math:: U = U_s (z + k I / 5\,\mathrm{V})

    Parameters
    ----------
    current : float
        Current through the sensor, signed. [A]
    supply : float
        Supply of the sensor. [V]
    sensitivity : float
        Rise of the output with the current at a supply of 5 V. [V/A]
    zero_ratio : float
        Output without current, as a share of the supply. [-]

    Returns
    -------
    float
        Output, between 0 and the supply. [V]

    Notes
    -----
    Valid for currents within its range and a supply of 4.5 to 5.5 V; zero and gain follow the supply.
    Total error 1.5 % of the range, typical at 25 degC.

    References
    ----------
    .. [1] data sheet of a 5 V open-loop Hall current sensor, p. 5. Standing: read.

    Examples
    --------
    >>> round(hall_output(2.0, 5.0, 0.185), 2)
    2.87
    """
    output = supply * (zero_ratio + sensitivity * current / RATED_SUPPLY)
    if output < 0.0:
        return 0.0
    return supply if output > supply else output


def converter_counts(voltage: float, reference: float, bits: int = 10) -> int:
    r"""Reading of an analogue-to-digital converter.

    .. math:: n = \lfloor 2^b U / U_{ref} \rfloor

    Parameters
    ----------
    voltage : float
        Voltage at the pin. [V]
    reference : float
        Reference of the converter, above zero. [V]
    bits : int
        Width of the converter. [-]

    Returns
    -------
    int
        Counts, between 0 and the greatest. [-]

    Raises
    ------
    ValueError
        If the voltage is not a number: no count says so.

    Notes
    -----
    Valid for an ideal converter; a real one adds about two counts of error.

    References
    ----------
    .. [1] data sheet of an 8-bit controller family, 10-bit converter. Standing: read.

    Examples
    --------
    >>> converter_counts(2.87, 5.0)
    587
    """
    greatest = (1 << bits) - 1
    if voltage >= reference:
        return greatest
    if voltage <= 0.0:
        return 0
    return min(int((greatest + 1) * (voltage / reference)), greatest)


def current_per_count(reference: float, bits: int, sensitivity: float) -> float:
    r"""Current that one count of the converter stands for.

    .. math:: \Delta I = U_{ref} / (2^b k)

    Parameters
    ----------
    reference : float
        Reference of the converter. [V]
    bits : int
        Width of the converter. [-]
    sensitivity : float
        Rise of the sensor's output with the current. [V/A]

    Returns
    -------
    float
        Current of one count. [A]

    Notes
    -----
    Valid for a sensor fed from the converter's reference, at 5 V; exact.

    References
    ----------
    .. [1] data sheet of an 8-bit controller family, 10-bit converter. Standing: read.

    Examples
    --------
    >>> round(1e3 * current_per_count(5.0, 10, 0.100))
    49
    """
    return reference / ((1 << bits) * sensitivity)


def quantisation_noise(step: float) -> float:
    r"""Effective noise that rounding to steps adds.

    .. math:: \sigma = \Delta / \sqrt{12}

    Parameters
    ----------
    step : float
        Size of one step, in any unit. [-]

    Returns
    -------
    float
        Standard deviation, in the same unit. [-]

    Notes
    -----
    Valid for signals that move over several steps; exact for an error spread evenly over one.

    References
    ----------
    .. [1] elementary physics, uniform error over one step. Standing: derived here.

    Examples
    --------
    >>> round(1e3 * quantisation_noise(5.0 / 1024), 2)
    1.41
    """
    return step / math.sqrt(12.0)
