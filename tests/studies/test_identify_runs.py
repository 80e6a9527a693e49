"""Which rows of a move tell of the drive."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hutwright.bench.traced import Instrument, board_instrument, commanded_move, switched_move
from hutwright.evidence.trace import Trace, Way
from hutwright.plant.conditions import nominal
from hutwright.studies.identify_runs import Rig, heard, rig_of, step_of
from tests.plant.doors import demo

RIG = Rig(offset=1.0, series=0.5, stroke=0.3, normal=0.9, slow=0.2)


@pytest.mark.parametrize("name", ["orchard", "sports_field"])
@pytest.mark.parametrize("way", Way)
@pytest.mark.parametrize("every", [1, 5, 20])
def test_a_plain_switch_and_the_controllers_ramp_are_told_apart(name, way, every):
    project = demo(name)
    rig, left_out = rig_of(project, 293.15), list[str]()
    switched = heard(switched_move(project, nominal(project), way=way, every=every), rig, left_out)
    assert switched is not None
    assert switched.from_rest
    assert left_out == []
    ramped = commanded_move(project, nominal(project), way=way, every=every)
    ramped = replace(ramped, supply=np.linspace(12.0, 12.1, len(ramped.time)))  # no two rows the same
    rest = heard(replace(ramped, duty=None), rig, left_out)
    assert rest is not None
    assert not rest.from_rest
    assert len(left_out) == 1
    assert ramped.duty is not None
    # what is left had the steady duty all the time: the ramp and the slow stretch are outside
    assert ramped.supply is not None
    kept = np.isin(ramped.supply, rest.supply)
    assert kept.sum() == len(rest.run.time) > 0.5 * len(ramped.time)
    assert ramped.duty[kept] == pytest.approx(np.full(kept.sum(), rig.normal), abs=0.001)


def steady(way: Way) -> Trace:
    """A hundred rows at the same current behind a slow rise, a second apart in tenths."""
    time = np.linspace(0.0, 3.98, 200)
    current = np.minimum(1.0 + 5.0 * time, 2.0) - np.clip(10.0 * (time - 0.3), 0.0, 1.0)
    place = np.linspace(0.0, 1.0, 200)
    return Trace(
        cycle=1, way=way, time=time, current=current, supply=np.full(200, 12.0),
        place=place if way is Way.OPENING else 1.0 - place,
    )  # fmt: skip


def test_rows_behind_the_ramp_and_before_the_slow_stretch_are_kept_and_no_others():
    opened = heard(steady(Way.OPENING), RIG, [])
    closed = heard(steady(Way.CLOSING), RIG, [])
    assert opened is not None
    assert closed is not None
    # the greatest current comes at 0.2 s, so that rows from 0.4 s on are kept: the 20th and later
    assert len(opened.run.time) == 180
    # a share below 0.22 is too near to the slow stretch: the last 44 of 200 rows
    assert len(closed.run.time) == 180 - 44
    assert closed.run.voltage == pytest.approx(np.full(136, 0.9 * (12.0 - 1.0)))
    assert closed.drawn == pytest.approx(np.full(136, 0.9))


def test_rows_of_rest_before_the_start_are_left_out():
    whole = switched_move(demo("orchard"), nominal(demo("orchard")), way=Way.OPENING, every=5)
    assert whole.supply is not None
    late = replace(
        whole,
        time=np.concatenate([0.005 * np.arange(40), 0.2 + whole.time]),
        current=np.concatenate([np.zeros(40), whole.current]),
        supply=np.concatenate([np.full(40, 12.7), whole.supply]),
        place=np.concatenate([np.zeros(40), whole.place]),
    )
    one, other = (heard(each, rig_of(demo("orchard"), 293.15), []) for each in (whole, late))
    assert one is not None
    assert other is not None
    assert other.from_rest
    assert len(other.run.time) - len(one.run.time) in (0, 1)


def test_the_converters_step_is_told_by_the_readings():
    project = demo("orchard")
    step = board_instrument(project).current_step
    move = switched_move(project, nominal(project), way=Way.OPENING, every=2)
    assert step_of(move.current) == pytest.approx(step, rel=1e-3)
    assert step_of(np.round(move.current, 4)) == pytest.approx(step, abs=1e-4)
    smooth = switched_move(
        project, nominal(project), way=Way.OPENING, every=2, instrument=Instrument(0.01, 0.0, 0.0, 0.0)
    )
    assert step_of(smooth.current) == 0.0
