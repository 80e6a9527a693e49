"""Sky: what the machine hears inside the hut, and whether that is enough to start."""

from __future__ import annotations

from hutwright.checks.check import Trade
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import is_metal
from hutwright.trades.sky import (
    corrections,
    dilution,
    opening_gain,
    ready_open,
    ready_shut,
    ready_snow,
    ready_wet,
    satellites,
    satellites_low,
    shared,
)

PLANNED = (
    "The satellites are those of the constellations as planned: good for shares of a day, not for the hours "
    "that are bad."
)
SCREENED = (
    "The walls have a layer of metal. The levels worked out inside are then 5 to 8 dB low, because waves "
    "that bounce to and fro are left out; a full-wave solution or a reading tells more."
)
COATED = (
    "A pane with a metal or low-emissivity film stops satellites; ask for one without before it is bought."
)


def cautions(project: Project) -> tuple[str, ...]:
    """The cautions that go with what is described."""
    machine, hut = project.machine, project.hut
    if machine is None or machine.receiver is None or hut is None:
        return ()
    panes = any(each.pane is not None for each in project.openings.values())
    screened = any(name == hut.walls.build_up and is_metal(each) for name, each in project.build_ups.items())
    return (PLANNED, *((SCREENED,) if screened else ()), *((COATED,) if panes else ()))


TRADE = Trade(
    name="sky",
    title="Satellites inside the hut",
    questions=(
        satellites.QUESTION,
        satellites_low.QUESTION,
        shared.QUESTION,
        corrections.QUESTION,
        dilution.QUESTION,
        ready_shut.QUESTION,
        ready_wet.QUESTION,
        ready_snow.QUESTION,
        ready_open.QUESTION,
        opening_gain.QUESTION,
    ),
    reads=("site", "build_ups", "hut", "openings", "door", "machine", "roof_antenna"),
    cautions=cautions,
)
