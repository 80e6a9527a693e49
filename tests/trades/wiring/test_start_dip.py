"""The board's voltage while the motor stalls, worked out by hand and held to what must be so."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright import units
from hutwright.assessment import assess
from hutwright.checks.verdict import Status
from hutwright.trades.wiring import TRADE, start_dip
from tests.described import orchard
from tests.judged import asked

# Everything exact and at 20 degC, to be done with a pencil: 12 V behind 0.1 ohm, 10 m of 13.3 ohm/km
# there and back (0.266 ohm), no drop in the bridge, 0.5 m of motor cable (0.0133 ohm), 12 V / 8 A in
# the motor.
PENCIL = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "supplies.battery": {
        "kind": "lead-acid 12 V",
        "voltage": "12 V",
        "resistance": "0.1 ohm",
        "capacity": "18 Ah",
    },
    "cables.feed.core": "1.5 mm2 class 5",
    "cables.feed.length": "10 m",
    "cables.motor.core": "1.5 mm2 class 5",
    "cables.motor.length": "0.5 m",
    "drive.stall.current": "8 A",
    "electronics.bridge": {"kind": "single MOSFET 30 A class", "offset": "0 V", "resistance": "0 ohm"},
    "electronics.logic.load": "0.1 A",
    "regulators.bridge_5v": {
        "kind": "linear 5 V 0.5 A",
        "fed_by": "bridge",
        "output": "5 V",
        "dropout": "2 V",
        "quiescent": "0 mA",
    },
    "allow": None,
}


def test_agrees_with_a_pencil():
    (check,) = start_dip.ask(orchard(PENCIL).project)
    stall = 12.0 / (0.1 + 0.266 + 0.0133 + 1.5)
    node = 12.0 - (0.1 + 0.266) * (stall + 0.1)
    assert node - 2.0 > 5.0
    assert check.value == 5.0
    feed = next(step for step in check.working if step.symbol == "U_feed")
    assert feed.result.value == pytest.approx(node, rel=1e-9)


def test_a_thin_long_feed_pulls_the_board_below_its_reset_level():
    long = {
        **PENCIL,
        "cables.feed.length": "60 m",
        "cables.feed.core": "0.75 mm2 class 5",
        "supplies.battery.resistance": "0.3 ohm",
    }
    alone = (replace(TRADE, questions=(asked("wiring.start_dip"),)),)
    (verdict,) = assess(orchard(long), alone).verdicts
    assert verdict.status is Status.MISSES
    assert any(lever.needed is not None for lever in verdict.levers)
    assert any(
        lever.option is not None and ("regulators", "bridge_5v", "fed_by") in lever.option.changes
        for lever in verdict.levers
    )


@given(st.floats(1.0, 80.0), st.floats(1.0, 40.0))
def test_never_rises_as_the_shared_cable_gets_longer(length: float, more: float):
    def left(metres: float) -> float:
        changes = {**PENCIL, "cables.feed.length": units.write(metres, units.LENGTH)}
        return start_dip.ask(orchard(changes).project)[0].value

    assert left(length + more) <= left(length) + 1e-12


def test_the_motor_does_not_pull_a_board_that_hangs_on_another_supply():
    apart = {
        **PENCIL,
        "supplies.second": {"kind": "mains power supply", "voltage": "12 V", "resistance": "0.1 ohm"},
        "regulators.bridge_5v.fed_by": "second",
    }
    (check,) = start_dip.ask(orchard(apart).project)
    feed = next(step for step in check.working if step.symbol == "U_feed")
    assert feed.result.value == pytest.approx(12.0 - 0.1 * 0.1, rel=1e-9)
