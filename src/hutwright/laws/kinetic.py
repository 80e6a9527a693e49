"""Energy of a moving leaf and of the rotor behind it, and the times that keep it low."""

from __future__ import annotations

import math

LOW_ENERGY = 1.69  # J; EN 16005, annex F, and ANSI/BHMA A156.19-1997, 4.5; standing: second-hand
_TENTH = 10.0  # times are rounded up to the tenth of a second
_ROUNDING = 1e-9  # tenths; a time that is a tenth but for floating point is not rounded up

# m/s2; standard acceleration of free fall, 3rd CGPM, 1901; standing: recalled
FREE_FALL = 9.80665


def kinetic_energy(mass: float, speed: float) -> float:
    r"""Energy of a moving mass.

    .. math:: E = \tfrac12 m v^2

    Parameters
    ----------
    mass : float
        Moving mass, or the effective mass at the point whose speed is meant. [kg]
    speed : float
        Speed of that point. [m/s]

    Returns
    -------
    float
        Energy. [J]

    Notes
    -----
    Valid for any mass that moves as one.

    References
    ----------
    .. [1] elementary physics, kinetic energy of bodies and rotors. Standing: derived here.

    Examples
    --------
    >>> kinetic_energy(8.0, 0.5)
    1.0
    """
    return 0.5 * mass * speed * speed


def least_sliding_time(
    distance: float, mass: float, *, energy: float = LOW_ENERGY, rounded: bool = True
) -> float:
    r"""Least time in which a sliding leaf may cover a distance without exceeding an energy.

    .. math:: t = D / \sqrt{2 E / m}

    Parameters
    ----------
    distance : float
        Distance: for EN 16005 nine tenths of the stroke. [m]
    mass : float
        Mass of the leaf, above zero. [kg]
    energy : float
        Energy that is not to be exceeded, above zero. [J]
    rounded : bool
        Whether the time is rounded up to the tenth of a second, as in the standard's table.

    Returns
    -------
    float
        Time, NaN outside the law's range. [s]

    Notes
    -----
    Valid for a steady speed over the distance. Rounded, equal to all the printed cells that were read
    (0.7 to 1.3 m, 10 to 150 kg).

    References
    ----------
    .. [1] EN 16005, annex F, low-energy use. Standing: second-hand.

    Examples
    --------
    >>> least_sliding_time(0.7, 50.0)
    2.7
    """
    if not (0.0 <= distance < math.inf and 0.0 < mass < math.inf and 0.0 < energy < math.inf):
        return math.nan
    time = distance / math.sqrt(2.0 * energy / mass)
    return math.ceil(time * _TENTH - _ROUNDING) / _TENTH if rounded else time


def least_swing_time(angle: float, inertia: float, *, energy: float = LOW_ENERGY) -> float:
    r"""Least time in which a hinged leaf may sweep an angle without exceeding an energy.

    .. math:: t = \varphi / \sqrt{2 E / J}

    Parameters
    ----------
    angle : float
        Angle. [rad]
    inertia : float
        Moment of inertia about the hinge, above zero. [kg m2]
    energy : float
        Energy that is not to be exceeded, above zero. [J]

    Returns
    -------
    float
        Time, NaN outside the law's range. [s]

    Notes
    -----
    Valid for a steady speed over the angle. Within 1 % of the formula of ANSI/BHMA A156.19 for a uniform leaf
    over 80 deg.

    References
    ----------
    .. [1] ANSI/BHMA A156.19-1997, 4.5. Standing: second-hand.

    Examples
    --------
    >>> round(least_swing_time(math.radians(80.0), leaf_inertia(40.0, 0.9)), 2)
    2.5
    """
    if not (0.0 <= angle < math.inf and 0.0 < inertia < math.inf and 0.0 < energy < math.inf):
        return math.nan
    return angle / math.sqrt(2.0 * energy / inertia)


def leaf_inertia(mass: float, width: float, *, offset: float = 0.0) -> float:
    r"""Moment of inertia of a uniform leaf about its hinge.

    .. math:: J = m (b^2 / 12 + (b / 2 + o)^2)

    Parameters
    ----------
    mass : float
        Mass of the leaf. [kg]
    width : float
        Width square to the hinge. [m]
    offset : float
        Distance of the leaf's near edge from the hinge's axis; below zero where it overlaps. [m]

    Returns
    -------
    float
        Moment of inertia. [kg m2]

    Notes
    -----
    Valid for a flat leaf in the plane of its hinge; a mass apart (fittings) adds its mass times its distance
    squared, a hinge before the leaf's plane the leaf's mass times that distance squared.

    References
    ----------
    .. [1] elementary physics, kinetic energy of bodies and rotors. Standing: derived here.

    Examples
    --------
    >>> round(leaf_inertia(6.0, 0.5), 2)
    0.5
    """
    arm = 0.5 * width + offset
    return mass * (width * width / 12.0 + arm * arm)


def edge_mass(inertia: float, arm: float) -> float:
    r"""Mass that a hinged leaf seems to have at a point.

    .. math:: m_e = J / \rho^2

    Parameters
    ----------
    inertia : float
        Moment of inertia about the hinge. [kg m2]
    arm : float
        Distance of the point from the hinge, above zero. [m]

    Returns
    -------
    float
        Effective mass. [kg]

    Notes
    -----
    Valid for motion square to the leaf.

    References
    ----------
    .. [1] elementary physics, kinetic energy of bodies and rotors. Standing: derived here.

    Examples
    --------
    >>> round(edge_mass(0.5, 0.5), 2)
    2.0
    """
    return inertia / (arm * arm)


def reflected_rotor_mass(time_constant: float, resistance: float, constant: float) -> float:
    r"""Mass that the rotor of a drive seems to have at its rod.

    .. math:: m_r = \tau_m K^2 / R

    Parameters
    ----------
    time_constant : float
        Mechanical time constant of the motor by itself, J R / (K_t K_e). [s]
    resistance : float
        Resistance of the winding, above zero. [ohm]
    constant : float
        Back-emf over the speed of the rod. [V s/m]

    Returns
    -------
    float
        Reflected mass. [kg]

    Notes
    -----
    Valid for a stiff gear without losses. The slower the gear, the greater the mass; the energy at a given
    speed of the motor stays the same.

    References
    ----------
    .. [1] course text on direct-current drives, mechanical time constant. Standing: read.

    Examples
    --------
    >>> round(reflected_rotor_mass(0.02, 1.6, 360.0))
    1620
    """
    return time_constant * constant * constant / resistance
