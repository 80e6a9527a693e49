"""How many satellites machine and roof antenna both hear, with the door shut, on average over a day."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import SHUT, accuracy, counted, doubt_db, heard, roof_hears
from hutwright.trades.sky.bettering import better
from hutwright.trades.sky.hearing import (
    DEAR,
    NEEDS,
    ONE,
    START_RULE,
    Held,
    Working,
    difference,
    held_to,
    left_open,
    mean_count,
    stated,
    wanted,
)
from hutwright.units import NUMBER


def ask(project: Project) -> tuple[Check, ...]:
    """The mean number of satellites that both hear, against those that the machine wants for a start.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a roof antenna or a start rule.
    """
    rule = wanted(project)
    if rule is None or project.roof_antenna is None:
        return ()
    held = Held(
        limit=float(rule.satellites),
        limit_from=START_RULE,
        meaning="Corrections help only for satellites that the roof antenna hears as well.",
    )
    return (held_to(held, lambda: _working(project), lambda: better(project, SHUT, shared=True)),)


def _working(project: Project) -> Working:
    known = accuracy(project, SHUT).words
    least, most = doubt_db(project, SHUT)
    roof = roof_hears(project)
    steps = (
        stated("n_roof", 0.0 if roof is None else mean_count(roof), NUMBER, "heard by the roof antenna"),
        _step(project, most, "n_most", f"the most that is likely; {known}"),
        _step(project, least, "n_least", f"the least that is likely; {known}"),
        _step(project, 0.0, "n", "heard by both on average over a day of the constellations as planned"),
    )
    return left_open(steps, least_width=ONE)


def _step(project: Project, louder_db: float, symbol: str, words: str) -> Step:
    heard_ = mean_count(heard(project, SHUT, louder_db).flags)
    both = mean_count(counted(project, SHUT, louder_db))
    return difference(symbol, {"n_machine": heard_, "n_alone": heard_ - both}, NUMBER, words)


QUESTION = Question(
    key="sky.shared",
    title="Satellites that machine and roof antenna share",
    concern=Concern.FUNCTION,
    needs=(*NEEDS, ("roof_antenna",)),
    ask=ask,
    dear=DEAR,
)
