"""How much of its listing's speed the drive loses between supply and rod."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.laws.motor_line import ROOM
from hutwright.model.project import Project
from hutwright.plant.circuit import MotorLoop, motor_loop
from hutwright.plant.conditions import nominal
from hutwright.plant.motor import Line, drive_constants, line
from hutwright.sources import OHM, Source, Standing
from hutwright.trades.drive import bettering
from hutwright.trades.drive.running import amperes, current_numbers, current_of, ratio, speed_step

MOST = 0.25  # of the listing's speed; more is felt as a weak drive; standing: practice
LOSS_PRACTICE = Source(
    "common practice of the trade", "a quarter of the speed lost before the drive", Standing.PRACTICE
)


def ask(project: Project) -> tuple[Check, ...]:
    """Share of the speed at full load and 20 degC that supply, cables and bridge take.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where no supply feeds the drive through a described bridge.
    """
    loop, drive = motor_loop(project, ROOM), project.drive
    if loop is None or drive is None:
        return ()
    steps = _working(project, loop, drive.rating.voltage, drive.rating.force)
    return (
        Check(
            value=steps[-1].result.value,
            limit=MOST,
            dimension=units.RATIO,
            sense=Sense.AT_MOST,
            method=OHM,
            limit_from=LOSS_PRACTICE,
            working=steps,
            levers=WhenWanted(lambda: _levers(project)),
            meaning="The listing counts at the drive's own terminals; channels that share the current halve "
            "only the part of the bridge's drop that grows with current.",
        ),
    )


def _working(project: Project, loop: MotorLoop, rated: float, force: float) -> tuple[Step, ...]:
    here = line(project, nominal(project))
    listing = Line(drive_constants(project), rated, 0.0)
    current = amperes(current_of(current_numbers(listing, force)))
    first = speed_step("v_listing", listing, force, "at full load, 20 degC and the listing's own voltage")
    second = speed_step(
        "v_here", here, force, "the same load behind this supply, these cables and this bridge"
    )
    cables = loop.feed + loop.lead
    takes = (
        ("U_source", "R_source * I", {"R_source": loop.source}, loop.source * current.value, "its supply"),
        (
            "U_cables",
            "R_cables * I",
            {"R_cables": cables},
            cables * current.value,
            "the cables, there and back",
        ),
    )
    lost = [
        Step(
            symbol=symbol,
            formula=formula,
            numbers={**{name: Number(value, units.RESISTANCE) for name, value in ohms.items()}, "I": current},
            result=Number(volts, units.VOLTAGE),
            words=f"what {words} takes" if symbol == "U_source" else f"what {words} take",
        )
        for symbol, formula, ohms, volts, words in takes
    ]
    bridge = Step(
        symbol="U_bridge",
        formula="U_0 + R_bridge * I",
        numbers={
            "U_0": Number(loop.offset, units.VOLTAGE),
            "R_bridge": Number(loop.bridge, units.RESISTANCE),
            "I": current,
        },
        result=Number(loop.offset + loop.bridge * current.value, units.VOLTAGE),
        words="what the bridge takes, its channels in parallel",
    )
    v_listing, v_here = first.result.value, second.result.value
    share = Step(
        symbol="q",
        formula="1 - v_here / v_listing",
        numbers={"v_here": second.result, "v_listing": first.result},
        result=ratio(1.0 - v_here / v_listing if v_listing > 0.0 else float("nan")),
        words="of the speed is lost; below zero the supply gives more than the listing asks for",
    )
    return (*lost, bridge, first, second, share)


def _levers(project: Project) -> tuple[Dial | Pick, ...]:
    found = (
        bettering.second_channel(project),
        bettering.better_bridge(project),
        bettering.worst_cable(project),
    )
    return tuple(each for each in found if each is not None)


QUESTION = Question(
    key="drive.voltage_loss",
    title="Speed lost between supply and drive",
    concern=Concern.COMFORT,
    needs=(("supplies",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
