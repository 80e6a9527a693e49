"""How many satellites each window adds, against what a receiver's count scatters by anyway."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.checks.lever import Pick
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.sky.inside import State
from hutwright.plant.sky.readiness import SHUT, accuracy, doubt_db, heard
from hutwright.sources import READINGS_SCATTER
from hutwright.trades.sky.bettering import over_antenna
from hutwright.trades.sky.hearing import (
    DEAR,
    NEEDS,
    ONE,
    Held,
    Working,
    difference,
    held_to,
    left_open,
    whole,
)
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
    least_without, most_without = doubt_db(project, without)
    least_with, most_with = doubt_db(project, SHUT)

    def step(without_db: float, with_db: float, symbol: str, words: str) -> Step:
        before = float(heard(project, without, without_db).counts.mean())
        after = float(heard(project, SHUT, with_db).counts.mean())
        gain = whole(after - before)
        return difference(symbol, {"n_with": whole(after), "n_without": whole(after) - gain}, NUMBER, words)

    with_, none = accuracy(project, SHUT).words, accuracy(project, without).words
    steps = (
        step(least_without, most_with, "n_most", f"the most that is likely; without it: {none}"),
        step(most_without, least_with, "n_least", f"the least that is likely; with it: {with_}"),
        step(0.0, 0.0, "n", "satellites that it adds on average over a day"),
    )
    return left_open(steps, least_width=ONE)


def _levers(project: Project, name: str) -> tuple[Pick, ...]:
    found = over_antenna(project, name)
    return () if found is None else (found,)


QUESTION = Question(
    key="sky.opening_gain",
    title="Satellites that a window adds",
    concern=Concern.FUNCTION,
    needs=(*NEEDS, ("openings",)),
    ask=ask,
    dear=DEAR,
)
