"""Settings are refused outside the ranges of door.h, field by field, with the reason."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hutwright.native import records
from hutwright.native._door import ffi, lib
from hutwright.native.engine import refusal, sealed
from hutwright.native.words import Refusal
from tests.native.core.leaf import settings

# Field, least and greatest good value, reason; a dotted field is of a detector.
RANGES = [
    ("sense", 0, 1, Refusal.SENSE),
    ("ends", 0, 2, Refusal.ENDS),
    ("normal_permille", 400, 1000, Refusal.DUTY),
    ("last_permille", 200, 900, Refusal.DUTY),
    ("start_permille", 0, 400, Refusal.DUTY),
    ("ramp_ms", 1, 2000, Refusal.RAMP),
    ("dead_ms", 5, 2000, Refusal.DEAD_TIME),
    ("last_shut_permille", 0, 1000, Refusal.LAST),
    ("last_open_permille", 0, 1000, Refusal.LAST),
    ("opening_cap_ms", 500, 60000, Refusal.RUN_CAP),
    ("closing_cap_ms", 500, 60000, Refusal.RUN_CAP),
    ("backstop_mA", 100, 40000, Refusal.BACKSTOP),
    ("backstop_ms", 1, 500, Refusal.BACKSTOP),
    ("filter_q16", 64, 65535, Refusal.DETECTOR),
    ("slow_q16", 16, 65535, Refusal.DETECTOR),
    ("after_ms", 1, 1000, Refusal.DETECTOR),
    ("blind_ms", 0, 3000, Refusal.DETECTOR),
    ("start_step_ms", 1, 500, Refusal.DETECTOR),
    *((f"{way}.trip_mA", 20, 40000, Refusal.DETECTOR) for way in ("opening", "closing")),
    *((f"{way}.rise_mA", 20, 40000, Refusal.DETECTOR) for way in ("opening", "closing")),
    *((f"{way}.per_kelvin_uA", -30000, 30000, Refusal.REGRESSION) for way in ("opening", "closing")),
    *((f"{way}.per_volt_mA", -5000, 5000, Refusal.REGRESSION) for way in ("opening", "closing")),
    ("reference_dC", -600, 900, Refusal.REGRESSION),
    ("reference_mV", 3000, 60000, Refusal.REGRESSION),
    ("trained_low_dC", -600, 350, Refusal.REGRESSION),
    ("trained_high_dC", -50, 900, Refusal.REGRESSION),
    ("trained_low_mV", 0, 13000, Refusal.REGRESSION),
    ("trained_high_mV", 11000, 60000, Refusal.REGRESSION),
    ("widen_per_kelvin_mA", 0, 1000, Refusal.REGRESSION),
    ("widen_per_volt_mA", 0, 5000, Refusal.REGRESSION),
    ("widen_most_mA", 0, 20000, Refusal.REGRESSION),
    ("start_above_mV", 9501, 60000, Refusal.SUPPLY),
    ("stop_below_mV", 2000, 10499, Refusal.SUPPLY),
    ("stop_below_ms", 1, 5000, Refusal.SUPPLY),
    ("place_gain_q8", 1, 65535, Refusal.PLACE),
    ("resistance_mohm", 0, 60000, Refusal.PLACE),
    ("drop_mV", 0, 5000, Refusal.PLACE),
    ("end_permille", 1, 300, Refusal.WINDOW),
    ("slip_permille", 10, 1000, Refusal.WINDOW),
    ("zero_ms", 8, 2000, Refusal.ZERO),
    ("zero_most_mA", 1, 10000, Refusal.ZERO),
    ("range_mA", 1000, 32000, Refusal.ZERO),
    ("stuck_ms", 20, 20000, Refusal.ZERO),
    ("none_mA", 1, 5000, Refusal.ZERO),
    ("none_ms", 5, 2000, Refusal.ZERO),
    ("most_reversals", 1, 9, Refusal.REVERSAL),
    ("relax_permille", 1, 200, Refusal.REVERSAL),
    ("back_permille", 0, 1000, Refusal.REVERSAL),
    ("commands", 1, 15, Refusal.COMMAND),
    ("eyes", 0, 7, Refusal.COMMAND),
    ("link_lost", 0, 2, Refusal.COMMAND),
    ("present_hold_ms", 0, 10000, Refusal.COMMAND),
    ("link_lost_ms", 200, 60000, Refusal.COMMAND),
    ("debounce_ms", 1, 200, Refusal.COMMAND),
    ("clear_ms", 500, 10000, Refusal.COMMAND),
]
NAMES = [name for name, *_ in RANGES]
# Any value of these is good, or another test is about them.
OTHER = {"version", "checksum", "auto_close_s", "opening", "closing"}
OFF = {"stuck_ms": 0, "link_lost_ms": 0, "opening.rise_mA": 65535, "closing.rise_mA": 65535}


def with_value(name: str, value: int) -> Any:
    """Plain settings with that one field changed."""
    way, _, field = name.rpartition(".")
    changes: dict[str, Any] = {way: {field: value}} if way else {field: value}
    return settings(**changes)


def bounds_of(name: str) -> tuple[int, int]:
    """What the field's type can hold."""
    way, _, field = name.rpartition(".")
    kind = (records.SETTINGS[way] if way else records.SETTINGS)[field]
    wide = 8 * kind.itemsize
    return (-(2 ** (wide - 1)), 2 ** (wide - 1) - 1) if kind.kind == "i" else (0, 2**wide - 1)


def test_plain_settings_are_good():
    assert refusal(settings()) == Refusal.GOOD


def test_every_field_has_its_range_tested():
    plain = {name for name in NAMES if "." not in name}
    assert set(records.SETTINGS.names or ()) - OTHER == plain
    assert set(records.DETECTOR.names or ()) - {"profile_mA", "start_mA"} == {
        name.split(".")[1] for name in NAMES if "." in name
    }


@pytest.mark.parametrize(("name", "least", "greatest", "reason"), RANGES, ids=NAMES)
def test_both_bounds_are_good_and_what_lies_just_beyond_is_refused(name, least, greatest, reason):
    low, high = bounds_of(name)
    for value in (least, greatest):
        assert refusal(with_value(name, value)) == Refusal.GOOD
    for value in (least - 1, greatest + 1, low, high):
        if low <= value <= high and not least <= value <= greatest and OFF.get(name) != value:
            assert refusal(with_value(name, value)) == reason


@pytest.mark.parametrize(("name", "off"), OFF.items(), ids=list(OFF))
def test_what_may_be_off_may_be_off(name, off):
    assert refusal(with_value(name, off)) == Refusal.GOOD


@pytest.mark.parametrize("seconds", [0, 1, 65535])
def test_any_time_until_closing_is_good(seconds):
    assert refusal(settings(auto_close_s=seconds)) == Refusal.GOOD


@pytest.mark.parametrize("way", ["opening", "closing"])
@pytest.mark.parametrize(("field", "number"), [("profile_mA", 32), ("start_mA", 8)])
def test_every_bin_of_a_profile_is_looked_at(way, field, number):
    for at in range(number):
        bins = [40000] * number
        changes: dict[str, Any] = {way: {field: bins}}
        assert refusal(settings(**changes)) == Refusal.GOOD
        bins[at] = 40001
        assert refusal(settings(**changes)) == Refusal.PROFILE


@pytest.mark.parametrize("normal", [100, 99])
def test_the_normal_duty_has_a_least_value_of_its_own(normal):
    chosen = settings(normal_permille=normal, last_permille=min(normal, 99), start_permille=50)
    assert refusal(chosen) == (Refusal.GOOD if normal == 100 else Refusal.DUTY)


@pytest.mark.parametrize("last", [50, 49])
def test_the_slow_duty_has_a_least_value_of_its_own(last):
    assert refusal(settings(last_permille=last, start_permille=0)) == (
        Refusal.GOOD if last == 50 else Refusal.DUTY
    )


@pytest.mark.parametrize("version", [0, 2, 65535])
def test_another_version_is_refused_before_anything_else(version):
    assert refusal(settings(version=version, dead_ms=0, seal=False)) == Refusal.VERSION


def test_a_changed_bit_anywhere_is_found_by_the_checksum():
    good = settings()
    size = records.SETTINGS.itemsize
    for at in range(2, size):
        for bit in (0, 7):
            raw = bytearray(good.tobytes())
            raw[at] ^= 1 << bit
            assert refusal(np.frombuffer(bytes(raw), records.SETTINGS)[0]) == Refusal.CHECKSUM


def test_the_first_field_out_of_its_range_gives_the_reason():
    assert refusal(settings(dead_ms=0, zero_ms=0)) == Refusal.DEAD_TIME
    assert refusal(settings(sense=2, dead_ms=0)) == Refusal.SENSE


def test_sealing_again_changes_nothing():
    once = settings()
    assert sealed(once).tobytes() == once.tobytes()


def crc(data: bytes) -> int:
    """The C's."""
    return int(lib.door_crc(ffi.from_buffer("uint8_t[]", bytearray(data)), len(data)))


@pytest.mark.recalled(
    "check value 29B1 of the nine digits 1 to 9, given for this polynomial begun with all ones in every list "
    "of such sums known to the author"
)
def test_the_checksum_has_the_check_value_of_its_polynomial():
    assert crc(b"123456789") == 0x29B1


@pytest.mark.parametrize("length", [0, 1, 2, 100, 276])
def test_the_checksum_is_the_remainder_of_a_long_division(length):
    data = bytes((7 * at + 13) % 256 for at in range(length))
    # Begun with all ones: the first sixteen bits are turned over; sixteen noughts follow the data.
    bits = int.from_bytes(data + b"\0\0", "big") ^ (0xFFFF << (8 * length))
    for at in range(8 * length + 15, 15, -1):
        if bits >> at & 1:
            bits ^= 0x11021 << (at - 16)
    assert crc(data) == bits
