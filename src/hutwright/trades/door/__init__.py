"""Door: whether the drive moves the leaf in the worst weather, in what time, and past what."""

from __future__ import annotations

from hutwright.checks.check import Trade
from hutwright.model.door import DoorKind, ReleaseKind
from hutwright.model.project import Project
from hutwright.trades.door import (
    body_clearance,
    clear_height,
    clear_width,
    closing_force,
    closing_time,
    coming_home,
    dead_centre,
    departure,
    departure_wait,
    drift,
    edge_speed,
    first_move,
    holding,
    leaf_clearance,
    linkage_reach,
    opening_force,
    opening_time,
    power_return,
    release_force,
)

PROP = (
    "An open leaf that hangs on its drive falls when a pin or the drive lets go: prop it before you reach "
    "under it."
)
PULL = "Freed from its drive, a leaf falls or is blown shut: hold it before you pull the release."


def cautions(project: Project) -> tuple[str, ...]:
    """The cautions that go with what is described."""
    door = project.door
    if door is None:
        return ()
    found = [PROP] if door.kind in (DoorKind.TOP_HINGED, DoorKind.LIFT) else []
    if door.release.kind is not ReleaseKind.NONE:
        found.append(PULL)
    return tuple(found)


TRADE = Trade(
    name="door",
    title="Door",
    questions=(
        linkage_reach.QUESTION,
        dead_centre.QUESTION,
        body_clearance.QUESTION,
        leaf_clearance.QUESTION,
        opening_force.QUESTION,
        closing_force.QUESTION,
        holding.QUESTION,
        drift.QUESTION,
        opening_time.QUESTION,
        closing_time.QUESTION,
        clear_height.QUESTION,
        clear_width.QUESTION,
        departure.QUESTION,
        departure_wait.QUESTION,
        coming_home.QUESTION,
        edge_speed.QUESTION,
        release_force.QUESTION,
        power_return.QUESTION,
        first_move.QUESTION,
    ),
    reads=(
        "site",
        "hut",
        "door",
        "linkage",
        "drive",
        "supplies",
        "cables",
        "electronics",
        "controller",
        "machine",
        "dock",
    ),
    cautions=cautions,
)
