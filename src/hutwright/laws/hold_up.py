"""How long a capacitor carries a load, and which capacitor a time needs."""

from __future__ import annotations

import math


def constant_power_time(capacitance: float, before: float, after: float, power: float) -> float:
    r"""Time that a capacitor feeds a load of constant power.

    .. math:: t = C (U_1^2 - U_2^2) / (2 P)

    Parameters
    ----------
    capacitance : float
        Capacitance, with its tolerance and cold already taken off. [F]
    before : float
        Voltage at the start. [V]
    after : float
        Least voltage that the load stands. [V]
    power : float
        Power of the load, not below zero. [W]

    Returns
    -------
    float
        Time; 0 where the start is already too low, infinite without load. [s]

    Notes
    -----
    Valid for a load behind a switching regulator; exact for an ideal capacitor. Take 20 % off the printed
    capacitance, more when cold and old.

    References
    ----------
    .. [1] public pages on hold-up capacitors, constant power. Standing: second-hand.

    Examples
    --------
    >>> round(1e3 * constant_power_time(114.3e-6, 400.0, 300.0, 200.0))
    20
    """
    if before <= after:
        return 0.0 * (capacitance + power)
    return _shared_out(0.5 * capacitance * (before * before - after * after), power)


def constant_power_capacitance(time: float, before: float, after: float, power: float) -> float:
    r"""Capacitance that feeds a load of constant power for a time.

    .. math:: C = 2 P t / (U_1^2 - U_2^2)

    Parameters
    ----------
    time : float
        Time to bridge. [s]
    before : float
        Voltage at the start. [V]
    after : float
        Least voltage that the load stands. [V]
    power : float
        Power of the load. [W]

    Returns
    -------
    float
        Capacitance, tolerance not yet added; infinite where the start is already too low. [F]

    Notes
    -----
    Valid for a load behind a switching regulator; exact for an ideal capacitor.

    References
    ----------
    .. [1] public pages on hold-up capacitors, constant power. Standing: second-hand.

    Examples
    --------
    >>> round(1e6 * constant_power_capacitance(20e-3, 400.0, 300.0, 200.0))
    114
    """
    if before <= after:
        return math.inf
    return 2.0 * power * time / (before * before - after * after)


def constant_current_time(capacitance: float, before: float, after: float, load: float) -> float:
    r"""Time that a capacitor feeds a load of constant current.

    .. math:: t = C (U_1 - U_2) / I

    Parameters
    ----------
    capacitance : float
        Capacitance, with its tolerance and cold already taken off. [F]
    before : float
        Voltage at the start. [V]
    after : float
        Least voltage that the load stands: behind a linear regulator its output plus the dropout. [V]
    load : float
        Current of the load, not below zero. [A]

    Returns
    -------
    float
        Time; 0 where the start is already too low, infinite without load. [s]

    Notes
    -----
    Valid for a load behind a linear regulator; exact for an ideal capacitor.

    References
    ----------
    .. [1] public pages on hold-up capacitors, constant current. Standing: second-hand.

    Examples
    --------
    >>> round(1e3 * constant_current_time(1000e-6, 11.0, 7.0, 0.08))
    50
    """
    if before <= after:
        return 0.0 * (capacitance + load)
    return _shared_out(capacitance * (before - after), load)


def constant_current_capacitance(time: float, before: float, after: float, load: float) -> float:
    r"""Capacitance that feeds a load of constant current for a time.

    .. math:: C = I t / (U_1 - U_2)

    Parameters
    ----------
    time : float
        Time to bridge. [s]
    before : float
        Voltage at the start. [V]
    after : float
        Least voltage that the load stands. [V]
    load : float
        Current of the load. [A]

    Returns
    -------
    float
        Capacitance, tolerance not yet added; infinite where the start is already too low. [F]

    Notes
    -----
    Valid for a load behind a linear regulator; exact for an ideal capacitor.

    References
    ----------
    .. [1] public pages on hold-up capacitors, constant current. Standing: second-hand.

    Examples
    --------
    >>> round(1e6 * constant_current_capacitance(50e-3, 11.0, 7.0, 0.08))
    1000
    """
    if before <= after:
        return math.inf
    return load * time / (before - after)


def stored_energy_share(before: float, after: float) -> float:
    r"""Share of its stored energy that a capacitor gives between two voltages.

    .. math:: s = 1 - (U_2 / U_1)^2

    Parameters
    ----------
    before : float
        Voltage at the start, above zero. [V]
    after : float
        Voltage at the end. [V]

    Returns
    -------
    float
        Share of the energy at the start. [-]

    Notes
    -----
    Valid for an ideal capacitor; exact.

    References
    ----------
    .. [1] public pages on hold-up capacitors, energy. Standing: second-hand.

    Examples
    --------
    >>> round(stored_energy_share(390.0, 300.0), 3)
    0.408
    """
    ratio = after / before
    return 1.0 - ratio * ratio


def reservoir_voltage(time: float, start: float, load: float, capacitance: float) -> float:
    r"""Voltage of a reservoir behind a blocking diode while its supply is down.

    .. math:: U = \max(0, U_0 - I t / C)

    Parameters
    ----------
    time : float
        Time since the supply fell below the reservoir. [s]
    start : float
        Voltage at that moment: the supply before, less the diode. [V]
    load : float
        Constant current of the load. [A]
    capacitance : float
        Capacitance, with its tolerance and cold already taken off, above zero. [F]

    Returns
    -------
    float
        Voltage, never below zero. [V]

    Notes
    -----
    Valid for a load behind a linear regulator and a diode that lets nothing back.

    References
    ----------
    .. [1] public pages on hold-up capacitors, constant current. Standing: second-hand.

    Examples
    --------
    >>> round(reservoir_voltage(0.05, 11.0, 0.08, 1000e-6), 2)
    7.0
    """
    voltage = start - load * time / capacitance
    return 0.0 if voltage < 0.0 else voltage


def _shared_out(amount: float, rate: float) -> float:
    """The time in which a rate uses up an amount, infinite for no rate at all."""
    if rate == 0.0:
        return math.inf + 0.0 * amount
    return amount / rate
