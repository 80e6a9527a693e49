"""The chain of thermal resistances from a junction to the air."""

from __future__ import annotations

import math


def junction_temperature(ambient: float, power: float, resistance: float) -> float:
    r"""Temperature of a junction in steady state.

    .. math:: T_j = T_a + P R_\theta

    Parameters
    ----------
    ambient : float
        Air around the part: that inside the box, not that outside. [K]
    power : float
        Heat of the part. [W]
    resistance : float
        All thermal resistances between junction and air in series. [K/W]

    Returns
    -------
    float
        Temperature of the junction. [K]

    Notes
    -----
    Valid for steady state in free air; a start shorter than some seconds heats less. Within 1 K of the
    printed examples; a sink's own figure is seldom better than 20 %.

    References
    ----------
    .. [1] data sheet of a regulator with reset, p. 7, equations 1 to 3. Standing: read.

    Examples
    --------
    >>> round(junction_temperature(313.15, 2.55, 35.0) - 273.15)
    129
    """
    return ambient + power * resistance


def allowed_power(junction_limit: float, ambient: float, resistance: float) -> float:
    r"""Greatest heat that keeps a junction at its limit.

    .. math:: P = (T_{lim} - T_a) / R_\theta

    Parameters
    ----------
    junction_limit : float
        Greatest temperature of the junction. [K]
    ambient : float
        Air around the part. [K]
    resistance : float
        All thermal resistances between junction and air in series, above zero. [K/W]

    Returns
    -------
    float
        Heat; below zero where the air alone is too hot. [W]

    Notes
    -----
    Valid for steady state in free air.

    References
    ----------
    .. [1] data sheet of a regulator with reset, p. 7, equations 1 to 3. Standing: read.

    Examples
    --------
    >>> round(allowed_power(398.15, 313.15, 50.0), 2)
    1.7
    """
    return (junction_limit - ambient) / resistance


def heat_sink_resistance(
    junction_limit: float, ambient: float, power: float, junction_case: float, case_sink: float
) -> float:
    r"""Greatest thermal resistance that a heat sink may have.

    .. math:: R_{sa} = (T_{lim} - T_a) / P - R_{jc} - R_{cs}

    Parameters
    ----------
    junction_limit : float
        Greatest temperature of the junction. [K]
    ambient : float
        Air around the sink. [K]
    power : float
        Heat of the part, not below zero. [W]
    junction_case : float
        Thermal resistance from junction to case. [K/W]
    case_sink : float
        Thermal resistance from case to sink: 0.5 to 1 greased, 1.5 to 2.5 dry or with a pad. [K/W]

    Returns
    -------
    float
        Greatest resistance, sink to air; 0 or less where no sink suffices, infinite without heat. [K/W]

    Notes
    -----
    Valid for steady state in free air.

    References
    ----------
    .. [1] data sheet of a regulator with reset, p. 7, equations 1 to 3. Standing: read.

    Examples
    --------
    >>> round(heat_sink_resistance(398.15, 298.15, 5.0, 5.0, 1.0), 1)
    14.0
    """
    if power == 0.0:
        return math.inf
    return (junction_limit - ambient) / power - junction_case - case_sink
