"""The straight lines of a direct-current drive: speed and current against force.

Everything here holds for a whole drive along its rod (m/s, N, V s/m, N/A) and, read with rad/s, N m, V s/rad
and N m/A, for a bare motor.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.laws.copper import CELSIUS_ZERO, winding_factor
from hutwright.laws.screw import overhauling_efficiency

ROOM = CELSIUS_ZERO + 20.0  # K; what listings and windings are referred to
FERRITE_COEFFICIENT = -0.002  # 1/K of the flux, at 20 degC; course notes on motors; standing: second-hand
# Friction as a multiple of that at 20 degC: degC, least, usual, greatest. 1.5 at 0 degC and 2 to 3 at
# -20 degC are common practice; the width at 0 degC is ours, for the same doubt. Standing: practice
COLD_FRICTION = ((20.0, 1.0, 1.0, 1.0), (0.0, 1.25, 1.5, 1.75), (-20.0, 2.0, 2.5, 3.0))
_COLDEST = -40.0  # degC


class DriveConstants(NamedTuple):
    """What the straight lines come from."""

    resistance: float  # of winding and brushes. [ohm]
    constant: float  # back-emf over speed. [V s/m]
    force_constant: float  # force on the load over the current that exceeds the friction current. [N/A]
    friction_current: float  # current running free. [A]

    @property
    def efficiency(self) -> float:
        """Share of the motor's force that reaches a load it drives."""
        return self.force_constant / self.constant


class FrictionRange(NamedTuple):
    """Friction as a multiple of that at 20 degC."""

    least: float
    usual: float
    greatest: float


_NONE = DriveConstants(math.nan, math.nan, math.nan, math.nan)


def constants_from_rating(
    voltage: float,
    no_load_speed: float,
    no_load_current: float,
    rated_speed: float,
    rated_current: float,
    rated_force: float,
) -> DriveConstants:
    r"""Constants of a drive from its listing: running free and at full load.

    .. math::
        R = U \frac{v_0 - v_r}{v_0 i_r - v_r i_0}, \quad
        K = U \frac{i_r - i_0}{v_0 i_r - v_r i_0}, \quad K_F = \frac{F_r}{i_r - i_0}

    Parameters
    ----------
    voltage : float
        Voltage of the listing, above zero. [V]
    no_load_speed : float
        Speed running free. [m/s]
    no_load_current : float
        Current running free, not below zero. [A]
    rated_speed : float
        Speed at full load, above zero and below that running free. [m/s]
    rated_current : float
        Current at full load, above that running free. [A]
    rated_force : float
        Force at full load, above zero. [N]

    Returns
    -------
    DriveConstants
        Resistance [ohm], constant [V s/m], force constant [N/A] and friction current [A] at the listing's
        temperature; NaN outside the law's range.

    Notes
    -----
    Valid for straight lines through both points. Listings round: speeds that lie close together leave the
    resistance uncertain by as much as their difference is. An efficiency above 1 shows that a listing
    contradicts itself.

    References
    ----------
    .. [1] course text on direct-current drives, armature equation at two points. Standing: read.

    Examples
    --------
    >>> listing = constants_from_rating(12.0, 0.030, 0.8, 0.022, 2.6, 300.0)
    >>> round(listing.resistance, 2), round(listing.efficiency, 2)
    (1.59, 0.47)
    """
    possible = (
        0.0 < voltage < math.inf
        and 0.0 < rated_speed < no_load_speed < math.inf
        and 0.0 <= no_load_current < rated_current < math.inf
        and 0.0 < rated_force < math.inf
    )
    if not possible:
        return _NONE
    cross = no_load_speed * rated_current - rated_speed * no_load_current
    more = rated_current - no_load_current
    return DriveConstants(
        resistance=voltage * (no_load_speed - rated_speed) / cross,
        constant=voltage * more / cross,
        force_constant=rated_force / more,
        friction_current=no_load_current,
    )


def constants_from_stall(
    voltage: float, no_load_speed: float, no_load_current: float, stall_current: float, stall_force: float
) -> DriveConstants:
    r"""Constants of a drive from its listing: running free and held fast.

    .. math::
        R = U / i_s, \quad K = (U - R i_0) / v_0, \quad K_F = F_s / (i_s - i_0)

    Parameters
    ----------
    voltage : float
        Voltage of the listing, above zero. [V]
    no_load_speed : float
        Speed running free, above zero. [m/s]
    no_load_current : float
        Current running free, not below zero. [A]
    stall_current : float
        Current held fast, above that running free. [A]
    stall_force : float
        Force held fast, above zero. [N]

    Returns
    -------
    DriveConstants
        Resistance [ohm], constant [V s/m], force constant [N/A] and friction current [A] at the listing's
        temperature; NaN outside the law's range.

    Notes
    -----
    Valid for straight lines; a stall force that the frame or a clutch limits is no end of the line.

    References
    ----------
    .. [1] public page on motor parameters, constants of a data sheet. Standing: read.

    Examples
    --------
    >>> constants_from_stall(12.0, 0.03, 0.8, 7.5, 1100.0).resistance
    1.6
    """
    possible = (
        0.0 < voltage < math.inf
        and 0.0 < no_load_speed < math.inf
        and 0.0 <= no_load_current < stall_current < math.inf
        and 0.0 < stall_force < math.inf
    )
    if not possible:
        return _NONE
    resistance = voltage / stall_current
    return DriveConstants(
        resistance=resistance,
        constant=(voltage - resistance * no_load_current) / no_load_speed,
        force_constant=stall_force / (stall_current - no_load_current),
        friction_current=no_load_current,
    )


def magnet_factor(temperature: float) -> float:
    r"""Motor constant with ferrite magnets as a multiple of that at 20 degC.

    .. math:: K / K_{20} = 1 - 0.002 (t - 20)

    Parameters
    ----------
    temperature : float
        Temperature of the magnets. [K]

    Returns
    -------
    float
        Multiple of the motor constant at 20 degC. [-]

    Notes
    -----
    Valid for ferrite at -40 to 100 degC; rare-earth magnets change less.

    References
    ----------
    .. [1] course notes on motors, flux of ferrite magnets. Standing: second-hand.

    Examples
    --------
    >>> round(magnet_factor(273.15 - 20.0), 2)
    1.08
    """
    return 1.0 + FERRITE_COEFFICIENT * (temperature - ROOM)


def cold_friction(temperature: float) -> FrictionRange:
    r"""Friction of a small geared drive as a multiple of that at 20 degC.

    Parameters
    ----------
    temperature : float
        Temperature of the drive's grease. [K]

    Returns
    -------
    FrictionRange
        Least, usual and greatest multiple; 1 above 20 degC, NaN below -40 degC. [-]

    Notes
    -----
    Valid for -40 degC and above, straight between 20, 0 and -20 degC and on to -40 degC. A property of the
    grease: only a trace recorded in the cold narrows it.

    References
    ----------
    .. [1] common practice of the trade, friction of small geared drives in the cold. Standing: practice.

    Examples
    --------
    >>> cold_friction(273.15 - 20.0)
    FrictionRange(least=2.0, usual=2.5, greatest=3.0)
    """
    celsius = temperature - CELSIUS_ZERO
    if not celsius >= _COLDEST:
        return FrictionRange(math.nan, math.nan, math.nan)
    warm, cool, cold = COLD_FRICTION
    before, after = (warm, cool) if celsius >= cool[0] else (cool, cold)
    way = max((before[0] - celsius) / (before[0] - after[0]), 0.0)
    return FrictionRange(*(low + (high - low) * way for low, high in zip(before[1:], after[1:], strict=True)))


def constants_at(constants: DriveConstants, temperature: float, friction: float) -> DriveConstants:
    r"""Constants of a drive in heat and cold.

    .. math::
        R' = R \frac{234.5 + t}{254.5}, \quad K' = K m, \quad K_F' = K_F m, \quad i_0' = i_0 k / m, \quad
        m = 1 - 0.002 (t - 20)

    Parameters
    ----------
    constants : DriveConstants
        At 20 degC. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    temperature : float
        Temperature of winding, magnets and grease alike. [K]
    friction : float
        Friction k as a multiple of that at 20 degC. [-]

    Returns
    -------
    DriveConstants
        The same at that temperature. Resistance [ohm], constant [V s/m], force constant [N/A], friction
        current [A].

    Notes
    -----
    Valid for copper and ferrite at -40 to 100 degC. Friction that goes with the load (the efficiency) is left
    as it is: what is known of cold grease was seen running free.

    References
    ----------
    .. [1] IEC 60028, temperature coefficient of copper. Standing: recalled.
    .. [2] course notes on motors, flux of ferrite magnets. Standing: second-hand.

    Examples
    --------
    >>> cold = constants_at(DriveConstants(1.6, 360.0, 170.0, 0.8), 273.15 - 20.0, 2.5)
    >>> round(cold.resistance, 2), round(cold.friction_current, 2)
    (1.35, 1.85)
    """
    flux = magnet_factor(temperature)
    return DriveConstants(
        resistance=constants.resistance * winding_factor(temperature),
        constant=constants.constant * flux,
        force_constant=constants.force_constant * flux,
        friction_current=constants.friction_current * friction / flux,
    )


def line_current(force: ArrayLike, constants: DriveConstants) -> NDArray[np.float64]:
    r"""Current of a drive that moves against a force, or with one that helps.

    .. math:: i = i_0 + F / K_F \ \ (F \ge 0), \qquad i = i_0 + \eta_b F / K \ \ (F < 0), \quad
        \eta_b = 2 - K / K_F

    Parameters
    ----------
    force : array_like, shape (...)
        Force against the motion; below zero where the load helps. [N]
    constants : DriveConstants
        Of the drive. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].

    Returns
    -------
    numpy.ndarray, shape (...)
        Current. Below zero where the load drives the motor; on a screw that locks, a helping load takes
        current too. [A]

    Notes
    -----
    Valid for steady motion up to the stall. An efficiency above 1 counts as 1 for a load that helps.

    References
    ----------
    .. [1] course text on direct-current drives, torque equation. Standing: read.
    .. [2] elementary physics, the same friction both ways. Standing: derived here.

    Examples
    --------
    >>> round(float(line_current(300.0, DriveConstants(1.6, 360.0, 170.0, 0.8))), 2)
    2.56
    """
    load = np.asarray(force, dtype=np.float64)
    driving, helped = _per_force(constants)
    if driving >= helped:  # the greater of two straight lines, which is quicker to tell than the sign
        return np.asarray(constants.friction_current + np.maximum(load * driving, load * helped))
    return np.asarray(constants.friction_current + load * np.where(load >= 0.0, driving, helped))


def _per_force(constants: DriveConstants) -> tuple[float, float]:
    """Current for a force against the motion, and for one that helps [A/N]."""
    helped = overhauling_efficiency(min(constants.efficiency, 1.0)) / constants.constant
    return 1.0 / constants.force_constant, helped


def line_running(
    force: float, voltage: float, constants: DriveConstants, *, series_resistance: float = 0.0
) -> tuple[float, float]:
    """Speed and current as of `line_speed` and `line_current`, of one force: quick where arrays are short.

    Parameters
    ----------
    force : float
        Force against the motion; below zero where the load helps. [N]
    voltage : float
        Voltage behind all resistances, constant drops taken off and times the duty. [V]
    constants : DriveConstants
        Of the drive. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    series_resistance : float
        Resistance of bridge, cables and supply. [ohm]

    Returns
    -------
    tuple of float
        Speed, 0 where the drive stalls [m/s]; current, as if it did not stall [A].

    Notes
    -----
    Valid for steady motion up to the stall, as those two are.

    References
    ----------
    .. [1] course text on direct-current drives, torque and armature equation. Standing: read.

    Examples
    --------
    >>> speed, current = line_running(300.0, 12.0, DriveConstants(1.6, 360.0, 170.0, 0.8))
    >>> round(speed, 4), round(current, 2)
    (0.0219, 2.56)
    """
    driving, helped = _per_force(constants)
    current = constants.friction_current + force * (driving if force >= 0.0 else helped)
    left = voltage - (constants.resistance + series_resistance) * current
    return max(left, 0.0) / constants.constant, current


def line_speed(
    force: ArrayLike, voltage: ArrayLike, constants: DriveConstants, *, series_resistance: float = 0.0
) -> NDArray[np.float64]:
    r"""Speed of a drive that moves against a force, or with one that helps.

    .. math:: v = (U - (R + R_s) i) / K

    Parameters
    ----------
    force : array_like, shape (...)
        Force against the motion; below zero where the load helps. [N]
    voltage : array_like, shape (...)
        Voltage behind all resistances, constant drops taken off and times the duty. [V]
    constants : DriveConstants
        Of the drive. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    series_resistance : float
        Resistance of bridge, cables and supply. [ohm]

    Returns
    -------
    numpy.ndarray, shape (...)
        Speed; 0 where the drive stalls. [m/s]

    Notes
    -----
    Valid for steady motion; with a duty below 1 where the bridge switches so quickly that the current hardly
    ripples.

    References
    ----------
    .. [1] course text on direct-current drives, armature equation. Standing: read.

    Examples
    --------
    >>> round(float(line_speed(0.0, 12.0, DriveConstants(1.6, 360.0, 170.0, 0.8))), 4)
    0.0298
    """
    current = line_current(force, constants)
    left = np.asarray(voltage, dtype=np.float64) - (constants.resistance + series_resistance) * current
    return np.asarray(np.maximum(left, 0.0) / constants.constant)


def line_stall_force(voltage: float, constants: DriveConstants, *, series_resistance: float = 0.0) -> float:
    r"""Force at which a drive comes to rest.

    .. math:: F_s = K_F (U / (R + R_s) - i_0)

    Parameters
    ----------
    voltage : float
        Voltage behind all resistances, constant drops taken off and times the duty. [V]
    constants : DriveConstants
        Of the drive. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    series_resistance : float
        Resistance of bridge, cables and supply. [ohm]

    Returns
    -------
    float
        Stall force, 0 where the drive does not even move by itself. [N]

    Notes
    -----
    Valid for a drive without clutch or current limit, approached from motion.

    References
    ----------
    .. [1] public page on motor parameters, straight lines to the stall. Standing: read.

    Examples
    --------
    >>> round(line_stall_force(12.0, DriveConstants(1.6, 360.0, 170.0, 0.8)))
    1139
    """
    stall = voltage / (constants.resistance + series_resistance)
    return constants.force_constant * max(stall - constants.friction_current, 0.0)
