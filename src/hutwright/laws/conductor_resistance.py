"""Resistance of copper conductors, from tables in ohm per length or from a wire gauge."""

from __future__ import annotations

import math

# IEC 60228:2004, temperature correction factors; standing: second-hand (every cell read fits this rule).
COPPER_COEFFICIENT = 0.004
REFERENCE_TEMPERATURE = 293.15
# American wire gauge formula, copper of 100 % conductivity at 20 degC; standing: recalled, fits the printed
# table of resistances within 0.03 %.
GAUGE_36_DIAMETER = 0.127e-3
ANNEALED_COPPER_RESISTIVITY = 1.7241e-8


def temperature_factor(temperature: float) -> float:
    r"""Resistance of copper relative to its resistance at 20 degC.

    .. math:: R / R_{20} = 1 + 0.004 (T - 293.15)

    Parameters
    ----------
    temperature : float
        Temperature of the conductor. [K]

    Returns
    -------
    float
        Factor on the resistance at 20 degC. [-]

    Notes
    -----
    Valid for 253 to 373 K, within 1 % of the rule with 234.5 degC.
    The standard prints the reciprocal, which brings a measured resistance to 20 degC.

    References
    ----------
    .. [1] IEC 60228:2004, temperature correction factors. Standing: second-hand.

    Examples
    --------
    >>> round(temperature_factor(343.15), 3)
    1.2
    """
    return 1.0 + COPPER_COEFFICIENT * (temperature - REFERENCE_TEMPERATURE)


def conductor_resistance(
    resistance_per_length: float, length: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    r"""Resistance of one copper conductor at its temperature.

    .. math:: R = r_{20} \, l \, (1 + 0.004 (T - 293.15))

    Parameters
    ----------
    resistance_per_length : float
        Resistance of a metre at 20 degC. [ohm/m]
    length : float
        Length of the conductor: twice the cable for a loop of two cores. [m]
    temperature : float
        Temperature of the conductor. [K]

    Returns
    -------
    float
        Resistance. [ohm]

    Notes
    -----
    Valid for direct current and 253 to 373 K, within 1 % of the temperature rule.
    With a value of the standard it is the greatest that a conforming core may have.

    References
    ----------
    .. [1] IEC 60228:2004, tables 1 to 3 and temperature correction factors. Standing: second-hand.

    Examples
    --------
    >>> round(conductor_resistance(13.3e-3, 100.0), 2)
    1.33
    """
    return resistance_per_length * length * (1.0 + COPPER_COEFFICIENT * (temperature - REFERENCE_TEMPERATURE))


def wire_gauge_diameter(gauge: float) -> float:
    r"""Diameter of a solid wire from its American gauge number.

    .. math:: d = 0.127\,\mathrm{mm} \cdot 92^{(36-n)/39}

    Parameters
    ----------
    gauge : float
        Gauge number; the greater the number, the thinner the wire. [-]

    Returns
    -------
    float
        Diameter of the bare wire. [m]

    Notes
    -----
    Valid for gauges 0 to 40; exact by definition.

    References
    ----------
    .. [1] American wire gauge formula, ratio 92 over 39 steps. Standing: recalled.

    Examples
    --------
    >>> round(1e3 * wire_gauge_diameter(36), 3)
    0.127
    """
    return float(GAUGE_36_DIAMETER * 92.0 ** ((36.0 - gauge) / 39.0))


def wire_gauge_resistance_per_length(gauge: float) -> float:
    r"""Resistance of a metre of solid copper wire at 20 degC from its American gauge number.

    .. math:: r_{20} = \rho / (\pi d^2 / 4)

    Parameters
    ----------
    gauge : float
        Gauge number. [-]

    Returns
    -------
    float
        Resistance of a metre. [ohm/m]

    Notes
    -----
    Valid for solid bare copper, gauges 10 to 24, within 0.1 % of the printed table.

    References
    ----------
    .. [1] American wire gauge table of a physics course, copper, 20 degC. Standing: read.

    Examples
    --------
    >>> round(1e3 * wire_gauge_resistance_per_length(14), 2)
    8.29
    """
    diameter = wire_gauge_diameter(gauge)
    return ANNEALED_COPPER_RESISTIVITY / (0.25 * math.pi * diameter * diameter)
