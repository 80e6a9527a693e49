"""Capacitors beside each regulator, without which it may swing."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.sources import Source
from hutwright.trades.wiring.regulating import farads

SIZES = (0.1e-6, 0.22e-6, 0.33e-6, 0.47e-6, 1e-6, 10e-6, 22e-6, 47e-6, 100e-6)  # common practice: on sale [F]


def ask(project: Project) -> tuple[Check, ...]:
    """Fitted capacitors of each regulator against the least of its data sheet.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        Two for each regulator: input and output.
    """
    found = []
    for name, regulator in project.regulators.items():
        kind = REGULATORS[regulator.kind]
        found += [
            _check(name, "input", regulator.input_capacitor, kind.input_capacitor, kind.source),
            _check(name, "output", regulator.output_capacitor, kind.output_capacitor, kind.source),
        ]
    return tuple(found)


def _check(name: str, side: str, fitted: float, least: float, source: Source) -> Check:
    lever = Dial(
        path=("regulators", name, f"{side}_capacitor"),
        dimension=units.CAPACITANCE,
        lowest=0.0,
        highest=max(SIZES),
        words=f"solder a capacitor close to the {side} of {name}, of at least",
        effort=Effort.BUY_SMALL,
        sizes=SIZES,
    )
    return Check(
        subject=f"{name}_{side}",
        value=fitted,
        limit=least,
        dimension=units.CAPACITANCE,
        sense=Sense.AT_LEAST,
        method=source,
        limit_from=source,
        working=(
            Step(
                symbol="C",
                formula="C_fitted",
                numbers={"C_fitted": farads(fitted)},
                result=farads(fitted),
                words=f"what stands at the {side} of {name}",
            ),
        ),
        levers=(lever,),
        accuracy=0.0,  # both are printed values: what is fitted is what the data sheet asks for, or it is not
        meaning=f"Without it {name} may swing by itself, and the board restarts for no visible reason.",
    )


QUESTION = Question(
    key="wiring.regulator_capacitors",
    title="Capacitors beside the regulator",
    concern=Concern.FUNCTION,
    needs=(("regulators",),),
    ask=ask,
)
