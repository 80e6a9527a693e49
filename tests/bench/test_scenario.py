"""What was declared, held against what came: nothing that is unknown is ever kept."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hutwright.bench.scenario import Bound, Expected, Quantity, judge
from hutwright.checks.check import Sense
from hutwright.native.records import DOOR, RESULT
from hutwright.native.words import Broken, Counter, Ended, Fault, Mode, Why
from hutwright.sources import Source, Standing

BOOK = Source("a book", "p. 3", Standing.READ)
WANTED = Expected(words="opens", modes=frozenset({Mode.OPEN}), whys=frozenset({Why.LIMIT}), source=BOOK)


def result(**fields):
    """A run that ended open, with some fields otherwise."""
    made = np.zeros((), dtype=RESULT)
    made["end_mode"], made["end_why"] = Mode.OPEN, Why.LIMIT
    made["contact_time"] = made["back_time"] = made["open_time"] = made["close_time"] = -1.0
    for name, value in fields.items():
        made[name] = value
    return made


def door():
    made = np.zeros((), dtype=DOOR)
    made["full"], made["edge_radius"] = 2.0, 0.5
    return made


def upper(quantity, limit):
    return Bound(quantity=quantity, limit=limit, source=BOOK)


def test_a_run_that_ends_as_declared_is_met():
    assert judge(WANTED, result(), door()).met


@pytest.mark.parametrize(
    "fields",
    [
        {"end_mode": Mode.STOPPED},
        {"end_why": Why.STOP},
        {"end_fault": Fault.SLIPPED},
        {"broken": Broken.VETO},
        {"ended_early": Ended.SENSELESS},
        {"end_q": math.nan},
    ],
)
def test_anything_else_is_not(fields):
    assert not judge(WANTED, result(**fields), door()).met


@pytest.mark.parametrize("sense", Sense)
def test_a_bound_is_kept_at_its_limit_and_never_by_what_is_unknown(sense):
    bound = Bound(quantity=Quantity.PEAK, limit=400.0, source=BOOK, sense=sense)
    assert bound.kept(400.0)
    assert not bound.kept(math.nan)
    beyond = 401.0 if sense is Sense.AT_MOST else 399.0
    assert not bound.kept(beyond)
    assert bound.margin(beyond) == -1.0


def test_without_contact_there_is_no_force_and_no_time_to_reverse():
    nothing = result(peak_seen=0.0)
    assert Quantity.PEAK.of(nothing, door()) == 0.0
    assert math.isnan(Quantity.REVERSAL.of(nothing, door()))


def test_a_leaf_that_never_moves_back_takes_for_ever():
    assert Quantity.REVERSAL.of(result(contact_time=3.0), door()) == math.inf
    assert Quantity.REVERSAL.of(result(contact_time=3.0, back_time=3.25), door()) == 0.25


def test_a_move_that_never_ends_takes_for_ever():
    assert Quantity.OPENING.of(result(), door()) == math.inf
    assert Quantity.OPENING.of(result(open_time=7.5), door()) == 7.5


def test_place_and_speed_are_those_of_the_leaf():
    moved = result(end_q=0.5, end_rate=-0.2)
    assert Quantity.PLACE.of(moved, door()) == 0.75
    assert Quantity.SPEED.of(moved, door()) == pytest.approx(0.1)


def test_what_it_believed_to_be_obstructions_is_counted_whatever_spoke():
    made = result()
    for counter in (Counter.RESIDUAL, Counter.RISE, Counter.BACKSTOP, Counter.EDGE):
        made["counters"][counter] = 2
    made["counters"][Counter.VETO] = 5
    assert Quantity.TRIPS.of(made, door()) == 8.0


def test_the_worst_of_several_bounds_makes_the_badness():
    expected = Expected(
        words="opens",
        modes=frozenset({Mode.OPEN}),
        bounds=(upper(Quantity.PEAK, 400.0), upper(Quantity.LASTING, 0.75)),
        source=BOOK,
    )
    judged = judge(expected, result(contact_time=1.0, peak_seen=440.0, above_150=0.5), door())
    assert not judged.met
    beyond, by = judged.badness
    assert not beyond
    assert by == pytest.approx(0.1)
    assert [reading.kept for reading in judged.readings] == [False, True]
