"""From a text to a project: every value in SI, with its origin and its range, and what was assumed."""

from __future__ import annotations

import math
import tomllib
from dataclasses import fields, is_dataclass

import pytest
from pydantic_core import SchemaValidator

from hutwright import units
from hutwright.description import wanted
from hutwright.description.apart import dimension_at
from hutwright.description.assembly import About
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.defaults import RULES
from hutwright.description.described import Origin
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.description.shape import bare, hints_of, spelling
from hutwright.errors import DescriptionError, RequestError
from hutwright.model import cables, circuit, controller, door, drive, hut, site
from hutwright.model.paths import Keys, field_name, replaced, value_at
from hutwright.model.project import Project
from hutwright.sources import Source
from tests.house.places import TOP

ORCHARD = (TOP / "demos" / "orchard" / "hut.toml").read_text("utf-8")
EVERY_TABLE = (  # of the shape of a description, and the tables whose keys are addresses
    *(name for name, hint in hints_of(Project).items() if name not in ("format", "name", "limits")),
    "limits",
    "allow",
)
DOOR = """\
format = 1
[build_ups]
leaf = ["15 mm plywood"]
[door]
kind = "top_hinged"
opening = { left = "0.12 m", sill = "0.03 m", width = "0.70 m", height = "0.52 m" }
leaf = { width = "0.74 m", height = "0.56 m", build_up = "leaf" }
hinge = { z = "0.57 m" }
open_angle = "82 deg"
"""
WIRING = """\
format = 1
[supplies]
battery = { kind = "lead-acid 12 V", capacity = "18 Ah" }
[cables]
feed = { from = "battery", to = "bridge", core = "0.75 mm2 class 5", length = "6 m" }
motor = { from = "bridge", to = "drive", core = "0.75 mm2 class 5", length = "1.8 m" }
[drive]
rating = { voltage = "12 V", force = "300 N", speed = "22 mm/s", current = "2.6 A" }
[electronics]
bridge = { kind = "dual bipolar" }
"""
SKY = """\
format = 1
[site]
place = { latitude = "51.2 deg", longitude = "9.7 deg" }
skyline = [["0 deg", "8 deg"], ["180 deg", "20 deg"]]
[machine.body]
length = "0.72 m"
width = "0.55 m"
height = "0.29 m"
[machine.antenna]
up = "0.28 m"
[machine.receiver]
[machine.start_rule]
"""


def built(text):
    return build(whole(parse_sheet(text, "hut.toml")))


@pytest.fixture(scope="module")
def orchard():
    return built(ORCHARD)


# ---- what stands where -------------------------------------------------------------------------------


def test_the_orchard_describes_every_table_that_there_is(orchard):
    assert [name for name in EVERY_TABLE if name not in orchard.merged.data] == []
    for name in EVERY_TABLE[:-2]:
        assert getattr(orchard.project, name)


def degrees(number):
    return math.radians(number)


@pytest.mark.parametrize(
    ("address", "value"),
    [
        ("site.place.latitude", degrees(51.2)),
        ("site.north.declination", degrees(4.1)),
        ("site.wind.basic", 24.0),
        ("site.snow.ground", 850.0),
        ("site.air.coldest", 255.15),
        ("site.skyline.1.1", degrees(22.0)),
        ("hut.facing", degrees(175.0)),
        ("hut.inside.back", 0.64),
        ("build_ups.roof.0.thickness", 0.0006),
        ("members.rafters.section.1", 0.070),
        ("openings.vent.screen", 0.5),
        ("door.hinge.y", -0.008),
        ("door.open_angle", degrees(82.0)),
        ("linkage.mount_stiffness", 250e3),
        ("drive.rating.speed", 0.022),
        ("drive.rating.duty", 0.25),
        ("drive.screw.lead", 0.003),
        ("supplies.battery.capacity", 18.0 * 3600.0),
        ("supplies.battery.resistance", 0.080),
        ("cables.feed.length", 6.0),
        ("regulators.bridge_5v.input_capacitor", 0.33e-6),
        ("electronics.bridge.cooling", 14.0),
        ("electronics.logic.load", 0.070),
        ("controller.detection.after", 0.040),
        ("controller.speed.last", 0.5),
        ("machine.receiver.threshold", 10.0**3.8),
        ("machine.radio.power", 10.0**1.5 * 1e-3),
        ("machine.radio.gain", 1.0),
        ("machine.start_rule.pdop", 3.0),
        ("dock.lane.slope", 0.02),
        ("roof_antenna.place.z", 1.60),
        ("network.need.rate", 3e6),
        ("network.node.power", 0.100),
        ("box.holds.board.2", 0.020),
        ("printer.layer.first", 0.25e-3),
    ],
)
def test_values_land_in_si_in_their_own_fields(orchard, address, value):
    assert value_at(orchard.project, tuple(address.split("."))) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize(
    ("address", "value"),
    [
        ("site.wind.terrain", site.Terrain.FIELDS),
        ("hut.roof.high", hut.Side.FRONT),
        ("build_ups.leaf.0.material", "plywood"),
        ("door.kind", door.DoorKind.TOP_HINGED),
        ("cables.feed.from", "battery"),
        ("cables.feed.colours", ("red", "black")),
        ("cables.motor.fuse", None),
        ("drive.screw.self_locking", True),
        ("electronics.bridge.paralleled", 2),
        ("pins.bridge.enable", "free"),
        ("controller.commands", (controller.Command.BUTTON, controller.Command.REMOTE)),
        ("controller.layers", (controller.ProtectiveLayer.PRESENT_SENSOR,)),
        ("limits", {"door.opening_time": 16.0, "guard.peak_force": 100.0}),
    ],
)
def test_words_lists_and_counts_land_in_their_own_fields(orchard, address, value):
    assert value_at(orchard.project, tuple(address.split("."))) == value


def test_every_value_in_the_list_is_the_value_in_the_project(orchard):
    for path, datum in orchard.values.items():
        assert datum.path == path
        assert value_at(orchard.project, path) == datum.value
        assert (datum.dimension is None) == (datum.low is None)
        if datum.dimension is not None:
            assert dimension_at(path) == datum.dimension
            assert datum.low <= datum.value <= datum.high


# ---- origins and ranges ------------------------------------------------------------------------------


def single_values(table, above=()):
    """Address of every single value in the tables of a file, with layers as thicknesses."""
    for key, value in (
        table.items() if isinstance(table, dict) else ((str(n), v) for n, v in enumerate(table))
    ):
        path = (*above, key)
        if isinstance(value, dict | list):
            yield from single_values(value, path)
        else:
            yield (*path, "thickness") if path[0] == "build_ups" else path


def test_what_stands_in_the_file_is_given_and_nothing_else_is(orchard):
    written = {
        path
        for path in single_values(tomllib.loads(ORCHARD))
        if path[0] not in ("limits", "allow", "measured")
    }
    given = {
        path for path, datum in orchard.values.items() if datum.origin in (Origin.GIVEN, Origin.MEASURED)
    }
    assert written == given


def test_what_was_assumed_or_derived_says_from_where(orchard):
    others = [each for each in orchard.values.values() if each.origin in (Origin.ASSUMED, Origin.DERIVED)]
    assert {each.origin for each in others} == {Origin.ASSUMED, Origin.DERIVED}
    for each in others:
        assert isinstance(each.source, Source)
        assert each.source.document.strip()
        assert each.source.place.strip()
    assert all(each.source is None for each in orchard.values.values() if each.origin is Origin.GIVEN)


@pytest.mark.parametrize(
    ("address", "origin", "low", "high"),
    [
        ("door.seal.force", Origin.GIVEN, 30.0, 60.0),
        ("door.leaf.fittings", Origin.GIVEN, 0.9, 1.3),
        ("linkage.mount_stiffness", Origin.MEASURED, 150e3, 350e3),
        ("supplies.battery.resistance", Origin.GIVEN, 0.04, 0.12),
        ("drive.stall.force", Origin.ASSUMED, 450.0, 900.0),
        ("regulators.bridge_5v.output", Origin.DERIVED, 4.8, 5.2),
        ("electronics.warmest", Origin.ASSUMED, 309.15 + 5.0, 309.15 + 15.0),
        ("electronics.logic.asleep", Origin.ASSUMED, 0.07, 0.07),
    ],
)
def test_ranges_are_kept_with_their_origin(orchard, address, origin, low, high):
    datum = orchard.values[tuple(address.split("."))]
    assert datum.origin is origin
    assert (datum.low, datum.high) == pytest.approx((low, high), rel=1e-12)


def test_a_measured_value_keeps_its_note_and_is_otherwise_as_given():
    described = built(f'{DOOR}ice = "40..60 N"\n[measured]\n"door.ice" = "luggage scale, January"\n')
    datum = described.values["door", "ice"]
    assert (datum.origin, datum.note, datum.low, datum.high) == (
        Origin.MEASURED,
        "luggage scale, January",
        40.0,
        60.0,
    )
    assert described.values["door", "kind"].origin is Origin.GIVEN


# ---- what is taken where nothing is said -------------------------------------------------------------


def test_every_rule_belongs_to_a_field_that_there_is():
    for record, rules in RULES.items():
        assert is_dataclass(record)
        assert set(rules) - {each.name for each in fields(record)} == set(), record


def test_every_rule_that_looks_at_nothing_gives_what_its_field_holds():
    seen = 0
    for record, rules in RULES.items():
        for name, rule in rules.items():
            try:
                assumed = rule(About({}))
            except (AssertionError, KeyError, AttributeError, TypeError):
                continue  # it goes by other values: seen in the descriptions below
            seen += 1
            assert assumed is not None
            assert assumed.source.place.strip()
            value, hint = assumed.value, bare(hints_of(record)[name])
            if isinstance(value, units.Reading):
                assert value.low <= value.nominal <= value.high
                assert all(map(math.isfinite, (value.low, value.high)))
            elif isinstance(value, list):
                assert all(
                    isinstance(each, bare(hint.__args__[0]) if isinstance(hint.__args__[0], type) else str)
                    for each in value
                )
            else:
                assert isinstance(value, hint if isinstance(hint, type) else hint.__origin__)
    assert seen > 80


@pytest.mark.parametrize(
    "text", [DOOR, WIRING, SKY, ORCHARD, "format = 1\n"], ids=["door", "wiring", "sky", "all", "nothing"]
)
def test_a_description_of_any_part_alone_is_a_description(text):
    described = built(text)
    assert described.project.format == 1
    for path, datum in described.values.items():
        for end in (datum.low, datum.high) if datum.unsure else ():
            assert value_at(replaced(described.project, {path: end}), path) == end


def test_the_parts_that_nobody_described_are_absent():
    only_door = built(DOOR).project
    assert (only_door.hut, only_door.drive, only_door.machine, only_door.electronics) == (
        None,
        None,
        None,
        None,
    )
    assert (only_door.cables, only_door.supplies, only_door.limits) == ({}, {}, {})
    assert built(SKY).project.door is None
    assert built(WIRING).project.site.air.coldest < built(WIRING).project.site.air.warmest


@pytest.mark.parametrize(
    ("text", "address", "value"),
    [
        ("[site]\nnorth = { kind = 'true' }\n", "site.north.declination", (0.0, 0.0)),
        (
            "[site]\nnorth = { kind = 'magnetic' }\n",
            "site.north.declination",
            (math.radians(-15), math.radians(15)),
        ),
        (
            "[controller]\ndetection = { trip = '3 A' }\nspeed = { normal = 0.8 }\n",
            "controller.speed.last",
            (0.8, 0.8),
        ),
        (
            "[controller]\ndetection = { trip = '3 A' }\nspeed = { normal = '70..80 %' }\n",
            "controller.speed.last",
            (0.7, 0.7),
        ),
    ],
)
def test_what_is_assumed_goes_by_what_is_said(text, address, value):
    datum = built(f"format = 1\n{text}").values[tuple(address.split("."))]
    assert (datum.low, datum.high) == pytest.approx(value)


@pytest.mark.parametrize(
    ("front", "back", "high"), [("0.7 m", "0.6 m", hut.Side.FRONT), ("0.6 m", "0.7 m", hut.Side.BACK)]
)
def test_the_high_side_of_a_roof_follows_from_the_walls(front, back, high):
    described = built(
        'format = 1\n[build_ups]\na = ["22 mm softwood boards"]\n[hut]\nfacing = "0 deg"\n'
        f'inside = {{ width = "1 m", depth = "1 m", front = "{front}", back = "{back}" }}\n'
        'roof = { form = "mono_pitch", build_up = "a" }\nwalls = { build_up = "a" }\n'
    )
    assert described.project.hut.roof.high is high
    assert described.values["hut", "roof", "high"].origin is Origin.DERIVED


def test_a_slab_of_which_no_thickness_is_said_is_no_slab_of_nothing():
    text = (
        'format = 1\n[build_ups]\na = ["22 mm softwood boards"]\n[hut]\nfacing = "0 deg"\n'
        'inside = { width = "1 m", depth = "1 m", front = "1 m", back = "1 m" }\n'
        'roof = { form = "flat", build_up = "a" }\nwalls = { build_up = "a" }\nbase = { kind = "KIND" }\n'
    )
    assert built(text.replace("KIND", "slab")).project.hut.base.thickness > 0.05
    assert built(text.replace("KIND", "blocks")).project.hut.base.thickness == 0.0


@pytest.mark.parametrize(
    ("length", "route"), [("4.9 m", cables.Route.INSIDE), ("5.1 m", cables.Route.OUTDOORS)]
)
def test_a_long_cable_is_taken_to_leave_the_hut(length, route):
    assert built(WIRING.replace('"6 m"', f'"{length}"')).project.cables["feed"].route is route


def test_rows_of_the_catalogue_fill_what_the_builder_cannot_know():
    project = built(WIRING).project
    assert isinstance(project.electronics.bridge, circuit.Bridge)
    assert project.electronics.bridge.offset > 0.0
    assert isinstance(project.drive, drive.Drive)
    assert project.drive.no_load.speed > project.drive.rating.speed


# ---- writing and reading again -----------------------------------------------------------------------


def test_every_quantity_written_in_full_is_read_as_the_same_number(orchard):
    for path, datum in orchard.values.items():
        if datum.dimension is None or not present_in_file(orchard, path):
            continue
        text = units.write(datum.value, datum.dimension)
        again = build(changed(orchard.merged, {path: text}))
        assert value_at(again.project, path) == datum.value, (path, text)
        assert again.values[path].origin in (Origin.GIVEN, Origin.MEASURED)


def present_in_file(described, path):
    return described.values[path].origin in (Origin.GIVEN, Origin.MEASURED)


def test_all_assumptions_written_into_the_file_give_the_same_project(orchard):
    assumed = {
        path: units.write(datum.value, datum.dimension)
        for path, datum in orchard.values.items()
        if datum.dimension is not None and not present_in_file(orchard, path)
    }
    again = build(changed(orchard.merged, assumed))
    assert again.project == orchard.project
    assert {again.values[path].origin for path in assumed} == {Origin.GIVEN}


# ---- changes -----------------------------------------------------------------------------------------


def test_a_change_leaves_the_original_alone(orchard):
    merged = orchard.merged
    before = repr(merged.data)
    after = changed(
        merged,
        {
            ("cables", "feed", "length"): "7 m",
            ("drive", "motor", "inductance"): "2 mH",
            ("site", "skyline", "1", "1"): "30 deg",
            ("build_ups", "roof", "1", "thickness"): "12 mm",
            ("door", "ice"): None,
            ("openings", "vent"): None,
        },
    )
    assert repr(merged.data) == before
    project = build(after).project
    assert project.drive is not None
    assert project.cables["feed"].length == 7.0
    assert project.drive.motor.inductance == pytest.approx(2e-3)
    assert project.site.skyline[1][1] == pytest.approx(math.radians(30.0))
    assert project.build_ups["roof"][1] == hut.Layer(thickness=0.012, material="plywood")
    assert list(project.openings) == ["first_window"]
    assert build(after).values["door", "ice"].origin is Origin.ASSUMED


@pytest.mark.parametrize(
    "path",
    [
        (),
        ("name", "x"),
        ("site", "skyline", "9", "1"),
        ("site", "skyline", "x"),
        ("cables", "feed", "length", "thickness"),
    ],
)
def test_a_change_that_leads_nowhere_is_refused(orchard, path):
    with pytest.raises(RequestError):
        changed(orchard.merged, {path: "1 m"})


def test_what_a_change_makes_wrong_is_blamed_at_the_line_of_the_file(orchard):
    with pytest.raises(DescriptionError) as caught:
        build(changed(orchard.merged, {("cables", "feed", "length"): "7 kg"}))
    (fault,) = caught.value.faults
    assert ORCHARD.split("\n")[fault.line - 1].startswith("feed = ")


# ---- limits, allow, measured -------------------------------------------------------------------------


def test_limits_are_read_in_the_unit_of_their_check():
    limits = built(
        'format = 1\n[limits]\n"door.opening_time" = "0.5 min"\n"wiring.voltage_drop" = 0.05\n'
        '"wiring.sensor_place" = "5 %"\n"wiring.sensor_counts" = 3\n"wiring.fuse_cable.feed" = "4 A"\n'
    ).project.limits
    assert limits == {
        "door.opening_time": 30.0,
        "wiring.voltage_drop": 0.05,
        "wiring.sensor_place": 0.05,
        "wiring.sensor_counts": 3.0,
        "wiring.fuse_cable.feed": 4.0,
    }


def test_what_may_change_is_a_range_or_a_list(orchard):
    assert orchard.allow["linkage", "foot", "y"].low == pytest.approx(0.35)
    assert orchard.allow["linkage", "foot", "y"].high == pytest.approx(0.55)
    choices = orchard.allow["cables", "feed", "core"].choices
    assert choices == ("0.75 mm2 class 5", "1.5 mm2 class 5", "2.5 mm2 class 5")


def test_what_may_change_outlives_a_change_that_takes_it_out(orchard):
    tables = ("supplies", "fuses", "cables", "regulators", "electronics", "pins")
    without: dict[Keys, object] = {(table,): None for table in tables}
    assert ("cables", "feed", "core") in build(changed(orchard.merged, without)).allow


# ---- what is wanted ----------------------------------------------------------------------------------


def records(kind=Project, path=()):
    """Every record that a description can hold, with an address of it."""
    yield kind, path
    for name, hint in hints_of(kind).items():
        inner, below = bare(hint), (*path, name.rstrip("_"))
        while (
            not isinstance(inner, type)
            and getattr(inner, "__args__", None)
            and not hasattr(inner, "__metadata__")
        ):
            inner, below = bare(inner.__args__[-1 if inner.__origin__ is not tuple else 0]), (*below, "0")
        if is_dataclass(inner):
            yield from records(inner, below)


def test_the_keys_of_every_table_are_its_fields_as_the_file_spells_them():
    count = 0
    for kind, path in records():
        if kind is not hut.Layer and path:
            assert [field_name(key) for key in wanted.keys_at(path)] == [each.name for each in fields(kind)]
            count += 1
    assert count > 60
    assert wanted.keys_at(("cables", "feed"))[:2] == ["from", "to"]
    assert wanted.keys_at(("cables",)) == []


def test_every_field_says_what_it_is():
    for kind, _ in records():
        for each in fields(kind):
            assert len(wanted.meanings(kind).get(each.name, "")) > 3, (kind, each.name)
            assert "[" not in wanted.meaning(kind, each.name)


def test_every_example_can_be_read_where_it_is_offered():
    for kind, path in records():
        for name, hint in hints_of(kind).items() if kind is not hut.Layer else ():
            value = tomllib.loads(f"x = {wanted.example(hint)}")["x"]
            SchemaValidator(spelling(hint)).validate_python(value)
            assert wanted.hint_at((*path, name.rstrip("_"))) is not None


@pytest.mark.parametrize(
    "path",
    [
        ("nothing",),
        ("cables", "feed", "from_"),
        ("site", "skyline", "x"),
        ("name", "x"),
        ("door", "kind", "x"),
    ],
)
def test_no_address_leads_where_nothing_can_stand(path):
    assert wanted.hint_at(path) is None


@pytest.mark.parametrize(
    ("other", "low", "high"),
    [('stall = { current = "8 A" }', 2.0, 4.0), ('no_load = { current = "0.8 A" }', 1.6, 4.0)],
)
def test_a_listing_with_stroke_speed_force_and_one_current_is_enough(other, low, high):
    described = build(
        whole(
            parse_sheet(
                "format = 1\n[drive]\n"
                'length = { shortest = "0.4 m", stroke = "300 mm" }\n'
                f'rating = {{ force = "300 N", speed = "22 mm/s" }}\n{other}\n',
                "hut.toml",
            )
        )
    )
    current = described.values["drive", "rating", "current"]
    assert current.low == pytest.approx(low)
    assert current.high == pytest.approx(high)
    assert current.source is not None
    assert described.project.drive is not None
    assert described.project.drive.rating.voltage == 12.0
