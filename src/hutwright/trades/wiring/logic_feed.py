"""The motor's start must not pull the board's voltage down."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright import units
from hutwright.catalogue.fuses import FUSES
from hutwright.catalogue.regulators import REGULATORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick, WhenWanted
from hutwright.checks.step import Step
from hutwright.model.circuit import BRIDGE, Regulator
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.circuit import drawn
from hutwright.plant.regulators import EntryFeed, FedRegulator, entry_feed, regulator_row
from hutwright.plant.start import MotorStart, fall, fall_behind_reservoir, motor_start
from hutwright.sources import HOLD_UP, MOTOR_EQUATIONS
from hutwright.trades.wiring.feeding import (
    amperes,
    ohms,
    own_feed,
    shared_with_motor,
    shorter,
    thicker,
    volts,
)
from hutwright.trades.wiring.regulating import (
    LEFT_OF_CAPACITOR,
    RESERVOIR_TEXTS,
    added,
    at_entry,
    bare,
    farads,
    holds_up,
    larger_reservoir,
    least_input,
    may_fall,
    other_kind,
    seconds,
)

TRIED_RESERVOIR = 1000e-6  # the one that is compared where none is described: a choice of this project [F]
TRIED_TEXT = units.write_as(TRIED_RESERVOIR, units.CAPACITANCE, "uF")
NEW = "logic_own"  # name of what is added for the board alone
OWN_FUSE = 1.0  # least rating of blade fuses, enough for any board: common practice [A]
OWN_FUSE_TEXT = units.write_as(OWN_FUSE, units.CURRENT, "A")
OWN_CORE = "0.5 mm2 class 5"  # enough for any board: common practice
LEAST_RUN = 1.0  # length of a feed of its own where none can be read off the described cables [m]


@dataclass(frozen=True, slots=True)
class Moment:
    """A start at one temperature, and the way to the board at it."""

    way: EntryFeed
    start: MotorStart
    held: bool  # whether a reservoir behind a diode is described
    kept: float  # of the reservoir, the described or the tried one, tolerance taken off [F]
    drawn: float  # from the reservoir, at the least voltage at which the first regulator still works [A]
    direct: float  # fall without a reservoir [V]

    @property
    def behind(self) -> tuple[float, float, float]:
        """Fall behind the reservoir [V], when it meets its feed again [s], the motor's current then [A]."""
        return fall_behind_reservoir(self.start, self.way.shared, self.drawn, self.kept)

    @property
    def fall(self) -> float:
        """The fall as described [V]."""
        return self.behind[0] if self.held else self.direct


def ask(project: Project) -> tuple[Check, ...]:
    """Fall of the board's feed in a start against what it may fall.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where motor and board hang on different supplies.
    """
    row = regulator_row(project)
    if not row:
        return ()
    air, regulator = project.site.air, project.regulators[row[0].name]
    moments = [each for each in (_moment(project, row[0], t) for t in (air.coldest, air.warmest)) if each]
    if not moments:
        return ()
    moment = max(moments, key=lambda each: each.fall)
    rest = at_entry(moment.way, 0.0, row[0].taken, "where the first regulator is fed while the motor rests")
    least = least_input(project, row)
    allowed = may_fall(rest, least[-1])
    fallen = _fallen(moment)
    return (
        Check(
            value=fallen[-1].result.value,
            limit=allowed.result.value,
            dimension=units.VOLTAGE,
            sense=Sense.AT_MOST,
            method=HOLD_UP if moment.held else MOTOR_EQUATIONS,
            limit_from=REGULATORS[regulator.kind].spread_source,
            working=(rest, *least, allowed, *fallen),
            levers=WhenWanted(lambda: _levers(project, row, moment.way)),
            meaning=_meaning(row[0].name, regulator),
        ),
    )


def _moment(project: Project, first: FedRegulator, temperature: float) -> Moment | None:
    way, start = entry_feed(project, temperature), motor_start(project, temperature)
    if way is None or start is None or not way.motor_too:
        return None
    regulator = project.regulators[first.name]
    held = holds_up(regulator)
    kept = LEFT_OF_CAPACITOR * (regulator.reservoir if held else TRIED_RESERVOIR)
    load = drawn(regulator, first.load, regulator.output + regulator.dropout)
    return Moment(way, start, held, kept, load, fall(start, way.shared))


def _meaning(name: str, regulator: Regulator) -> str:
    if regulator.fed_by == BRIDGE:
        return (
            f"The board hangs on the bridge's own regulator, {name}: every start of the motor pulls at the "
            "wires that feed it. Further than this the board may restart in the middle of a move."
        )
    return "The motor must not pull the board down: further than this it may restart in the middle of a move."


def _fallen(moment: Moment) -> tuple[Step, ...]:
    """The fall as described, and before it what other ways of feeding the board would make of it."""
    way, start = moment.way, moment.start
    stall = Step(
        symbol="I_stall",
        formula="(U_supply - U_bridge) / R_loop",
        numbers={
            "U_supply": volts(start.loop.voltage),
            "U_bridge": volts(start.loop.offset),
            "R_loop": ohms(start.loop.total),
        },
        result=amperes(start.loop.stall_current),
        words="what the motor would draw if its rotor stood; in the cold or the warmth, whichever pulls more",
    )
    peak = Step(
        symbol="I_peak",
        formula="I_running + q * (I_stall - I_running)",
        numbers={"I_running": amperes(start.running), "q": bare(start.share), "I_stall": stall.result},
        result=amperes(start.peak),
        words="what it reaches before it has run up; q follows from its inductance and its time constant",
    )
    direct = Step(
        symbol="U_fall_direct",
        formula="R_shared * I_peak",
        numbers={"R_shared": ohms(way.shared), "I_peak": peak.result},
        result=volts(moment.direct),
        words="the fall without a diode and reservoir before the first regulator",
    )
    own = Step(
        symbol="U_fall_own",
        formula="R_source * I_peak",
        numbers={"R_source": ohms(way.supply.resistance), "I_peak": peak.result},
        result=volts(way.supply.resistance * start.peak),
        words="the fall with a feed of its own from the supply, whose inner resistance stays shared",
    )
    behind = _behind(moment)
    return (stall, peak, direct, own, behind) if moment.held else (stall, peak, behind, own, direct)


def _behind(moment: Moment) -> Step:
    fallen, time, current = moment.behind
    words = (
        "the fall behind a diode and a reservoir, by when it meets what feeds it again; a fifth is taken off"
    )
    tried = f"; here one of {TRIED_TEXT}, and the diode takes its own drop besides"
    return Step(
        symbol="U_fall_reservoir",
        formula="min(U_direct, max(I_drawn * t_meets / C, R_shared * I_then))",
        numbers={
            "U_direct": volts(moment.direct),
            "I_drawn": amperes(moment.drawn),
            "t_meets": seconds(time),
            "C": farads(moment.kept),
            "R_shared": ohms(moment.way.shared),
            "I_then": amperes(current),
        },
        result=volts(fallen),
        words=words if moment.held else words + tried,
    )


def _levers(project: Project, row: tuple[FedRegulator, ...], way: EntryFeed) -> tuple[Dial | Pick, ...]:
    name = row[0].name
    regulator = project.regulators[name]
    reservoir = larger_reservoir(name) if holds_up(regulator) else _with_reservoir(name)
    cables = [each(project, cable) for cable in shared_with_motor(project) for each in (shorter, thicker)]
    kind = other_kind(project, name, lambda each: each.dropout.nominal < regulator.dropout)
    choices = (own_feed(project), reservoir, _second_regulator(project, row, way), kind)
    return (*(each for each in choices if each is not None), *cables)


def _with_reservoir(name: str) -> Pick:
    path = ("regulators", name)
    options = tuple(
        Option(
            f"put a blocking diode and a {size} reservoir before {name}",
            {(*path, "diode"): True, (*path, "reservoir"): size},
        )
        for size in RESERVOIR_TEXTS
    )
    return Pick(words=f"a diode and a reservoir before {name}", options=options, effort=Effort.BUY_SMALL)


def _second_regulator(project: Project, row: tuple[FedRegulator, ...], way: EntryFeed) -> Pick | None:
    """A regulator for the board alone, fused and wired to the supply, where it hangs on the bridge's own."""
    if project.regulators[row[0].name].fed_by != BRIDGE:
        return None
    if any(NEW in table for table in (project.fuses, project.cables, project.regulators)):
        return None
    kind = REGULATORS[project.regulators[row[-1].name].kind]
    length = sum(project.cables[cable].length for cable in way.feed.cables) or LEAST_RUN
    kinds = (*(each.kind for each in project.fuses.values()), *FUSES)
    cable, regulator = ("cables", NEW), ("regulators", NEW)
    changes: dict[Keys, object] = {
        ("fuses", NEW, "kind"): next(each for each in kinds if OWN_FUSE in FUSES[each].ratings),
        ("fuses", NEW, "rating"): OWN_FUSE_TEXT,
        (*cable, "from"): way.feed.supply,
        (*cable, "to"): NEW,
        (*cable, "fuse"): NEW,
        (*cable, "core"): OWN_CORE,
        (*cable, "length"): units.write_as(length, units.LENGTH, "m"),
        **added(NEW, kind),
        ("electronics", "logic", "fed_by"): NEW,
    }
    reservoir: dict[Keys, object] = {(*regulator, "diode"): True, (*regulator, "reservoir"): TRIED_TEXT}
    words = f"give the board a {kind.name} regulator of its own, with fused wires from {way.feed.supply}"
    options = (
        Option(words, changes),
        Option(f"{words}, with a diode and a {TRIED_TEXT} reservoir before it", {**changes, **reservoir}),
    )
    return Pick(words="a second regulator, for the board alone", options=options, effort=Effort.BUY_SMALL)


QUESTION = Question(
    key="wiring.logic_feed",
    title="How far the motor's start pulls the board's feed down",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("regulators",), ("drive",), ("electronics", "bridge"), ("electronics", "logic")),
    ask=ask,
)
