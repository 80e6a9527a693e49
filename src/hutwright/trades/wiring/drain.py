"""What a battery gives away on average, step by step, and the levers that make it less."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hutwright import units
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.energy import (
    DAY,
    MONTH,
    MOVES,
    Stage,
    feeds_bridge,
    feeds_logic,
    idle_regulators,
    logic_asleep,
    longest_move,
    own_loss,
    stages,
)
from hutwright.trades.wiring.bridge_choice import other_bridge
from hutwright.trades.wiring.feeding import amperes, volts
from hutwright.units import NUMBER

SLEEP_STEP = 1e-4  # a board's sleep is told to a tenth of a milliampere: a choice of this project [A]
ASLEEP = 1e-3  # of a board whose controller sleeps; common practice of the trade [A]


@dataclass(frozen=True, slots=True)
class Drain:
    """What a battery gives away.

    Attributes
    ----------
    steps : tuple
        The working.
    current : float
        The mean over a day. [A]
    feeds_board : bool
        Whether the board hangs on it.
    moves_door : bool
        Whether the bridge hangs on it.
    """

    steps: tuple[Step, ...]
    current: float
    feeds_board: bool
    moves_door: bool


def seconds(value: float) -> Number:
    """A time put into a step."""
    return Number(value, units.TIME)


def share(value: float) -> Number:
    """A share put into a step."""
    return Number(value, units.RATIO)


def drain(project: Project, supply: str) -> Drain | None:
    """What a battery gives away on average; None where neither board nor bridge hangs on it."""
    if project.supplies[supply].capacity is None:
        return None
    moves_door, feeds_board = feeds_bridge(project, supply), feeds_logic(project, supply)
    if not (moves_door or feeds_board):
        return None
    standby_steps, standby = _standby(project, supply, moves_door=moves_door, feeds_board=feeds_board)
    move_steps, moves = _moves(project, moves_door=moves_door, feeds_board=feeds_board)
    battery = project.supplies[supply]
    lost = own_loss(battery)
    mean = standby + moves + lost
    numbers = {"I_standby": amperes(standby), "I_own": amperes(lost)}
    if move_steps:
        numbers["I_moves"] = amperes(moves)
    last = (
        Step(
            symbol="I_own",
            formula="s_month * Q / t_month",
            numbers={
                "s_month": share(battery.self_discharge_a_month),
                "Q": Number(battery.capacity or 0.0, units.CHARGE),
                "t_month": seconds(MONTH),
            },
            result=amperes(lost),
            words="what the battery loses by itself",
        ),
        Step(
            symbol="I_mean",
            formula="I_standby + I_moves + I_own" if move_steps else "I_standby + I_own",
            numbers=numbers,
            result=amperes(mean),
            words="all together, as an even current over the day",
        ),
    )
    return Drain((*standby_steps, *move_steps, *last), mean, feeds_board, moves_door)


def _standby(
    project: Project, supply: str, *, moves_door: bool, feeds_board: bool
) -> tuple[tuple[Step, ...], float]:
    steps: list[Step] = []
    entry = 0.0
    electronics = project.electronics
    if feeds_board and electronics is not None and electronics.logic is not None:
        logic, sensor = electronics.logic, electronics.present_sensor
        asleep = logic_asleep(project)
        stays_on = sensor.current if sensor is not None and sensor.always_on else 0.0
        steps.append(
            Step(
                symbol="I_logic",
                formula="min(I_awake, I_asleep + I_sensor)",
                numbers={
                    "I_awake": amperes(logic.load),
                    "I_asleep": amperes(logic.asleep),
                    "I_sensor": amperes(stays_on),
                },
                result=amperes(asleep),
                words="board and present sensor between two runs, at most what they take awake",
            )
        )
        chain = stages(project, asleep)
        steps += [_through(project, stage) for stage in chain]
        entry = chain[-1].current
    bridge = electronics.bridge if electronics is not None and moves_door else None
    own = bridge.quiescent if bridge is not None else 0.0
    idle = idle_regulators(project, supply)
    standby = entry + own + idle
    steps.append(
        Step(
            symbol="I_standby",
            formula="I_board + I_bridge + I_others",
            numbers={"I_board": amperes(entry), "I_bridge": amperes(own), "I_others": amperes(idle)},
            result=amperes(standby),
            words="drawn day and night: board, bridge, and regulators that stand beside",
        )
    )
    return tuple(steps), standby


def _through(project: Project, stage: Stage) -> Step:
    regulator = project.regulators[stage.regulator]
    numbers = {"I_load": amperes(stage.load), "I_own": amperes(regulator.quiescent)}
    formula = "I_load + I_own"
    if regulator.efficiency < 1.0:
        formula = "U_out * I_load / (U_in * eta) + I_own"
        numbers |= {"U_out": volts(regulator.output), "U_in": volts(stage.voltage)}
        numbers["eta"] = share(regulator.efficiency)
    return Step(
        symbol=f"I_{stage.regulator}",
        formula=formula,
        numbers=numbers,
        result=amperes(stage.current),
        words=f"what {stage.regulator} takes for it",
    )


def _moves(project: Project, *, moves_door: bool, feeds_board: bool) -> tuple[tuple[Step, ...], float]:
    """The door's moves as an even current over the day; nothing where no moves are described."""
    controller, drive, electronics = project.controller, project.drive, project.electronics
    move = longest_move(project)
    if controller is None or drive is None or move == 0.0:
        return (), 0.0
    motor = drive.rating.current if moves_door else 0.0
    more = 0.0
    if feeds_board and electronics is not None and electronics.logic is not None:
        asleep, awake = stages(project, logic_asleep(project)), stages(project, electronics.logic.load)
        more = awake[-1].current - asleep[-1].current
    charge = MOVES * move * (motor + more) + controller.wait * more
    mean = controller.cycles_a_day * charge / DAY
    steps = []
    if drive.length is not None:
        steps.append(
            Step(
                symbol="t_move",
                formula="x_stroke / v_rated",
                numbers={
                    "x_stroke": Number(drive.length.stroke, units.LENGTH),
                    "v_rated": Number(drive.rating.speed, units.SPEED),
                },
                result=seconds(move),
                words="one move over the whole stroke under full load, the longest there is",
            )
        )
    steps.append(
        Step(
            symbol="I_moves",
            formula="n_cycles * (2 * t_move * (I_motor + I_more) + t_wait * I_more) / t_day",
            numbers={
                "n_cycles": Number(controller.cycles_a_day, NUMBER),
                "t_move": seconds(move),
                "I_motor": amperes(motor),
                "I_more": amperes(more),
                "t_wait": seconds(controller.wait),
                "t_day": seconds(DAY),
            },
            result=amperes(mean),
            words="the door's moves, motor at its rated current and board awake, spread over the day",
        )
    )
    return tuple(steps), mean


def smaller_drain(project: Project, drained: Drain) -> tuple[Dial | Pick, ...]:
    """The levers that make a battery give less away, as far as they apply to this circuit."""
    levers: list[Dial | Pick] = []
    electronics = project.electronics
    if electronics is None:
        return ()
    logic, sensor, bridge = electronics.logic, electronics.present_sensor, electronics.bridge
    if drained.feeds_board and logic is not None:
        levers.append(
            Dial(
                path=("electronics", "logic", "asleep"),
                dimension=units.CURRENT,
                lowest=0.0,
                highest=max(logic.asleep, logic.load),
                words="send the board to sleep between two runs, drawing at most",
                effort=Effort.SETTING,
                step=SLEEP_STEP,
            )
        )
        if sensor is not None and sensor.always_on:
            levers.append(_sensor_off(logic.asleep))
    another = other_bridge(project, bridge) if drained.moves_door and bridge is not None else None
    if another is not None:
        others = list(another.options)
        if drained.feeds_board and logic is not None:
            off = _all_asleep(logic.asleep, sensor=sensor is not None and sensor.always_on)
            both = [
                Option(f"{each.words}, and {off.words}", {**each.changes, **off.changes}) for each in others
            ]
            others += both
        levers.append(replace(another, words="a bridge that takes less for itself", options=tuple(others)))
    return tuple(levers)


def _sensor_off(asleep: float) -> Pick:
    """The present sensor switched off between two runs, alone or with the board asleep."""
    off = ("electronics", "present_sensor", "always_on")
    options = (
        Option("switch the present sensor off between two runs", {off: False}),
        _all_asleep(asleep, sensor=True),
    )
    return Pick(words="a present sensor that sleeps too", options=options, effort=Effort.REWIRE)


def _all_asleep(asleep: float, *, sensor: bool) -> Option:
    """The board asleep between two runs, and the present sensor too where there is one that stays on."""
    text = units.write_as(min(asleep, ASLEEP), units.CURRENT, "mA")
    words = f"let the board sleep between two runs at {text}"
    changes: dict[Keys, object] = {("electronics", "logic", "asleep"): text}
    if not sensor:
        return Option(words, changes)
    changes[("electronics", "present_sensor", "always_on")] = False
    return Option(f"{words} with the present sensor switched off", changes)
