"""The kept vectors: the compiled controller must still give the very same outputs."""

from __future__ import annotations

import random

import numpy as np
import pytest

from hutwright.native import records
from hutwright.native._door import lib
from hutwright.native.engine import Controller, refusal
from hutwright.native.words import Fault, Mode, Refusal
from tools import vectors

PATHS = sorted(vectors.FOLDER.glob("*.csv"))


def test_there_is_a_file_for_every_sequence_and_they_are_small():
    assert {path.stem for path in PATHS} == {each.__name__ for each in vectors.SEQUENCES}
    assert sum(path.stat().st_size for path in PATHS) < 150_000


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_the_controller_gives_the_same_outputs_bit_for_bit(path):
    kept = vectors.read(path.read_text("utf-8"))
    settings = np.frombuffer(kept.settings, records.SETTINGS)[0]
    assert refusal(settings) == Refusal.GOOD
    controller = Controller(settings)
    at = 0
    for number, inputs, outputs in kept.rows:
        record = np.array(inputs, dtype=object)
        row = np.zeros((), records.INPUTS)
        for name, value in zip(vectors.INPUTS, record, strict=True):
            row[name] = value
        for _ in range(number):
            assert tuple(controller.tick(row).tolist()) == outputs, f"tick {at}"
            at += 1
    assert at == kept.ticks


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_what_is_done_ahead_of_a_tick_changes_nothing(path):
    """Told the right temperature and supply, wrong ones, the right ones after wrong ones, or nothing."""
    kept = vectors.read(path.read_text("utf-8"))
    chance = random.Random(11)
    controller = Controller(np.frombuffer(kept.settings, records.SETTINGS)[0])
    settings, state = controller._at[:2]
    row, ahead = np.zeros((), records.INPUTS), 0
    for number, inputs, outputs in kept.rows:
        for name, value in zip(vectors.INPUTS, inputs, strict=True):
            row[name] = value
        right = int(row["temperature_dC"]), int(row["supply_mV"])
        for _ in range(number):
            wrong = chance.randrange(-32768, 32768), chance.randrange(65536)
            for told in chance.choice(((), (right,), (right,), (wrong,), (wrong, right))):
                lib.door_prepare(settings, state, *told)
                ahead += int(told == right)
            assert tuple(controller.tick(row).tolist()) == outputs
    assert ahead > kept.ticks / 3


def test_together_they_go_through_every_mode_and_most_faults():
    modes, faults = set(), set()
    for path in PATHS:
        for _, _, outputs in vectors.read(path.read_text("utf-8")).rows:
            out = dict(zip(vectors.OUTPUTS, outputs, strict=True))
            modes.add(Mode(out["mode"]))
            faults.add(Fault(out["fault"]))
    assert modes == set(Mode)
    assert {Fault.BOTH_LIMITS, Fault.SENSOR_RANGE, Fault.NO_CURRENT, Fault.CURRENT_WITHOUT_DUTY,
            Fault.TOO_MANY_REVERSALS} <= faults  # fmt: skip


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_what_is_written_is_what_is_read(path):
    text = path.read_text("utf-8")
    assert vectors.read(text).text() == text
