"""Assessments made by hand, for what no demo shows."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.assessment import Assessment, assess
from hutwright.checks.check import Check, Concern, Doubt, Question, Sense, Trade
from hutwright.checks.lever import Dial, Effort, Option
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from tests.described import described

TEXT = """\
format = 1
name = "Made hut"
[supplies.source]
kind = "mains power supply"
voltage = "12 V +- 10 %"
resistance = "0.1 ohm"
"""
BOOK = Source("a book", "p. 3", Standing.READ)
MEMORY = Source("another book", "p. 4", Standing.RECALLED)


def check_of(
    project: Project,
    limit: float = 11.5,
    value: float | None = None,
    levers: tuple[Dial, ...] = (),
    sense: Sense = Sense.AT_LEAST,
    off: float | None = None,
) -> Check:
    """A check on the voltage of the only supply."""
    volts = project.supplies["source"].voltage if value is None else value
    number = Number(volts, units.VOLTAGE)
    return Check(
        value=volts,
        limit=limit,
        dimension=units.VOLTAGE,
        sense=sense,
        method=BOOK,
        limit_from=MEMORY,
        working=(
            Step(symbol="U", formula="U_0", numbers={"U_0": number}, result=number, words="what is there"),
        ),
        levers=levers,
        doubt=None if off is None else Doubt(low=volts - off, high=volts + off, settled_by="a better meter"),
        meaning="Below this nothing works.",
    )


def assessed(*, text: str = TEXT, key: str = "wiring.start_dip", **facts: object) -> Assessment:
    """The assessment of one such check."""
    question = Question(
        key=key,
        title="Voltage of the supply",
        concern=Concern.FUNCTION,
        needs=(("supplies",),),
        ask=lambda project: (check_of(project, **facts),),  # type: ignore[arg-type]
    )
    trade = Trade(
        name="wiring",
        title="Wiring",
        questions=(question,),
        reads=("supplies",),
        cautions=lambda _: ("Mind it.",),
    )
    return assess(described(text), (trade,))


def unknown() -> Assessment:
    """A check whose method does not reach."""
    return assessed(value=math.nan)


def endless() -> Assessment:
    """A check whose value has no end."""
    return assessed(value=math.inf)


def voltage_dial(*, buyable: bool = False) -> Dial:
    """A lever on the voltage."""
    options = (
        (Option("buy a supply of 15 V", {("supplies", "source", "voltage"): "15 V"}),) if buyable else ()
    )
    return Dial(
        path=("supplies", "source", "voltage"),
        dimension=units.VOLTAGE,
        lowest=1.0,
        highest=30.0,
        words="raise the voltage to",
        effort=Effort.BUY_SMALL,
        buyable=options,
    )
