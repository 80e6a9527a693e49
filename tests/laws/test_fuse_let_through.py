"""What a fuse lets through."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue.fuses import FUSES
from hutwright.laws.fuse_let_through import latest_opening, let_through
from hutwright.laws.fuse_time import opening_time
from tests.published.fuses import BLADES, SHEETS

EVERY = [(kind, rating) for kind, rating in (*SHEETS, *BLADES)]
multiples = st.floats(0.5, 60.0)


@pytest.mark.published(
    "IEC 60127-2, sheets 2, 3 and 5, and ISO 8820-3: the longest time at each printed multiple"
)
@pytest.mark.parametrize(("kind", "rating"), EVERY)
def test_keeps_every_printed_time_and_hardly_tightens_it(kind, rating):
    points = {**SHEETS, **BLADES}[kind, rating]
    gates = FUSES[kind].firm_gates(rating)
    for multiple, _, longest in points:
        if longest is not None:
            # Printed times are round: heat at one point promises at most a quarter more than the next prints.
            assert 0.75 * longest <= latest_opening(gates, multiple) <= longest * (1.0 + 1e-12)


@given(st.sampled_from(EVERY), multiples, st.floats(1.0, 3.0))
def test_more_current_never_lets_more_heat_through_once_the_fuse_opens_for_sure(which, multiple, factor):
    kind, rating = which
    gates = FUSES[kind].firm_gates(rating)
    less, more = (let_through(gates, rating, rating * each) for each in (multiple, multiple * factor))
    if multiple >= gates[-1].multiple:
        assert more == pytest.approx(less, rel=1e-9)


@given(st.sampled_from(EVERY), multiples)
def test_never_promises_less_time_than_the_fuse_may_need_at_least(which, multiple):
    kind, rating = which
    gates = FUSES[kind].firm_gates(rating)
    shortest, longest = opening_time(gates, multiple)
    assert latest_opening(gates, multiple) <= longest
    assert latest_opening(gates, multiple) >= shortest * (1.0 - 1e-12)


@given(multiples, st.floats(1.2, 1.55), st.floats(10.0, 20.0))
def test_a_fuse_with_heat_loss_that_meets_the_gates_opens_in_time(multiple, never, heat):
    def opens(at):
        return math.inf if at <= never else -heat * math.log1p(-((never / at) ** 2))

    gates = FUSES["blade, ISO 8820-3 type C"].firm_gates(10.0)
    if all(gate.shortest <= opens(gate.multiple) <= gate.longest for gate in gates):
        assert opens(multiple) <= latest_opening(gates, multiple) * (1.0 + 1e-9)
