"""detect.c against the same sums in real numbers, and against the traps of 16 bits."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.native import records
from hutwright.native._door import ffi, lib
from hutwright.native.records import blank
from hutwright.native.words import Ends, Mode, Sense, Word
from tests.native.core.leaf import WHOLE, Leaf, settings, still
from tests.native.core.reference import Reference, profile_at, trip

ACCURACY_MA = 3.0  # stated in door.h
STILL, OPENS, CLOSES = 0, 1, 2


class Detector:
    """door_detect by itself, in a drive that is on.

    Attributes
    ----------
    settings : Record
        Sealed settings.
    state, decided, inputs, seen : Record
        What the C reads and writes.
    """

    def __init__(self, chosen: Any, *, way: int = OPENS, duty: int = 900, place: float | None = None) -> None:
        self.settings = chosen
        arrays = [
            np.zeros(1, each)
            for each in (records.DETECT_STATE, records.DECIDE_STATE, records.INPUTS, records.SEEN)
        ]
        self._kept = [np.asarray(chosen).reshape(1), *arrays]
        names = (
            "door_settings *", "door_detect_state *", "door_decide_state *", "door_inputs *", "door_seen *",
        )  # fmt: skip
        self._at = [ffi.cast(name, array.ctypes.data) for name, array in zip(names, self._kept, strict=True)]
        self.state, self.decided, self.inputs, self.seen = (array[0] for array in arrays)
        lib.door_detect_begin(self._at[0], self._at[1])
        arrays[2][0] = still()
        self.decided["way"], self.decided["duty_permille"], self.decided["enable"] = way, duty, 1
        if place is not None:
            self.state["place_known"], self.state["place_q30"] = 1, round(place * WHOLE)

    def tick(self, current_mA: int = 0, times: int = 1) -> Any:
        """So many milliseconds with that reading; what it has seen."""
        for _ in range(times):
            self.inputs["current_mA"] = current_mA
            lib.door_detect(*self._at)
        return self.seen


# ---- the whole, against real numbers -----------------------------------------------------------------

AMPERES = st.integers(0, 40000)
DETECTORS = st.fixed_dictionaries(
    {
        "profile_mA": st.lists(AMPERES, min_size=32, max_size=32),
        "start_mA": st.lists(st.integers(0, 20000), min_size=8, max_size=8),
        "per_kelvin_uA": st.integers(-30000, 30000),
        "per_volt_mA": st.integers(-5000, 5000),
    }
)


@given(
    detector=DETECTORS,
    way=st.sampled_from(["opening", "closing"]),
    place=st.none() | st.floats(0.0, 1.0),
    filter_q16=st.integers(64, 65535),
    slow_q16=st.integers(16, 65535),
    duty=st.integers(50, 1000),
    sense=st.sampled_from([0, 1]),
    gain=st.integers(1, 65535),
    resistance=st.integers(0, 2000),
    weather=st.tuples(st.integers(-400, 600), st.integers(7000, 17000)),
    readings=st.lists(st.integers(-24000, 24000), min_size=1, max_size=60),
)
def test_filter_profile_and_regression_are_those_of_real_numbers(
    detector, way, place, filter_q16, slow_q16, duty, sense, gain, resistance, weather, readings
):
    chosen = settings(
        filter_q16=filter_q16, slow_q16=slow_q16, sense=sense, place_gain_q8=gain, blind_ms=10,
        start_step_ms=3, resistance_mohm=resistance, **{way: detector},
    )  # fmt: skip
    tested = Detector(chosen, way=OPENS if way == "opening" else CLOSES, duty=duty, place=place)
    reference = Reference(chosen, way, place=place)
    tested.inputs["temperature_dC"], tested.inputs["supply_mV"] = weather
    for reading in readings:
        tested.tick(reading)
        reference.tick(reading, weather[1], weather[0], duty)
        # The duty's inverse has 11 bits behind the point: half of the last one, of at least 2048.
        by_sense = 60000.0 * 0.5 / 2048.0 if sense else 0.0
        # The steepest line of the profile times what the place may be out by (0.02 % and its own last bit).
        slope = max(abs(np.diff(detector["profile_mA"])))
        by_place = slope * 32.0 * (2.0**-16 + abs(tested.state["place_q30"] / WHOLE - reference.place))
        assert tested.state["current_mA"] == pytest.approx(reference.filtered, abs=1.0 + by_sense)
        assert tested.state["expected_mA"] == pytest.approx(
            reference.expected, abs=ACCURACY_MA + by_place + 1e-4 * abs(reference.expected)
        )
        assert tested.state["residual_mA"] == pytest.approx(
            reference.residual, abs=ACCURACY_MA + by_place + by_sense + 1e-4 * abs(reference.expected)
        )


@given(
    way=st.sampled_from([OPENS, CLOSES]),
    start=st.floats(0.0, 1.0),
    gain=st.integers(100, 65535),
    duty=st.integers(50, 1000),
    supply=st.integers(3000, 60000),
    resistance=st.integers(0, 60000),
    drop=st.integers(0, 5000),
    current=st.integers(0, 32000),
    ticks=st.integers(1, 300),
)
def test_the_place_follows_the_back_emf(way, start, gain, duty, supply, resistance, drop, current, ticks):
    chosen = settings(place_gain_q8=gain, resistance_mohm=resistance, drop_mV=drop)
    tested = Detector(chosen, way=way, duty=duty, place=start)
    tested.inputs["supply_mV"] = supply
    tested.state["last_mA"][:] = current
    tested.tick(current, ticks)
    emf = max(0.0, supply * duty / 1000.0 - drop - resistance * current / 1000.0)
    covered = emf * gain / 256.0 / WHOLE * ticks
    expected = min(1.0, max(0.0, start + (covered if way == OPENS else -covered)))
    # Each of the two voltages is out by 2 mV and 0.01 % at most.
    off = (
        (4.0 + 1e-4 * (supply * duty / 1000.0 + resistance * current / 1000.0)) * gain / 256.0 / WHOLE * ticks
    )
    assert tested.state["place_q30"] / WHOLE == pytest.approx(expected, abs=off + 1e-7)
    assert 0 <= int(tested.state["place_q30"]) <= 2**30


# ---- sixteen bits ------------------------------------------------------------------------------------


@pytest.mark.parametrize("reading", [32000, -32000, 32767, -32768])
def test_the_greatest_readings_and_settings_do_not_overflow(reading):
    chosen = settings(
        filter_q16=65535, resistance_mohm=60000, drop_mV=5000, range_mA=32000, place_gain_q8=65535, sense=1,
        opening={"profile_mA": 40000, "start_mA": 40000, "per_kelvin_uA": 30000, "per_volt_mA": 5000,
                 "trip_mA": 40000},
    )  # fmt: skip
    tested = Detector(chosen, duty=50, place=1.0)
    tested.inputs["supply_mV"], tested.inputs["temperature_dC"] = 65535, 32767
    tested.state["offset_mA"] = -10000 if reading > 0 else 10000
    tested.tick(reading, 50)
    assert int(tested.state["current_mA"]) == 60000
    assert int(tested.state["expected_mA"]) == 60000
    assert abs(int(tested.state["residual_mA"])) <= 1


def test_forty_amperes_are_forty_amperes():
    tested = Detector(settings(filter_q16=32768, zero_most_mA=10000, range_mA=32000), place=0.5)
    tested.state["offset_mA"] = -8000
    tested.tick(32000, 40)
    assert int(tested.state["current_mA"]) == 40000
    assert int(tested.state["residual_mA"]) == 32767  # 38 A do not fit


@pytest.mark.parametrize(
    ("reading", "filter_q16"), [(20, 64), (40, 64), (1000, 64), (20000, 64), (20000, 1000)]
)
def test_the_filter_has_no_dead_band(reading, filter_q16):
    tested = Detector(settings(filter_q16=filter_q16), place=0.5)
    tested.tick(reading, 20000 * 64 // filter_q16)
    assert int(tested.state["current_mA"]) == pytest.approx(reading, abs=1)
    tested.tick(0, 20000 * 64 // filter_q16)
    assert int(tested.state["current_mA"]) <= 1


@pytest.mark.parametrize("duty", [1, 49, 50, 51, 333, 500, 750, 999, 1000])
@pytest.mark.parametrize("motor", [300, 3000, 30000])
def test_a_sensor_in_the_supply_lead_is_divided_by_the_duty(duty, motor):
    tested = Detector(settings(sense=int(Sense.SUPPLY), filter_q16=65535), duty=duty)
    reading = round(motor * duty / 1000.0)
    tested.tick(reading, 20)
    expected = min(60000.0, reading * 1000.0 / max(duty, 50))
    assert int(tested.state["current_mA"]) == pytest.approx(expected, abs=1.0 + 0.0005 * expected)


def test_the_inverse_follows_every_change_of_the_duty():
    tested = Detector(settings(sense=int(Sense.SUPPLY), filter_q16=65535))
    for duty in (1000, 400, 401, 1000, 60):
        tested.decided["duty_permille"] = duty
        tested.tick(2 * duty, 20)
        assert int(tested.state["current_mA"]) == pytest.approx(2000, abs=2)


# ---- median, profile, start --------------------------------------------------------------------------


@given(st.lists(st.integers(-30000, 30000), min_size=3, max_size=3))
def test_the_backstop_sees_the_median_of_three(three):
    tested = Detector(settings(backstop_mA=10000, backstop_ms=1, filter_q16=64))
    for reading in three:
        tested.tick(reading)
    assert bool(tested.seen["backstop"]) == (abs(sorted(three)[1]) >= 10000)


@given(st.lists(AMPERES, min_size=32, max_size=32), st.floats(0.0, 1.0))
def test_the_profile_runs_straight_between_the_middles_of_its_bins(profile, place):
    tested = Detector(settings(opening={"profile_mA": profile}, place_gain_q8=1), place=place)
    tested.tick(0)
    slope = max(abs(np.diff(profile)))
    expected = profile_at(profile, int(tested.state["place_q30"]) / WHOLE)
    assert int(tested.state["expected_mA"]) == pytest.approx(expected, abs=1.0 + slope * 32.0 / 65536.0)


def test_an_unknown_place_expects_the_greatest_bin_of_that_direction():
    profile = list(range(1000, 4200, 100))
    for way, name in ((OPENS, "opening"), (CLOSES, "closing")):
        changes: dict[str, Any] = {name: {"profile_mA": profile[::-1]}}
        tested = Detector(settings(**changes), way=way)
        tested.tick(0)
        assert int(tested.state["expected_mA"]) == 4100


def test_the_start_profile_lasts_eight_steps():
    start = [800, 700, 600, 500, 400, 300, 200, 100]
    tested = Detector(settings(opening={"start_mA": start}, start_step_ms=25), place=0.5)
    for elapsed in range(300):
        tested.tick(0)
        more = start[elapsed // 25] if elapsed < 200 else 0
        assert int(tested.state["expected_mA"]) == 2000 + more


@pytest.mark.parametrize("weather", [(200, 12000), (-50, 11000), (-51, 12000), (-150, 12000), (450, 12000),
                                     (200, 10900), (200, 13500), (-100, 13200), (900, 20000)])  # fmt: skip
def test_the_trip_is_wider_outside_the_trained_range(weather):
    chosen = settings(filter_q16=65535, after_ms=1, blind_ms=0, opening={"rise_mA": 65535})
    expected = trip(chosen, "opening", weather[1], weather[0])

    def trips(residual: float) -> bool:
        tested = Detector(chosen, place=0.5)
        tested.inputs["temperature_dC"], tested.inputs["supply_mV"] = weather
        return bool(tested.tick(round(2000.0 + residual), 12)["residual"])

    assert not trips(expected - ACCURACY_MA)
    assert trips(expected + ACCURACY_MA)


def test_the_rise_is_measured_from_the_slow_mean_of_a_while_ago():
    chosen = settings(filter_q16=65535, slow_q16=65535, after_ms=1, blind_ms=0,
                      opening={"trip_mA": 40000, "rise_mA": 1000})  # fmt: skip
    tested = Detector(chosen, place=0.5)
    per_ms = 10  # over 112 to 128 ms that is 1120 to 1280 mA
    for elapsed in range(300):
        seen = tested.tick(2000 + per_ms * elapsed)
        if seen["rise"]:
            break
    assert 128 <= elapsed <= 132
    slower = Detector(chosen, place=0.5)
    for elapsed in range(600):
        assert not slower.tick(2000 + 7 * elapsed)["rise"]  # at most 900 mA


def test_a_rise_of_all_ones_is_off():
    chosen = settings(filter_q16=65535, after_ms=1, blind_ms=0, opening={"trip_mA": 40000, "rise_mA": 65535})
    tested = Detector(chosen, place=0.5)
    tested.tick(0, 300)
    assert not tested.tick(30000, 20)["rise"]


# ---- zero --------------------------------------------------------------------------------------------


@given(st.lists(st.integers(-480, 480), min_size=8, max_size=64))
def test_the_offset_is_the_mean_of_the_readings_at_rest(readings):
    chosen = settings(zero_ms=len(readings), zero_most_mA=500, none_mA=5000, dead_ms=5)
    tested = Detector(chosen, way=STILL, duty=0)
    tested.decided["enable"] = 0
    tested.tick(17, 5)
    for reading in readings:
        tested.tick(reading)
    assert tested.seen["zeroed"]
    assert int(tested.state["offset_mA"]) == pytest.approx(float(np.mean(readings)), abs=0.5 + 1e-9)


def test_the_current_is_the_magnitude_of_the_reading_less_the_offset():
    tested = Detector(settings(filter_q16=65535))
    tested.state["offset_mA"] = 250
    tested.tick(2250, 20)
    assert int(tested.state["current_mA"]) == 2000
    tested.tick(-1750, 20)
    assert int(tested.state["current_mA"]) == 2000


# ---- place -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("permille", [0, 1, 250, 500, 999, 1000, 1001, 65534])
def test_a_place_sensor_is_taken_instead_of_the_integration(permille):
    tested = Detector(settings(), place=0.3)
    tested.inputs["place_permille"] = permille
    tested.tick(0, 10)
    assert int(tested.state["place_q30"]) / WHOLE == pytest.approx(min(permille, 1000) / 1000.0, abs=1e-6)


@pytest.mark.parametrize(
    "place", [0.0, 0.04, 0.049, 0.051, 0.1, 0.14, 0.16, 0.5, 0.84, 0.86, 0.949, 0.951, 1.0]
)
def test_windows_and_stretches_are_shares_of_the_travel(place):
    chosen = settings(
        end_permille=50, slip_permille=150, last_shut_permille=100, last_open_permille=30, place_gain_q8=1
    )
    tested = Detector(chosen, place=place)
    seen = tested.tick(0)
    assert bool(seen["at_shut"]) == (place < 0.05)
    assert bool(seen["at_open"]) == (place > 0.95)
    assert bool(seen["off_place"]) == (0.15 < place < 0.85)
    assert bool(seen["slow_shut"]) == (place <= 0.1)
    assert bool(seen["slow_open"]) == (place >= 0.97)


def test_nothing_is_said_of_a_place_that_is_not_known():
    seen = Detector(settings()).tick(0)
    assert not any(seen[name] for name in ("at_shut", "at_open", "off_place", "place_known"))
    assert seen["slow_shut"]
    assert seen["slow_open"]


def test_the_way_since_the_mark_counts_even_where_the_place_is_not_known_and_at_its_bound():
    tested = Detector(settings(relax_permille=50, back_permille=200), way=CLOSES)
    assert int(tested.state["place_q30"]) == 0
    tested.decided["mark"] = 1
    tested.tick(2000)
    tested.decided["mark"] = 0
    assert not tested.seen["moved_relax"]
    per_ms = (12000 * 0.9 - 1000 - 500 * 2.0) * 41648 / 256.0 / WHOLE
    ticks = 0
    while not tested.seen["moved_back"]:
        tested.tick(2000)
        ticks += 1
        assert (
            bool(tested.seen["moved_relax"]) == pytest.approx(per_ms * ticks >= 0.05)
            or abs(per_ms * ticks - 0.05) < 2.5 * per_ms
        )
    assert per_ms * ticks == pytest.approx(0.2, abs=3 * per_ms)


def test_braking_moves_the_place_on_in_the_way_it_went():
    tested = Detector(settings(resistance_mohm=1000), place=0.5)
    tested.tick(3000, 5)
    before = int(tested.state["place_q30"])
    tested.decided["duty_permille"] = 0
    tested.tick(-3000, 10)
    gone = int(tested.state["place_q30"]) - before
    assert gone == pytest.approx(10 * (3000.0 + 1000.0) * 41648 / 256.0, rel=0.01)
    tested.decided["enable"] = 0
    before = int(tested.state["place_q30"])
    tested.tick(-3000, 10)
    assert int(tested.state["place_q30"]) == before


def test_the_place_is_kept_between_the_ends_for_a_whole_season_of_moves():
    leaf = Leaf(ends=Ends.SWITCHES).shut()
    for _ in range(5):
        leaf.say(Word.OPEN)
        leaf.until(Mode.OPEN)
        assert abs(leaf.believed - 1.0) < 0.01
        leaf.run(100).say(Word.CLOSE)
        leaf.until(Mode.SHUT)
        assert abs(leaf.believed) < 0.01
        leaf.run(100)


def test_blank_records_are_no_settings():
    assert lib.door_settings_refusal(ffi.new("door_settings *")) != 0
    assert blank(records.SETTINGS)["version"] == 0
