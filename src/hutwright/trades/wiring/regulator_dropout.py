"""Voltage above its output that is left for each regulator while the motor runs."""

from __future__ import annotations

from itertools import pairwise

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick, WhenWanted
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.circuit import feed
from hutwright.plant.regulators import EntryFeed, FedRegulator, entry_feed, regulator_row
from hutwright.sources import OHM
from hutwright.trades.wiring.feeding import own_feed, shorter, thicker, volts
from hutwright.trades.wiring.regulating import (
    after_cable,
    at_entry,
    diode_drop,
    made_of,
    other_kind,
    without_one_between,
)


def ask(project: Project) -> tuple[Check, ...]:
    """Input of each regulator on the way to the board against its output and dropout.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each regulator that the board hangs on.
    """
    warmest = project.site.air.warmest
    way, row = entry_feed(project, warmest), regulator_row(project)
    if way is None or not row:
        return ()
    return tuple(_check(project, way, row[: number + 1], warmest) for number in range(len(row)))


def _check(project: Project, way: EntryFeed, row: tuple[FedRegulator, ...], warmest: float) -> Check:
    """The last regulator of a row that starts at the supply."""
    name = row[-1].name
    regulator = project.regulators[name]
    steps = _steps(project, way, row, warmest)
    limit = regulator.output + regulator.dropout
    drop = diode_drop(regulator)
    before = steps[-1].result.value
    steps.append(
        Step(
            symbol="U_least",
            formula="U_out + U_dropout",
            numbers={"U_out": volts(regulator.output), "U_dropout": volts(regulator.dropout)},
            result=volts(limit),
            words=f"the least that {name} needs at its input",
        )
    )
    steps.append(
        Step(
            symbol="U_in",
            formula="U_before - U_diode",
            numbers={"U_before": volts(before), "U_diode": volts(drop)},
            result=volts(before - drop),
            words=f"what is left at the input of {name}",
        )
    )
    return Check(
        subject=name,
        value=before - drop,
        limit=limit,
        dimension=units.VOLTAGE,
        sense=Sense.AT_LEAST,
        method=OHM,
        limit_from=REGULATORS[regulator.kind].spread_source,
        working=tuple(steps),
        levers=WhenWanted(lambda: _levers(project, name)),
        meaning=f"Below this {name} does not hold its output while the motor runs, and the board sags too.",
    )


def _steps(project: Project, way: EntryFeed, row: tuple[FedRegulator, ...], warmest: float) -> list[Step]:
    """From the supply to where the last regulator of the row is fed."""
    running = project.drive.rating.current if way.motor_too and project.drive is not None else 0.0
    moment = (
        "what is left where the first regulator is fed while the motor runs at rated load, on the warmest day"
        if running
        else "what is left where the first regulator is fed, on the warmest day; no motor on this supply"
    )
    steps = [at_entry(way, running, row[0].taken, moment)]
    for above, fed in pairwise(row):
        steps.append(made_of(project.regulators[above.name], above.name, steps[-1].result.value))
        if fed.cables:
            steps.append(after_cable(project, fed, steps[-1].result.value, warmest))
    return steps


def _levers(project: Project, name: str) -> tuple[Dial | Pick, ...]:
    fed = feed(project, name)
    cables = [each(project, cable) for cable in (fed.cables if fed else ()) for each in (shorter, thicker)]
    dropout = project.regulators[name].dropout
    kind = other_kind(project, name, lambda each: each.dropout.nominal < dropout)
    choices = (own_feed(project), *without_one_between(project, name), kind)
    return (*(each for each in choices if each is not None), *cables)


QUESTION = Question(
    key="wiring.regulator_dropout",
    title="Voltage left for the regulator while the motor runs",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("regulators",), ("electronics", "logic")),
    ask=ask,
)
