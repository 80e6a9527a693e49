"""What a motor bridge takes: saturation voltage of bipolar ones, resistance of MOSFET ones."""

from __future__ import annotations


def drop_line(at_one: float, at_two: float) -> tuple[float, float]:
    r"""Offset and resistance of a saturating bridge from its drops at 1 A and 2 A.

    .. math:: U = U_0 + R I, \quad U_0 = 2 U_1 - U_2, \quad R = (U_2 - U_1) / 1\,\mathrm{A}

    Parameters
    ----------
    at_one : float
        Total drop, source and sink, at 1 A. [V]
    at_two : float
        Total drop, source and sink, at 2 A. [V]

    Returns
    -------
    offset : float
        Drop that does not depend on the current. [V]
    resistance : float
        Rise of the drop with the current. [ohm]

    Notes
    -----
    Valid for 0.5 to 2.5 A in one channel; exact at 1 A and 2 A, below 0.5 A it overstates the drop.

    References
    ----------
    .. [1] data sheet of a dual full-bridge driver, January 2000, table 'Electrical characteristics'.
       Standing: points read, line derived here.

    Examples
    --------
    >>> offset, resistance = drop_line(2.55, 3.7)
    >>> round(offset, 2), round(resistance, 2)
    (1.4, 1.15)
    """
    resistance = at_two - at_one
    return at_one - resistance, resistance


def saturation_drop(current: float, at_one: float, at_two: float) -> float:
    r"""Total drop of one channel of a saturating bridge.

    .. math:: U = U_1 + (U_2 - U_1) (I / 1\,\mathrm{A} - 1)

    Parameters
    ----------
    current : float
        Motor current, not below zero. [A]
    at_one : float
        Total drop, source and sink, at 1 A. [V]
    at_two : float
        Total drop, source and sink, at 2 A. [V]

    Returns
    -------
    float
        Drop between supply and motor. [V]

    Notes
    -----
    Valid for 0.5 to 2.5 A; exact at 1 A and 2 A, below 0.5 A it overstates the drop.

    References
    ----------
    .. [1] data sheet of a dual full-bridge driver, January 2000, table 'Electrical characteristics'.
       Standing: points read, line derived here.

    Examples
    --------
    >>> round(saturation_drop(2.0, 3.2, 4.9), 2)
    4.9
    """
    return at_one + (at_two - at_one) * (current - 1.0)


def paralleled_drop(current: float, channels: float, offset: float, resistance: float) -> float:
    r"""Total drop of a saturating bridge whose channels share the current.

    .. math:: U = U_0 + R I / n

    Parameters
    ----------
    current : float
        Motor current, all channels together, not below zero. [A]
    channels : float
        Number of channels in parallel, at least 1. [-]
    offset : float
        Drop of one channel that does not depend on the current. [V]
    resistance : float
        Rise of the drop of one channel with its current. [ohm]

    Returns
    -------
    float
        Drop between supply and motor. [V]

    Notes
    -----
    Valid for channels that share evenly: those of one package, paired as its data sheet says.
    Paralleling divides the resistive part only; the offset stays.

    References
    ----------
    .. [1] data sheet of a dual full-bridge driver, January 2000, note on channels in parallel.
       Standing: pairing read, formula derived here.

    Examples
    --------
    >>> round(paralleled_drop(2.0, 2, 1.4, 1.15), 2)
    2.55
    """
    return offset + resistance * current / channels


def fet_bridge_loss(current: float, resistance_high: float, resistance_low: float) -> float:
    r"""Heat of a MOSFET bridge that conducts and does not chop.

    .. math:: P = I^2 (R_{high} + R_{low})

    Parameters
    ----------
    current : float
        Motor current. [A]
    resistance_high : float
        Resistance of the upper switch, hot. [ohm]
    resistance_low : float
        Resistance of the lower switch, hot. [ohm]

    Returns
    -------
    float
        Heat in the bridge. [W]

    Notes
    -----
    Valid for full duty; a chopping bridge adds `fet_chopping_loss`. Hot resistances are 1.3 to 1.7 times
    those printed for 25 degC.

    References
    ----------
    .. [1] data sheet of a switching controller, design part, MOSFET losses. Standing: read.

    Examples
    --------
    >>> round(fet_bridge_loss(5.0, 0.010, 0.010), 3)
    0.5
    """
    return current * current * (resistance_high + resistance_low)


def fet_chopping_loss(
    voltage: float, current: float, frequency: float, edge_time: float, dead_time: float, diode_drop: float
) -> float:
    r"""Heat that a MOSFET bridge adds when it chops.

    .. math:: P = \tfrac12 U I t_e f + U_d I t_d f

    Parameters
    ----------
    voltage : float
        Supply of the bridge. [V]
    current : float
        Motor current. [A]
    frequency : float
        Chopping frequency. [Hz]
    edge_time : float
        Rise time and fall time together. [s]
    dead_time : float
        Time in each period that the current flows through a diode. [s]
    diode_drop : float
        Drop of that diode. [V]

    Returns
    -------
    float
        Heat beside that of conduction. [W]

    Notes
    -----
    Valid for hard switching, within about 30 %; it leaves out gate charge and recovery of the diode.

    References
    ----------
    .. [1] data sheet of a switching controller, design part, MOSFET losses. Standing: read.

    Examples
    --------
    >>> round(fet_chopping_loss(12.0, 5.0, 20e3, 200e-9, 1e-6, 0.8), 3)
    0.2
    """
    return (0.5 * voltage * edge_time + diode_drop * dead_time) * current * frequency
