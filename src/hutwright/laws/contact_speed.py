"""Speed at which a moving part may touch a region of the body."""

from __future__ import annotations

import math


def two_body_mass(body: float, moving: float) -> float:
    r"""Mass with which two bodies meet.

    .. math:: 1 / \mu = 1 / m_H + 1 / m_R

    Parameters
    ----------
    body : float
        Effective mass of the region of the body, above zero. [kg]
    moving : float
        Effective mass of the moving part at the point of contact, above zero; may be infinite. [kg]

    Returns
    -------
    float
        Reduced mass, NaN outside the law's range. [kg]

    Notes
    -----
    Valid for a body that is free to give way; a clamped one has no such mass.

    References
    ----------
    .. [1] ISO/TS 15066:2016, annex A, permissible speed. Standing: second-hand.

    Examples
    --------
    >>> round(two_body_mass(0.6, 10.0), 3)
    0.566
    """
    if not (0.0 < body <= math.inf and 0.0 < moving <= math.inf):
        return math.nan
    return 1.0 / (1.0 / body + 1.0 / moving)


def contact_speed(force: float, stiffness: float, body: float, moving: float) -> float:
    r"""Speed at which a contact in the open reaches a force.

    .. math:: v = F / \sqrt{\mu k}

    Parameters
    ----------
    force : float
        Greatest force. [N]
    stiffness : float
        Stiffness of the region of the body, above zero. [N/m]
    body : float
        Effective mass of the region of the body, above zero. [kg]
    moving : float
        Effective mass of the moving part at the point of contact, above zero. [kg]

    Returns
    -------
    float
        Speed, NaN outside the law's range. [m/s]

    Notes
    -----
    Valid for a free contact of hard part and body; limits are those of healthy adults, none are known for
    children.

    References
    ----------
    .. [1] ISO/TS 15066:2016, annex A, permissible speed. Standing: second-hand.

    Examples
    --------
    >>> round(contact_speed(280.0, 75e3, 0.6, 10.0), 2)
    1.36
    """
    if not 0.0 < stiffness < math.inf:
        return math.nan
    return force / math.sqrt(two_body_mass(body, moving) * stiffness)
