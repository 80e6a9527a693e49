"""The smallest change of the motor's current that stands out from noise and rounding."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.checks.verdict import Status
from hutwright.model.paths import replaced
from hutwright.trades.wiring import sensor_noise
from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.sensor_noise"
EXACT = {"electronics.current_sensor.sensitivity": "100 mV/A"}


@pytest.mark.published(
    "data sheet of a 5 V open-loop Hall current sensor, p. 5, 20 A type: 100 mV/A, 11 mV of noise"
)
def test_adds_noise_and_two_counts_of_the_converter():
    unfiltered = orchard({**EXACT, "controller.detection.filter": "0 ms"})
    counts = 2 * 5.0 / 1024 / 0.100
    assert check(unfiltered, KEY).value == pytest.approx(0.110 + counts, rel=1e-9)


def test_a_filter_evens_out_the_noise_but_not_the_converters_error():
    counts = 2 * 5.0 / 1024 / 0.100
    found = check(orchard({**EXACT, "controller.detection.filter": "20 ms"}), KEY)
    assert found.value == pytest.approx(0.110 / sqrt(40) + counts, rel=1e-9)


def test_wants_a_quarter_of_the_gap_between_running_and_trip():
    assert check(orchard(), KEY).limit == pytest.approx((3.2 - 2.6) / 4)


def test_a_trip_below_the_running_current_misses():
    assert verdict(orchard({"controller.detection.trip": "2.5 A"}), KEY).status is Status.MISSES


def test_every_lever_keeps_its_word():
    found = levers(orchard({"controller.detection.filter": "1 ms"}), KEY)
    assert {"let the door reverse from a current of", "smooth the readings with a time constant of"} <= set(
        found
    )
    noisy = levers(orchard({"electronics.current_sensor.kind": "Hall 30 A"}), KEY)
    assert "another current sensor" in noisy


@settings(max_examples=40, deadline=None)
@given(st.floats(0.0, 0.2), st.floats(0.0, 0.2))
def test_a_slower_filter_never_makes_it_worse(one, other):
    project = orchard().project
    quick, slow = sorted((one, other))
    seen = [
        sensor_noise.ask(replaced(project, {("controller", "detection", "filter"): each}))[0].value
        for each in (quick, slow)
    ]
    assert seen[0] >= seen[1]
