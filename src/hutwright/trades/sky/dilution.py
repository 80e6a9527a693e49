"""How badly the satellites heard stand for a position, over all of the day that the machine must start in."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import SHUT, accuracy, at_share, dilution, doubt_db, open_dilution
from hutwright.trades.sky.bettering import better
from hutwright.trades.sky.hearing import (
    DEAR,
    NEEDS,
    START_RULE,
    WORST_DILUTION,
    Held,
    Working,
    held_to,
    left_open,
    stated,
    wanted,
)
from hutwright.units import NUMBER


def ask(project: Project) -> tuple[Check, ...]:
    """The position dilution that is kept in the share of the day that the start rule names.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a start rule.
    """
    rule = wanted(project)
    if rule is None:
        return ()
    held = Held(
        limit=rule.pdop,
        limit_from=START_RULE,
        meaning="Satellites that all stand low, under the eaves, or all high, in a window, give a bad "
        f"position however many they are; {WORST_DILUTION:g} stands for none.",
        sense=Sense.AT_MOST,
    )
    shared = project.roof_antenna is not None
    return (
        held_to(
            held, lambda: _working(project, rule.share_of_day), lambda: better(project, SHUT, shared=shared)
        ),
    )


def _working(project: Project, share: float) -> Working:
    known = accuracy(project, SHUT).words
    least, most = doubt_db(project, SHUT)
    free = min(at_share(open_dilution(project), share), WORST_DILUTION)

    def step(louder_db: float, symbol: str, words: str) -> Step:
        found = min(at_share(dilution(project, SHUT, louder_db), share), WORST_DILUTION)
        return Step(
            symbol=symbol,
            formula="P_open * worse",
            numbers={"P_open": Number(free, NUMBER), "worse": Number(found / free, NUMBER)},
            result=Number(free * (found / free), NUMBER),
            words=words,
        )

    steps = (
        stated("P_open", free, NUMBER, "of all satellites that clear the skyline, with no hut"),
        step(most, "P_least", f"the least that is likely; {known}"),
        step(least, "P_most", f"the most that is likely; {known}"),
        step(0.0, "P", f"not exceeded in {100.0 * share:g} % of the day, each system with its own clock"),
    )
    return left_open(steps)


QUESTION = Question(
    key="sky.dilution",
    title="Dilution of the position inside",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
