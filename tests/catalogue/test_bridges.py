"""Motor bridges by kind."""

import pytest

from hutwright.catalogue.bridges import BRIDGES, BridgeType
from hutwright.laws.bridge_drop import paralleled_drop, saturation_drop

DUAL = BRIDGES["dual bipolar"]
FET = BRIDGES["single MOSFET 30 A class"]
SHEET = "data sheet of a dual full-bridge driver, January 2000, table "


@pytest.mark.published(SHEET + "'Electrical characteristics', total drop")
def test_the_dual_bridge_has_the_printed_drops():
    assert DUAL.drop_at_one is not None
    assert DUAL.drop_at_two is not None
    assert (DUAL.drop_at_one.low, DUAL.drop_at_one.high) == (1.80, 3.2)
    assert DUAL.drop_at_one.nominal == pytest.approx(1.35 + 1.2)
    assert DUAL.drop_at_two.nominal == pytest.approx(2.0 + 1.7)
    assert DUAL.drop_at_two.high == 4.9


@pytest.mark.published(SHEET + "'Absolute maximum ratings' and 'Thermal data'")
def test_the_dual_bridge_has_the_printed_limits():
    assert (DUAL.direct_current, DUAL.repetitive_current, DUAL.peak_current) == (2.0, 2.5, 3.0)
    assert (DUAL.junction_case, DUAL.junction_ambient) == (3.0, 35.0)
    assert DUAL.junction_limit - 273.15 == pytest.approx(130.0)
    assert DUAL.lowest_supply == pytest.approx(2.3 + 2.5)
    assert DUAL.needs_outside_diodes


@pytest.mark.published("data sheet of a dual full-bridge driver, January 2000, note on channels in parallel")
def test_two_channels_carry_three_amperes_and_not_four():
    assert DUAL.current_limit(1) == 2.0
    assert DUAL.current_limit(2) == 3.0
    assert DUAL.repetitive_limit(2) == 3.5


@pytest.mark.parametrize("end", ["low", "nominal", "high"])
@pytest.mark.parametrize("current", [1.0, 2.0])
def test_offset_and_resistance_go_through_both_points(end, current):
    at_one, at_two = getattr(DUAL.drop_at_one, end), getattr(DUAL.drop_at_two, end)
    drop = paralleled_drop(current, 1, getattr(DUAL.offset, end), getattr(DUAL.resistance, end))
    assert drop == pytest.approx(saturation_drop(current, at_one, at_two), rel=1e-12)


@pytest.mark.practice("a MOSFET bridge takes a fraction of a volt where a bipolar one takes two or three")
def test_a_mosfet_bridge_takes_far_less_at_the_current_of_a_small_drive():
    worst = paralleled_drop(2.5, 1, FET.offset.high, FET.resistance.high * FET.hot_factor.high)
    best = paralleled_drop(2.5, 2, DUAL.offset.low, DUAL.resistance.low)
    assert worst < 0.25 < 2.0 < best
    assert FET.type is BridgeType.FET
    assert FET.drop_at_one is None


def test_each_row_knows_its_name_and_one_channel_never_carries_more_than_all():
    for name, kind in BRIDGES.items():
        assert kind.name == name
        assert kind.direct_current <= kind.paralleled_direct_current <= kind.channels * kind.direct_current
        assert kind.direct_current <= kind.repetitive_current <= kind.peak_current
