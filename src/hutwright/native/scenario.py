"""A scenario of the simulated door, put together from small events."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass

from hutwright.native.records import MOST_EVENTS, SCENARIO, Record, blank
from hutwright.native.words import EventKind, When

PRESS = 0.2  # how long a finger stays on a button: a choice of this project [s]


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happens; what `a` to `e` mean for each kind stands in ``sim/sim.h``.

    Attributes
    ----------
    kind : EventKind
        What happens.
    time : float
        When, or after which time where it waits for a place. [s]
    a : float
        First number of its kind.
    b : float
        Second number of its kind.
    c : float
        Third number of its kind.
    d : float
        Fourth number of its kind.
    e : float
        Fifth number of its kind.
    when : When
        At its time, or where the leaf passes a place.
    place : float
        That place. [rad or m]
    """

    kind: EventKind
    time: float = 0.0
    a: float = 0.0
    b: float = 0.0
    c: float = 0.0
    d: float = 0.0
    e: float = 0.0
    when: When = When.AT_TIME
    place: float = 0.0


def obstacle(
    time: float,
    *,
    face: float,
    stiffness: float,
    damping: float = 0.0,
    lever: float = 0.0,
    opening: bool = False,
) -> Event:
    """An obstacle that stands in the leaf's way from then on.

    Parameters
    ----------
    time : float
        From when on. [s]
    face : float
        Way of the edge, or of the point at the lever, from shut to its face. [m]
    stiffness : float
        Of the obstacle. [N/m]
    damping : float
        Of the obstacle; it never pulls. [N s/m]
    lever : float
        Way per q at its point; 0: the closing edge's. [m/rad or -]
    opening : bool
        Whether it stands against opening.

    Returns
    -------
    Event
        It.
    """
    return Event(EventKind.OBSTACLE, time, face, stiffness, lever, float(opening), damping)


def press(time: float, held: float = PRESS) -> tuple[Event, ...]:
    """A press of the button.

    Parameters
    ----------
    time : float
        When it begins. [s]
    held : float
        How long it is held. [s]
    """
    return (
        Event(EventKind.BUTTON, time=time, a=1.0),
        Event(EventKind.BUTTON, time=time + held, a=0.0),
    )


def fill(scenario: Record, events: Iterable[Event]) -> None:
    """Put the events into a scenario's list, in place of what was there.

    Raises
    ------
    ValueError
        There are too many.
    """
    listed = list(events)
    if len(listed) > MOST_EVENTS:
        raise ValueError(f"a scenario holds {MOST_EVENTS} events at most; {len(listed)} were given")
    scenario["events_used"] = len(listed)
    for row, event in zip(scenario["events"], listed, strict=False):
        kind, time, a, b, c, d, e, when, place = astuple(event)
        row["kind"], row["when"], row["time"], row["place"] = kind, when, time, place
        row["a"], row["b"], row["c"], row["d"], row["e"] = a, b, c, d, e


def scenario(
    events: Iterable[Event] = (),
    *,
    duration: float,
    start_open: bool = False,
    place_known: bool = True,
    start_q: float | None = None,
    start_rate: float = 0.0,
    settle: float = 0.0,
    stop_on_release: bool = False,
    seed: int = 0,
) -> Record:
    """A scenario's record.

    Parameters
    ----------
    events : Iterable of Event
        What happens.
    duration : float
        Longest time. [s]
    start_open : bool
        Whether the leaf starts open.
    place_known : bool
        Whether the controller starts knowing its place.
    start_q : float, optional
        Where the leaf starts otherwise. [rad or m]
    start_rate : float
        And how it moves there, with the controller in the matching move. [rad/s or m/s]
    settle : float
        Ends once at rest and undriven for so long after the last event; 0: never. [s]
    stop_on_release : bool
        Whether it ends 0.2 s after the obstacle's force has gone again.
    seed : int
        Of the sensor's noise.

    Returns
    -------
    Record
        One record of `SCENARIO`.
    """
    made = blank(SCENARIO)
    made["duration"], made["settle"], made["seed"] = duration, settle, seed
    made["start_open"], made["place_known"] = start_open, place_known
    made["stop_on_release"] = stop_on_release
    if start_q is not None:
        made["start_at_q"], made["start_q"], made["start_rate"] = 1, start_q, start_rate
    fill(made, events)
    return made
