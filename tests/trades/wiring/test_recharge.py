"""Whether what is charged on a day makes up for what the day takes."""

from __future__ import annotations

import pytest

from tests.described import described
from tests.judged import check, levers, verdict, verdicts
from tests.trades.wiring.batteries import battery

KEY = "wiring.recharge"
SUN = 'charger = { current = "0.1 A", time_a_day = "5 h" }'


def test_compares_what_goes_in_with_what_goes_out():
    # 85 % of 0.1 A over 5 h; 15 mA and 3 % of 10 Ah a month over 24 h.
    taken = (0.015 + 0.03 * 10.0 / 720.0) * 24.0
    found = check(described(battery(SUN)), KEY, "battery")
    assert found.value == pytest.approx(0.85 * 0.1 * 5.0 / taken, rel=1e-9)
    assert verdict(described(battery(SUN)), KEY, "battery").margin > 0.0


def test_is_not_asked_where_nothing_charges():
    assert verdicts(described(battery()), KEY) == {}


def test_every_lever_keeps_its_word():
    weak = described(battery(SUN.replace("0.1 A", "0.05 A")))
    found = levers(weak, KEY, "battery")
    charge = found["charge battery with"]
    taken = (0.015 + 0.03 * 10.0 / 720.0) * 24.0
    assert charge.needed == pytest.approx(taken / (0.85 * 5.0), rel=1e-6)
    assert charge.option is not None
    assert "0.3 A" in charge.option.words
    assert "send the board to sleep between two runs, drawing at most" in found


def test_says_where_the_cold_forbids_charging():
    lithium = battery(SUN).replace("lead-acid 12 V", "LiFePO4 12 V")
    assert "must not be charged" in check(described(lithium), KEY, "battery").meaning
    assert "must not be charged" not in check(described(battery(SUN)), KEY, "battery").meaning
