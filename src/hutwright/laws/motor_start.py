"""The current of a direct-current motor from the moment it is switched on, in closed form.

The rotor stands until the current carries its load; from there armature and rotor are one linear system of
second order. All the functions of this family take the same six quantities.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

_STEPS = 200
# Circuits quicker than this are taken as having no inductance at all. [s]
_QUICKEST = 1e-12


class _Start(NamedTuple):
    """What the six quantities come to; currents in A, times in s, rates in 1/s."""

    stall: float  # current with the rotor held
    running: float  # current that carries the load
    electrical: float  # L / R
    breakaway: float  # time at which the rotor begins to turn; inf if never
    slope: float  # d i / d t at that time, A/s; inf without inductance
    damping: float  # a: half of R / L; inf without inductance
    natural: float  # omega_0; inf without inductance
    slow: float  # slower decay rate, or the decay rate of the envelope

    @property
    def splitting(self) -> float:
        """Square of the half distance of the two rates; below zero where the start oscillates."""
        return (self.damping - self.natural) * (self.damping + self.natural)


def _start(
    voltage: float,
    resistance: float,
    inductance: float,
    winding_resistance: float,
    mechanical_time_constant: float,
    running_current: float,
    drop: float,
) -> _Start | None:
    """The start's constants, or nothing where the quantities lie outside the law's range."""
    possible = (
        math.isfinite(voltage - drop)
        and 0.0 < winding_resistance <= resistance < math.inf
        and 0.0 <= inductance < math.inf
        and 0.0 < mechanical_time_constant < math.inf
        and running_current >= 0.0
    )
    if not possible:
        return None
    stall = max(voltage - drop, 0.0) / resistance
    stiffness = winding_resistance / mechanical_time_constant
    electrical = inductance / resistance
    if electrical < _QUICKEST:
        electrical = 0.0
    never = running_current >= stall
    breakaway = math.inf if never else -electrical * math.log1p(-running_current / stall)
    if electrical == 0.0:
        slow = stiffness / resistance
        return _Start(stall, running_current, 0.0, breakaway, math.inf, math.inf, math.inf, slow)
    damping = 0.5 / electrical
    natural = math.sqrt(stiffness / inductance)
    split = (damping - natural) * (damping + natural)
    slow = natural * natural / (damping + math.sqrt(split)) if split > 0.0 else damping
    slope = (stall - running_current) / electrical
    return _Start(stall, running_current, electrical, breakaway, slope, damping, natural, slow)


def start_current(
    time: ArrayLike,
    voltage: float,
    resistance: float,
    inductance: float,
    winding_resistance: float,
    mechanical_time_constant: float,
    running_current: float,
    *,
    drop: float = 0.0,
) -> NDArray[np.float64]:
    r"""Current of a motor after it is switched on from rest.

    .. math::
        L \frac{di}{dt} = U - U_0 - R i - e, \quad
        \frac{de}{dt} = \frac{R_m}{\tau_m} (i - I_r) \ \text{ once } \ i \ge I_r

    Parameters
    ----------
    time : array_like, shape (...)
        Time since switching on. [s]
    voltage : float
        Voltage of the source. [V]
    resistance : float
        Whole resistance of the circuit: winding, bridge, cables, source. [ohm]
    inductance : float
        Inductance of the circuit; 0 is allowed. [H]
    winding_resistance : float
        Resistance of the winding alone. [ohm]
    mechanical_time_constant : float
        Time constant of rotor and load with the winding alone, J R_m / (K_t K_e). [s]
    running_current : float
        Current that carries load and friction. [A]
    drop : float
        Constant drop in the bridge, taken off the voltage. [V]

    Returns
    -------
    numpy.ndarray, shape (...)
        Current; 0 before switching on, NaN outside the law's range. [A]

    Notes
    -----
    Valid for a constant load, a running current of 0 or above, and a source that holds its voltage behind
    its resistance. Exact for this model. A running current of the stall current or above leaves the rotor
    at rest. Friction at rest above that of running makes the peak higher and later.

    References
    ----------
    .. [1] course text on direct-current drives, armature and rotor equation. Standing: equations
       read, solution derived here.

    Examples
    --------
    >>> round(float(start_current(0.010, 12.0, 2.0, 2e-3, 1.5, 0.05, 1.0)), 2)
    5.44
    """
    instants = np.asarray(time, dtype=np.float64)
    start = _start(
        voltage, resistance, inductance, winding_resistance, mechanical_time_constant, running_current, drop
    )
    if start is None:
        return np.full(instants.shape, np.nan)
    after = np.maximum(instants, 0.0)
    if start.electrical > 0.0:
        held = -start.stall * np.expm1(-after / start.electrical)
    else:
        held = np.full(instants.shape, start.stall)
    if start.breakaway < math.inf:
        turning = start.running + _excess(start, np.maximum(after - start.breakaway, 0.0))
        held = np.where(after < start.breakaway, held, turning)
    return np.where(instants < 0.0, 0.0, held)


def peak_start_current(
    voltage: float,
    resistance: float,
    inductance: float,
    winding_resistance: float,
    mechanical_time_constant: float,
    running_current: float,
    *,
    drop: float = 0.0,
) -> float:
    r"""Greatest current of a motor that starts from rest.

    .. math:: \hat{I} = I_r + \frac{s}{\omega_0} e^{-a t^*}, \quad \omega_0^2 = \frac{R_m}{\tau_m L}

    Parameters
    ----------
    voltage : float
        Voltage of the source. [V]
    resistance : float
        Whole resistance of the circuit. [ohm]
    inductance : float
        Inductance of the circuit; 0 is allowed. [H]
    winding_resistance : float
        Resistance of the winding alone. [ohm]
    mechanical_time_constant : float
        Time constant of rotor and load with the winding alone. [s]
    running_current : float
        Current that carries load and friction. [A]
    drop : float
        Constant drop in the bridge, taken off the voltage. [V]

    Returns
    -------
    float
        Greatest current; the stall current where the rotor cannot start. [A]

    Notes
    -----
    Valid for what `start_current` is; exact for its model, never above the stall current.

    References
    ----------
    .. [1] course text on direct-current drives, armature and rotor equation. Standing: equations
       read, solution derived here.

    Examples
    --------
    >>> round(peak_start_current(12.0, 2.0, 2e-3, 1.5, 0.05, 1.0), 2)
    5.76
    """
    start = _start(
        voltage, resistance, inductance, winding_resistance, mechanical_time_constant, running_current, drop
    )
    if start is None:
        return math.nan
    if start.breakaway == math.inf or start.electrical == 0.0:
        return start.stall
    return start.running + start.slope / start.natural * math.exp(-start.damping * _peak_time(start))


def breakaway_time(
    voltage: float, resistance: float, inductance: float, running_current: float, *, drop: float = 0.0
) -> float:
    r"""Time from switching on until the current carries the load and the rotor begins to turn.

    .. math:: t_1 = -\frac{L}{R} \ln\left(1 - \frac{I_r R}{U - U_0}\right)

    Parameters
    ----------
    voltage : float
        Voltage of the source. [V]
    resistance : float
        Whole resistance of the circuit. [ohm]
    inductance : float
        Inductance of the circuit; 0 is allowed. [H]
    running_current : float
        Current that carries load and friction. [A]
    drop : float
        Constant drop in the bridge, taken off the voltage. [V]

    Returns
    -------
    float
        Time; infinite where the rotor cannot start. [s]

    Notes
    -----
    Valid for what `start_current` is; exact for its model.

    References
    ----------
    .. [1] course text on direct-current drives, armature and rotor equation. Standing: equations
       read, solution derived here.

    Examples
    --------
    >>> round(1e3 * breakaway_time(12.0, 2.0, 2e-3, 1.0), 3)
    0.182
    """
    start = _start(voltage, resistance, inductance, resistance, 1.0, running_current, drop)
    return math.nan if start is None else start.breakaway


def start_duration(
    voltage: float,
    resistance: float,
    inductance: float,
    winding_resistance: float,
    mechanical_time_constant: float,
    running_current: float,
    *,
    settle: float,
    drop: float = 0.0,
) -> float:
    r"""Time from switching on until the current has fallen for good to near the running current.

    .. math:: i(t) \le I_r + \theta \left(\frac{U - U_0}{R} - I_r\right)

    Parameters
    ----------
    voltage : float
        Voltage of the source. [V]
    resistance : float
        Whole resistance of the circuit. [ohm]
    inductance : float
        Inductance of the circuit; 0 is allowed. [H]
    winding_resistance : float
        Resistance of the winding alone. [ohm]
    mechanical_time_constant : float
        Time constant of rotor and load with the winding alone. [s]
    running_current : float
        Current that carries load and friction. [A]
    settle : float
        What may be left of the way from stall to running current, above 0, below 1. [-]
    drop : float
        Constant drop in the bridge, taken off the voltage. [V]

    Returns
    -------
    float
        Time; infinite where the rotor cannot start, the time of the peak where it stays below already. [s]

    Notes
    -----
    Valid for what `start_current` is; solved to within 1e-9 of the duration.

    References
    ----------
    .. [1] course text on direct-current drives, armature and rotor equation. Standing: equations
       read, solution derived here.

    Examples
    --------
    >>> round(start_duration(12.0, 2.0, 2e-3, 1.5, 0.05, 1.0, settle=0.1), 3)
    0.153
    """
    start = _start(
        voltage, resistance, inductance, winding_resistance, mechanical_time_constant, running_current, drop
    )
    if start is None or not 0.0 < settle < 1.0:
        return math.nan
    if start.breakaway == math.inf:
        return math.inf
    if start.electrical == 0.0:
        return -math.log(settle) / start.slow
    return start.breakaway + _settling_time(start, settle)


def _excess(start: _Start, after: NDArray[np.float64]) -> NDArray[np.float64]:
    """Current above the running one, a time after breakaway."""
    if start.electrical == 0.0:
        return np.asarray((start.stall - start.running) * np.exp(-start.slow * after))
    split = start.splitting
    decay = start.slope * np.exp(-start.slow * after)
    if split == 0.0:
        return np.asarray(decay * after)
    half = math.sqrt(abs(split))
    if split > 0.0:
        return np.asarray(decay * -np.expm1(-2.0 * half * after) / (2.0 * half))
    return np.asarray(decay * np.sin(half * after) / half)


def _excess_at(start: _Start, after: float) -> float:
    """The same for one time, in plain arithmetic."""
    split = start.splitting
    decay = start.slope * math.exp(-start.slow * after)
    if split == 0.0:
        return decay * after
    half = math.sqrt(abs(split))
    if split > 0.0:
        return decay * -math.expm1(-2.0 * half * after) / (2.0 * half)
    return decay * math.sin(half * after) / half


def _peak_time(start: _Start) -> float:
    """Time from breakaway to the peak."""
    split = start.splitting
    if split == 0.0:
        return 1.0 / start.damping
    half = math.sqrt(abs(split))
    if split > 0.0:
        # atanh(half / damping) = ln((damping + half) / natural), which loses no digits as half -> damping
        return math.log((start.damping + half) / start.natural) / half
    return math.atan2(half, start.damping) / half


def _settling_time(start: _Start, settle: float) -> float:
    """Time from breakaway until the excess stays below its share of the way from stall to running."""
    threshold = settle * (start.stall - start.running)
    peak_time = _peak_time(start)
    peak = start.slope / start.natural * math.exp(-start.damping * peak_time)
    if peak <= threshold:
        return peak_time
    if start.splitting < 0.0:
        # The last positive half wave whose peak exceeds the threshold: each is a fixed factor below the last.
        half = math.sqrt(-start.splitting)
        period = 2.0 * math.pi / half
        waves = math.floor(math.log(peak / threshold) / (start.damping * period))
        low = peak_time + waves * period
        high = waves * period + 0.5 * period
    else:
        # The excess is at most slope * t * exp(-slow * t), and t * exp(-slow * t / 2) at most 2 / (e * slow);
        # it is also at most its slower exponential alone.
        low = peak_time
        bound = 2.0 / start.slow * math.log(2.0 * start.slope / (math.e * start.slow * threshold))
        half = math.sqrt(start.splitting)
        if half > 0.0:
            bound = min(bound, math.log(start.slope / (2.0 * half * threshold)) / start.slow)
        high = max(low, bound)
    return _falling_through(start, threshold, low, high)


def _falling_through(start: _Start, threshold: float, low: float, high: float) -> float:
    """Time between two bounds at which the falling excess passes the threshold, by the Illinois method."""
    above = _excess_at(start, low) - threshold
    below = _excess_at(start, high) - threshold
    kept = 0
    for _ in range(_STEPS):
        if high - low <= 1e-12 * high or above <= 0.0 or below >= 0.0:
            break
        middle = low + (high - low) * above / (above - below)
        left = _excess_at(start, middle) - threshold
        if abs(left) <= 1e-13 * threshold:
            return middle
        if left > 0.0:
            low, above = middle, left
            below *= 0.5 if kept > 0 else 1.0
            kept = 1
        else:
            high, below = middle, left
            above *= 0.5 if kept < 0 else 1.0
            kept = -1
    return high
