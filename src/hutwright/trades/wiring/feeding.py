"""What several questions of the wiring ask of the circuit, and the levers they share."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.cores import larger
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number
from hutwright.model.circuit import BRIDGE
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.circuit import Feed, feed, logic_regulators, shared_cables

SHORTEST_CABLE = 0.05  # below that one moves the box instead of the cable: a choice of this project [m]
CABLE_STEP = 0.1  # cables are cut to the decimetre: a choice of this project [m]


def volts(value: float) -> Number:
    """A voltage put into a step."""
    return Number(value, units.VOLTAGE)


def amperes(value: float) -> Number:
    """A current put into a step."""
    return Number(value, units.CURRENT)


def ohms(value: float) -> Number:
    """A resistance put into a step."""
    return Number(value, units.RESISTANCE)


def logic_entry(project: Project) -> Feed | None:
    """The feed of the regulator through which all of the logic hangs on a supply; None where unknown."""
    chain = logic_regulators(project)
    return feed(project, chain[-1]) if chain else None


def shared_with_motor(project: Project) -> tuple[str, ...]:
    """Names of the cables that carry the motor's current and the logic's."""
    entry, motor = logic_entry(project), feed(project, BRIDGE)
    return shared_cables(entry, motor) if entry is not None and motor is not None else ()


def thicker(project: Project, cable: str) -> Dial:
    """The lever of a better conductor, with the cores that can be bought."""
    described = project.cables[cable]
    path = ("cables", cable)
    options = tuple(
        Option(
            f"lay {name} in place of {described.core} as the {cable} cable",
            {(*path, "core"): name, (*path, "resistance_per_length"): None, (*path, "capacity"): None},
        )
        for name in larger(described.core)
    )
    return Dial(
        path=(*path, "resistance_per_length"),
        dimension=units.RESISTANCE_PER_LENGTH,
        lowest=1e-6,
        highest=1.0,
        words=f"lower the resistance of the {cable} cable's conductors to",
        effort=Effort.BUY_SMALL,
        buyable=options,
    )


def shorter(project: Project, cable: str) -> Dial:
    """The lever of a shorter cable."""
    return Dial(
        path=("cables", cable, "length"),
        dimension=units.LENGTH,
        lowest=SHORTEST_CABLE,
        highest=max(SHORTEST_CABLE, project.cables[cable].length),
        words=f"shorten the {cable} cable to",
        effort=Effort.REWIRE,
        step=CABLE_STEP,
    )


def own_feed(project: Project) -> Pick | None:
    """The choice of feeding the logic straight from the supply; None where it is fed so already."""
    chain, entry = logic_regulators(project), logic_entry(project)
    if not chain or entry is None or not shared_with_motor(project):
        return None
    own = [cable for cable in entry.cables if cable not in shared_with_motor(project)]
    changes: dict[Keys, object] = {("regulators", chain[-1], "fed_by"): entry.supply}
    if own:  # a cable leads to it already, and is led on to the supply
        changes = {("cables", own[-1], "from"): entry.supply}
    words = f"feed {chain[-1]} straight from {entry.supply} by a pair of wires of its own"
    return Pick(
        words="a feed of its own for the logic", options=(Option(words, changes),), effort=Effort.REWIRE
    )
