"""Free moves of the leaf under its controller: how long they take, and whether it trips needlessly."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isnan, nan

from hutwright.bench.plant import sim_door
from hutwright.bench.settings import core_settings, sealed
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.scenario import Event, press, scenario
from hutwright.native.words import Commands, Counter, EventKind, Fault, Mode, Why
from hutwright.plant.conditions import Conditions

ASKED = 0.5  # when the button is pressed, after the sensor has been zeroed: a choice of this project [s]
REST = 0.5  # a run ends when the leaf has been at rest for so long: a choice of this project [s]
MORE = 2.0  # than the cap of the run time, so that every move has ended: a choice of this project [s]
BUTTON = press(ASKED)
NEEDLESS = (Counter.RESIDUAL, Counter.RISE, Counter.BACKSTOP)  # what a free leaf should not have caused


@dataclass(frozen=True, slots=True)
class FreeMove:
    """A move of the leaf with nothing in its way.

    Attributes
    ----------
    opening : bool
        Whether it opened; else it closed.
    time : float
        From the command until the controller knows that it has arrived; NaN where it never did. [s]
    peak_current : float
        Greatest current of the motor. [A]
    least_voltage : float
        Least voltage at the bridge. [V]
    trips : int
        How often the controller took something for an obstacle.
    place : float
        Where the leaf came to rest. [rad or m]
    mode : Mode
        State of the controller at the end.
    why : Why
        Why it did what it did last.
    fault : Fault
        What it reports.
    """

    opening: bool
    time: float
    peak_current: float
    least_voltage: float
    trips: int
    place: float
    mode: Mode
    why: Why
    fault: Fault

    @property
    def arrived(self) -> bool:
        """Whether it got where it was sent, at the first try."""
        return not isnan(self.time) and self.trips == 0


def free_move(
    project: Project, conditions: Conditions, *, opening: bool, sensed: bool = True, seed: int = 1
) -> FreeMove:
    """A move asked for at a button, from rest at the other end, by a controller that knows its place.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether it opens; else it closes.
    sensed : bool
        Whether the current is seen with noise and in the steps of a converter.
    seed : int
        Of the noise. [-]

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    ModelError
        Where the controller cannot be set as described.
    """
    settings = settings_with_button(project, sensed=sensed)
    record = asked_at_button(settings, gust(conditions), opening=opening, seed=seed)
    result = engine.run(sim_door(project, conditions, sensed=sensed), settings, record, rows=False).result
    time = float(result["open_time" if opening else "close_time"])
    return FreeMove(
        opening=opening,
        time=time if time >= 0.0 else nan,
        peak_current=float(result["peak_current"]),
        least_voltage=float(result["least_bus"]),
        trips=sum(int(result["counters"][each]) for each in NEEDLESS),
        place=float(result["end_q"]),
        mode=Mode(int(result["end_mode"])),
        why=Why(int(result["end_why"])),
        fault=Fault(int(result["end_fault"])),
    )


def asked_at_button(settings: Record, events: Iterable[Event], *, opening: bool, seed: int) -> Record:
    """A move from rest at the other end by a controller that knows its place, as long as both run-time caps.

    Parameters
    ----------
    settings : Record
        The controller's settings.
    events : iterable of Event
        What else happens.
    opening : bool
        Whether it opens; else it closes.
    seed : int
        Of the noise. [-]
    """
    caps = int(settings["opening_cap_ms"]) + int(settings["closing_cap_ms"])
    return scenario(
        (*events, *BUTTON),
        start_open=not opening,
        duration=ASKED + 1e-3 * caps + MORE,
        settle=REST,
        seed=seed,
    )


def gust(conditions: Conditions) -> tuple[Event, ...]:
    """The wind of the conditions, from the beginning; a simulated door stands in calm air without it."""
    return (Event(EventKind.GUST, time=0.0, a=1.0),) if conditions.wind else ()


def settings_with_button(project: Project, *, sensed: bool) -> Record:
    """The controller's settings with a button; not to be written to.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    sensed : bool
        Whether the current is seen with noise; a reading without any may stay the same.
    """
    return _with_button(project, sensed)


@once_a_project
def _with_button(project: Project, sensed: bool) -> Record:  # noqa: FBT001
    return with_button(core_settings(project), sensed=sensed)


def with_button(settings: Record, *, sensed: bool) -> Record:
    """The same settings with a button; a reading without noise may stay the same.

    Parameters
    ----------
    settings : Record
        The controller's settings; they stay as they are.
    sensed : bool
        Whether the current is seen with noise.
    """
    own = settings.copy()
    if not sensed:
        own["stuck_ms"] = 0
    own["commands"] |= int(Commands.BUTTON)
    return sealed(own)
