"""Current that is drawn from each regulator."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.regulators import FedRegulator, regulator_row
from hutwright.sources import OHM
from hutwright.trades.wiring.feeding import amperes, volts
from hutwright.trades.wiring.regulating import bare, less_load, other_kind


def ask(project: Project) -> tuple[Check, ...]:
    """Load of each regulator on the way to the board against the current it gives for ever.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each regulator that the board hangs on.
    """
    row = regulator_row(project)
    below: list[FedRegulator | None] = [*row[1:], None]
    return tuple(_check(project, fed, lower) for fed, lower in zip(row, below, strict=True))


def _check(project: Project, fed: FedRegulator, below: FedRegulator | None) -> Check:
    regulator = project.regulators[fed.name]
    kind = other_kind(project, fed.name, lambda each: each.current_limit > regulator.current_limit)
    levers: tuple[Dial | Pick, ...] = (*((kind,) if kind is not None else ()), less_load())
    return Check(
        subject=fed.name,
        value=fed.load,
        limit=regulator.current_limit,
        dimension=units.CURRENT,
        sense=Sense.AT_MOST,
        method=OHM,
        limit_from=REGULATORS[regulator.kind].source,
        working=(_load(project, fed, below),),
        levers=levers,
        meaning=f"Above this {fed.name} limits its current and the voltage behind it falls.",
    )


def _load(project: Project, fed: FedRegulator, below: FedRegulator | None) -> Step:
    """What hangs on a regulator: the board, or the regulator below it."""
    if below is None:
        return Step(
            symbol="I",
            formula="I_board",
            numbers={"I_board": amperes(fed.load)},
            result=amperes(fed.load),
            words="the board and all that hangs on it",
        )
    lower = project.regulators[below.name]
    numbers = {"I_board": amperes(below.load), "I_own": amperes(lower.quiescent)}
    formula = "I_board + I_own"
    if lower.efficiency < 1.0:
        formula = "U_out * I_board / (U_in * efficiency) + I_own"
        numbers |= {
            "U_out": volts(lower.output),
            "U_in": volts(project.regulators[fed.name].output),
            "efficiency": bare(lower.efficiency),
        }
    return Step(
        symbol="I",
        formula=formula,
        numbers=numbers,
        result=amperes(fed.load),
        words=f"what {below.name} takes",
    )


QUESTION = Question(
    key="wiring.regulator_load",
    title="Current drawn from the regulator",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("regulators",), ("electronics", "logic")),
    ask=ask,
)
