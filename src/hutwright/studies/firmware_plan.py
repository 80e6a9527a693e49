"""From a described hut to the board that is flashed: pins, scales, and the settings of the core.

What the description lacks is asked for with the key to add, all of it at once; what the board cannot do is
refused with what it can. Parts that nobody describes - the supply's divider, the temperature sensor - are
chosen here, and the wiring table says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from hutwright import units
from hutwright.bench.electrics import supply_voltage
from hutwright.bench.settings import core_settings, ends_of, eyes_of
from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.sensors import SENSORS
from hutwright.description.described import Described
from hutwright.errors import RequestError
from hutwright.model.circuit import Board, CurrentSensor, DisplayBus, Electronics, PresentKind
from hutwright.model.controller import Command
from hutwright.model.project import Project
from hutwright.native.board_plan import PINS, TIED, BoardPlan
from hutwright.native.records import Record
from hutwright.native.words import Ends, Eyes
from hutwright.studies.rehearse import supply_ends
from hutwright.trades.wiring.pin_map import PinMap, assigned

CLOCK = 16e6  # that the board's layer is written for [Hz]
COUNTS = 1024  # of its converter
# The pins that a timer, the serial line and the two-wire bus are tied to, by the function that sits there.
FIXED = {
    "bridge.open": "PB1",
    "bridge.close": "PB2",
    "link.receive": "PD0",
    "link.transmit": "PD1",
    "display.data": "PC4",
    "display.clock": "PC5",
}
# Functions of the description, and the board's name for the line.
LINES = {
    "bridge.enable": "ENABLE_A",
    "limits.shut": "LIMIT_SHUT",
    "limits.open": "LIMIT_OPEN",
    "commands.button": "BUTTON",
    "commands.relay": "RELAY",
    "present.trigger": "PING",
}
ALWAYS = ("ENABLE_A", "MAY_LEAVE", "BUTTON", "RELAY", "SENSOR")  # lines that every board has
CHANNELS = {"sense.current": "CURRENT", "sense.supply": "SUPPLY", "sense.temperature": "TEMPERATURE"}
# Nothing is wired to a crystal's pins and to bits that a port does not have: there the board layer is told
# to find what is not fitted, and never looks.
NOWHERE = (("B", 6), ("B", 7), ("C", 6), ("C", 7))

# A lamp hangs there on many boards: it pulls a contact's line down, and the loader lets it blink, so that
# whatever listens for "may leave" would hear it with the door shut. Given away last. Standing: practice
LAMP = ("B", 5)

# Room above the highest supply for a charger and the motor that feeds back. Standing: practice
DIVIDER_ROOM = 1.25  # [-]
LOWER_RESISTOR = 10e3  # the converter wants a source of 10 kohm or less (its data sheet; recalled) [ohm]
# Of the E12 row (IEC 60063), what supplies from 5 to 60 V ask for. [ohm]
UPPER_RESISTORS = (
    10e3,
    12e3,
    15e3,
    18e3,
    22e3,
    27e3,
    33e3,
    39e3,
    47e3,
    56e3,
    68e3,
    82e3,
    100e3,
    120e3,
    150e3,
)
# An analogue sensor of the usual kind: 10 mV a kelvin, half a volt at 0 degC. Standing: practice
TEMPERATURE_SLOPE = 10e-3  # [V/K]
TEMPERATURE_ZERO = 0.5  # [V]
# Sound is up to 4 % slower or quicker from -20 to 40 degC than the 340 m/s that the board reckons with, and
# an echo is told to 11 mm: the far side of the doorway must stay beyond. Standing: derived here
NEAR_SHARE = 0.9  # of the doorway's width [-]
FARTHEST = 2.5  # that the board tells near from far [m]
REFERENCE_OFF = 0.06  # a regulator's tolerance and the reading of a multimeter. Standing: practice [-]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FirmwarePlan:
    """All that a board is told.

    Attributes
    ----------
    described : Described
        The description.
    board : BoardPlan
        Pins and scales.
    channels : Mapping
        Input of the converter by what it reads: ``CURRENT``, ``SUPPLY``, ``TEMPERATURE``. [-]
    fitted : tuple of str
        Lines of the board that something is wired to.
    divider : tuple of float
        Of the supply: the resistor to the supply, and the one to minus. [ohm]
    settings : Record
        Of the core, sealed and accepted.
    """

    described: Described
    board: BoardPlan
    channels: Mapping[str, int]
    fitted: tuple[str, ...]
    divider: tuple[float, float]
    settings: Record

    @property
    def remote(self) -> bool:
        """Whether the serial line commands the door."""
        controller = self.described.project.controller
        return controller is not None and Command.REMOTE in controller.commands


def firmware_plan(described: Described) -> FirmwarePlan:
    """The board of a described hut.

    Parameters
    ----------
    described : Described
        The description.

    Returns
    -------
    FirmwarePlan
        Pins, scales and settings.

    Raises
    ------
    RequestError
        Where something is not described, or the board's layer cannot do it; all of it at once.
    ModelError
        Where the core refuses what is described.
    """
    project = described.project
    settings = core_settings(project)
    lacking = [*_lacking(project), *_unfit(project)]
    pins = assigned(project)
    if lacking or pins is None:
        raise RequestError("\n".join(f"the firmware needs more: {each}" for each in lacking))
    _refuse(_badly_pinned(pins))
    electronics = _electronics(project)
    eyes, board, sensor = eyes_of(project), electronics.board, electronics.current_sensor
    assert board is not None
    assert sensor is not None
    fitted = _fitted(project, eyes)
    ends = supply_ends(described)
    divider = divider_of(supply_voltage(project) if ends is None else ends[1], board.reference)
    return FirmwarePlan(
        described=described,
        board=_board(project, eyes, _placed(fitted, pins, project), divider, board, sensor),
        channels={name: int(pins.pins[at][2]) for at, name in CHANNELS.items()},
        fitted=fitted,
        divider=divider,
        settings=settings,
    )


def _refuse(faults: Iterator[str]) -> None:
    sentences = list(faults)
    if sentences:
        raise RequestError("\n".join(sentences))


def _electronics(project: Project) -> Electronics:
    electronics = project.electronics
    assert electronics is not None  # asked for before
    return electronics


def _lacking(project: Project) -> Iterator[str]:
    """What is not described, with the key to add."""
    electronics, pins = project.electronics, project.pins
    kinds = {
        "board": 'kind = "8-bit AVR, 5 V, 16 MHz"',
        "bridge": 'kind = "dual bipolar"',
        "current_sensor": 'kind = "Hall 20 A"',
    }
    for name, example in kinds.items():
        if electronics is None or getattr(electronics, name) is None:
            about = "which it is" if name == "board" else "without it nothing moves, or nobody watches it"
            yield (
                f"electronics.{name} is not described ({about}); add {name} = {{ {example} }} to "
                "[electronics]"
            )
    wanted = {
        ("bridge", "enable"): "the second way to switch the bridge off",
        ("sense", "supply"): "no move begins on a supply that nobody reads",
        ("sense", "temperature"): "the current of a cold drive is judged by it",
    }
    for (group, line), why in wanted.items():
        table = getattr(pins, group) if pins is not None else None
        if table is None or getattr(table, line) is None:
            yield f'pins.{group}.{line} is not described ({why}); add {line} = "free" to {group} in [pins]'


def _unfit(project: Project) -> Iterator[str]:
    """What is described, but not what the board's layer can do."""
    electronics = project.electronics
    if electronics is None:
        return
    board, display, present = electronics.board, electronics.display, electronics.present_sensor
    if board is not None:
        kind = BOARDS[board.kind]
        if kind.clock != CLOCK or 2**kind.converter_bits != COUNTS:
            yield f"electronics.board.kind: read '{board.kind}'; wanted an 8-bit AVR of 16 MHz"
        if abs(board.reference / kind.supply - 1.0) > REFERENCE_OFF:
            yield (
                f"electronics.board.reference: read {units.show(board.reference, units.VOLTAGE)}; wanted the "
                f"board's own supply, {units.show(kind.supply, units.VOLTAGE)}, which this firmware's "
                "converter is set to; take the line out, or write what a multimeter shows there"
            )
    if display is not None and display.bus is DisplayBus.PARALLEL:
        yield (
            "electronics.display.bus: read 'parallel'; wanted 'two-wire', the only one this firmware can "
            "show "
            'anything on; write display = { bus = "two-wire" }, or take the display out'
        )
    eyes = eyes_of(project)
    if Eyes.PRESENT in eyes and present is not None and present.kind is not PresentKind.PULSE_ECHO:
        yield (
            "controller.layers: read 'present sensor' with a beam as the sensor, but not 'beam'; wanted "
            "both, "
            'so that the beam is read as one; add "beam" to the layers'
        )
    door = project.door
    if Eyes.PRESENT in eyes and door is not None and NEAR_SHARE * door.opening.width > FARTHEST:
        yield (
            f"door.opening.width: read {units.show(door.opening.width, units.LENGTH)}; the pulse-echo sensor "
            f"looks across at most {units.show(FARTHEST / NEAR_SHARE, units.LENGTH)}; take a beam"
        )


def _badly_pinned(pins: PinMap) -> Iterator[str]:
    """Pins that clash, are not there, or are not where the board's layer has them."""
    for name, fault in pins.conflicts.items():
        yield f'pins.{name}: {fault}; write another pin, or "free"'
    for name in pins.open:
        yield f"pins.{name}: no pin is left that can do it; take something else off the board"
    for name, pin in pins.pins.items():
        if name in FIXED and pin != FIXED[name]:
            wanted = FIXED[name]
            yield f"pins.{name}: read {pin}; wanted {wanted}, where this firmware drives it; write that pin"
        elif name not in FIXED and name not in CHANNELS and (pin[1], int(pin[2])) in TIED:
            owner = next(each for each, at in FIXED.items() if at == pin)
            yield f'pins.{name}: {pin} is kept for {owner} by this firmware; write another pin, or "free"'


def divider_of(highest: float, reference: float) -> tuple[float, float]:
    """Resistors with which the highest supply stays within the converter's range.

    Parameters
    ----------
    highest : float
        Highest voltage of the supply. [V]
    reference : float
        Full scale of the converter. [V]

    Returns
    -------
    tuple of float
        To the supply, and to minus. [ohm, ohm]

    Raises
    ------
    RequestError
        Where no resistor of the row is large enough.
    """
    wanted = DIVIDER_ROOM * highest
    for upper in UPPER_RESISTORS:
        if reference * (1.0 + upper / LOWER_RESISTOR) >= wanted:
            return upper, LOWER_RESISTOR
    most = reference * (1.0 + UPPER_RESISTORS[-1] / LOWER_RESISTOR) / DIVIDER_ROOM
    raise RequestError(
        f"supplies: read up to {units.show(highest, units.VOLTAGE)}; wanted at most "
        f"{units.show(most, units.VOLTAGE)}, which the board can read; take a supply of a lower voltage"
    )


def _fitted(project: Project, eyes: Eyes) -> tuple[str, ...]:
    """The lines that something is wired to, in the order of the board's own table."""
    controller, electronics = project.controller, _electronics(project)
    assert controller is not None
    bridge = electronics.bridge
    switches = ends_of(project) is Ends.SWITCHES
    there = {
        "ENABLE_A": True,
        "ENABLE_B": bridge is not None and bridge.paralleled > 1,
        "MAY_LEAVE": True,
        "LIMIT_SHUT": switches,
        "LIMIT_OPEN": switches,
        "BUTTON": Command.BUTTON in controller.commands,
        "RELAY": Command.RELAY in controller.commands,
        "SENSOR": Command.SENSOR in controller.commands,
        "BEAM": Eyes.BEAM in eyes,
        "EDGE": Eyes.EDGE in eyes,
        "PING": Eyes.PRESENT in eyes,
        "ECHO": Eyes.PRESENT in eyes,
    }
    return tuple(name for name in PINS if there[name])


def _placed(fitted: tuple[str, ...], pins: PinMap, project: Project) -> dict[str, tuple[str, int]]:
    """A pin for every line: as described or assigned, else of those left; nowhere for what is not there."""
    present = _electronics(project).present_sensor
    beam = present is not None and present.kind is PresentKind.BEAM
    lines = LINES | {"present.echo": "BEAM" if beam else "ECHO"}
    given = {lines[name]: (pin[1], int(pin[2])) for name, pin in pins.pins.items() if name in lines}
    needed = [name for name in PINS if name in fitted or name in ALWAYS]
    found = {name: pin for name, pin in given.items() if name in needed}
    taken = {*TIED, *((pin[1], int(pin[2])) for pin in pins.pins.values())}
    free = [pin for pin in _ports() if pin not in taken]
    for name in (each for each in needed if each not in found):
        if not free:
            raise RequestError(
                f"pins: the board has no pin left for {name.lower().replace('_', ' ')}; take something off "
                "it, such as a way to command the door"
            )
        liked = PINS[name]
        pin = liked if liked in free and liked != LAMP else free[0]
        free.remove(pin)
        found[name] = pin
    rest = iter(
        (*NOWHERE, *free, *(pin for pin in _ports() if pin not in TIED and pin not in found.values()))
    )
    used = set(found.values())
    for name in PINS:
        if name not in found:
            found[name] = next(pin for pin in rest if pin not in used)
            used.add(found[name])
    return {name: found[name] for name in PINS}


def _ports() -> Iterator[tuple[str, int]]:
    """The pins that a board brings out, those without another gift first."""
    for port, bits in (("D", range(2, 8)), ("B", (0, 3, 4)), ("C", range(4)), ("B", (5,))):
        yield from ((port, bit) for bit in bits)


def _board(
    project: Project,
    eyes: Eyes,
    pins: dict[str, tuple[str, int]],
    divider: tuple[float, float],
    board: Board,
    sensor: CurrentSensor,
) -> BoardPlan:
    electronics, kind = _electronics(project), SENSORS[sensor.kind]
    step = board.reference / COUNTS
    open_contacts = tuple(
        name for name, eye in (("BEAM", Eyes.BEAM), ("EDGE", Eyes.EDGE)) if eye in eyes
    )  # a broken wire then counts as something seen
    door = project.door
    width = door.opening.width if door is not None and Eyes.PRESENT in eyes else 1.0
    zero = kind.zero_ratio * BOARDS[board.kind].supply / board.reference * COUNTS
    try:
        return BoardPlan(
            paralleled=electronics.bridge is not None and electronics.bridge.paralleled > 1,
            limits=ends_of(project) is Ends.SWITCHES,
            present=Eyes.PRESENT in eyes,
            beam=Eyes.BEAM in eyes,
            edge=Eyes.EDGE in eyes,
            display=electronics.display is not None,
            near=math.floor(NEAR_SHARE * width * 100.0) / 100.0,
            current_per_count=step / sensor.sensitivity,
            current_zero=round(zero),
            supply_per_count=step * (divider[0] + divider[1]) / divider[1],
            temperature_per_count=step / TEMPERATURE_SLOPE,
            temperature_zero=round(TEMPERATURE_ZERO / step),
            open_contacts=open_contacts,
            pins=pins,
        )
    except ValueError as error:
        raise RequestError(
            f"electronics: read {error}; wanted a current sensor, a divider and pins that this firmware can "
            "be set to; look at electronics.current_sensor.sensitivity and at [pins]"
        ) from error
