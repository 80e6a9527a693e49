"""Trials with a household scale, as a builder writes them down."""

from __future__ import annotations

import pytest

from hutwright.evidence.force_trials import parse_force_trials
from hutwright.evidence.side_file import EvidenceError
from hutwright.evidence.trace import Way

HEAD = "direction, gap_mm, reading_kg, reading_N, stiffness_N_mm, thickness_mm, pressed_mm, reversed\n"


def _one(row: str):
    (trial,) = parse_force_trials(HEAD + row, "scale.csv")
    return trial


def _refused(row: str) -> str:
    with pytest.raises(EvidenceError) as told:
        parse_force_trials(HEAD + row, "scale.csv")
    return str(told.value)


def test_a_reading_in_kilograms_is_a_force_and_a_pressed_block_a_stiffness():
    trial = _one("closing, 300, 6.0, , , 60, 20, yes")
    assert trial.way is Way.CLOSING
    assert trial.gap == pytest.approx(0.300)
    assert trial.force == pytest.approx(58.84, abs=0.01)  # 6 kg times 9.80665 m/s2
    assert trial.stiffness == pytest.approx(2942.0, abs=1.0)
    assert (trial.reversed, trial.too_far, trial.line) == (True, False, 2)


def test_a_reading_in_newtons_and_a_given_stiffness_are_taken_as_they_are():
    trial = _one("opening, 50, , 80, 5, , , no")
    assert (trial.way, trial.force, trial.stiffness, trial.reversed) == (Way.OPENING, 80.0, 5000.0, False)


def test_a_given_stiffness_goes_before_one_from_the_way():
    assert _one("closing, 300, , 100, 4, 60, 10, yes").stiffness == 4000.0


def test_semicolons_and_decimal_commas_are_read():
    text = "direction; gap_mm; reading_kg; stiffness_N_mm; reversed\nclosing; 300; 6,5; 2,5; yes\n"
    (trial,) = parse_force_trials(text, "scale.csv")
    assert trial.stiffness == pytest.approx(2500.0)
    assert trial.force == pytest.approx(63.74, abs=0.01)


def test_a_block_pressed_by_more_than_half_is_marked():
    assert _one("closing, 300, 6, , , 60, 31, yes").too_far
    assert not _one("closing, 300, 6, , , 60, 30, yes").too_far


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("sideways, 300, 6, , 2, , , yes", "read 'sideways'; wanted opening or closing"),
        ("closing, 300, 6, , 2, , , perhaps", "wanted yes or no"),
        ("closing, -3, 6, , 2, , , yes", "wanted a number, 1 to 2000 mm"),
        ("closing, 300, six, , 2, , , yes", "wanted a number, 0 to 150 kg"),
        ("closing, 300, 6, 60, 2, , , yes", "read both readings; wanted reading_kg or reading_N"),
        ("closing, 300, , , 2, , , yes", "read no reading"),
        (
            "closing, 300, 6, , , , , yes",
            "read no stiffness of the block; wanted stiffness_N_mm, or pressed_mm",
        ),
        ("closing, 300, 6, , , 60, 70, yes", "read 70 mm; wanted less than the block's 60 mm"),
        ("closing, 300, 0.001, , , , 900, yes", "wanted a block of 0.05 to 500 N/mm"),
        ("closing, 300, 6, , 2, , yes", "7 cells"),
    ],
)
def test_each_fault_is_a_sentence_with_its_line(row, words):
    told = _refused(row)
    assert words in told
    assert "scale.csv, line 2" in told


def test_all_faults_come_at_once():
    told = _refused("closing, x, 6, , 2, , , yes\nclosing, 300, y, , 2, , , yes")
    assert "line 2" in told
    assert "line 3" in told


def test_a_file_without_trials_or_columns_is_refused():
    assert "no trials" in _refused("")
    with pytest.raises(EvidenceError, match="no column reversed"):
        parse_force_trials("direction, gap_mm\nclosing, 300\n", "scale.csv")
