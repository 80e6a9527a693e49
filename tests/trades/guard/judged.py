"""A door for tests of the guard's questions that can be checked with a pencil, and what judges them."""

from __future__ import annotations

import math

import numpy as np

from tests.described import sports_field as sports_field
from tests.judged import after as after
from tests.judged import asked as asked
from tests.judged import check as check
from tests.judged import checks as checks
from tests.judged import levers as levers
from tests.judged import quickly as quickly
from tests.judged import recompute as recompute
from tests.judged import verdict as verdict
from tests.judged import verdicts as verdicts

# Straight leaf on a belt, no circuit, one temperature: what stays can be done with a pencil.
BARE = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "supplies": None,
    "fuses": None,
    "cables": None,
    "regulators": None,
    "electronics": None,
    "pins": None,
    "measured": None,
    "door.edge": {"kind": "hard"},
    "door.leaf.mass": "4 kg",
    "door.leaf.fittings": "2 kg",
    "door.track.friction": "10 %",
    "linkage.mount_stiffness": "60 N/mm",
    "drive.motor": {"time_constant": "20 ms"},
    "controller.speed": {"normal": 1.0, "last_over": "0 mm"},
}


def pencil() -> dict[str, float]:
    """What its drive's listing comes to: 24 V, 0.14 m/s at 0.6 A, 0.11 m/s at 2.2 A and 180 N."""
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    constant = (24.0 - 0.6 * resistance) / 0.14
    per_ampere = 180.0 / (2.2 - 0.6)
    friction = 0.10 * 6.0 * 9.80665
    running = 0.6 + friction / per_ampere
    return {
        "resistance": resistance,
        "constant": constant,
        "per_ampere": per_ampere,
        "running": running,
        "speed": (24.0 - resistance * running) / constant,
        "stall": per_ampere * (24.0 / resistance - 0.6) - friction,
        "rotor": 0.020 * constant**2 / resistance,
    }


def pencil_forces(obstacle: float) -> dict[str, float]:
    """Stiffness in series [N/m]; forces that reach the trip, at the trip, of impact and of drive [N]."""
    told = pencil()
    series = 1.0 / (1.0 / obstacle + 1.0 / 60e3)
    above = (3.4 - told["running"]) * told["per_ampere"]
    trip = min(above + told["speed"] * series * (0.030 + 0.015), told["stall"])
    turning = told["rotor"] * told["speed"] ** 2 * told["per_ampere"] / told["constant"]
    return {
        "series": series,
        "above": above,
        "trip": trip,
        "driven": math.sqrt(trip**2 + series * turning),
        "impact": told["speed"] * math.sqrt(obstacle * 6.0),
    }


def twin(obstacle: float) -> dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]:
    """That door without friction in its track, for the simulation of two bodies in tests/laws.

    That one has 12 V: half of the volts at half of the constant and twice the amperes do the same.
    """
    told = pencil()
    alike = {
        "speed": (24.0 - told["resistance"] * 0.6) / told["constant"],
        "leverage": 1.0,
        "obstacle": obstacle,
        "threshold": 2.0 * (3.4 - 0.6),
        "mass": 6.0,
        "mount": 60e3,
        "efficiency": told["per_ampere"] / told["constant"],
        "filter": 0.030,
        "debounce": 15.0,
        "damping": 0.05,
        "resistance": told["resistance"] / 4.0,
        "free_current": 2.0 * 0.6,
        "constant": told["constant"] / 2.0,
        "rotor": told["rotor"],
    }
    return {name: np.array([value]) for name, value in alike.items()}
