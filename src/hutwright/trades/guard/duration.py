"""How long the closing edge presses with more than 150 N."""

from __future__ import annotations

from math import isnan, log, nan

from hutwright import units
from hutwright.bench.contact import Contact
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import WhenWanted
from hutwright.checks.shown import shown
from hutwright.checks.step import Number, Step
from hutwright.laws.force_trace import LASTING_FORCE, LASTING_TIME
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.sources import CONTACT_BENCH, CONTACT_STUDY, EN_12453_LIMITS, Source
from hutwright.trades.guard.meeting import (
    NEEDS,
    Meeting,
    dead_centre,
    gap_name,
    gaps_met,
    peak_steps,
    with_instrument,
)
from hutwright.trades.guard.simulated import HONEST, Told, peak_seen_step, simulated, told
from hutwright.trades.guard.softening import earlier, slow_stretch, soft_and_slow, soft_edge, soft_mount


def ask(project: Project) -> tuple[Check, ...]:
    """A rough figure of the time above 150 N at each of the test's gaps, to find the ends that matter.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each of the test's gaps that the closing travel really has.
    """
    met = [(gap, each) for gap in gaps_met(project) if (each := _longest(project, gap)) is not None]
    return tuple(_check(project, gap, _roughly(project, each), CONTACT_STUDY) for gap, each in met)


@once_a_project
def confirm(project: Project, subject: str) -> tuple[Check, ...]:
    """The simulated time at one of the test's gaps, in the weather in which the rough figure is longest.

    Parameters
    ----------
    project : Project
        The project.
    subject : str
        Which gap.

    Returns
    -------
    tuple of Check
        One, or none where the closing travel has no such gap.
    """
    gap = next((each for each in gaps_met(project) if gap_name(each) == subject), None)
    met = None if gap is None else _longest(project, gap)
    if gap is None or met is None:
        return ()
    found = told(project, met, ("T_150", _seconds(nan)), _simulated)
    return (_check(project, gap, found, CONTACT_BENCH),)


def _check(project: Project, gap: float, found: Told, method: Source) -> Check:
    levers = (earlier(project), slow_stretch(), soft_edge(project), soft_mount(), soft_and_slow(project))
    return Check(
        subject=gap_name(gap),
        value=found[0],
        limit=LASTING_TIME,
        dimension=units.TIME,
        sense=Sense.AT_MOST,
        method=method,
        limit_from=EN_12453_LIMITS,
        working=found[1],
        levers=tuple(each for each in levers if each is not None),
        meaning="What is pressed for longer is crushed, not only knocked. A drive that only stops keeps its "
        "force: it has to turn back. Simulated with the controller's own code; no hardware measured.",
    )


# ---- the rough figure -------------------------------------------------------------------------------------


def _longest(project: Project, gap: float) -> Meeting | None:
    """The meeting in the weather whose rough figure is longest; what cannot be told counts as the longest."""
    found = [(_rough(project, met), met) for met in with_instrument(project, gap)]
    if not found:
        return None
    return max(found, key=lambda each: (isnan(each[0]), each[0], each[1].contact.peak.greatest))[1]


def _rough(project: Project, met: Meeting) -> float:
    """Time by the closed form [s].

    The force grows as the edge goes on, ever slower as the drive nears its stall, until the current gets to
    the trip; the filter takes its time; and the force falls at the speed at which the edge came. Where the
    current never gets there, the run-time cap, and the more the harder the edge presses.
    """
    contact = met.contact
    if contact.peak.greatest <= LASTING_FORCE or project.controller is None:
        return 0.0
    rate = contact.edge_speed * contact.stiffness
    if met.never_trips or not rate > 0.0:
        return project.controller.longest_run.closing * contact.peak.greatest / LASTING_FORCE
    above, stall = met.force_above, contact.stall_force
    lasts = (above - LASTING_FORCE) / rate
    if above > LASTING_FORCE:
        lasts = stall / rate * log((stall - LASTING_FORCE) / (stall - above))
    return max(0.0, lasts + contact.delay + (contact.peak.usual - LASTING_FORCE) / rate)


def _roughly(project: Project, met: Meeting) -> Told:
    if isnan(met.contact.peak.greatest):
        return nan, (dead_centre("T_150", _seconds(nan), met),)
    seconds = _rough(project, met)
    return seconds, (_time(seconds, f"a rough figure by the closed form, {met.where}"),)


# ---- the simulated time -----------------------------------------------------------------------------------


def _simulated(project: Project, met: Meeting) -> Told:
    contact = simulated(project, met)
    acted = not isnan(contact.trip_time)
    if acted and contact.end_force > LASTING_FORCE:
        contact = simulated(project, met, followed=True)
    seconds, words = contact.above_150, HONEST
    if contact.peak_seen <= LASTING_FORCE:
        seconds, words = 0.0, "the force never gets beyond 150 N"
    elif contact.end_force > LASTING_FORCE:
        force = shown(contact.end_force, units.FORCE)
        seconds, words = _goes_on(project, contact, force)
    last = _time(seconds, words)
    return seconds, WhenWanted(lambda: (*peak_steps(met), peak_seen_step(met, contact), last))


def _goes_on(project: Project, contact: Contact, force: str) -> tuple[float, str]:
    """Time above 150 N of a force that is still there at the end, at the least [s]; and the words."""
    locked = project.drive is not None and project.drive.screw.self_locking
    forever = "; this self-locking screw keeps the force even then" if locked else ""
    if isnan(contact.trip_time) and project.controller is not None:
        cap = project.controller.longest_run.closing
        words = f"the controller never acts, so that the drive presses with {force} until the run-time cap"
        return max(cap, contact.above_150), f"{words}{forever}; {HONEST}"
    words = f"the controller stops the drive without turning back, and {force} are left, at the least so long"
    return contact.above_150, f"{words}; {HONEST}"


def _seconds(value: float) -> Number:
    return Number(value, units.TIME)


def _time(value: float, words: str) -> Step:
    number = _seconds(value)
    return Step(symbol="T_150", formula="t_above", numbers={"t_above": number}, result=number, words=words)


QUESTION = Question(
    key="guard.duration",
    title="Time that the closing edge presses with more than 150 N",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
    confirm=confirm,
)
