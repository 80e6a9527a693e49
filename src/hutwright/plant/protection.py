"""What each fuse stands before, and what a supply can push through a short circuit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hutwright.model.circuit import BRIDGE, DRIVE
from hutwright.model.project import Project
from hutwright.plant.circuit import Feed, cable_resistance, cables_resistance, feed, logic_regulators
from hutwright.plant.energy import stages

# A power supply gives up to 1.05 to 1.5 times its rating before it limits or shuts down; standing: practice.
OVERLOAD_SHARE = 1.5


def cables_behind(project: Project, cable: str) -> tuple[str, ...]:
    """Names of a cable and of all behind it, up to the next fuse or to a regulator, which limits by itself.

    Parameters
    ----------
    project : Project
        The project.
    cable : str
        Name of the cable at which to start.
    """
    found, open_ends = [cable], [project.cables[cable].to]
    while open_ends:
        node = open_ends.pop()
        if node not in project.regulators:
            more = [name for name, each in project.cables.items() if each.from_ == node and each.fuse is None]
            found += more
            open_ends += [project.cables[name].to for name in more]
    return tuple(found)


def guarded(project: Project, fuse: str) -> tuple[str, ...]:
    """Names of the cables that a fuse stands before, up to the next fuse.

    Parameters
    ----------
    project : Project
        The project.
    fuse : str
        Name of the fuse.
    """
    starts = [name for name, cable in project.cables.items() if cable.fuse == fuse]
    return tuple(dict.fromkeys(name for start in starts for name in cables_behind(project, start)))


def unguarded_starts(project: Project) -> tuple[str, ...]:
    """Names of the cables that leave a supply without any fuse."""
    return tuple(
        name for name, each in project.cables.items() if each.from_ in project.supplies and each.fuse is None
    )


@dataclass(frozen=True, slots=True)
class ShortCircuit:
    """What a supply pushes when both conductors touch at the far end of a cable.

    Attributes
    ----------
    voltage : float
        Of the supply without load. [V]
    source : float
        Inner resistance of the supply. [ohm]
    cables : float
        Of all cables on the way, there and back. [ohm]
    most : float
        What the supply gives before it limits or shuts down; infinite for a battery. [A]
    """

    voltage: float
    source: float
    cables: float
    most: float

    @property
    def current(self) -> float:
        """Current [A] in the short circuit."""
        return min(self.voltage / (self.source + self.cables), self.most)

    def behind_fuse(self, own: float) -> float:
        """Current where the conductors touch right behind the fuse.

        Parameters
        ----------
        own : float
            Resistance of the fuse, above zero. [ohm]

        Returns
        -------
        float
            The greatest that the fuse may have to break. [A]
        """
        return min(self.voltage / (self.source + own), self.most)


def short_circuit(project: Project, cable: str, temperature: float) -> ShortCircuit | None:
    """The short circuit at the far end of a cable; a bridge on the way counts as wire, for it fails short.

    Parameters
    ----------
    project : Project
        The project.
    cable : str
        Name of the cable.
    temperature : float
        Of the conductors. [K]

    Returns
    -------
    ShortCircuit or None
        None where no supply reaches the cable, or a regulator before it limits the current.
    """
    fed = feed(project, project.cables[cable].from_)
    if fed is None or fed.regulators:
        return None
    supply = project.supplies[fed.supply]
    way = cable_resistance(project.cables[cable], temperature) + cables_resistance(
        project, fed.cables, temperature
    )
    most = math.inf if supply.rating is None else OVERLOAD_SHARE * supply.rating
    return ShortCircuit(voltage=supply.voltage, source=supply.resistance, cables=way, most=most)


def drive_feed(project: Project) -> Feed | None:
    """How the drive is fed, its lead included where one is described; None where no supply reaches it."""
    return feed(project, DRIVE) or feed(project, BRIDGE)


def drive_fuses(project: Project) -> tuple[str, ...]:
    """Names of the fuses that carry the motor's current, the one nearest the motor first."""
    fed = drive_feed(project)
    if fed is None or project.drive is None:
        return ()
    fuses = (project.cables[name].fuse for name in fed.cables)
    return tuple(dict.fromkeys(fuse for fuse in fuses if fuse is not None))


def logic_draw(project: Project) -> tuple[Feed, float] | None:
    """How the logic's regulator next to the supply is fed, and what it takes [A]; None where unknown."""
    logic = project.electronics.logic if project.electronics else None
    chain = logic_regulators(project)
    entry = feed(project, chain[-1]) if chain else None
    if logic is None or entry is None:
        return None
    return entry, stages(project, logic.load)[-1].current


def running_current(project: Project, cables: tuple[str, ...]) -> float:
    """Greatest current in some cables while the drive runs at its rating, the logic's included.

    Parameters
    ----------
    project : Project
        The project.
    cables : tuple of str
        Names of the cables.

    Returns
    -------
    float
        Current in that of the cables which carries most. [A]
    """
    motor, logic = drive_feed(project), logic_draw(project)
    rated = project.drive.rating.current if project.drive is not None else 0.0
    sums = [0.0]
    for name in cables:
        through = rated if motor is not None and name in motor.cables else 0.0
        sums.append(through + (logic[1] if logic is not None and name in logic[0].cables else 0.0))
    return max(sums)
