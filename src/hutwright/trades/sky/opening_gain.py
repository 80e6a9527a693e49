"""How many satellites each window adds, against what a receiver's count scatters by anyway."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.checks.lever import Pick
from hutwright.model.project import Project
from hutwright.plant.sky.inside import State
from hutwright.plant.sky.readiness import SHUT, accuracy, heard
from hutwright.sources import READINGS_SCATTER
from hutwright.trades.sky.bettering import over_antenna
from hutwright.trades.sky.hearing import NEEDS, Held, Working, difference, held_to, whole
from hutwright.units import NUMBER

SCATTER = 2.0  # satellites; common practice


def ask(project: Project) -> tuple[Check, ...]:
    """The mean number of satellites heard with each window less that without it, the door shut.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each opening that a pane closes; vents are not there for the sky.
    """
    return tuple(_check(project, name) for name, each in project.openings.items() if each.pane is not None)


def _check(project: Project, name: str) -> Check:
    held = Held(
        limit=SCATTER,
        limit_from=READINGS_SCATTER,
        meaning="A window that adds less cannot be told from chance by looking at the machine's display.",
        subject=name,
    )
    return held_to(held, lambda: _working(project, name), lambda: _levers(project, name))


def _working(project: Project, name: str) -> Working:
    without = State(closed=frozenset([name]))
    before, after = (float(heard(project, state).counts.mean()) for state in (without, SHUT))
    gain = whole(after - before)
    numbers = {"n_with": whole(after), "n_without": whole(after) - gain}
    known = accuracy(project, SHUT)
    words = f"satellites that it adds on average over a day; {known.words}"
    return (difference("n", numbers, NUMBER, words),), float(known.fewer)


def _levers(project: Project, name: str) -> tuple[Pick, ...]:
    found = over_antenna(project, name)
    return () if found is None else (found,)


QUESTION = Question(
    key="sky.opening_gain",
    title="Satellites that a window adds",
    concern=Concern.FUNCTION,
    needs=(*NEEDS, ("openings",)),
    ask=ask,
)
