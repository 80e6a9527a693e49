"""Highest voltage that each regulator is fed with."""

from __future__ import annotations

from functools import partial

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS, RegulatorKind
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.circuit import feed
from hutwright.sources import OHM
from hutwright.trades.wiring.feeding import volts
from hutwright.trades.wiring.regulating import highest, other_kind, shared_heat


def ask(project: Project) -> tuple[Check, ...]:
    """Highest input of each regulator against the highest it stands.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each regulator that a supply reaches.
    """
    found = []
    for name, regulator in project.regulators.items():
        fed = feed(project, name)
        if fed is None:
            continue
        steps = [highest(project.supplies[fed.supply])]
        if len(fed.regulators) > 1:
            above = project.regulators[fed.regulators[1]]
            steps.append(
                Step(
                    symbol="U_in",
                    formula="min(U_above, U_highest)",
                    numbers={"U_above": volts(above.output), "U_highest": steps[0].result},
                    result=volts(min(above.output, steps[0].result.value)),
                    words=f"what {fed.regulators[1]} lets through",
                )
            )
        kind = other_kind(project, name, partial(_stands_more, regulator.highest_input))
        levers = tuple(each for each in (kind, shared_heat(project, name)) if each is not None)
        found.append(
            Check(
                subject=name,
                value=steps[-1].result.value,
                limit=regulator.highest_input,
                dimension=units.VOLTAGE,
                sense=Sense.AT_MOST,
                method=OHM,
                limit_from=REGULATORS[regulator.kind].source,
                working=tuple(steps),
                levers=levers,
                meaning=f"Above this {name} dies, and may pass the whole voltage on to what hangs on it.",
            )
        )
    return tuple(found)


def _stands_more(voltage: float, kind: RegulatorKind) -> bool:
    return kind.highest_input > voltage


QUESTION = Question(
    key="wiring.regulator_input",
    title="Highest voltage at the regulator's input",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("regulators",)),
    ask=ask,
)
