"""What each battery gives away in a day: standby, moves of the door, and what it loses by itself."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.model.supplies import Supply
from hutwright.plant.circuit import drawn, feed, logic_regulators

DAY = 86400.0  # [s]
MONTH = 30.0 * DAY  # as self-discharge is counted [s]
MOVES = 2  # of one door cycle: open, and shut again


@dataclass(frozen=True, slots=True)
class Stage:
    """A regulator between the board and a supply, and what it makes of a load.

    Attributes
    ----------
    regulator : str
        Its name.
    voltage : float
        Where it takes from. [V]
    load : float
        What hangs on it. [A]
    current : float
        What it takes. [A]
    """

    regulator: str
    voltage: float
    load: float
    current: float


def stages(project: Project, load: float) -> tuple[Stage, ...]:
    """The regulators from the board towards its supply, each with what it takes for a load of the board.

    Parameters
    ----------
    project : Project
        The project.
    load : float
        What the board and all that hangs on it take. [A]
    """
    chain = logic_regulators(project)
    fed = feed(project, chain[-1]) if chain else None
    if fed is None:
        return ()
    found = []
    for number, name in enumerate(chain):
        before = chain[number + 1 : number + 2]
        voltage = project.regulators[before[0]].output if before else project.supplies[fed.supply].voltage
        current = drawn(project.regulators[name], load, voltage)
        found.append(Stage(name, voltage, load, current))
        load = current
    return tuple(found)


def logic_asleep(project: Project) -> float:
    """Current [A] of the board and all that hangs on it between two runs.

    A present sensor that stays on is added to a board that sleeps; both together never take more than awake.
    """
    electronics = project.electronics
    if electronics is None or electronics.logic is None:
        return 0.0
    sensor = electronics.present_sensor
    stays_on = sensor.current if sensor is not None and sensor.always_on else 0.0
    return min(electronics.logic.load, electronics.logic.asleep + stays_on)


def idle_regulators(project: Project, supply: str) -> float:
    """Own current [A] of the regulators on a supply that the board does not hang on."""
    chain = logic_regulators(project)
    return sum(
        regulator.quiescent
        for name, regulator in project.regulators.items()
        if name not in chain and (fed := feed(project, name)) is not None and fed.supply == supply
    )


def feeds_bridge(project: Project, supply: str) -> bool:
    """Whether a supply feeds the bridge."""
    fed = feed(project, BRIDGE)
    return fed is not None and fed.supply == supply


def feeds_logic(project: Project, supply: str) -> bool:
    """Whether a supply feeds the board."""
    chain = logic_regulators(project)
    fed = feed(project, chain[-1]) if chain else None
    return fed is not None and fed.supply == supply


def longest_move(project: Project) -> float:
    """How long [s] one move of the door takes at the drive's rated load, at most; 0 where that is unknown."""
    drive, controller = project.drive, project.controller
    if drive is not None and drive.length is not None:
        return drive.length.stroke / drive.rating.speed
    if controller is not None:
        return max(controller.longest_run.opening, controller.longest_run.closing)
    return 0.0


def own_loss(supply: Supply) -> float:
    """Current [A] that stands for what a battery loses by itself."""
    return supply.self_discharge_a_month * (supply.capacity or 0.0) / MONTH
