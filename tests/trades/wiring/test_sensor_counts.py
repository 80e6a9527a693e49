"""How many counts of the converter the trip current comes to."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.laws.hall_sensor import converter_counts, hall_output
from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.sensor_counts"
COARSE = {"electronics.current_sensor.kind": "Hall 30 A", "controller.detection.trip": "1.2 A"}


def test_counts_the_steps_from_no_current_to_the_trip():
    # 3.2 A at 100 mV/A are 320 mV; a step of the 10-bit converter is 5 V / 1024.
    assert check(orchard(), KEY).value == pytest.approx(0.320 / (5.0 / 1024), rel=1e-9)


def test_agrees_with_what_the_converter_would_read():
    read = converter_counts(hall_output(3.2, 5.0, 0.100), 5.0) - converter_counts(
        hall_output(0.0, 5.0, 0.100), 5.0
    )
    assert check(orchard(), KEY).value == pytest.approx(read, abs=1.0)  # rounding to whole counts


def test_a_coarse_sensor_at_a_low_trip_misses():
    assert verdict(orchard(COARSE), KEY).status is Status.MISSES


def test_every_lever_keeps_its_word():
    found = levers(orchard(COARSE), KEY)
    assert set(found) == {"another current sensor", "let the door reverse from a current of"}
    needed = found["let the door reverse from a current of"].needed
    assert needed == pytest.approx(
        20 * 5.0 / 1024 / 0.063, rel=1e-6
    )  # at the least sensitivity of the 30 A type
