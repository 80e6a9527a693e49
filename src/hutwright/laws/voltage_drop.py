"""Voltage drop along a cable by the method of the wiring rules."""

from __future__ import annotations

import math

# IEC 60364-5-52:2009, annex G: 1.25 times the value at 20 degC; standing: second-hand.
RESISTIVITY_IN_USE = 0.0225e-6
# IEC 60364-5-52:2009, annex G; standing: recalled. It plays no part at direct current.
REACTANCE_PER_LENGTH = 0.08e-3
# IEC 60364-5-52:2009, annex G: out and back; standing: second-hand.
OUT_AND_BACK = 2.0


def voltage_drop(
    current: float,
    length: float,
    area: float,
    *,
    resistivity: float = RESISTIVITY_IN_USE,
    reactance_per_length: float = REACTANCE_PER_LENGTH,
    power_factor: float = 1.0,
    conductors: float = OUT_AND_BACK,
) -> float:
    r"""Voltage that a cable takes, out and back.

    .. math:: u = b \left( \rho_1 \frac{l}{S} \cos\varphi + \lambda l \sin\varphi \right) I

    Parameters
    ----------
    current : float
        Current in the cable. [A]
    length : float
        Length of the cable, one way. [m]
    area : float
        Cross-section of one core, above zero. [m2]
    resistivity : float
        Resistivity of the conductor in normal use. [ohm m]
    reactance_per_length : float
        Reactance of a metre of one conductor. [ohm/m]
    power_factor : float
        Cosine of the phase angle; 1 for direct current. [-]
    conductors : float
        2 for out and back, 1 for one phase of a balanced three. [-]

    Returns
    -------
    float
        Drop between source and load. [V]

    Notes
    -----
    Valid for copper at the temperature of normal use; direct current with a power factor of 1.
    About 12 % above the greatest resistance of a class 5 core at 20 degC, so on the safe side.

    References
    ----------
    .. [1] IEC 60364-5-52:2009, annex G (informative). Standing: second-hand; reactance recalled.

    Examples
    --------
    >>> round(voltage_drop(5.0, 10.0, 1.5e-6), 2)
    1.5
    """
    if power_factor == 1.0:
        return conductors * resistivity * length / area * current
    reactive = reactance_per_length * length * math.sqrt(1.0 - power_factor * power_factor)
    return conductors * (resistivity * length / area * power_factor + reactive) * current
