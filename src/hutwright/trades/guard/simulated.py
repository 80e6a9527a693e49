"""The closing leaf meets something on the bench, with the controller's own code.

The closed form of `hutwright.trades.guard.meeting` costs next to nothing; it finds the weather, and the ends
of the ranges, at which the bench is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import isnan, nan

from hutwright import units
from hutwright.bench.contact import Contact, Spot, contact_to_the_trip, contacts
from hutwright.checks.lever import WhenWanted
from hutwright.checks.shown import shown
from hutwright.checks.step import Number, Step
from hutwright.errors import ModelError
from hutwright.laws.contact_force import PeakRange
from hutwright.model.project import Project
from hutwright.trades.guard.meeting import Meeting, dead_centre, newtons, peak_steps, unknown

Told = tuple[float, Sequence[Step]]  # what was found, and the working that ends with it
HONEST = "simulated with the controller's own code; no hardware measured"


def simulated(project: Project, met: Meeting, *, followed: bool = False) -> Contact:
    """What the bench makes of a meeting; parameters as of `hutwright.bench.contact.contacts`.

    Raises
    ------
    ModelError
        Where the controller cannot be set as described.
    """
    spot = Spot(met.contact.place, met.obstacle)
    return contacts(project, met.conditions(project), (spot,), followed=followed)[0]


def to_the_trip(project: Project, met: Meeting) -> tuple[Contact, float]:
    """The same, and the force when the controller decides; NaN where it never does [N]."""
    return contact_to_the_trip(project, met.conditions(project), Spot(met.contact.place, met.obstacle))


def told(
    project: Project,
    met: Meeting,
    quantity: tuple[str, Number],
    work: Callable[[Project, Meeting], Told],
) -> Told:
    """What a simulated contact comes to, and its working; NaN and the step that says why where there is none.

    Parameters
    ----------
    project : Project
        The project.
    met : Meeting
        What the closing leaf meets.
    quantity : tuple
        Symbol of what is asked for, and NaN of its kind.
    work : Callable
        What is found and its working, where there is one.
    """
    if isnan(met.contact.peak.greatest):
        return nan, (dead_centre(*quantity, met),)
    try:
        return work(project, met)
    except ModelError as refused:
        return nan, (unknown(*quantity, f"the controller's code cannot be set so: {refused}"),)


def peak_of(project: Project, met: Meeting) -> Told:
    """From the rod to the greatest force: the closed form with its range, and what the bench says."""
    contact = simulated(project, met)
    return contact.peak_seen, WhenWanted(lambda: (*peak_steps(met), peak_seen_step(met, contact)))


def peak_seen_step(met: Meeting, contact: Contact) -> Step:
    """The greatest force of a simulated contact, as the instrument of a force test shows it."""
    words = f"as the instrument of a force test shows it, {HONEST}; {_acts(contact)}"
    return Step(
        symbol="F_peak",
        formula="F_bench",
        numbers={"F_bench": newtons(contact.peak_seen)},
        result=newtons(contact.peak_seen),
        words=f"{words}{disagreement(contact.peak, met.contact.peak)}",
    )


def _acts(contact: Contact) -> str:
    """When the controller acted, in words."""
    if not contact.touched:
        return "the drive does not bring the leaf there"
    if isnan(contact.trip_time):
        return "the controller never acts there, and the drive presses until its run-time cap"
    return f"the controller acts {shown(contact.trip_time, units.TIME)} after the touch"


def disagreement(force: float, bounds: PeakRange) -> str:
    """What to say where the bench lies outside of the closed form's range; nothing where it lies within."""
    if bounds.least <= force <= bounds.greatest:
        return ""
    side = "more than F_most" if force > bounds.greatest else "less than F_least"
    return f". That is {side}: formula and simulation do not agree here, only a force test can tell"
