"""Power screws: torque up and down, efficiency, and whether they hold by themselves."""

from __future__ import annotations

import math


def lead_angle(lead: float, mean_diameter: float) -> float:
    r"""Slope of a thread at its mean diameter.

    .. math:: \tan\lambda = l / (\pi d)

    Parameters
    ----------
    lead : float
        Travel per turn: pitch times number of starts. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]

    Returns
    -------
    float
        Lead angle. [rad]

    Notes
    -----
    Valid for any screw.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.

    Examples
    --------
    >>> round(math.degrees(lead_angle(0.25, 1.3429)), 2)
    3.39
    """
    return math.atan2(lead, math.pi * mean_diameter)


def _slopes(lead: float, mean_diameter: float, half_angle: float) -> tuple[float, float]:
    """Slope of the thread times cosine of half the thread angle, and that cosine; NaN outside the range."""
    possible = 0.0 < lead < math.inf and 0.0 < mean_diameter < math.inf and 0.0 <= half_angle < math.pi / 2.0
    if not possible:
        return math.nan, math.nan
    cosine = math.cos(half_angle)
    return cosine * lead / (math.pi * mean_diameter), cosine


def raising_torque(
    force: float,
    lead: float,
    mean_diameter: float,
    friction: float,
    *,
    half_angle: float = 0.0,
    collar_friction: float = 0.0,
    collar_diameter: float = 0.0,
) -> float:
    r"""Torque that moves a screw against its load.

    .. math::
        T = \frac{F d}{2} \cdot \frac{\cos\alpha \tan\lambda + f}{\cos\alpha - f \tan\lambda}
            + \frac{F f_c d_c}{2}

    Parameters
    ----------
    force : float
        Load along the screw. [N]
    lead : float
        Travel per turn, above zero. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]
    friction : float
        Coefficient of friction in the thread. [-]
    half_angle : float
        Half the angle of the thread: 0 square, 14.5 deg Acme, 15 deg metric trapezoid. [rad]
    collar_friction : float
        Coefficient of friction of the thrust collar. [-]
    collar_diameter : float
        Mean diameter of the collar. [m]

    Returns
    -------
    float
        Torque; infinite where the thread jams, NaN outside the law's range. [N m]

    Notes
    -----
    Valid for steady turning and small lead angles, where half the thread angle is the same along the axis and
    square to the thread. Within 0.5 % of the printed examples.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.

    Examples
    --------
    >>> round(raising_torque(6400.0, 0.008, 0.030, 0.08), 2)
    15.94
    """
    slope, cosine = _slopes(lead, mean_diameter, half_angle)
    grip = cosine - friction * slope / cosine
    if grip <= 0.0:
        return math.inf
    return 0.5 * force * (mean_diameter * (slope + friction) / grip + collar_friction * collar_diameter)


def lowering_torque(
    force: float,
    lead: float,
    mean_diameter: float,
    friction: float,
    *,
    half_angle: float = 0.0,
    collar_friction: float = 0.0,
    collar_diameter: float = 0.0,
) -> float:
    r"""Torque that moves a screw the way its load pushes.

    .. math::
        T = \frac{F d}{2} \cdot \frac{f - \cos\alpha \tan\lambda}{\cos\alpha + f \tan\lambda}
            + \frac{F f_c d_c}{2}

    Parameters
    ----------
    force : float
        Load along the screw. [N]
    lead : float
        Travel per turn, above zero. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]
    friction : float
        Coefficient of friction in the thread. [-]
    half_angle : float
        Half the angle of the thread: 0 square, 14.5 deg Acme, 15 deg metric trapezoid. [rad]
    collar_friction : float
        Coefficient of friction of the thrust collar. [-]
    collar_diameter : float
        Mean diameter of the collar. [m]

    Returns
    -------
    float
        Torque; below zero where the load turns the screw, NaN outside the law's range. [N m]

    Notes
    -----
    Valid for steady turning and small lead angles. Vibration and better grease lower the friction.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.
    .. [2] elementary physics, screw as an inclined plane. Standing: derived here.

    Examples
    --------
    >>> round(lowering_torque(6400.0, 0.008, 0.030, 0.08, collar_friction=0.08, collar_diameter=0.040), 2)
    9.77
    """
    slope, cosine = _slopes(lead, mean_diameter, half_angle)
    thread = mean_diameter * (friction - slope) / (cosine + friction * slope / cosine)
    return 0.5 * force * (thread + collar_friction * collar_diameter)


def screw_efficiency(
    lead: float,
    mean_diameter: float,
    friction: float,
    *,
    half_angle: float = 0.0,
    collar_friction: float = 0.0,
    collar_diameter: float = 0.0,
) -> float:
    r"""Share of the work that a screw hands on against its load.

    .. math:: \eta = F l / (2 \pi T)

    Parameters
    ----------
    lead : float
        Travel per turn, above zero. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]
    friction : float
        Coefficient of friction in the thread. [-]
    half_angle : float
        Half the angle of the thread: 0 square, 14.5 deg Acme, 15 deg metric trapezoid. [rad]
    collar_friction : float
        Coefficient of friction of the thrust collar. [-]
    collar_diameter : float
        Mean diameter of the collar. [m]

    Returns
    -------
    float
        Efficiency; 0 where the thread jams, NaN outside the law's range. [-]

    Notes
    -----
    Valid for steady turning against the load; for a load that helps see `overhauling_efficiency`.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.

    Examples
    --------
    >>> round(screw_efficiency(0.25, 1.3429, 0.15, half_angle=math.radians(14.5)), 3)
    0.274
    """
    torque = raising_torque(
        1.0,
        lead,
        mean_diameter,
        friction,
        half_angle=half_angle,
        collar_friction=collar_friction,
        collar_diameter=collar_diameter,
    )
    return lead / (2.0 * math.pi * torque)


def torque_of_efficiency(force: float, lead: float, efficiency: float) -> float:
    r"""Torque that moves a screw of known efficiency against its load.

    .. math:: T = F l / (2 \pi \eta)

    Parameters
    ----------
    force : float
        Load along the screw. [N]
    lead : float
        Travel per turn. [m]
    efficiency : float
        Share of the work that reaches the load, above zero. [-]

    Returns
    -------
    float
        Torque. [N m]

    Notes
    -----
    Valid for steady turning against the load.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.

    Examples
    --------
    >>> round(torque_of_efficiency(20e3, 0.010, 0.70), 1)
    45.5
    """
    return force * lead / (2.0 * math.pi * efficiency)


def locking_friction(lead: float, mean_diameter: float, *, half_angle: float = 0.0) -> float:
    r"""Least friction in the thread with which a screw holds its load by itself.

    .. math:: f = \cos\alpha \tan\lambda

    Parameters
    ----------
    lead : float
        Travel per turn, above zero. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]
    half_angle : float
        Half the angle of the thread: 0 square, 14.5 deg Acme, 15 deg metric trapezoid. [rad]

    Returns
    -------
    float
        Coefficient of friction, NaN outside the law's range. [-]

    Notes
    -----
    Valid for a load at rest, collar left out, which is cautious; vibration can defeat it.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.

    Examples
    --------
    >>> round(locking_friction(0.008, 0.030), 4)
    0.0849
    """
    return _slopes(lead, mean_diameter, half_angle)[0]


def self_locking(lead: float, mean_diameter: float, friction: float, *, half_angle: float = 0.0) -> bool:
    r"""Whether a screw holds its load without torque.

    .. math:: f \ge \cos\alpha \tan\lambda

    Parameters
    ----------
    lead : float
        Travel per turn, above zero. [m]
    mean_diameter : float
        Mean diameter of the thread, above zero. [m]
    friction : float
        Coefficient of friction in the thread. [-]
    half_angle : float
        Half the angle of the thread: 0 square, 14.5 deg Acme, 15 deg metric trapezoid. [rad]

    Returns
    -------
    bool
        True where it holds; never so outside the law's range.

    Notes
    -----
    Valid for a load at rest; vibration can defeat it and grease lowers the friction. A screw that holds by
    its thread alone has an efficiency of 50 % or less.

    References
    ----------
    .. [1] textbook on machine elements, 4th edition, 17-2. Standing: read.
    .. [2] textbook on statics, open edition, 5.6. Standing: read.

    Examples
    --------
    >>> self_locking(0.008, 0.030, 0.15), self_locking(0.008, 0.030, 0.08)
    (True, False)
    """
    return friction >= locking_friction(lead, mean_diameter, half_angle=half_angle)


def overhauling_efficiency(efficiency: float) -> float:
    r"""Share of a helping load's work that a screw or gear hands back.

    .. math:: \eta_b = 2 - 1 / \eta

    Parameters
    ----------
    efficiency : float
        Efficiency against the load, above zero. [-]

    Returns
    -------
    float
        Efficiency backwards; 0 or below where it locks, NaN outside the law's range. [-]

    Notes
    -----
    Valid for friction that loses the same work both ways. For a plain square thread a little low: by less
    than 0.02 for lead angles up to 5 deg and less than 0.07 up to 10 deg.

    References
    ----------
    .. [1] elementary physics, the same friction both ways. Standing: derived here.

    Examples
    --------
    >>> round(overhauling_efficiency(0.8), 2)
    0.75
    """
    if not 0.0 < efficiency <= 1.0:
        return math.nan
    return 2.0 - 1.0 / efficiency
