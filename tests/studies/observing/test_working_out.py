"""What observations make of a description."""

import pytest

from hutwright import units
from hutwright.assessment import assess, trades
from hutwright.description.build import build
from hutwright.description.folder import load
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet as parse_toml
from hutwright.description.writing import edit
from hutwright.errors import RequestError
from hutwright.evidence.side_file import EvidenceError
from hutwright.evidence.site_sheet import parse_sheet
from hutwright.outputs.measuring import sheet_text
from hutwright.studies.next_reading import suggestions
from hutwright.studies.observing.all import observation_of, observations, telling
from hutwright.studies.observing.observation import RowTarget
from hutwright.studies.observing.working_out import changes, spelled, work_out
from hutwright.studies.offering import offer
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"
PULL = {"pull": "10", "moved": "0.5"}


@pytest.fixture(scope="module")
def described():
    return load(ORCHARD)


def test_every_observation_has_a_place_for_what_it_tells(described):
    project = described.project
    for each in observations(project):
        assert each.minutes > 0
        assert each.steps
        for target in each.targets(project):
            if not isinstance(target, RowTarget):
                assert each.key in [way.key for way in telling(project, target.path)]


def test_a_pull_tells_the_mount_and_a_note_says_how(described):
    found = work_out(observation_of(described.project, "mount_pull"), described.project, PULL)
    (value,) = found.values
    assert value.estimate is not None
    assert value.estimate.low < 98.0665 / 0.5e-3 < value.estimate.high
    written = changes(found, "2026-05-03")
    assert written["linkage.mount_stiffness"] == value.text
    assert str(written['measured."linkage.mount_stiffness"']).endswith("2026-05-03")


def test_an_offer_changes_just_these_lines_and_keeps_every_comment(described):
    text = (ORCHARD / "hut.toml").read_text("utf-8")
    found = work_out(observation_of(described.project, "mount_pull"), described.project, PULL)
    made = offer(described, text, changes(found, "2026-05-03"))
    assert made.ready
    assert text.count("#") == made.text.count("#")
    assert {line[0] for line in made.lines} <= {"-", "+", "@"}
    assert any("mount_stiffness" in line for line in made.lines)


def test_what_is_missing_is_named(described):
    with pytest.raises(RequestError, match="without moved"):
        work_out(observation_of(described.project, "mount_pull"), described.project, {"pull": "10"})


def test_a_blank_that_is_not_there_is_named(described):
    with pytest.raises(RequestError, match='did you mean "moved"'):
        work_out(observation_of(described.project, "mount_pull"), described.project, {**PULL, "move": "1"})


def test_readings_that_cannot_be_are_refused_together(described):
    with pytest.raises(RequestError, match="cannot be"):
        work_out(observation_of(described.project, "mount_pull"), described.project, {**PULL, "moved": "0"})


def test_an_observation_that_is_not_there_is_named(described):
    with pytest.raises(RequestError, match='did you mean "leaf_scale"'):
        observation_of(described.project, "leaf_scales")


def test_counts_become_rows_beside_the_description(described):
    found = work_out(
        observation_of(described.project, "counts"),
        described.project,
        {"shut": "7", "roof_off": "19"},
        moment="2026-05-03T12:00:00+02:00",
    )
    assert found.values == ()
    assert found.rows == ("2026-05-03T12:00:00+02:00,all,7", "2026-05-03T12:00:00+02:00,roof off,19")


def test_words_become_what_the_file_wants(described):
    project = described.project
    terrain = work_out(observation_of(project, "terrain_look"), project, {"upwind": "trees and houses"})
    assert terrain.values[0].text == "III"
    hands = dict.fromkeys(("n", "ne", "e", "se", "s", "sw", "w", "nw"), "1")
    skyline = work_out(observation_of(project, "skyline_hands"), project, {**hands, "s": "2,5"})
    around = skyline.values[0].text
    assert isinstance(around, list)
    assert around[4] == ["180 deg", "25 deg"]
    wall = work_out(
        observation_of(project, "wall_knock"), project, {"sound": "boards with foil", "moisture": "wet"}
    )
    text = (ORCHARD / "hut.toml").read_text("utf-8")
    written = {
        path: value for each in (terrain, skyline, wall) for path, value in changes(each, "today").items()
    }
    after = build(whole(parse_toml(edit(text, written), "hut.toml")))
    assert after.values["site", "wind", "terrain"].origin.value == "measured"


def test_a_range_is_spelled_so_that_it_reads_back():
    for dimension, low, high in (
        (units.RESISTANCE, 0.078, 0.089),
        (units.RESISTANCE, 1.66, 1.92),
        (units.STIFFNESS, 1.4e5, 3.5e5),
        (units.ANGLE, 0.1, 0.2),
        (units.RATIO, 0.1, 0.14),
        (units.TEMPERATURE, 270.0, 280.0),
        (units.CURRENT, 1e-5, 3e-5),
    ):
        read = units.read(spelled(low, high, dimension), dimension)
        assert read.low == pytest.approx(low, rel=0.05)
        assert read.high == pytest.approx(high, rel=0.05)


def test_an_empty_sheet_reads_back_as_nothing_and_a_filled_one_as_it_was_filled(described):
    blank = sheet_text(described.project, observations(described.project))
    assert parse_sheet(blank, "sheet.txt") == {}
    filled = blank.replace("mount_pull.pull = ", "mount_pull.pull = 10 kg").replace(
        "mount_pull.moved = ", "mount_pull.moved=0,5 mm   # by the rule"
    )
    found = parse_sheet(filled, "sheet.txt")
    assert {key: each.text for key, each in found["mount_pull"].items()} == {
        "pull": "10 kg",
        "moved": "0,5 mm",
    }


def test_a_damaged_sheet_says_where():
    with pytest.raises(EvidenceError) as refused:
        parse_sheet("mount pull = 3\nmount_pull.pull = 1\nmount_pull.pull = 2\n", "sheet.txt")
    assert {(fault.line, fault.file) for fault in refused.value.faults} == {
        (1, "sheet.txt"),
        (3, "sheet.txt"),
    }


def test_the_next_measurement_serves_open_checks_and_names_the_quickest_way(described):
    assessment = assess(described, trades(["drive", "wiring"]))
    found = suggestions(assessment)
    assert found
    order = [(each.urgent, each.gain) for each in found]
    assert order == sorted(order, reverse=True)
    open_keys = {each.key for each in assessment.verdicts if each.status.value in ("undecided", "barely")}
    for each in found:
        assert set(each.serves) <= open_keys
        assert [way.minutes for way in each.ways] == sorted(way.minutes for way in each.ways)
    assert assessment.measurement is not None
    assert assessment.measurement.datum.path in [each.datum.path for each in found]
