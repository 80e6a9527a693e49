"""The enumerations and records are those of the C headers."""

from __future__ import annotations

import re

import numpy as np
import pytest

from hutwright.native import build, records, words
from hutwright.native._door import ffi, lib

# Enumeration -> how its values begin in C.
IN_C = {
    words.Mode: ("door_mode", "DOOR_"),
    words.Eye: ("door_eye", "DOOR_EYE_"),
    words.Ends: ("door_ends", "DOOR_ENDS_"),
    words.Sense: ("door_sense", "DOOR_SENSE_"),
    words.Word: ("door_word", "DOOR_SAY_"),
    words.LinkLost: ("door_link_lost", "DOOR_LINK_"),
    words.Why: ("door_why", "DOOR_WHY_"),
    words.Fault: ("door_fault", "DOOR_"),
    words.Counter: ("door_counter", "DOOR_N_"),
    words.Refusal: ("door_refusal", "DOOR_REFUSE_"),
    words.Linkage: ("sim_linkage", "SIM_"),
    words.EventKind: ("sim_kind", "SIM_"),
    words.When: ("sim_when", "SIM_"),
}
OTHER_NAMES = {"DOOR_SETTINGS_GOOD": "GOOD"}
FLAGS = {words.Commands: "DOOR_BY_", words.Eyes: "DOOR_HAS_", words.Broken: "SIM_BROKE_"}


@pytest.mark.parametrize("enumeration", IN_C, ids=lambda each: each.__name__)
def test_every_word_has_its_value_in_c(enumeration):
    ctype, begin = IN_C[enumeration]
    in_c = {
        OTHER_NAMES.get(name, name.removeprefix(begin)): value
        for value, name in ffi.typeof(ctype).elements.items()
        if name != "DOOR_COUNTERS"
    }
    assert {each.name: each.value for each in enumeration} == in_c


@pytest.mark.parametrize("flags", FLAGS, ids=lambda each: each.__name__)
def test_every_flag_has_its_value_in_c(flags):
    begin = FLAGS[flags]
    in_c = {name.removeprefix(begin): getattr(lib, name) for name in dir(lib) if name.startswith(begin)}
    assert {each.name: each.value for each in flags} == in_c


@pytest.mark.parametrize(
    ("dtype", "name"),
    [
        (records.DOOR, "sim_door"),
        (records.SCENARIO, "sim_scenario"),
        (records.EVENT, "sim_event"),
        (records.RESULT, "sim_result"),
        (records.ROW, "sim_row"),
        (records.SETTINGS, "door_settings"),
        (records.INPUTS, "door_inputs"),
        (records.OUTPUTS, "door_outputs"),
        (records.STATE, "door_state"),
        (records.SEEN, "door_seen"),
    ],
)
def test_what_is_written_to_a_record_is_read_in_c(dtype, name):
    bits = np.random.default_rng(1).integers(0, 256, dtype.itemsize, np.uint8)
    record = bits.view(dtype)
    there = ffi.cast(f"{name} *", record.ctypes.data)
    assert ffi.sizeof(name) == dtype.itemsize
    for field, of in ffi.typeof(name).fields:
        value = getattr(there, field)
        if of.type.kind == "primitive":
            np.testing.assert_array_equal(record[0][field], value)
        elif of.type.kind == "array" and of.type.item.kind == "primitive":
            np.testing.assert_array_equal(record[0][field], list(value))


def test_what_cffi_is_told_is_the_header_without_its_remarks():
    text = "/* A\n remark. */\n#ifndef X\n#define X\n#include <stdint.h>\n#define Y 3 /* three */\n"
    text += "int f(int a);\n#endif\n"
    assert build.declarations(text) == "#define Y 3\nint f(int a);"


def test_every_function_that_the_headers_show_can_be_called():
    shown = "".join((build.HERE / name).read_text("utf-8") for name in build.HEADERS)
    names = set(re.findall(r"^\w[\w *]*?\b(\w+)\(", build.declarations(shown), re.MULTILINE))
    assert {"door_tick", "sim_run", "sim_batch"} <= names
    assert names <= set(dir(lib))
