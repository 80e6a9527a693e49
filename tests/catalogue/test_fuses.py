"""Fuses by kind."""

import math
from itertools import pairwise

import pytest

from hutwright.catalogue.fuses import FUSES
from hutwright.errors import RequestError
from hutwright.laws.fuse_time import opening_time
from hutwright.sources import Standing
from tests.published.fuses import BLADES, BLADES_RECALLED, SHEETS, UL


def cases(table):
    """Each printed point with the kind and rating that it belongs to."""
    return [(name, rating, *point) for (name, rating), points in table.items() for point in points]


def holds_printed(name, rating, multiple, shortest, longest, gates):
    """Compare one printed point with the catalogue's."""
    gate = next(gate for gate in gates if gate.multiple == multiple)
    assert gate.shortest == (0.0 if shortest is None else pytest.approx(shortest, rel=1e-12)), (name, rating)
    assert gate.longest == (math.inf if longest is None else pytest.approx(longest, rel=1e-12)), (
        name,
        rating,
    )


@pytest.mark.published("IEC 60127-2, sheets 2, 3 and 5, pre-arcing times")
@pytest.mark.parametrize(("name", "rating", "multiple", "shortest", "longest"), cases(SHEETS))
def test_miniature_fuses_have_the_printed_points(name, rating, multiple, shortest, longest):
    holds_printed(name, rating, multiple, shortest, longest, FUSES[name].firm_gates(rating))


@pytest.mark.published("ISO 8820-3, types C and E")
@pytest.mark.parametrize(("name", "rating", "multiple", "shortest", "longest"), cases(BLADES))
def test_blade_fuses_have_the_printed_points(name, rating, multiple, shortest, longest):
    holds_printed(name, rating, multiple, shortest, longest, FUSES[name].firm_gates(rating))


@pytest.mark.published("UL 248-14, 0 to 30 A")
@pytest.mark.parametrize(("name", "rating", "multiple", "shortest", "longest"), cases(UL))
def test_cartridges_have_the_printed_points(name, rating, multiple, shortest, longest):
    holds_printed(name, rating, multiple, shortest, longest, FUSES[name].firm_gates(rating))


@pytest.mark.recalled("the usual table of the standard blade; the printed 160 and 200 % lie on it")
@pytest.mark.parametrize(("name", "rating", "multiple", "shortest", "longest"), cases(BLADES_RECALLED))
def test_recalled_points_are_there_but_not_among_the_firm_ones(name, rating, multiple, shortest, longest):
    holds_printed(name, rating, multiple, shortest, longest, FUSES[name].gates(rating))
    assert multiple not in {gate.multiple for gate in FUSES[name].firm_gates(rating)}


def test_only_the_standard_blade_has_points_from_memory():
    weak = {
        kind.name
        for kind in FUSES.values()
        for rating in kind.ratings
        for printed in kind.printed_gates(rating)
        if printed.source.standing is Standing.RECALLED
    }
    assert weak == {"blade, ISO 8820-3 type C"}


@pytest.mark.parametrize("kind", FUSES.values(), ids=list(FUSES))
def test_every_rating_on_sale_has_points_that_make_sense(kind):
    assert list(kind.ratings) == sorted(set(kind.ratings))
    for rating in kind.ratings:
        gates = kind.gates(rating)
        for before, after in pairwise(gates):
            assert before.multiple < after.multiple
            assert after.longest <= before.longest
        assert all(gate.shortest <= gate.longest for gate in gates)
        # what is called its conventional current opens it for sure, in the conventional time
        assert opening_time(gates, kind.conventional_multiple)[1] == kind.conventional_time
        assert kind.breaking_capacity(rating) >= 35.0


@pytest.mark.published("IEC 60127-2 breaking classes L and H, as on a wiki page on fuse markings")
def test_a_glass_fuse_breaks_35_a_or_ten_times_its_rating_and_a_ceramic_one_1500_a():
    glass = FUSES["glass 5x20 time-lag T, IEC 60127-2 sheet 3"]
    assert glass.breaking_capacity(2.0) == 35.0
    assert glass.breaking_capacity(6.3) == pytest.approx(63.0)
    assert FUSES["ceramic 5x20 time-lag T, IEC 60127-2 sheet 5"].breaking_capacity(6.3) == 1500.0


@pytest.mark.published("ISO 8820-3: 32 V direct current, 1000 A")
def test_only_the_blades_are_rated_for_direct_current():
    rated = {kind.name: (kind.voltage, kind.breaking_floor) for kind in FUSES.values() if kind.direct_current}
    assert rated == {
        "blade, ISO 8820-3 type C": (32.0, 1000.0),
        "blade, ISO 8820-3 type E": (32.0, 1000.0),
    }


def test_a_motor_stalled_at_less_than_twice_the_rating_may_flow_for_a_long_time():
    # the fuse protects the cable; the firmware must protect the motor
    shortest, longest = opening_time(FUSES["blade, ISO 8820-3 type C"].firm_gates(4.0), 7.5 / 4.0)
    assert longest > 5.0
    assert shortest < 1.0


def test_names_the_next_ratings_on_sale_either_way():
    blade = FUSES["blade, ISO 8820-3 type C"]
    assert blade.larger(10.0)[:2] == (15.0, 20.0)
    assert blade.smaller(5.0)[:2] == (4.0, 3.0)
    assert blade.smaller(1.0) == ()


def test_refuses_a_rating_that_no_document_covers_and_says_which_are():
    with pytest.raises(
        RequestError, match=r"no points for 3\.5 A; choose a rating of 1 to 3\.15 A, 4 to 6\.3 A"
    ):
        FUSES["ceramic 5x20 time-lag T, IEC 60127-2 sheet 5"].gates(3.5)


def test_each_row_knows_its_name():
    assert all(name == kind.name for name, kind in FUSES.items())
