"""Tables of the body: regions and gaps."""

import pytest

from hutwright.catalogue.body_gaps import BODY_GAPS, LEAST_GAPS, parts_at_risk
from hutwright.catalogue.body_regions import BODY_REGIONS
from tests.published.doors import BODY_REGIONS as PRINTED_REGIONS
from tests.published.doors import LEAST_GAPS_MM


@pytest.mark.published("ISO/TS 15066:2016, tables A.2 and A.3, two public transcriptions that agree")
@pytest.mark.parametrize("name", sorted(PRINTED_REGIONS))
def test_a_region_has_the_printed_values(name):
    force, low, high, stiffness, mass = PRINTED_REGIONS[name]
    region = BODY_REGIONS[name]
    assert region.force == force
    assert region.pressure == pytest.approx((low * 1e4, high * 1e4))
    assert region.stiffness == stiffness * 1e3
    assert region.mass == mass


@pytest.mark.published(
    "ISO/TS 15066:2016, A.3.2, as transcribed: twice for a passing contact, none on the head"
)
def test_a_passing_contact_may_be_twice_as_hard_but_not_on_the_head():
    assert set(BODY_REGIONS) == set(PRINTED_REGIONS)
    for name, region in BODY_REGIONS.items():
        wanted = None if name in ("skull and forehead", "face") else 2.0 * region.force
        assert region.transient_force == wanted


@pytest.mark.published("ISO 13854:2017, least gaps, two lists that agree")
def test_the_least_gaps_are_the_printed_ones():
    assert {name: round(least * 1000.0, 9) for name, least in LEAST_GAPS.items()} == LEAST_GAPS_MM


@pytest.mark.practice("a part gets into gaps far narrower than the one that keeps it safe")
def test_each_part_gets_into_less_than_it_is_safe_in():
    for part in BODY_GAPS.values():
        assert 0.0 < part.entry < part.least / 2.0


def test_a_hand_can_be_caught_in_a_gap_that_starts_below_its_safe_one():
    assert [part.name for part in parts_at_risk(0.090, 0.010)] == [
        "leg",
        "foot",
        "arm",
        "hand",
        "toes",
        "finger",
    ]
    assert [part.name for part in parts_at_risk(0.008, 0.005)] == ["finger"]
    assert parts_at_risk(0.003, 0.0) == ()
    assert parts_at_risk(0.010, 0.010) == ()
