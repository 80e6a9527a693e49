"""What several questions of the wiring ask of the regulators, and the levers they share."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

from hutwright import units
from hutwright.catalogue.regulators import REGULATORS, RegulatorKind, RegulatorType
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.circuit import Regulator
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.model.supplies import Supply
from hutwright.plant.circuit import behind, cables_resistance
from hutwright.plant.regulators import (
    EntryFeed,
    FedRegulator,
    charging_voltage,
    highest_voltage,
    regulator_row,
)
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.units import NUMBER

# What a row of the catalogue fills in; a regulator of another kind takes all of it from its own row.
OF_ITS_KIND = (
    "output",
    "dropout",
    "quiescent",
    "efficiency",
    "cooling",
    "junction_limit",
    "highest_input",
    "current_limit",
)
SAME_OUTPUT = 0.1  # of the output: kinds within it stand in for each other: a choice of this project [V/V]
CAPACITORS = {  # of each kind's data sheet, as the file spells them: input, output
    kind.name: tuple(
        units.write_as(each, units.CAPACITANCE, "uF")
        for each in (kind.input_capacitor, kind.output_capacitor)
    )
    for kind in REGULATORS.values()
}
RESERVOIRS = (470e-6, 1000e-6, 2200e-6, 4700e-6, 10000e-6, 22000e-6)  # common practice: sizes on sale [F]
RESERVOIR_TEXTS = tuple(units.write_as(size, units.CAPACITANCE, "uF") for size in RESERVOIRS)
LEFT_OF_CAPACITOR = 0.8  # common practice: electrolytic capacitors are sold with a tolerance of 20 % [-]
LEAST_LOAD = 1e-3  # a board that draws less is asleep: a choice of this project [A]


def bare(value: float) -> Number:
    """A plain number put into a step."""
    return Number(value, NUMBER)


def seconds(value: float) -> Number:
    """A time put into a step."""
    return Number(value, units.TIME)


def farads(value: float) -> Number:
    """A capacitance put into a step."""
    return Number(value, units.CAPACITANCE)


def diode_drop(regulator: Regulator) -> float:
    """What the blocking diode before a regulator takes [V]; nothing where there is none."""
    return regulator.diode_drop if regulator.diode else 0.0


def least_input(project: Project, row: tuple[FedRegulator, ...]) -> tuple[Step, ...]:
    """From the board up to the supply: what each regulator must be fed with for all of them to regulate.

    Parameters
    ----------
    project : Project
        The project.
    row : tuple of FedRegulator
        The regulators that carry the board, from the supply on.

    Returns
    -------
    tuple of Step
        The last one's result is the least voltage where the first regulator is fed, its diode included.
    """
    steps: list[Step] = []
    for fed in reversed(row):
        regulator = project.regulators[fed.name]
        needed = steps[-1].result.value if steps else regulator.output
        drop = diode_drop(regulator)
        steps.append(
            Step(
                symbol=f"U_least_{fed.name}",
                formula="U_out + U_dropout + U_diode",
                numbers={
                    "U_out": volts(needed),
                    "U_dropout": volts(regulator.dropout),
                    "U_diode": volts(drop),
                },
                result=volts(needed + regulator.dropout + drop),
                words=f"the least that {fed.name} must be fed with so that the board keeps its voltage",
            )
        )
    return tuple(steps)


def may_fall(rest: Step, least: Step) -> Step:
    """How far the voltage where the first regulator is fed may fall."""
    return Step(
        symbol="U_allowed",
        formula="U_rest - U_least",
        numbers={"U_rest": rest.result, "U_least": least.result},
        result=volts(rest.result.value - least.result.value),
        words="so far it may fall",
    )


def at_entry(way: EntryFeed, motor: float, taken: float, words: str) -> Step:
    """The voltage where the first regulator is fed.

    Parameters
    ----------
    way : EntryFeed
        The way to it.
    motor : float
        What the motor draws at that moment. [A]
    taken : float
        What the regulator takes. [A]
    words : str
        What the moment is.
    """
    left = way.supply.voltage - way.shared * (motor + taken) - way.own * taken
    return Step(
        symbol="U_feed",
        formula="U_supply - R_shared * (I_motor + I_logic) - R_own * I_logic",
        numbers={
            "U_supply": volts(way.supply.voltage),
            "R_shared": ohms(way.shared),
            "I_motor": amperes(motor),
            "I_logic": amperes(taken),
            "R_own": ohms(way.own),
        },
        result=volts(left),
        words=words,
    )


def highest(supply: Supply) -> Step:
    """The highest voltage of a supply."""
    charging = charging_voltage(supply)
    if charging is None:
        return Step(
            symbol="U_highest",
            formula="U_supply",
            numbers={"U_supply": volts(supply.voltage)},
            result=volts(supply.voltage),
            words="without load",
        )
    return Step(
        symbol="U_highest",
        formula="max(U_supply, U_charging)",
        numbers={"U_supply": volts(supply.voltage), "U_charging": volts(charging)},
        result=volts(highest_voltage(supply)),
        words="at rest, or while its charger fills it",
    )


def made_of(regulator: Regulator, name: str, voltage: float) -> Step:
    """What a regulator makes of the voltage that it is fed with."""
    return Step(
        symbol=f"U_{name}",
        formula="max(0, min(U_out, U_in - U_diode - U_dropout))",
        numbers={
            "U_out": volts(regulator.output),
            "U_in": volts(voltage),
            "U_diode": volts(diode_drop(regulator)),
            "U_dropout": volts(regulator.dropout),
        },
        result=volts(behind(regulator, voltage)),
        words=f"what {name} makes of it",
    )


def after_cable(project: Project, fed: FedRegulator, voltage: float, temperature: float) -> Step:
    """What a cable between two regulators leaves of the upper one's output."""
    resistance = cables_resistance(project, fed.cables, temperature)
    return Step(
        symbol=f"U_at_{fed.name}",
        formula="U_before - R_cable * I",
        numbers={"U_before": volts(voltage), "R_cable": ohms(resistance), "I": amperes(fed.taken)},
        result=volts(voltage - resistance * fed.taken),
        words=f"what the cable to {fed.name} leaves of it",
    )


def less_load() -> Dial:
    """The lever of a board that draws less."""
    return Dial(
        path=("electronics", "logic", "load"),
        dimension=units.CURRENT,
        lowest=LEAST_LOAD,
        highest=3.0,
        words="let the board and all that hangs on it draw at most",
        effort=Effort.REBUILD,
    )


def larger_reservoir(name: str) -> Dial:
    """The lever of a larger reservoir before a regulator."""
    return Dial(
        path=("regulators", name, "reservoir"),
        dimension=units.CAPACITANCE,
        lowest=1e-6,
        highest=max(RESERVOIRS),
        words=f"make the reservoir before {name} at least",
        effort=Effort.BUY_SMALL,
        sizes=RESERVOIRS,
    )


def holds_up(regulator: Regulator) -> bool:
    """Whether a reservoir behind a blocking diode stands before a regulator."""
    return regulator.diode and regulator.reservoir > 0.0


def cooler(project: Project, name: str, sizes: tuple[float, ...]) -> Dial:
    """The lever of a better heat sink; sizes count from the junction to the air."""
    return Dial(
        path=("regulators", name, "cooling"),
        dimension=units.THERMAL_RESISTANCE,
        lowest=min(sizes),
        highest=max(project.regulators[name].cooling, min(sizes)),
        words=f"cool {name} so that junction to air, heat sink included, has at most",
        effort=Effort.BUY_SMALL,
        sizes=sizes,
    )


def other_kind(project: Project, name: str, fits: Callable[[RegulatorKind], bool]) -> Pick | None:
    """The choice of another kind with the same output; None where the catalogue holds none that fits.

    Parameters
    ----------
    project : Project
        The project.
    name : str
        The regulator.
    fits : Callable
        Whether a kind of the catalogue is worth offering.
    """
    regulator = project.regulators[name]
    options = tuple(
        Option(f"put a {kind.name} regulator in place of {name}", exchange(name, kind))
        for kind in REGULATORS.values()
        if kind.name != regulator.kind
        and abs(kind.output.nominal - regulator.output) <= SAME_OUTPUT * regulator.output
        and fits(kind)
    )
    if not options:
        return None
    return Pick(words=f"another kind of regulator for {name}", options=options, effort=Effort.BUY_SMALL)


def exchange(name: str, kind: RegulatorKind) -> Mapping[Keys, object]:
    """The changes that put a regulator of another kind in place, with the capacitors of its data sheet."""
    return {**{("regulators", name, key): None for key in OF_ITS_KIND}, **added(name, kind)}


def switching(kind: RegulatorKind) -> bool:
    """Whether a kind does not burn the voltage that is not wanted."""
    return kind.type is RegulatorType.SWITCHING


def added(name: str, kind: RegulatorKind) -> dict[Keys, object]:
    """The changes that add a regulator of a kind, with the capacitors of its data sheet."""
    path = ("regulators", name)
    return {
        (*path, "kind"): kind.name,
        (*path, "input_capacitor"): CAPACITORS[kind.name][0],
        (*path, "output_capacitor"): CAPACITORS[kind.name][1],
    }


def _cable_to(project: Project, name: str) -> str | None:
    return next((cable for cable, each in project.cables.items() if each.to == name), None)


def shared_heat(project: Project, name: str) -> Pick | None:
    """The choice of a further regulator before one, which takes part of the voltage; None where none fits."""
    regulator = project.regulators[name]
    new = f"before_{name}"
    if new in project.regulators:
        return None
    options = []
    for kind in REGULATORS.values():
        between = (
            regulator.output + regulator.dropout <= kind.output.low and kind.type is RegulatorType.LINEAR
        )
        if not between:
            continue
        cable = _cable_to(project, name)
        changes = {**added(new, kind), ("regulators", name, "fed_by"): new}
        if cable is None:
            changes[("regulators", new, "fed_by")] = regulator.fed_by
        else:
            changes[("cables", cable, "to")] = new
        options.append(
            Option(f"put a {kind.name} regulator before {name}, so that the two share it", changes)
        )
    if not options:
        return None
    return Pick(words=f"a regulator before {name}", options=tuple(options), effort=Effort.BUY_SMALL)


def without_one_between(project: Project, name: str) -> Iterator[Pick]:
    """The choices of leaving out a regulator before one, or one itself where another hangs on it."""
    row = regulator_row(project)
    for above, fed in pairwise(row):
        hangs = [other for other, each in project.regulators.items() if each.fed_by == above.name]
        leads = [cable for cable, each in project.cables.items() if each.from_ == above.name]
        if name not in (above.name, fed.name) or hangs != [fed.name] or leads or fed.cables:
            continue
        cable = _cable_to(project, above.name)
        changes: dict[Keys, object] = {
            ("regulators", above.name): None,
            ("regulators", fed.name, "fed_by"): project.regulators[above.name].fed_by,
        }
        if cable is not None:
            changes[("cables", cable, "to")] = fed.name
        words = f"leave out {above.name} and feed {fed.name} with what fed it"
        yield Pick(
            words=f"no {above.name} in between", options=(Option(words, changes),), effort=Effort.REWIRE
        )
