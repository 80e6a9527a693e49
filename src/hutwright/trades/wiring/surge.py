"""How much cable outside the hut has no arrester at its ends."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.cables import Cable, Route
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.feeding import shorter
from hutwright.units import NUMBER

LONGEST = 10.0  # common practice of the trade: from there an arrester at both ends [m]
PRACTICE = Source("common practice of the trade", "arresters on cables over 10 m", Standing.PRACTICE)
ALONG = Source("elementary geometry", "length along the cable", Standing.DERIVED)


def ask(project: Project) -> tuple[Check, ...]:
    """Unprotected length of each cable that leaves the hut.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each cable outdoors or in the ground.
    """
    outside = {name: cable for name, cable in project.cables.items() if cable.route is not Route.INSIDE}
    return tuple(_check(project, name, cable) for name, cable in outside.items())


def _check(project: Project, name: str, cable: Cable) -> Check:
    bare = 0.0 if cable.arrester else 1.0
    length = bare * cable.length
    where = "in the ground" if cable.route is Route.BURIED else "outdoors"
    ends = "an arrester at each end" if cable.arrester else "no arrester at its ends"
    fit = f"put a surge arrester at both ends of the {name} cable"
    arrester = Pick(
        words=f"surge arresters for the {name} cable",
        options=(Option(fit, {("cables", name, "arrester"): True}),),
        effort=Effort.BUY_SMALL,
    )
    return Check(
        subject=name,
        value=length,
        limit=LONGEST,
        dimension=units.LENGTH,
        sense=Sense.AT_MOST,
        method=ALONG,
        limit_from=PRACTICE,
        working=(
            Step(
                symbol="l_bare",
                formula="k_bare * l",
                numbers={"k_bare": Number(bare, NUMBER), "l": Number(cable.length, units.LENGTH)},
                result=Number(length, units.LENGTH),
                words=f"runs {where} with {ends}",
            ),
        ),
        levers=() if cable.arrester else (arrester, shorter(project, name)),
        meaning=(
            "A long cable outside collects voltage from lightning nearby: fit an arrester at both ends, "
            "earth a screen at one end, keep it apart from mains cables, and follow the local code."
        ),
    )


QUESTION = Question(
    key="wiring.surge",
    title="Length of cable outside without surge arresters",
    concern=Concern.FUNCTION,
    needs=(("cables",),),
    ask=ask,
)
