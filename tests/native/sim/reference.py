"""The two bodies once more, written down by themselves for a stiff integrator: exact geometry, no tables.

Dry friction has a sign that is smoothed over a speed so small that it moves nothing within a run; contact
begins and ends as it may, with a short longest step.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import LSODA

from tests.native.doors import HATCH_FOOT, HATCH_HEAD, HATCH_HEIGHT, HATCH_MASS, G


@dataclass(frozen=True)
class Obstacle:
    """Against closing, at the edge: way of its face from shut [m], stiffness [N/m], damping [N s/m]."""

    face: float
    stiffness: float
    damping: float = 0.0


@dataclass(frozen=True)
class Seen:
    """What the integrator has found: time of the first touch, and force and state over time."""

    touch: float
    time: np.ndarray
    force: np.ndarray
    state: np.ndarray

    def peak_until(self, time: float) -> float:
        """Greatest force until then."""
        at = float(np.interp(time, self.time, self.force))
        return max(at, float(self.force[self.time <= time].max()))

    def first_peak(self) -> float:
        """When the force first stops rising."""
        rising = np.flatnonzero((np.diff(self.force) <= 0.0) & (self.force[:-1] > 1.0))
        return float(self.time[rising[0]]) if len(rising) else float(self.time[-1])


def rod_of(name: str, q: float) -> tuple[float, float]:
    """Travel and arm by vectors."""
    if name != "hinged":
        return q, 1.0
    foot, head = np.array(HATCH_FOOT), np.array(HATCH_HEAD)

    def at(angle: float) -> tuple[float, float]:
        cosine, sine = math.cos(angle), math.sin(angle)
        pin = np.array([cosine * head[0] - sine * head[1], sine * head[0] + cosine * head[1]])
        line = pin - foot
        length = float(np.hypot(*line))
        turned = np.array([-pin[1], pin[0]])
        return length, float(line @ turned) / length

    shut, _ = at(0.0)
    here, arm = at(q)
    return here - shut, arm


def gravity_of(name: str, q: float) -> float:
    """Load of gravity towards open."""
    if name == "hinged":
        return -HATCH_MASS * G * 0.5 * HATCH_HEIGHT * math.sin(q)
    return -3.0 * G if name == "lift" else 0.0


def force_on(door: Any, obstacle: Obstacle, q: float, rate: float) -> float:
    """Of the obstacle against closing."""
    lever = float(door["edge_radius"])
    way = obstacle.face - lever * q
    if way <= 0.0:
        return 0.0
    soft, depth = float(door["edge_stiffness"]), float(door["edge_depth"])
    stiffness, share = obstacle.stiffness, 1.0
    spring = stiffness * way
    if soft > 0.0:
        both = stiffness * soft / (stiffness + soft)
        bottom = soft * depth / both
        if way <= bottom:
            spring, share = both * way, both / stiffness
        else:
            spring = soft * depth + stiffness * (way - bottom)
    return max(0.0, spring - obstacle.damping * share**2 * lever * rate)


def follow(name: str, door: Any, obstacle: Obstacle, *, start_q: float, duty: float, duration: float) -> Seen:
    """From rest at `start_q`, driven with constant duty towards shut."""
    d = {key: float(door[key]) for key in door.dtype.names if door[key].ndim == 0}
    kappa_driving = 1.0 / d["efficiency"] - 1.0
    kappa_driven = 1.0 if d["self_locking"] else min(1.0, 1.0 / d["efficiency"] - 1.0)
    resist = float(door["resist_close"][0])
    source = d["resistance"] + d["series_resistance"] + duty**2 * d["source_resistance"]
    push = duty * (d["voltage"] - d["source_resistance"] * d["logic_current"]) - math.copysign(
        d["bridge_offset"] * abs(duty), duty
    )

    def slope(_time: float, y: Any) -> Any:
        current, travel, speed, q, rate = y
        here, arm = rod_of(name, q)
        force = d["mount_stiffness"] * (travel - here) + d["mount_damping"] * (speed - arm * rate)
        sign = math.tanh(speed / 1e-6)
        kappa = kappa_driving if force * speed > 0.0 else kappa_driven
        dry = (d["friction_current"] * d["constant"] + kappa * abs(force)) * sign
        load = arm * force + gravity_of(name, q) - resist * math.tanh(rate / 1e-6)
        load += d["edge_radius"] * force_on(door, obstacle, q, rate)
        return np.array(
            [
                (push - source * current - d["constant"] * speed) / d["inductance"],
                speed,
                (d["constant"] * current - force - dry) / d["rotor_mass"],
                rate,
                load / d["inertia"],
            ]
        )

    here, arm = rod_of(name, start_q)
    begin = np.array([0.0, here - gravity_of(name, start_q) / arm / d["mount_stiffness"], 0.0, start_q, 0.0])
    solver = LSODA(slope, 0.0, begin, duration, rtol=1e-7, atol=1e-10, max_step=5e-4)
    times: list[float] = [0.0]
    states: list[Any] = [begin]
    while solver.status == "running":
        solver.step()
        times.append(solver.t)
        states.append(solver.y.copy())
    time, state = np.array(times), np.array(states)
    force = np.array([force_on(door, obstacle, q, rate) for q, rate in state[:, 3:5]])
    way = obstacle.face - d["edge_radius"] * state[:, 3]
    first = int(np.argmax(way > 0.0))
    touch = float(np.interp(0.0, way[first - 1 : first + 1], time[first - 1 : first + 1]))
    return Seen(touch, time, force, state)
