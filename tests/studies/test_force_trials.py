"""Trials with a household scale beside the simulated edge."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hutwright.bench.settings import core_settings, sealed
from hutwright.evidence.force_trials import ForceTrial
from hutwright.evidence.side_file import EvidenceError
from hutwright.evidence.trace import Way
from hutwright.laws.contact_force import series_stiffness
from hutwright.laws.pressed_block import block_force
from hutwright.native.words import Mode
from hutwright.studies.calibrate import calibrate
from hutwright.studies.force_trials import Told, compared, sentences
from hutwright.studies.rehearse import stage_of
from tests.studies.population import door, drawn

NEVER = 40000  # mA


def _trial(
    *, gap: float = 0.3, force: float = 100.0, stiffness: float = 3e3, back: bool = True
) -> ForceTrial:
    return ForceTrial(2, "scale.csv", Way.CLOSING, gap, force, stiffness, back, too_far=False)


@pytest.fixture(scope="module")
def stage():
    return stage_of(door("orchard"))


@pytest.fixture(scope="module")
def perceptive(stage):
    """Settings that reverse at half an ampere above what a free leaf draws at most."""
    own = core_settings(stage.project).copy()
    own["stuck_ms"] = 0
    own["closing"]["trip_mA"] = own["opening"]["trip_mA"] = 2500
    return sealed(own)


@pytest.fixture(scope="module")
def deaf(stage):
    """Settings that never tell anything."""
    own = core_settings(stage.project).copy()
    own["stuck_ms"] = 0
    own["closing"]["trip_mA"] = own["opening"]["trip_mA"] = NEVER
    own["backstop_mA"] = NEVER
    return sealed(own)


@pytest.mark.parametrize("stiffness", [0.5e3, 1e3])
def test_a_block_that_is_pressed_shut_is_pressed_with_its_stiffness_times_the_way(stage, deaf, stiffness):
    """F = k x, derived: nothing moves any more, so that block and mount in series hold each other."""
    gap = 0.05
    (found,) = compared(stage, deaf, [_trial(gap=gap, stiffness=stiffness, back=False)])
    assert found.contact.mode is Mode.SHUT
    assert not found.reverses
    way = stage.edge_way(gap)
    assert way is not None
    assert stage.project.linkage is not None
    leverage = stage.over.edge_radius / abs(float(stage.over.arm[0]))
    both = series_stiffness(stiffness, stage.project.linkage.mount_stiffness, leverage)
    # the rod stops where its switch cuts the current, less than a millimetre of the edge beyond shut
    assert found.contact.end_force == pytest.approx(block_force(both, way), abs=1e-3 * stiffness)


def test_a_trial_is_told_by_its_ratio_and_by_whether_it_reversed(stage, perceptive):
    (known,) = compared(stage, perceptive, [_trial()])
    assert known.reverses
    told = {}
    for share, back in ((1.0, True), (1.5, True), (0.5, True), (1.0, False)):
        (found,) = compared(stage, perceptive, [_trial(force=share * known.predicted, back=back)])
        assert found.ratio == pytest.approx(share)
        told[share, back] = found.told
    assert told == {
        (1.0, True): Told.AGREES,
        (1.5, True): Told.HARDER,
        (0.5, True): Told.GENTLER,
        (1.0, False): Told.NOT_REVERSED,
    }


def test_a_door_that_reversed_where_the_simulated_one_does_not_is_told(stage, deaf):
    (known,) = compared(stage, deaf, [_trial(gap=0.05, stiffness=1e3)])
    (found,) = compared(stage, deaf, [_trial(gap=0.05, stiffness=1e3, force=known.predicted)])
    assert found.told is Told.REVERSED
    assert not found.warns


def test_an_opening_leaf_is_met_as_well(stage, perceptive):
    (found,) = compared(stage, perceptive, [replace(_trial(), way=Way.OPENING)])
    assert found.contact.spot.opening
    assert found.contact.touched
    assert found.reverses


def test_an_opening_leaf_that_presses_on_to_the_end_does_not_reverse(stage, deaf):
    (found,) = compared(stage, deaf, [replace(_trial(back=False), way=Way.OPENING)])
    assert found.contact.mode is Mode.OPENING
    assert not found.reverses
    (found,) = compared(stage, deaf, [replace(_trial(back=False, force=found.predicted), way=Way.OPENING)])
    assert found.told is Told.AGREES


def test_a_gap_that_the_travel_does_not_have_is_a_sentence_with_its_line(stage, perceptive):
    with pytest.raises(EvidenceError, match=r"scale.csv, line 2: gap_mm: read 1900 mm; wanted a gap"):
        compared(stage, perceptive, [_trial(gap=1.9)])


def test_only_trials_that_went_worse_than_simulated_are_warned_of(stage, perceptive):
    (known,) = compared(stage, perceptive, [_trial()])
    fine, hard = (
        compared(stage, perceptive, [_trial(force=share * known.predicted)]) for share in (1.0, 2.0)
    )
    assert sentences(fine) == ()
    assert "1 of 2 force trials went worse than simulated (scale.csv, line 2)" in sentences((*fine, *hard))[0]


def test_trials_are_compared_at_the_calibrated_thresholds_and_set_nothing():
    clean = drawn("orchard", 12, (15.0, 25.0))
    found = calibrate(door("orchard"), clean, trials=[_trial(force=400.0)])
    bare = calibrate(door("orchard"), clean)
    assert found.settings.tobytes() == bare.settings.tobytes()
    assert found.refused == bare.refused
    assert found.compared[0].told is Told.HARDER
    assert any("force trials went worse" in each for each in found.warnings)
    assert bare.compared == ()
