"""A calibration as text, values, pictures and a folder."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from hutwright.evidence.force_trials import ForceTrial
from hutwright.evidence.trace import Way
from hutwright.native.records import SETTINGS
from hutwright.outputs.calibration import calibration_text, claim_text, training_text, verdict_text
from hutwright.outputs.calibration_page import (
    CAPTIONS,
    LINES,
    PAGE,
    VALUES,
    calibration_files,
    write_calibration,
)
from hutwright.outputs.calibration_values import calibration_values, training_values
from hutwright.outputs.firmware import PIECE
from hutwright.studies.calibrate import calibrate, training_times
from tests.studies.population import door, drawn


@pytest.fixture(scope="module")
def found():
    return calibrate(door("orchard"), drawn("orchard", 12, (15.0, 25.0)))


@pytest.fixture(scope="module")
def tried():
    """The same with a trial that agrees with nothing, and one that pressed its block too far."""
    trial = ForceTrial(2, "scale.csv", Way.CLOSING, 0.3, 400.0, 3e3, reversed=False, too_far=False)
    far = replace(trial, line=3, force=60.0, reversed=True, too_far=True)
    return calibrate(door("orchard"), drawn("orchard", 12, (15.0, 25.0)), trials=(trial, far), levers=False)


@pytest.fixture(scope="module")
def refused(found):
    """The same with one contact that presses too hard."""
    worst = found.worst
    hard = replace(worst, contact=replace(worst.contact, peak_seen=worst.limit + 1.0))
    return replace(found, presses=(hard, *found.presses))


@pytest.mark.parametrize("width", [60, 100])
def test_the_text_fits_the_screen_and_begins_with_the_answer(found, width):
    lines = calibration_text(found, width=width).splitlines()
    assert lines[1].startswith("OFFERED")
    assert max(map(len, lines)) <= width


def test_the_claim_says_its_kind_its_confidence_and_the_season(found):
    told = claim_text(found)
    assert "95 % confidence" in told
    assert ("by a law" in told) != ("by counting" in told)
    assert "season of 214 days" in told


@pytest.mark.slow
def test_a_refusal_names_the_worst_contact_and_offers_no_settings(refused):
    assert verdict_text(refused).startswith("REFUSED: 1 simulated contact is over a limit")
    assert LINES not in calibration_files(refused)
    assert calibration_values(refused)["refused"] is True


@pytest.mark.slow
def test_the_folder_holds_page_pictures_values_and_the_settings(found, tmp_path):
    written = write_calibration(found, tmp_path / "out")
    assert set(written.files) == {*CAPTIONS, PAGE, VALUES, LINES}
    page = (tmp_path / "out" / PAGE).read_text("utf-8")
    for name in CAPTIONS:
        assert f'src="{name}"' in page
        assert (tmp_path / "out" / name).read_bytes().startswith(b"\x89PNG")
    values = json.loads((tmp_path / "out" / VALUES).read_text("utf-8"))
    assert values["claim"]["clean_cycles"] == 12
    lines = (tmp_path / "out" / LINES).read_bytes()
    assert lines.count(b"set ") == math.ceil(SETTINGS.itemsize / PIECE)


def test_the_values_are_plain_and_finite(found):
    json.dumps(calibration_values(found), allow_nan=False)


def test_the_text_warns_before_training_how_long_it_takes():
    times = training_times(door("orchard").project)
    told = training_text(times)
    assert "may run 25 % of the time" in " ".join(told.split())
    assert "30 cycles 50 min" in " ".join(told.split())
    assert training_values(times)["training"][0]["cycles"] == 10


@pytest.mark.parametrize("width", [60, 100])
def test_trials_stand_beside_their_simulation_as_an_indication(tried, width):
    text = " ".join(calibration_text(tried, width=width).split())
    assert "Trials with a household scale, beside the simulation" in text
    assert "An indication, not the force test" in text
    assert "400 N," in text
    assert "1 of 2 force trials went worse than simulated (scale.csv, line 2)" in text
    page = calibration_files(tried)[PAGE].decode()
    assert "An indication, not the force test" in page


def test_trials_in_the_values_say_that_they_are_an_indication(tried, found):
    values = calibration_values(tried)["force_trials"]
    assert values["indication_only"] is True
    first, second = values["trials"]
    assert (first["line"], first["way"], first["scale_N"], first["reversed"]) == (2, "closing", 400.0, False)
    assert first["told"] == "did not reverse, and should have"
    assert second["pressed_too_far"] is True
    assert second["ratio"] == pytest.approx(60.0 / second["simulated_N"])
    assert calibration_values(found)["force_trials"] is None
