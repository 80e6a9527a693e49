"""The keys of all checks, each with the kind of quantity that answers it.

A builder may set a limit of his own on any of them; the description reads it by this roster.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hutwright import units
from hutwright.units import NUMBER, Dimension

ROSTER: Mapping[str, Dimension] = MappingProxyType(
    {
        "door.linkage_reach": units.LENGTH,
        "door.dead_centre": units.RATIO,
        "door.body_clearance": units.LENGTH,
        "door.leaf_clearance": units.LENGTH,
        "door.opening_force": units.FORCE,
        "door.closing_force": units.FORCE,
        "door.holding": units.FORCE,
        "door.drift": units.FORCE,
        "door.opening_time": units.TIME,
        "door.closing_time": units.TIME,
        "door.clear_height": units.LENGTH,
        "door.clear_width": units.LENGTH,
        "door.departure": units.LENGTH,
        "door.departure_wait": units.TIME,
        "door.coming_home": units.LENGTH,
        "door.edge_speed": units.SPEED,
        "door.release_force": units.FORCE,
        "door.power_return": NUMBER,
        "drive.consistency": NUMBER,
        "drive.voltage_loss": units.RATIO,
        "drive.loaded_speed": units.RATIO,
        "drive.stall_force": units.FORCE,
        "drive.current": units.CURRENT,
        "drive.trip_room": units.CURRENT,
        "drive.duty": units.RATIO,
        "drive.warming": units.RATIO,
        "drive.end_switches": NUMBER,
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
        "guard.kinetic_energy": units.ENERGY,
        "guard.peak_force": units.FORCE,
        "guard.peak_force_body": units.FORCE,
        "guard.duration": units.TIME,
        "guard.reversal_force": units.FORCE,
        "guard.trip_reached": units.CURRENT,
        "guard.blind_travel": units.LENGTH,
        "guard.crush_gap": NUMBER,
        "guard.layers": NUMBER,
        "sky.satellites": NUMBER,
        "sky.satellites_low": NUMBER,
        "sky.shared": NUMBER,
        "sky.corrections": units.TIME,
        "sky.dilution": NUMBER,
        "sky.ready_shut": units.RATIO,
        "sky.ready_wet": units.RATIO,
        "sky.ready_snow": units.RATIO,
        "sky.ready_open": units.RATIO,
        "sky.opening_gain": NUMBER,
    }
)
