"""What the firmware takes of the chip, with everything fitted, held to what was planned for it."""

from __future__ import annotations

import pytest

from tests.board import budget


@pytest.fixture(scope="module")
def found(require_tool):
    return budget.measure(require_tool("cc"), require_tool("avr-gcc"), 10_000)


@pytest.mark.slow
def test_memory_and_stack_keep_within_a_kilobyte(found):
    assert found.stack_bytes > 0
    assert found.ram_bytes + found.stack_bytes < budget.RAM_MOST


@pytest.mark.slow
def test_nothing_that_the_loop_is_at_keeps_a_tick_waiting_for_a_twentieth_of_a_millisecond(found):
    assert found.worst_late < 16_000 / 20


@pytest.mark.slow
@pytest.mark.xfail(strict=True, reason="docs/reasons/0019: the firmware is still too large for its budget")
def test_the_program_keeps_within_twelve_kilobytes(found):
    assert found.flash_bytes < budget.FLASH_MOST


@pytest.mark.slow
def test_the_worst_tick_takes_no_more_than_its_share_of_the_millisecond(found):
    assert found.worst_tick < budget.TICK_SHARE_MOST * 16_000


@pytest.mark.slow
def test_the_worst_was_gone_through(found):
    assert found.by_edge >= budget.CLOSINGS  # of twice as many: the edge pressed while all detectors count
    assert found.different == 0


def test_the_store_map_has_no_gap_and_fits():
    ends = [0, *(high for _, _, high in budget.STORE_MAP)]
    assert [low for _, low, _ in budget.STORE_MAP] == ends[:-1]
    assert ends[-1] <= budget.STORE_MOST
