"""The time that opening takes: against an integration of its own, and with every lever pulled."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, field, levers, verdict
from tests.trades.door.test_opening_force import arm_at, lift_at

KEY = "door.opening_time"
# A drive straight on its rated supply, at 20 degC for all there is: U = R i + K v, with i = i_0 + F / K_F.
BENCH = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "electronics": None,
    "pins": None,
    "regulators": None,
    "cables": None,
    "fuses": None,
    "drive.motor.resistance": "1.5 ohm",
    "drive.cold_friction": 1.0,
}


def test_agrees_with_an_integration_of_its_own():
    slow = calm({**BENCH, "door.ice": "0 N"})
    constant = (12.0 - 1.5 * 0.8) / 0.030  # running free [V s/m]
    per_newton = (2.6 - 0.8) / 300.0  # full load [A/N]

    def seconds_a_radian(q: float) -> float:
        arm = arm_at(math.degrees(q))
        force = (lift_at(math.degrees(q)) + 0.4) / arm
        speed = (12.0 - 1.5 * (0.8 + per_newton * max(force, 0.0))) / constant
        return arm / speed

    wanted = quad(seconds_a_radian, 0.0, math.radians(82.0))[0]
    # Sixty stretches by the trapezoidal rule: a part in a thousand is ample.
    assert check(slow, KEY).value == pytest.approx(wanted, rel=1e-3)


@pytest.mark.practice("100 mm at 30 mm/s take about 3.3 s, and a drive five times slower about 17 s")
@pytest.mark.parametrize(("speed", "wanted"), [("30 mm/s", 3.3), ("6 mm/s", 16.7)])
def test_takes_as_long_as_is_commonly_said(speed, wanted):
    free = {
        "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
        "site.wind.working": "0 m/s",
        "site.snow.drift": "0 m",
        "door.ice": "0 N",
        "door.track.friction": "0 %",
        "door.track.travel": "0.1 m",
        "controller.speed": {"normal": 1.0},
        "drive.cold_friction": 1.0,
        "drive.rating.speed": speed,
        "drive.no_load.speed": speed,
        "supplies.club_house.voltage": "24 V",
        "supplies.club_house.resistance": "0.001 ohm",
        "cables.field.length": "0.1 m",
        "cables.motor.length": "0.1 m",
        "electronics.bridge.offset": "0 V",
        "electronics.bridge.resistance": "0 ohm",
        "controller.longest_run": {"opening": "60 s", "closing": "60 s"},
    }
    assert check(field(free), KEY).value == pytest.approx(wanted, rel=0.05)


def test_a_drive_that_is_too_slow_for_the_cap_names_the_cap_and_a_quicker_drive():
    slow = calm({"drive.rating.speed": "15 mm/s", "drive.no_load.speed": "19 mm/s"})
    assert verdict(slow, KEY).status is Status.MISSES
    pulled = levers(slow, KEY)
    assert "let a run open for at most" in pulled


def test_says_where_it_stalls():
    heavy = calm({"door.leaf.mass": "40 kg"})
    found = verdict(heavy, KEY)
    assert found.status is Status.MISSES
    assert math.isinf(found.check.value)
    assert "stalls" in found.check.working[-1].words


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        (
            {"linkage.foot": {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}, "door.open_angle": "120 deg"},
            "dead centre",
        ),
        ({"drive.length.stroke": "200 mm"}, "stroke"),
    ],
)
def test_is_unknown_and_says_why_where_there_is_no_whole_move(changes, why):
    found = verdict(calm(changes), KEY)
    assert found.status is Status.UNDECIDED
    assert why in found.check.working[-1].words
