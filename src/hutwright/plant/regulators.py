"""The regulators between a supply and the board: what each is fed with, what it carries, what it takes."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.catalogue.supplies import SUPPLIES
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.model.supplies import Supply
from hutwright.plant.circuit import (
    Feed,
    cables_resistance,
    feed,
    logic_regulators,
    shared_cables,
)
from hutwright.plant.energy import stages


@dataclass(frozen=True, slots=True)
class FedRegulator:
    """One regulator of the row between a supply and the board.

    Attributes
    ----------
    name : str
        The regulator.
    above : str or None
        The regulator that feeds it; None where it hangs on the supply.
    cables : tuple
        Names of the cables between it and what feeds it, the nearest first.
    load : float
        What hangs on it. [A]
    taken : float
        What it takes. [A]
    """

    name: str
    above: str | None
    cables: tuple[str, ...]
    load: float
    taken: float


def regulator_row(project: Project) -> tuple[FedRegulator, ...]:
    """The regulators that carry the board, from the supply on; none where the board is not described.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of FedRegulator
        In the order in which the current passes them.
    """
    logic = project.electronics.logic if project.electronics else None
    if logic is None:
        return ()
    found = stages(project, logic.load)
    above = [each.regulator for each in found[1:]]
    return tuple(
        FedRegulator(
            each.regulator, upper, cables_before(project, each.regulator, upper), each.load, each.current
        )
        for each, upper in zip(reversed(found), reversed((*above, None)), strict=True)
    )


def cables_before(project: Project, name: str, above: str | None) -> tuple[str, ...]:
    """Names of the cables between a regulator and the regulator or supply before it, the nearest first."""
    fed = feed(project, name)
    if fed is None:
        return ()
    further = feed(project, above) if above is not None else None
    return fed.cables[: len(fed.cables) - len(further.cables)] if further is not None else fed.cables


@dataclass(frozen=True, slots=True)
class EntryFeed:
    """What lies between the supply and the first regulator of the board.

    Attributes
    ----------
    feed : Feed
        The way.
    supply : Supply
        At its far end.
    shared : float
        Resistance that the motor's current passes too, the supply's own included; 0 where the motor hangs
        on another supply. [ohm]
    own : float
        Resistance that only the board's current passes. [ohm]
    motor_too : bool
        Whether the motor hangs on the same supply.
    """

    feed: Feed
    supply: Supply
    shared: float
    own: float
    motor_too: bool


def entry_feed(project: Project, temperature: float) -> EntryFeed | None:
    """What lies between the supply and the first regulator of the board; None where that is not described.

    Parameters
    ----------
    project : Project
        The project.
    temperature : float
        Of the cables. [K]

    Returns
    -------
    EntryFeed or None
        The way, with its resistances.
    """
    chain = logic_regulators(project)
    fed = feed(project, chain[-1]) if chain else None
    if fed is None:
        return None
    supply = project.supplies[fed.supply]
    motor = feed(project, BRIDGE)
    motor_too = motor is not None and motor.supply == fed.supply
    common = shared_cables(fed, motor) if motor is not None else ()
    shared = cables_resistance(project, common, temperature) + supply.resistance
    own = cables_resistance(project, tuple(each for each in fed.cables if each not in common), temperature)
    if not motor_too:
        return EntryFeed(fed, supply, 0.0, own + shared, motor_too)
    return EntryFeed(fed, supply, shared, own, motor_too)


def charging_voltage(supply: Supply) -> float | None:
    """Highest voltage [V] at which a battery of that kind is charged; None where no charger is described."""
    charging = SUPPLIES[supply.kind].charging_voltage
    return charging.high if supply.charger is not None and charging is not None else None


def highest_voltage(supply: Supply) -> float:
    """Highest voltage [V] of a supply: at rest, or while it is charged."""
    return max(supply.voltage, charging_voltage(supply) or 0.0)
