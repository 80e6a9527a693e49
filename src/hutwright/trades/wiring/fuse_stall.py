"""How long a drive that is held fast goes on being fed."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.catalogue.fuses import FUSES
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.laws.fuse_let_through import latest_opening
from hutwright.model.project import Project
from hutwright.plant.circuit import motor_loop
from hutwright.plant.energy import longest_move
from hutwright.plant.protection import drive_fuses
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.trades.wiring.fusing import firm_gates, other_kind, other_rating
from hutwright.units import NUMBER

STALL_ENDURANCE = Source(
    "common practice of the trade", "a small winding stands a stall for seconds", Standing.PRACTICE
)
CAPS = (
    40,
    30,
    25,
    20,
    18,
    16,
    15,
    14,
    12,
    10,
    9,
    8,
    7,
    6,
    5,
    4,
    3,
)  # run-time caps offered, longest first [s]


def ask(project: Project) -> tuple[Check, ...]:
    """Time until a fuse or the run-time cap ends a stall against what the winding stands.

    On the warmest day the least current flows, and a fuse takes longest. Detection by the motor's current
    is not counted: this is what is left when it fails.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each fuse in the motor's way.
    """
    loop = motor_loop(project, project.site.air.warmest)
    if loop is None or project.drive is None:
        return ()
    current = Step(
        symbol="I_stall",
        formula="(U_supply - U_bridge) / R_loop",
        numbers={"U_supply": volts(loop.voltage), "U_bridge": volts(loop.offset), "R_loop": ohms(loop.total)},
        result=amperes(loop.stall_current),
        words="what the motor draws while its rotor stands, on the warmest day, when a fuse takes longest",
    )
    return tuple(_check(project, name, loop.stall_current, current) for name in drive_fuses(project))


def _check(project: Project, name: str, stall: float, current: Step) -> Check:
    assert project.drive is not None
    fuse, controller = project.fuses[name], project.controller
    gates, multiple = firm_gates(fuse), stall / fuse.rating
    opens = latest_opening(gates, multiple) if gates else math.inf
    numbers, formula = {"t_fuse": Number(opens, units.TIME)}, "t_fuse"
    value, words = opens, "nothing but the fuse ends it: no controller with a run-time cap is described"
    if controller is not None:
        runs = controller.longest_run
        numbers |= {"t_open": Number(runs.opening, units.TIME), "t_close": Number(runs.closing, units.TIME)}
        formula, value = "min(t_fuse, max(t_open, t_close))", min(opens, max(runs.opening, runs.closing))
        words = "whichever comes first, the fuse or the longer of the two run-time caps"
    steps = (
        current,
        Step(
            symbol="m",
            formula="I_stall / I_n",
            numbers={"I_stall": amperes(stall), "I_n": amperes(fuse.rating)},
            result=Number(multiple, NUMBER),
            words=f"times the rating of {name}, which then may take "
            + ("any time or never open" if math.isinf(opens) else f"{opens:.3g} s"),
        ),
        Step(symbol="t_fed", formula=formula, numbers=numbers, result=Number(value, units.TIME), words=words),
    )
    return Check(
        subject=name,
        value=value,
        limit=project.drive.stall.endurance,
        dimension=units.TIME,
        sense=Sense.AT_MOST,
        method=FUSES[fuse.kind].source,
        limit_from=STALL_ENDURANCE,
        working=steps,
        levers=WhenWanted(lambda: _levers(project, name, value)),
        meaning="The fuse protects the cable; the controller must protect the motor, which burns when it "
        "is fed longer than this.",
    )


def _levers(project: Project, name: str, fed: float) -> tuple[Dial | Pick, ...]:
    """Shorter run-time caps, but none that ends a whole move; and fuses that open sooner."""
    need = longest_move(project) if project.drive is not None and project.drive.length is not None else 0.0
    options = tuple(
        Option(
            f"let the controller end every run after {cap} s",
            {("controller", "longest_run", way): f"{cap} s" for way in ("opening", "closing")},
        )
        for cap in CAPS
        if need < cap < fed
    )
    caps = Pick(words="shorter run-time caps", options=options, effort=Effort.SETTING)
    found = (caps, other_rating(project, name, rising=False), other_kind(project, name))
    return tuple(each for each in found if each is not None)


QUESTION = Question(
    key="wiring.fuse_stall",
    title="How long a drive held fast is fed if detection fails",
    concern=Concern.SAFETY,
    needs=(("supplies",), ("cables",), ("fuses",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
