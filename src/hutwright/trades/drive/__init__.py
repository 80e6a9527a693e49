"""Drive: what is left of a listing's speed and force behind the real circuit and before the real load."""

from __future__ import annotations

from hutwright.checks.check import Trade
from hutwright.model.project import Project
from hutwright.trades.drive import (
    consistency,
    current,
    duty,
    end_switches,
    loaded_speed,
    stall_force,
    trip_room,
    voltage_loss,
    warming,
)

RESTARTS = (
    "A drive with its own end switches, or with a thermal switch that sets itself again, may start by itself "
    "when that closes: switch its supply off before reaching into the linkage."
)
RUNS_BACK = (
    "This drive's screw does not hold by itself: a gust or the leaf's own weight can move the door whenever "
    "no current flows."
)


def cautions(project: Project) -> tuple[str, ...]:
    """The cautions that go with what is described."""
    if project.drive is None:
        return ()
    return (RESTARTS,) if project.drive.screw.self_locking else (RESTARTS, RUNS_BACK)


TRADE = Trade(
    name="drive",
    title="Drive",
    questions=(
        consistency.QUESTION,
        voltage_loss.QUESTION,
        loaded_speed.QUESTION,
        stall_force.QUESTION,
        current.QUESTION,
        trip_room.QUESTION,
        duty.QUESTION,
        warming.QUESTION,
        end_switches.QUESTION,
    ),
    reads=(
        "site",
        "hut",
        "build_ups",
        "door",
        "linkage",
        "drive",
        "supplies",
        "cables",
        "electronics",
        "pins",
        "controller",
        "dock",
    ),
    cautions=cautions,
)
