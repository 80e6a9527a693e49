"""Wiring: what the cables, fuses, bridge and regulators do to the voltage, and what it does to them."""

from __future__ import annotations

from hutwright.checks.check import Trade
from hutwright.model.project import Project
from hutwright.trades.wiring import (
    autonomy,
    bridge_current,
    bridge_junction,
    bridge_stall,
    bridge_supply,
    fuse_cable,
    fuse_energy,
    fuse_inrush,
    fuse_stall,
    hold_up,
    logic_feed,
    pins,
    recharge,
    regulator_capacitors,
    regulator_dropout,
    regulator_input,
    regulator_junction,
    regulator_load,
    sensor_counts,
    sensor_noise,
    sensor_place,
    sensor_range,
    start_dip,
    supply_current,
    surge,
    voltage_drop,
)


def cautions(project: Project) -> tuple[str, ...]:
    """The cautions that go with what is described."""
    return ()


TRADE = Trade(
    name="wiring",
    title="Wiring",
    questions=(
        start_dip.QUESTION,
        voltage_drop.QUESTION,
        fuse_cable.QUESTION,
        fuse_energy.QUESTION,
        fuse_stall.QUESTION,
        fuse_inrush.QUESTION,
        bridge_current.QUESTION,
        bridge_stall.QUESTION,
        bridge_junction.QUESTION,
        bridge_supply.QUESTION,
        regulator_dropout.QUESTION,
        regulator_junction.QUESTION,
        regulator_input.QUESTION,
        regulator_capacitors.QUESTION,
        regulator_load.QUESTION,
        logic_feed.QUESTION,
        hold_up.QUESTION,
        sensor_range.QUESTION,
        sensor_noise.QUESTION,
        sensor_counts.QUESTION,
        sensor_place.QUESTION,
        pins.QUESTION,
        autonomy.QUESTION,
        recharge.QUESTION,
        supply_current.QUESTION,
        surge.QUESTION,
    ),
    reads=("site", "supplies", "fuses", "cables", "regulators", "electronics", "pins", "controller", "drive"),
    cautions=cautions,
)
