"""What readings and incidents say, in words and as values."""

import json

import pytest

from hutwright.model.paths import Keys
from hutwright.outputs.sky_text import change_lines, explanation_text, readings_text
from hutwright.outputs.sky_values import explanation_values, readings_values
from hutwright.studies.incidents import explain
from hutwright.studies.readings import fit_readings
from tests.studies.skies import PROJECT, real_orbits, simulated, starts


@pytest.fixture(scope="module")
def fits():
    return {
        signals: fit_readings(PROJECT, simulated(6, 0, 38.0, 0.4, 1.5, signals=signals), real_orbits())
        for signals in (False, True)
    }


@pytest.mark.parametrize("width", [40, 76, 100])
def test_readings_are_told_with_their_intervals(fits, width):
    for fit in fits.values():
        text = readings_text(fit, width=width)
        body = text.split("What hut.toml")[0]
        assert max(len(line) for line in body.splitlines()) <= width
        flat = " ".join(text.split())
        fitted = fit.threshold_db
        assert f"{fitted.value:.1f} dB-Hz ({fitted.low:.1f}..{fitted.high:.1f})" in flat
        assert "24 readings" in flat
        assert "up to 5 satellites low" in flat


def test_what_was_not_fitted_is_called_so(fits):
    assert "no signal was written down" in " ".join(readings_text(fits[False]).split())
    assert "no signal was written down" not in " ".join(readings_text(fits[True]).split())


def test_changes_are_lines_of_the_file():
    changes: dict[Keys, object] = {
        ("openings", "one"): {"size": {"width": "260 mm"}, "screen": 0.5},
        ("roof_antenna", "skyline"): [],
        ("measured", "machine.receiver.threshold"): "by hand",
        ("openings", "two"): None,
    }
    assert change_lines(changes) == [
        'openings.one = { size = { width = "260 mm" }, screen = 0.5 }',
        "roof_antenna.skyline = []",
        'measured."machine.receiver.threshold" = "by hand"',
        "openings.two: take it out",
    ]


def test_incidents_are_told_with_how_strong_the_evidence_is():
    sure, open_ = explain(PROJECT, starts(60, 1, 1.0), real_orbits()), explain(PROJECT, [], None)
    text = " ".join(explanation_text(sure).split())
    assert "The sky explains the failures, and the evidence for that is very strong." in text
    assert "does not prove the cause" in text
    text = " ".join(explanation_text(open_).split())
    assert "Undecided." in text
    assert "There are no real orbits" in text


def test_the_values_are_plain(fits):
    for values in (
        readings_values(fits[True]),
        readings_values(fits[False]),
        explanation_values(explain(PROJECT, starts(60, 1, 1.0), real_orbits())),
        explanation_values(explain(PROJECT, [], None)),
    ):
        assert json.loads(json.dumps(values, allow_nan=False)) == values
