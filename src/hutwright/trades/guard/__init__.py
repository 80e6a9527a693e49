"""Guard: what the closing door does to whoever is in its way, and what stands between the two."""

from __future__ import annotations

from hutwright.checks.check import Trade
from hutwright.model.project import Project
from hutwright.model.site import Reach
from hutwright.trades.guard import (
    blind_travel,
    crush_gap,
    duration,
    kinetic_energy,
    layers,
    peak_force,
    peak_force_body,
    reversal_force,
    trip_reached,
)

ONE_LAYER = (
    "Reversing on the motor's current is one layer of protection. Published research (HSE research report "
    "RR1056) found ordinary drive control alone inadequate against crushing: give the door an independent "
    "layer as well."
)
FORCE_TEST = (
    "The forces at the closing edge are simulated, with the controller's own code; no hardware was measured. "
    "Force-test the finished door at its edge, hinge side included, cold and warm, before it moves "
    "unattended, and yearly."
)
SCOPE = (
    "Whether EN 12453 covers a hatch that nobody passes through is not settled; its limits stand here as a "
    "measure."
)
CHILDREN = (
    "None of the limits of force on the body was found for children. Keep them away from a moving door."
)


def cautions(project: Project) -> tuple[str, ...]:
    """The cautions that go with what is described."""
    if project.door is None or project.drive is None:
        return ()
    return (ONE_LAYER, FORCE_TEST, SCOPE, *((CHILDREN,) if Reach.CHILDREN in project.site.reach else ()))


TRADE = Trade(
    name="guard",
    title="Guarding the door",
    questions=(
        kinetic_energy.QUESTION,
        peak_force.QUESTION,
        peak_force_body.QUESTION,
        duration.QUESTION,
        reversal_force.QUESTION,
        trip_reached.QUESTION,
        blind_travel.QUESTION,
        crush_gap.QUESTION,
        layers.QUESTION,
    ),
    reads=(
        "site",
        "build_ups",
        "door",
        "linkage",
        "drive",
        "supplies",
        "fuses",
        "cables",
        "electronics",
        "controller",
    ),
    cautions=cautions,
)
