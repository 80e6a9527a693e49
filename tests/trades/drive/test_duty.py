"""Share of an hour that the drive runs."""

import math

import pytest

from tests.described import orchard
from tests.trades.drive.judged import FREE_FALL, check, field, levers, pencil

KEY = "drive.duty"
STEADY = {
    "controller": {"detection": {"trip": "3.4 A"}, "speed": {"normal": 1.0}, "cycles_a_day": 40},
    "door.seal": {"force": "0 N", "over": "10 mm"},
}


def test_agrees_with_a_pencil():
    speed = 0.140 - 0.030 / 180.0 * 0.1 * 20.0 * FREE_FALL  # m/s, the same all the way without a seal
    found = check(pencil(STEADY), KEY)
    assert found.value == pytest.approx(10 * 2 * 0.82 / speed / 3600.0, rel=1e-6)


@pytest.mark.practice("a stroke of 100 mm at 30 mm/s takes about 3.3 s, one five times slower about 17 s")
@pytest.mark.parametrize(("speed", "time"), [("30 mm/s", 3.3), ("6 mm/s", 17.0)])
def test_a_short_stroke_takes_what_practice_says(speed, time):
    changes = {
        **STEADY,
        "door.track": {"way": "right", "travel": "0.1 m", "friction": 0.0},
        "drive.no_load.speed": speed,
        "drive.rating.speed": speed.replace("30", "20").replace("6", "4"),
    }
    steps = {each.symbol: each.result.value for each in check(pencil(changes), KEY).working}
    assert steps["t_opening"] == pytest.approx(time, rel=0.03)


def test_one_cycle_is_the_least_that_an_hour_sees():
    one, four = (check(field({"controller.cycles_a_day": number}), KEY).value for number in (1, 4))
    assert one == four


def test_a_drive_that_stalls_runs_without_end():
    found = check(orchard(), KEY)
    assert math.isinf(found.value)
    assert any("it stalls" in each.words for each in found.working)


def test_fewer_cycles_or_another_drive_mend_a_busy_door():
    busy = field({"controller.cycles_a_day": 500, "drive.rating.duty": 0.1})
    found = levers(busy, KEY)
    assert set(found) == {"fewer cycles", "a drive that may run longer"}
