"""How long a battery carries everything with nothing charging it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright import units
from hutwright.model.paths import replaced
from hutwright.trades.wiring import autonomy
from tests.described import described, orchard
from tests.judged import after, check, levers, verdict, verdicts
from tests.trades.wiring.batteries import battery

KEY = "wiring.autonomy"
HOUR = 3600.0


def test_divides_what_the_cold_leaves_by_what_is_drawn():
    # 10 mA asleep and 5 mA for the regulator; 3 % of 10 Ah in 720 h; 40 K below 25 degC at 1 %/K leave 60 %.
    drawn = 0.010 + 0.005 + 0.03 * 10.0 / 720.0
    found = check(described(battery()), KEY, "battery")
    assert found.value == pytest.approx(0.5 * 0.6 * 10.0 / drawn * HOUR, rel=1e-9)


def test_a_switching_regulator_draws_by_power_and_not_by_current():
    text = battery().replace('"linear 5 V 0.5 A"', '"switching 5 V 3 A"\nefficiency = "80 %"')
    drawn = 5.0 * 0.010 / (12.0 * 0.8) + 0.005 + 0.03 * 10.0 / 720.0
    assert check(described(text), KEY, "battery").value == pytest.approx(3.0 / drawn * HOUR, rel=1e-9)


def test_a_present_sensor_that_stays_on_is_added_to_a_board_that_sleeps():
    text = battery() + 'present_sensor = { kind = "beam", current = "20 mA", always_on = true }\n'
    drawn = 0.010 + 0.020 + 0.005 + 0.03 * 10.0 / 720.0
    assert check(described(text), KEY, "battery").value == pytest.approx(3.0 / drawn * HOUR, rel=1e-9)


def test_a_board_that_never_sleeps_counts_the_sensor_once():
    text = battery().replace(', asleep = "10 mA"', "")
    text += 'present_sensor = { kind = "beam", current = "20 mA", always_on = true }\n'
    drawn = 0.050 + 0.005 + 0.03 * 10.0 / 720.0
    assert check(described(text), KEY, "battery").value == pytest.approx(3.0 / drawn * HOUR, rel=1e-9)


def test_the_moves_of_a_day_are_spread_over_it():
    # The orchard's drive: 300 mm at 22 mm/s, 2.6 A, both ways.
    def drawn(cycles: int) -> float:
        found = check(orchard({"controller.cycles_a_day": cycles}), KEY, "battery")
        mean = next(step for step in found.working if step.symbol == "I_mean")
        return mean.result.value

    expected = 10 * 2 * (0.300 / 0.022) * 2.6 / 86400.0
    assert drawn(12) - drawn(2) == pytest.approx(expected, rel=1e-9)


def test_a_power_supply_and_a_battery_that_feeds_nothing_are_not_asked_about():
    spare = '[supplies.spare]\nkind = "lead-acid 12 V"\ncapacity = "7 Ah"\n'
    spare += '[supplies.mains]\nkind = "mains power supply"\n'
    assert set(verdicts(described(battery() + spare), KEY)) == {"battery"}


def test_every_lever_keeps_its_word():
    found = levers(orchard(), KEY, "battery")
    assert {"replace battery by one of", "a bridge that takes less for itself"} <= set(found)
    sleepy = levers(described(battery().replace('asleep = "10 mA"', 'asleep = "45 mA"')), KEY, "battery")
    asleep = sleepy["send the board to sleep between two runs, drawing at most"]
    assert asleep.needed == pytest.approx(3.0 / 72.0 - 0.005 - 0.03 * 10.0 / 720.0, rel=1e-6)


def test_switching_the_sensor_off_helps_where_the_sensor_is_what_draws():
    text = battery() + 'present_sensor = { kind = "beam", current = "30 mA", always_on = true }\n'
    assert "a present sensor that sleeps too" in levers(described(text), KEY, "battery")


def test_a_battery_of_the_needed_charge_lasts_three_days():
    start = orchard()
    lever = levers(start, KEY, "battery")["replace battery by one of"]
    assert lever.needed is not None
    changes = {lever.path: units.write(lever.needed, units.CHARGE)}
    worst = verdict(after(start, changes), KEY, "battery").worst
    assert worst.value == pytest.approx(3 * 86400.0, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.floats(1e-4, 0.05), st.floats(1e-4, 0.05))
def test_never_lasts_longer_when_more_is_drawn(one, other):
    project = described(battery()).project
    less, more = sorted((one, other))
    lasts = [
        autonomy.ask(replaced(project, {("electronics", "logic", "asleep"): each}))[0].value
        for each in (less, more)
    ]
    assert lasts[0] >= lasts[1]
    assert math.isfinite(lasts[0])


@pytest.mark.practice("lead-acid batteries hold about two thirds of their capacity at -18 degC")
def test_the_cold_takes_about_a_third():
    found = check(orchard(), KEY, "battery")
    cold = next(step for step in found.working if step.symbol == "f_cold")
    assert cold.result.value == pytest.approx(
        2 / 3, abs=0.09
    )  # bounds 0.6 to 1 %/K over 43 K, and the middle
