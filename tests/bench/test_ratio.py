"""The closed form of a contact's peak force against the bench."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from hutwright.bench.ratio import DRAWN, described, invented, ratios, redrawn, summary
from hutwright.laws.contact_force import IMPACT_SHARE, PeakRange
from tests.bench.doors import lift
from tests.laws.test_contact_force import simulated
from tests.layout.doors import plain
from tests.plant.doors import CALM, sliding
from tools.closed_form import PAGE, page

# A few contacts in ten thousand, hard and all but undamped, lie beyond the closed form's range: the leaf
# bounces and comes back with the drive behind it. The simulation of tests/laws, asked for the same, has them
# just as well. The law states 7 % at most.
BEYOND = 0.07


def test_invented_doors_lie_within_what_is_drawn_from():
    case = invented(500, np.random.default_rng(3))
    for name, (low, high) in DRAWN.items():
        assert low <= case[name].min()
        assert case[name].max() <= high
    # each drive runs free at the speed that was drawn
    emf = 12.0 - case["resistance"] * case["free_current"]
    np.testing.assert_allclose(case["constant"] * case["speed"], emf)


def test_the_same_numbers_come_from_the_same_generator():
    one, other = (ratios(20, np.random.default_rng(7)) for _ in range(2))
    np.testing.assert_array_equal(one.peak, other.peak)


def assert_agrees(found):
    """Nearly all within the closed form's range, the rest hardly above it."""
    assert found.tripped.mean() > 0.95
    assert found.within[found.tripped].mean() > 0.998
    assert found.total[found.tripped].min() > 0.89 * (1.0 - BEYOND)
    prevails = found.tripped & (found.impact < IMPACT_SHARE * found.driven)
    assert prevails.any()
    assert found.greater[prevails].min() > 0.92 * (1.0 - BEYOND)
    assert found.greater[prevails].max() < 2.45 * (1.0 + BEYOND)
    assert np.median(found.usual[found.tripped]) > 1.0  # what is expected is rather too much


def test_a_few_invented_doors_agree_with_the_closed_form():
    assert_agrees(ratios(60, np.random.default_rng(20)))


def test_where_the_leaf_s_own_mass_prevails_the_bench_is_another_simulation_s_equal():
    """The other one, of tests/laws, has no dead time and no median: what the drive does later differs."""
    case = invented(400, np.random.default_rng(9))
    found = ratios(400, np.random.default_rng(9))
    other, reversed_ = simulated({**case, "debounce": np.maximum(np.round(case["after"] / 1e-3), 1.0)})
    prevails = reversed_ & found.tripped & (found.impact > 1.5 * found.driven)
    ratio = (found.peak / other)[prevails]
    assert prevails.any()
    assert np.median(ratio) == pytest.approx(1.0, abs=0.02)
    assert np.abs(ratio - 1.0).max() < 0.12
    later = (found.peak / other)[reversed_ & found.tripped]
    assert np.median(later) == pytest.approx(1.0, abs=0.05)


@pytest.mark.slow
def test_a_thousand_invented_doors_agree_with_the_closed_form():
    assert_agrees(ratios(1000, np.random.default_rng(21)))


@pytest.mark.slow
@pytest.mark.parametrize("project", [plain, sliding, lift], ids=["hinged", "sliding", "lift"])
def test_two_hundred_described_doors_agree_with_the_closed_form(project):
    contacts = described(project(), CALM, 200, np.random.default_rng(5))
    peak = np.array([each.peak for each in contacts])
    found = summary([each.closed for each in contacts], peak, [each.tripped for each in contacts])
    assert found.tripped > 150
    assert found.within > 0.99
    assert found.most_above <= 1.0 + BEYOND
    assert 1.0 < found.median < 1.6


def test_a_door_drawn_anew_is_the_same_door_otherwise():
    one, other = (redrawn(plain(), np.random.default_rng(seed)) for seed in (1, 1))
    assert one == other
    assert one != plain()
    back = replace(one, door=plain().door, linkage=plain().linkage, controller=plain().controller)
    assert back == plain()


def test_a_summary_counts_what_is_beyond():
    bounds = [PeakRange(50.0, 100.0, 200.0)] * 4
    found = summary(bounds, np.array([100.0, 40.0, 220.0, 1000.0]), [True, True, True, False])
    assert (found.number, found.tripped, found.above) == (4, 3, 1)
    assert found.within == pytest.approx(1.0 / 3.0)
    assert found.most_above == pytest.approx(1.1)
    assert (found.least, found.median, found.greatest) == pytest.approx((100.0 / 220.0, 1.0, 2.5))


@pytest.mark.slow
def test_the_page_of_the_closed_form_is_current():
    """Another C library's sine may move the last digit, and a trip by a millisecond."""
    (kept, numbers), (new, others) = (digits(text) for text in (PAGE.read_text(encoding="utf-8"), page()))
    assert kept == new, "run `make handbook`"
    np.testing.assert_allclose(numbers, others, rtol=0.01, atol=0.3, err_msg="run `make handbook`")


def digits(text):
    return re.sub(r"\d+(\.\d+)?", "#", text), [float(each) for each in re.findall(r"\d+(?:\.\d+)?", text)]
