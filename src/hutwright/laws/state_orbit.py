"""Where a satellite stands by a broadcast place and velocity, as GLONASS sends them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Constants of PZ-90.11; GLONASS ICD 5.1, 3.2 and appendix 3; standing: recalled
_GRAVITY = 3.986004418e14  # m3/s2
_RADIUS = 6_378_136.0  # m
_OBLATENESS = 1.08262575e-3  # J2
_TURNING = 7.292115e-5  # rad/s


class StateTrack(NamedTuple):
    """Places and velocities at equal steps of time, the first axis."""

    position: Floats  # [m]
    velocity: Floats  # [m/s]


def _pull(position: Floats, velocity: Floats, added: Floats) -> Floats:
    """Acceleration in the frame that turns with the Earth."""
    x, y, z = position[..., 0], position[..., 1], position[..., 2]
    squared = x * x + y * y + z * z
    centre = -_GRAVITY / (squared * np.sqrt(squared))
    bulge = 1.5 * _OBLATENESS * _RADIUS**2 / squared * centre
    height = 5.0 * z * z / squared
    level = centre + bulge * (1.0 - height) + _TURNING**2
    pull = np.empty_like(position)
    pull[..., 0] = level * x + 2.0 * _TURNING * velocity[..., 1] + added[..., 0]
    pull[..., 1] = level * y - 2.0 * _TURNING * velocity[..., 0] + added[..., 1]
    pull[..., 2] = (centre + bulge * (3.0 - height)) * z + added[..., 2]
    return pull


def state_track(
    position: ArrayLike, velocity: ArrayLike, acceleration: ArrayLike, step: float, count: int
) -> StateTrack:
    r"""Places and velocities of satellites at equal steps from a broadcast state.

    .. math::
        \ddot x = -\frac{\mu x}{r^3} - \frac32 J_2 \frac{\mu R^2 x}{r^5} \left(1 - \frac{5 z^2}{r^2}\right)
            + \omega^2 x + 2 \omega \dot y + a_x

        \ddot y = -\frac{\mu y}{r^3} - \frac32 J_2 \frac{\mu R^2 y}{r^5} \left(1 - \frac{5 z^2}{r^2}\right)
            + \omega^2 y - 2 \omega \dot x + a_y

        \ddot z = -\frac{\mu z}{r^3} - \frac32 J_2 \frac{\mu R^2 z}{r^5} \left(3 - \frac{5 z^2}{r^2}\right)
            + a_z

    Parameters
    ----------
    position : array_like, shape (..., 3)
        Place in the frame that turns with the Earth. [m]
    velocity : array_like, shape (..., 3)
        Velocity in that frame. [m/s]
    acceleration : array_like, shape (..., 3)
        Pull of Sun and Moon, as broadcast. [m/s2]
    step : float
        Time from one place to the next; negative to go back. [s]
    count : int
        Steps. [-]

    Returns
    -------
    StateTrack
        Places [m] and velocities [m/s], shape (count + 1, ..., 3), the given ones first.

    Notes
    -----
    Valid for steps of up to 300 s at the heights of navigation satellites. The steps themselves (Runge-Kutta
    of fourth order) are within 25 m over half a day at 300 s. The broadcast pull of Sun and Moon is meant for
    15 minutes either way, where the result is within metres; beyond it is off by kilometres within a day,
    about 0.01 deg of the sky.

    References
    ----------
    .. [1] GLONASS ICD 5.1, appendix 3, simplified equations of motion. Standing: recalled; held to reference
       states of another program.

    Examples
    --------
    >>> track = state_track([25_508e3, 0.0, 0.0], [0.0, 0.0, 3_953.0], [0.0, 0.0, 0.0], 60.0, 15)
    >>> round(float(track.position[-1, 2]) / 1e3)
    3546
    """
    place, speed = np.array(position, dtype=float), np.array(velocity, dtype=float)
    added = np.asarray(acceleration, dtype=float)
    places, speeds = np.empty((count + 1, *place.shape)), np.empty((count + 1, *place.shape))
    places[0], speeds[0] = place, speed
    half = step / 2.0
    for number in range(1, count + 1):
        first = _pull(place, speed, added)
        speed_2 = speed + half * first
        second = _pull(place + half * speed, speed_2, added)
        speed_3 = speed + half * second
        third = _pull(place + half * speed_2, speed_3, added)
        speed_4 = speed + step * third
        fourth = _pull(place + step * speed_3, speed_4, added)
        place = place + step / 6.0 * (speed + 2.0 * (speed_2 + speed_3) + speed_4)
        speed = speed + step / 6.0 * (first + 2.0 * (second + third) + fourth)
        places[number], speeds[number] = place, speed
    return StateTrack(places, speeds)


def between_states(
    start: ArrayLike,
    start_velocity: ArrayLike,
    end: ArrayLike,
    end_velocity: ArrayLike,
    step: float,
    elapsed: ArrayLike,
) -> Floats:
    r"""Place between two known states, by the cubic through both places and velocities.

    Parameters
    ----------
    start : array_like, shape (..., 3)
        Place at the start. [m]
    start_velocity : array_like, shape (..., 3)
        Velocity at the start. [m/s]
    end : array_like, shape (..., 3)
        Place one step later. [m]
    end_velocity : array_like, shape (..., 3)
        Velocity one step later. [m/s]
    step : float
        Time between both; negative where the end lies before the start. [s]
    elapsed : array_like, shape (...)
        Time since the start, between nothing and the step. [s]

    Returns
    -------
    numpy.ndarray, shape (..., 3)
        Place. [m]

    Notes
    -----
    Valid for steps of up to 300 s at the heights of navigation satellites: within 1 m.

    References
    ----------
    .. [1] elementary mathematics, cubic Hermite interpolation. Standing: derived here.

    Examples
    --------
    >>> float(between_states([0.0], [1.0], [2.0], [3.0], 1.0, 0.5)[0])
    0.75
    """
    share = (np.asarray(elapsed, dtype=float) / step)[..., None]
    first, last = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    leave, arrive = step * np.asarray(start_velocity), step * np.asarray(end_velocity)
    bend = first - last
    cubic = 2.0 * bend + leave + arrive
    square = -3.0 * bend - 2.0 * leave - arrive
    return np.asarray(first + share * (leave + share * (square + share * cubic)))
