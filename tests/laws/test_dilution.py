"""Dilutions of precision."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.dilution import dilutions, position_dilution

SKIES = st.lists(st.tuples(st.floats(0.0, 6.28), st.floats(0.05, 1.55)), min_size=5, max_size=14)


def of(degrees, **changes):
    """Dilutions of satellites at (azimuth, elevation) in degrees, all heard."""
    around, above = np.radians(np.array(degrees, dtype=float)).T
    return dilutions(around, above, np.ones(len(around), dtype=bool), **changes)


def by_inverse(around, above, clock):
    """The same by the plain inverse of the whole matrix."""
    columns = [np.cos(above) * np.sin(around), np.cos(above) * np.cos(around), np.sin(above)]
    columns += [(clock == number).astype(float) for number in np.unique(clock)]
    matrix = np.stack(columns, axis=1)
    return np.diag(np.linalg.inv(matrix.T @ matrix)), np.linalg.cond(matrix.T @ matrix)


@pytest.mark.recalled(
    "GNSS, Inertial Navigation, and Integration, 2.3.4.1, table 2.1: geometry read, dilutions from memory"
)
def test_three_low_and_one_overhead_give_the_printed_dilutions():
    found = of([(0, 5), (120, 5), (240, 5), (0, 90)])
    assert [round(float(each), 2) for each in found] == [1.83, 1.72, 1.16, 1.26, 0.64]


@pytest.mark.parametrize(
    ("sky", "wanted"),
    [
        ([(0, 5), (120, 5), (240, 5), (0, 90)], (1.8311, 1.7157, 1.1591, 1.2649, 0.6396)),
        ([(0, 45), (120, 45), (240, 45), (0, 90)], (5.284, 4.267, 1.633, 3.942, None)),
        ([*((72 * n, 60) for n in range(5)), (0, 90)], (11.09, 8.37, 1.789, 8.18, None)),
    ],
)
def test_a_narrow_window_overhead_wrecks_the_height_only(sky, wanted):
    for found, value in zip(of(sky), wanted, strict=True):
        assert value is None or float(found) == pytest.approx(value, rel=6e-4)


@given(SKIES, st.integers(0, 2))
def test_agrees_with_the_plain_inverse_whatever_the_clocks(sky, clocks):
    around, above = np.array(sky).T
    clock = np.arange(len(sky)) % (clocks + 1)
    found = dilutions(around, above, np.ones(len(sky), dtype=bool), clock)
    try:
        diagonal, condition = by_inverse(around, above, clock)
    except np.linalg.LinAlgError:
        return
    if condition > 1e6:
        return
    wanted = np.sqrt(
        [diagonal.sum(), diagonal[:3].sum(), diagonal[:2].sum(), diagonal[2], diagonal[3:].sum()]
    )
    np.testing.assert_allclose([float(each) for each in found], wanted, rtol=1e-6)


@given(SKIES, st.integers(0, 13), st.booleans())
def test_never_gets_better_when_a_satellite_falls_silent(sky, silent, own_clocks):
    around, above = np.array(sky).T
    heard = np.ones(len(sky), dtype=bool)
    clock = np.arange(len(sky)) % 2 if own_clocks else None
    whole = dilutions(around, above, heard, clock)
    heard[silent % len(sky)] = False
    less = dilutions(around, above, heard, clock)
    assert less.position >= whole.position * (1.0 - 1e-6)
    assert less.vertical >= whole.vertical * (1.0 - 1e-6)


@given(SKIES)
def test_a_clock_more_never_makes_it_better(sky):
    around, above = np.array(sky).T
    heard = np.ones(len(sky), dtype=bool)
    shared = dilutions(around, above, heard)
    apart = dilutions(around, above, heard, np.arange(len(sky)) % 2)
    assert apart.position >= shared.position * (1.0 - 1e-6)


@given(SKIES, st.floats(0.0, 6.28))
def test_turned_or_mirrored_the_sky_is_as_good(sky, turn):
    around, above = np.array(sky).T
    heard = np.ones(len(sky), dtype=bool)
    as_is = dilutions(around, above, heard)
    if as_is.geometric > 1e3:
        return
    for other in (around + turn, -around):
        np.testing.assert_allclose(np.array(dilutions(other, above, heard)), np.array(as_is), rtol=1e-6)


@pytest.mark.parametrize(
    "sky",
    [[(0, 30), (90, 40), (180, 50)], [(30 * n, 45) for n in range(6)], [(10, 30)] * 6, [(0, 30), (180, 60)]],
)
def test_too_few_or_all_in_one_cone_is_no_position(sky):
    found = of(sky)
    assert np.isinf(found.position)
    assert np.isinf(found.geometric)


def test_four_satellites_of_two_systems_are_not_enough_with_a_clock_each():
    sky = [(0, 5), (120, 5), (240, 5), (0, 90)]
    assert np.isfinite(of(sky).position)
    assert np.isinf(of(sky, clock=np.array([0, 0, 1, 1])).position)


def test_a_silent_system_costs_nothing():
    sky = [(0, 5), (120, 5), (240, 5), (0, 90), (50, 50)]
    around, above = np.radians(np.array(sky, dtype=float)).T
    heard = np.array([True, True, True, True, False])
    found = dilutions(around, above, heard, np.array([0, 0, 0, 0, 1]))
    assert float(found.geometric) == pytest.approx(1.8311, abs=1e-4)


def test_a_direction_that_is_not_known_does_not_count():
    around, above = np.radians(np.array([(0, 5), (120, 5), (240, 5), (0, 90), (0, 0)], dtype=float)).T
    above[4] = np.nan
    assert float(dilutions(around, above, np.ones(5, dtype=bool)).geometric) == pytest.approx(
        1.8311, abs=1e-4
    )


def test_many_moments_are_one_call():
    around, above = np.radians(np.array([(0, 5), (120, 5), (240, 5), (0, 90)], dtype=float)).T
    heard = np.array([[True] * 4, [True, True, True, False]])
    found = dilutions(np.tile(around, (2, 1)), np.tile(above, (2, 1)), heard).position
    assert found[0] == pytest.approx(1.7157, abs=1e-4)
    assert np.isinf(found[1])


@given(SKIES, st.integers(1, 3))
def test_sums_by_clock_give_the_same_position_dilution(sky, clocks):
    around, above = np.array(sky).T
    clock = np.arange(len(sky)) % clocks
    lines = np.stack([np.cos(above) * np.sin(around), np.cos(above) * np.cos(around), np.sin(above)], axis=-1)
    ours = np.eye(clocks)[clock].T  # clock x satellite
    second = np.einsum("cs,si,sj->cij", ours, lines, lines)
    found = position_dilution(second, ours @ lines, ours.sum(axis=1))
    wanted = dilutions(around, above, np.ones(len(sky), dtype=bool), clock).position
    if np.isfinite(wanted) and wanted < 100.0:  # where the directions are not all but in one cone
        assert found == pytest.approx(wanted, rel=1e-6)


def test_no_satellites_at_all_give_no_position():
    assert np.isinf(position_dilution(np.zeros((2, 3, 3)), np.zeros((2, 3)), np.zeros(2)))
