"""Way of the edge before the controller judges the current."""

from __future__ import annotations

import pytest

from tests.described import orchard
from tests.trades.guard.judged import BARE, check, levers, sports_field

KEY = "guard.blind_travel"


def test_agrees_with_a_pencil():
    found = check(sports_field(BARE).project, KEY)
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    constant = (24.0 - 0.6 * resistance) / 0.14
    speed = (24.0 - resistance * (0.6 + 0.1 * 6.0 * 9.80665 / 112.5)) / constant
    assert found.value == pytest.approx(0.30 * speed)


@pytest.mark.practice("blanking of 0.3 to 0.5 s is 12 to 100 mm of the edge's way")
def test_the_orchard_s_blanking_is_some_centimetres():
    assert 0.012 < check(orchard().project, KEY).value < 0.100


def test_a_shorter_blanking_lands_on_the_limit():
    long = orchard({"controller.detection.blind_after_start": "0.8 s"})
    lever = levers(long, KEY)["judge the current from the start on after no more than"]
    assert lever.needed is not None
    assert lever.needed < 0.8
