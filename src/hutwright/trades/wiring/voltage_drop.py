"""Share of the supply's voltage that the cables take while the drive runs at its rating."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.circuit import Feed, cables_resistance, shared_cables
from hutwright.plant.protection import drive_feed, logic_draw
from hutwright.sources import IEC_60228_TEMPERATURE, IEC_60364_5_52_G
from hutwright.trades.wiring.feeding import amperes, ohms, shorter, thicker, volts

# IEC 60364-5-52:2009, annex G: private supply, uses other than lighting; standing: second-hand.
MOST = 0.08
DRIVE = "drive"


def ask(project: Project) -> tuple[Check, ...]:
    """The drop towards the drive, and towards the regulator that the logic hangs on.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each of the two that hangs on described cables.
    """
    motor, logic = drive_feed(project), logic_draw(project)
    rated = project.drive.rating.current if project.drive is not None else 0.0
    found: list[Check] = []
    if motor is not None and motor.cables and project.drive is not None:
        shared = shared_cables(motor, logic[0]) if logic is not None else ()
        found.append(_drop(project, DRIVE, motor, rated, shared, logic[1] if logic is not None else 0.0))
    if logic is not None and logic[0].cables:
        shared = shared_cables(logic[0], motor) if motor is not None else ()
        found.append(_drop(project, logic[0].node, logic[0], logic[1], shared, rated))
    return tuple(found)


def _drop(
    project: Project, subject: str, fed: Feed, current: float, shared: tuple[str, ...], others: float
) -> Check:
    """The drop along one way: its own current through all of it, the other's through what is shared."""
    warmest = project.site.air.warmest
    way, common = cables_resistance(project, fed.cables, warmest), cables_resistance(project, shared, warmest)
    supply = project.supplies[fed.supply]
    drop = way * current + common * others
    other = "the logic" if subject == DRIVE else "the drive"
    steps = (
        Step(
            symbol="U_drop",
            formula="R_cables * I + R_shared * I_others",
            numbers={
                "R_cables": ohms(way),
                "I": amperes(current),
                "R_shared": ohms(common),
                "I_others": amperes(others),
            },
            result=volts(drop),
            words=f"lost in both conductors of {', '.join(fed.cables)} on the warmest day, with what {other} "
            "draws through the same cables; what a bridge takes is not counted here",
        ),
        Step(
            symbol="u",
            formula="U_drop / U_supply",
            numbers={"U_drop": volts(drop), "U_supply": volts(supply.voltage)},
            result=Number(drop / supply.voltage, units.RATIO),
            words=f"share of the voltage of {fed.supply}",
        ),
    )
    return Check(
        subject=subject,
        value=drop / supply.voltage,
        limit=MOST,
        dimension=units.RATIO,
        sense=Sense.AT_MOST,
        method=IEC_60228_TEMPERATURE,
        limit_from=IEC_60364_5_52_G,
        working=steps,
        levers=WhenWanted(
            lambda: tuple(each(project, name) for name in fed.cables for each in (shorter, thicker))
        ),
        meaning="The limit is a convention made for mains; at 12 V it only says when a drive gets noticeably "
        "slower and weaker than its listing.",
    )


QUESTION = Question(
    key="wiring.voltage_drop",
    title="Voltage lost in the cables while the drive runs",
    concern=Concern.COMFORT,
    needs=(("supplies",), ("cables",)),
    ask=ask,
)
