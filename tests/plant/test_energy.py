"""What each battery gives away in a day."""

from __future__ import annotations

import pytest

from hutwright.plant.energy import idle_regulators, logic_asleep, longest_move, own_loss, stages
from tests.described import described, orchard
from tests.trades.wiring.batteries import battery

CHAIN = """
[regulators.nine]
kind = "linear 9 V 1 A"
fed_by = "battery"
quiescent = "4 mA"
"""


def test_a_row_of_regulators_adds_up_from_the_board_outwards():
    text = battery().replace('line = { from = "battery"', 'line = { from = "nine"') + CHAIN
    found = stages(described(text).project, 0.050)
    assert [each.regulator for each in found] == ["five", "nine"]
    assert [each.voltage for each in found] == [9.0, 12.0]
    assert [each.current for each in found] == pytest.approx([0.055, 0.059])


def test_a_regulator_beside_the_board_takes_its_own_current_still():
    assert idle_regulators(described(battery() + CHAIN).project, "battery") == pytest.approx(0.004)


def test_a_sleeping_board_with_its_sensor_never_takes_more_than_awake():
    text = battery() + 'present_sensor = { kind = "beam", current = "45 mA", always_on = true }\n'
    assert logic_asleep(described(text).project) == pytest.approx(0.050)


def test_a_move_runs_over_the_whole_stroke_at_rated_speed():
    assert longest_move(orchard().project) == pytest.approx(0.300 / 0.022)
    assert longest_move(orchard({"drive.length": None}).project) == pytest.approx(16.0)
    assert longest_move(described(battery()).project) == 0.0


def test_own_loss_empties_the_battery_by_its_share_in_a_month():
    supply = described(battery()).project.supplies["battery"]
    assert own_loss(supply) * 30 * 86400.0 == pytest.approx(0.03 * 10.0 * 3600.0)
