"""The circuit as described: who feeds whom, through what, and what current flows."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.laws.bridge_drop import paralleled_drop
from hutwright.laws.conductor_resistance import conductor_resistance
from hutwright.laws.copper import winding_factor
from hutwright.laws.linear_regulator import regulator_output
from hutwright.model.cables import Cable
from hutwright.model.circuit import BRIDGE, DRIVE, Bridge, Regulator
from hutwright.model.drive import Drive
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project

CONDUCTORS = 2  # there and back


@dataclass(frozen=True, slots=True)
class Feed:
    """How a node is fed.

    Attributes
    ----------
    node : str
        The node.
    supply : str
        The supply at the far end.
    cables : tuple
        Names of the cables between, the one at the node first.
    regulators : tuple
        Names of the regulators between, the one at the node first.
    """

    node: str
    supply: str
    cables: tuple[str, ...]
    regulators: tuple[str, ...]


def feed(project: Project, node: str) -> Feed | None:
    """How a node is fed; None where no supply reaches it.

    Parameters
    ----------
    project : Project
        The project.
    node : str
        Name of a supply or regulator, "bridge" or "drive".
    """
    return _feed(project, node)


@once_a_project
def _feed(project: Project, node: str) -> Feed | None:
    to = {cable.to: name for name, cable in project.cables.items()}
    cables: list[str] = []
    regulators: list[str] = []
    here = node
    for _ in range(len(project.cables) + len(project.regulators) + 2):
        if here in project.supplies:
            return Feed(node, here, tuple(cables), tuple(regulators))
        if here in project.regulators:
            regulators.append(here)
        if here in to:
            cables.append(to[here])
            here = project.cables[to[here]].from_
        elif here in project.regulators and project.regulators[here].fed_by is not None:
            here = project.regulators[here].fed_by or ""
        else:
            return None
    return None


def shared_cables(one: Feed, other: Feed) -> tuple[str, ...]:
    """Names of the cables that two feeds have in common, the one nearest the supply last."""
    return tuple(name for name in one.cables if name in other.cables and one.supply == other.supply)


def cable_resistance(cable: Cable, temperature: float) -> float:
    """Resistance of both conductors of a cable together.

    Parameters
    ----------
    cable : Cable
        The cable.
    temperature : float
        Of its conductors. [K]

    Returns
    -------
    float
        There and back. [ohm]
    """
    return CONDUCTORS * conductor_resistance(cable.resistance_per_length, cable.length, temperature)


def cables_resistance(project: Project, names: tuple[str, ...], temperature: float) -> float:
    """Resistance of several cables in a row, both conductors [ohm]."""
    return sum(cable_resistance(project.cables[name], temperature) for name in names)


def winding_resistance(drive: Drive, temperature: float) -> float:
    """Resistance of the drive's winding at a temperature, from its stall current where it was not measured.

    Parameters
    ----------
    drive : Drive
        The drive.
    temperature : float
        Of its winding. [K]

    Returns
    -------
    float
        Between its terminals. [ohm]
    """
    at_20 = drive.motor.resistance
    return (drive.rating.voltage / drive.stall.current if at_20 is None else at_20) * winding_factor(
        temperature
    )


@dataclass(frozen=True, slots=True)
class MotorLoop:
    """All that stands in the motor's way, from the supply to the winding.

    Attributes
    ----------
    voltage : float
        Of the supply without load. [V]
    source : float
        Inner resistance of the supply. [ohm]
    feed : float
        Cables from the supply to the bridge. [ohm]
    bridge : float
        Resistive part of the bridge, its channels in parallel. [ohm]
    offset : float
        Part of the bridge's drop that does not depend on current. [V]
    lead : float
        Cable from the bridge to the drive. [ohm]
    winding : float
        The drive's winding. [ohm]
    """

    voltage: float
    source: float
    feed: float
    bridge: float
    offset: float
    lead: float
    winding: float

    @property
    def total(self) -> float:
        """All resistances together [ohm]."""
        return self.source + self.feed + self.bridge + self.lead + self.winding

    @property
    def stall_current(self) -> float:
        """Current that flows while the rotor stands [A]."""
        return max(0.0, self.voltage - self.offset) / self.total


def motor_loop(project: Project, temperature: float) -> MotorLoop | None:
    """All that stands in the motor's way; None where the drive is not fed through a described bridge.

    Parameters
    ----------
    project : Project
        The project.
    temperature : float
        Of cables and winding. [K]
    """
    return _motor_loop(project, temperature)


@once_a_project
def _motor_loop(project: Project, temperature: float) -> MotorLoop | None:
    bridge = project.electronics.bridge if project.electronics else None
    fed = feed(project, BRIDGE)
    if bridge is None or fed is None or project.drive is None:
        return None
    supply = project.supplies[fed.supply]
    lead = next((cable for cable in project.cables.values() if cable.to == DRIVE), None)
    return MotorLoop(
        voltage=supply.voltage,
        source=supply.resistance,
        feed=cables_resistance(project, fed.cables, temperature),
        bridge=bridge.resistance / bridge.paralleled,
        offset=bridge.offset,
        lead=cable_resistance(lead, temperature) if lead is not None else 0.0,
        winding=winding_resistance(project.drive, temperature),
    )


def bridge_drop(bridge: Bridge, current: float) -> float:
    """What the bridge takes from the voltage at a motor current [V]."""
    return paralleled_drop(current, bridge.paralleled, bridge.offset, bridge.resistance)


def logic_regulators(project: Project) -> tuple[str, ...]:
    """Names of the regulators that the board hangs on in a row, the board's own first; else empty."""
    logic = project.electronics.logic if project.electronics else None
    if logic is None:
        return ()
    fed = feed(project, logic.fed_by)
    return fed.regulators if fed is not None else ()


def behind(regulator: Regulator, voltage: float) -> float:
    """Output of a regulator, with the diode before it, for a voltage where it is fed.

    Parameters
    ----------
    regulator : Regulator
        The regulator.
    voltage : float
        Where it is fed. [V]

    Returns
    -------
    float
        At its output; what is left where it cannot regulate any more. [V]
    """
    before = voltage - (regulator.diode_drop if regulator.diode else 0.0)
    return regulator_output(before, regulator.output, regulator.dropout)


def lowest_feed(regulator: Regulator, output: float) -> float:
    """Least voltage where a regulator is fed that still gives an output, not above its own [V]."""
    return (
        min(output, regulator.output) + regulator.dropout + (regulator.diode_drop if regulator.diode else 0.0)
    )


def drawn(regulator: Regulator, load: float, voltage: float) -> float:
    """Current that a regulator takes for a load [A].

    Parameters
    ----------
    regulator : Regulator
        The regulator.
    load : float
        What hangs on it. [A]
    voltage : float
        Where it is fed. [V]
    """
    if regulator.efficiency >= 1.0:
        return load + regulator.quiescent
    return regulator.output * load / (voltage * regulator.efficiency) + regulator.quiescent
