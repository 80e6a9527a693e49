"""The tools of the simulated board, made once a session."""

from __future__ import annotations

import pytest

from hutwright.native.board_plan import BoardPlan, config_text
from tests.board import machine
from tests.native.doors import hinged, settings_for


@pytest.fixture(scope="session")
def tools(require_tool):
    return machine.harness(require_tool("cc"))


@pytest.fixture(scope="session")
def binary(require_tool):
    return machine.firmware(require_tool("avr-gcc"), config_text(BoardPlan()))


@pytest.fixture
def board(binary, tools):
    """A board that has been on for a while, sees nobody, and has been greeted on its line."""
    with machine.Machine(binary, settings_for(hinged()), tools) as made:
        made.lib.machine_echo(made.at, 400, 9000)
        made.run(350)
        made.say("hello")
        made.run(25)
        made.lib.machine_figures_clear(made.at)
        made.beside()
        yield made
