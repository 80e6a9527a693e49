"""The keys of all checks, each with the kind of quantity that answers it.

A builder may set a limit of his own on any of them; the description reads it by this roster.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hutwright import units
from hutwright.checks.shown import NUMBER
from hutwright.units import Dimension

ROSTER: Mapping[str, Dimension] = MappingProxyType(
    {
        "wiring.start_dip": units.VOLTAGE,
        "wiring.voltage_drop": units.RATIO,
        "wiring.fuse_cable": units.CURRENT,
        "wiring.fuse_energy": units.MELTING_INTEGRAL,
        "wiring.fuse_stall": units.TIME,
        "wiring.fuse_inrush": units.TIME,
        "wiring.bridge_current": units.CURRENT,
        "wiring.bridge_stall": units.CURRENT,
        "wiring.bridge_junction": units.TEMPERATURE,
        "wiring.bridge_supply": units.VOLTAGE,
        "wiring.regulator_dropout": units.VOLTAGE,
        "wiring.regulator_junction": units.TEMPERATURE,
        "wiring.regulator_input": units.VOLTAGE,
        "wiring.regulator_capacitors": units.CAPACITANCE,
        "wiring.regulator_load": units.CURRENT,
        "wiring.logic_feed": units.VOLTAGE,
        "wiring.hold_up": units.TIME,
        "wiring.sensor_range": units.CURRENT,
        "wiring.sensor_noise": units.CURRENT,
        "wiring.sensor_counts": NUMBER,
        "wiring.sensor_place": units.RATIO,
        "wiring.pins": NUMBER,
        "wiring.autonomy": units.TIME,
        "wiring.recharge": units.RATIO,
        "wiring.supply_current": units.CURRENT,
        "wiring.surge": units.LENGTH,
    }
)

# Keys that a description may set a limit on although no check answers them yet.
LATER: Mapping[str, Dimension] = MappingProxyType(
    {
        "door.opening_time": units.TIME,
        "door.closing_time": units.TIME,
        "guard.peak_force": units.FORCE,
    }
)
