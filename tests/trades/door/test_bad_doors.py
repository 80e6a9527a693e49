"""Bad and impossible doors: a finding with a remedy where they can be described, else a fault."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import pytest

from hutwright.assessment import assess
from hutwright.checks.verdict import Status
from hutwright.description.described import Described
from hutwright.errors import DescriptionError
from hutwright.trades.door import TRADE
from tests.trades.door.judged import calm, levers, verdicts
from tests.trades.door.judged import field as sliding

SHORT = (Status.MISSES, Status.UNDECIDED)
DEAD_FOOT = {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}
LEVEL_HINGE = {"y": "-8 mm", "z": "0.01 m", "friction": "0.4 N m"}


@dataclass(frozen=True)
class Bad:
    """A door that can be described and will not do."""

    what: str
    changes: Mapping[str, object]
    key: str
    subject: str = ""
    unknown: bool = False
    remedy: bool = True
    base: Callable[[Mapping[str, object]], Described] = field(default=calm)


BAD = (
    Bad("a stroke too short to open", {"drive.length.stroke": "200 mm"}, "linkage_reach"),
    Bad("a drive too long to shut", {"drive.length.shortest": "0.46 m"}, "linkage_reach"),
    Bad("a drive too short all over", {"drive.length.shortest": "0.20 m"}, "linkage_reach"),
    Bad(
        "a drive that fits nowhere",
        {"drive.length": {"shortest": "0.05 m", "stroke": "100 mm"}},
        "clear_height",
        unknown=True,
        remedy=False,
    ),
    Bad(
        "a move that its stroke does not reach",
        {"drive.length.stroke": "200 mm"},
        "opening_time",
        unknown=True,
        remedy=False,
    ),
    Bad(
        "a dead centre in the travel",
        {"linkage.foot": DEAD_FOOT, "door.open_angle": "120 deg"},
        "dead_centre",
    ),
    Bad(
        "no force at a dead centre",
        {"linkage.foot": DEAD_FOOT, "door.open_angle": "120 deg"},
        "opening_force",
        unknown=True,
        remedy=False,
    ),
    Bad(
        "a pin on the hinge line",
        {"linkage.head": {"x": "0.47 m", "y": "-8 mm", "z": "0.57 m"}},
        "dead_centre",
    ),
    Bad(
        "a drive inside the wall",
        {"linkage.foot.x": "0.03 m", "linkage.head.x": "0.15 m"},
        "body_clearance",
        "hut",
    ),
    Bad("a drive through the roof", {"linkage.foot.z": "0.85 m"}, "body_clearance", "hut"),
    Bad("a drive through the floor", {"linkage.foot.z": "-0.05 m"}, "body_clearance", "hut"),
    Bad("a drive through the machine", {"linkage.foot.z": "0.20 m"}, "body_clearance", "machine"),
    Bad("a drive across the way out", {"linkage.foot.z": "0.30 m"}, "body_clearance", "passage"),
    Bad(
        "a leaf through the lane",
        {"door.kind": "bottom_hinged", "door.hinge": LEVEL_HINGE, "door.open_angle": "100 deg"},
        "leaf_clearance",
        "ground",
    ),
    Bad(
        "a leaf through a high threshold's lane",
        {
            "door.kind": "bottom_hinged",
            "door.hinge": LEVEL_HINGE,
            "door.open_angle": "90 deg",
            "dock.lane.slope": "20 %",
        },
        "leaf_clearance",
        "ground",
    ),
    Bad(
        "a hinge that presses the leaf into the wall",
        {"door.hinge.z": "0.51 m", "door.open_angle": "30 deg"},
        "leaf_clearance",
        "hut",
    ),
    Bad(
        "a lift leaf through the overhang",
        {"door.kind": "lift", "door.track.way": None, "door.track.travel": "0.6 m"},
        "leaf_clearance",
        "hut",
        remedy=False,
        base=sliding,
    ),
    Bad("a hole too low for the machine", {"machine.body.height": "0.46 m"}, "clear_height"),
    Bad("a leaf that hangs into the way", {"door.open_angle": "35 deg"}, "clear_height"),
    Bad("a hole too narrow for the machine", {"machine.body.width": "0.66 m"}, "clear_width"),
    Bad("a machine that parks aside", {"machine.parked.x": "0.42 m"}, "clear_width"),
    Bad(
        "a track shorter than the hole",
        {"door.track.travel": "0.60 m", "machine.parked.error": "5 mm"},
        "clear_width",
        base=sliding,
    ),
    Bad("a leaf too heavy", {"door.leaf.mass": "14 kg"}, "opening_force"),
    Bad("a leaf too heavy to move at all", {"door.leaf.mass": "40 kg"}, "opening_time", remedy=False),
    Bad("a leaf that is iced shut", {"door.ice": "300 N"}, "opening_force"),
    Bad("a leaf that is snowed in", {"site.snow.drift": "0.5 m"}, "drift"),
    Bad("a gust too strong to open in", {"site.wind.working": "16 m/s"}, "opening_force"),
    Bad("a gust too strong to shut in", {"site.wind.working": "25 m/s"}, "closing_force"),
    Bad("a seal too stiff to shut", {"door.seal.force": "150 N"}, "closing_force"),
    Bad("a gale that slams the open leaf", {"drive.holding": "300 N"}, "holding", "opened"),
    Bad(
        "a drive too slow for the cap",
        {"drive.rating.speed": "15 mm/s", "drive.no_load.speed": "19 mm/s"},
        "opening_time",
    ),
    Bad(
        "a cap too short to shut in", {"controller.longest_run.closing": "9 s"}, "closing_time", base=sliding
    ),
    Bad("an edge too quick", {"controller.speed": {"normal": 1.0}}, "edge_speed", "last", base=sliding),
    Bad("no release", {}, "release_force", "by_hand"),
    Bad(
        "a release too stiff", {"door.release": {"kind": "clutch", "force": "90 N"}}, "release_force", "free"
    ),
    Bad(
        "a door that closes when the power is back",
        {"controller.after_power_return": "close"},
        "power_return",
    ),
    Bad("a cap that cuts the first move after a power cut", {}, "first_move", "opening", base=sliding),
    Bad("a machine that starts at the shut door", {}, "departure", "shut"),
    Bad("a machine that races the opening door", {}, "departure", "opening"),
    Bad("a machine sent out too soon", {"controller.wait": "1 s"}, "departure_wait"),
    Bad("a machine sent under a hanging leaf", {"door.open_angle": "30 deg"}, "departure_wait", remedy=False),
    Bad("a machine that comes home into the leaf", {}, "coming_home", "driving_on"),
    Bad(
        "a machine that waits within the leaf's sweep",
        {"dock.comes_home": {"waits_for_door": True, "stops_at": "0.02 m"}},
        "coming_home",
        "waiting",
    ),
)


@pytest.mark.parametrize("bad", BAD, ids=[each.what.replace(" ", "_") for each in BAD])
def test_a_bad_door_is_a_finding_of_its_check_with_a_remedy_or_says_that_there_is_none(bad: Bad):
    described = bad.base(bad.changes)
    key = f"door.{bad.key}"
    found = verdicts(described, key)[bad.subject]
    assert found.status in SHORT
    assert math.isnan(found.check.value) is bad.unknown
    assert found.check.working[-1].words
    assert bool(levers(described, key, bad.subject)) is bad.remedy


@pytest.mark.parametrize("bad", BAD, ids=[each.what.replace(" ", "_") for each in BAD])
def test_a_bad_door_leaves_every_other_question_an_answer(bad: Bad):
    project = bad.base(bad.changes).project
    for question in TRADE.questions:
        for check in question.ask(project):
            assert check.working


IMPOSSIBLE: tuple[tuple[str, Mapping[str, object], str], ...] = (
    ("a leaf smaller than its hole", {"door.leaf.width": "0.60 m"}, "door.leaf.width"),
    ("a leaf lower than its hole", {"door.leaf.height": "0.40 m"}, "door.leaf.height"),
    ("a leaf without mass", {"door.leaf.mass": "0 kg"}, "door.leaf"),
    ("a hinged leaf without a hinge", {"door.hinge": None}, "door.hinge"),
    ("a hinge line that runs nowhere", {"door.hinge.z": None}, "door.hinge.z"),
    ("a leaf that turns by nothing", {"door.open_angle": "0 deg"}, "door.open_angle"),
    ("a leaf that turns through the wall", {"door.open_angle": "200 deg"}, "door.open_angle"),
    ("a sliding leaf without a track", {"door.kind": "sliding"}, "door.track"),
    ("a rod of one pin", {"linkage.head": None}, "linkage.head"),
    (
        "both pins at one place",
        {"linkage.head": {"x": "0.47 m", "y": "0.46 m", "z": "0.27 m"}},
        "linkage.head",
    ),
    ("a belt for a hinged leaf", {"linkage.kind": "direct"}, "linkage.kind"),
    ("a hole wider than the wall", {"door.opening.left": "0.50 m"}, "door.opening"),
    (
        "a hole higher than the wall",
        {"door.opening.height": "0.90 m", "door.leaf.height": "0.95 m"},
        "door.opening",
    ),
    ("a drive without a stroke", {"drive.length.stroke": "0 mm"}, "drive.length"),
    ("a drive quicker under load", {"drive.no_load.speed": "10 mm/s"}, "drive"),
    ("a soft edge of unknown stiffness", {"door.edge": {"kind": "soft"}}, "door.edge"),
    (
        "a last stretch quicker than the rest",
        {"controller.speed": {"normal": 0.5, "last": 0.9, "last_over": "80 mm"}},
        "controller.speed",
    ),
    ("a wait that runs backwards", {"controller.wait": "-1 s"}, "controller"),
    ("a gap of less than nothing", {"door.gaps.sides": "-5 mm"}, "door.gaps"),
)


@pytest.mark.parametrize(
    ("changes", "place"),
    [(changes, place) for _, changes, place in IMPOSSIBLE],
    ids=[what.replace(" ", "_") for what, _, _ in IMPOSSIBLE],
)
def test_an_impossible_door_is_a_fault_at_its_place(changes: Mapping[str, object], place: str):
    with pytest.raises(DescriptionError) as caught:
        calm(changes)
    fault = next(each for each in caught.value.faults if each.path.startswith(place))
    assert fault.wanted
    assert fault.remedy


def test_both_demos_are_answered_whole():
    for described in (calm(), sliding()):
        found = assess(described, (TRADE,))
        assert all(each.worst.working for each in found.verdicts)
        assert {each.question.key for each in found.not_asked} <= {"door.linkage_reach"}
