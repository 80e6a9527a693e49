"""Which pin of the board does what: the described pins first, then a pin for every function that is left.

The rest is a matching between functions and pins, made as large as it can be by augmenting paths; where
there is a choice a function takes the pin that it likes best and that others need least. The same description
always gives the same map.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from hutwright.catalogue.boards import BOARDS, BoardKind, Pin, PinUse
from hutwright.model.circuit import DisplayBus, PresentKind
from hutwright.model.controller import Command
from hutwright.model.drive import EndSwitches
from hutwright.model.pins import Pins
from hutwright.model.project import Project

FREE = "free"
# Lines of a display on a parallel bus.
PARALLEL_LINES = ("select", "enable", "data_4", "data_5", "data_6", "data_7")
PULSES = (PinUse.PULSE_TIMER_1, PinUse.PULSE_TIMER_0, PinUse.PULSE_TIMER_2)
TIMERS = {PinUse.PULSE_TIMER_0: 0, PinUse.PULSE_TIMER_1: 1, PinUse.PULSE_TIMER_2: 2}
# What is lost when a pin serves as a plain line: the higher, the later it is given away.
WORTH: Mapping[PinUse, int] = {
    PinUse.RECEIVE: 8,  # programs are loaded through the serial line on most boards
    PinUse.TRANSMIT: 8,
    PinUse.PULSE_TIMER_1: 4,
    PinUse.BUS_DATA: 4,
    PinUse.BUS_CLOCK: 4,
    PinUse.INTERRUPT: 3,
    PinUse.ANALOGUE: 2,
    PinUse.CAPTURE: 2,
    PinUse.PULSE_TIMER_0: 2,
    PinUse.PULSE_TIMER_2: 2,
    PinUse.SPI_SELECT: 1,
    PinUse.SPI_OUT: 1,
    PinUse.SPI_IN: 1,
    PinUse.SPI_CLOCK: 3,  # on many boards a lamp hangs there, which pulls a contact's line down
}


@dataclass(frozen=True, slots=True)
class Function:
    """Something that a pin must do.

    Attributes
    ----------
    name : str
        Its address below the pins, such as ``bridge.open``.
    fits : tuple of PinUse
        Any of these will do, the best first.
    reason : str
        Why it wants them.
    given : str
        The pin that the builder named; "free" where the choice is left open.
    """

    name: str
    fits: tuple[PinUse, ...]
    reason: str
    given: str


@dataclass(frozen=True, slots=True)
class PinMap:
    """Which pin does what.

    Attributes
    ----------
    functions : tuple of Function
        All that was wanted, in reading order.
    pins : Mapping
        Pin by function.
    conflicts : Mapping
        What is wrong with the pin that the builder named, by function.
    open : tuple of str
        Functions that no pin is left for.
    notes : tuple of str
        What works but could be better.
    """

    functions: tuple[Function, ...]
    pins: Mapping[str, str]
    conflicts: Mapping[str, str]
    open: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def missing(self) -> int:
        """Number of functions without a fitting pin of their own."""
        return len(self.conflicts) + len(self.open)


def assigned(project: Project) -> PinMap | None:
    """Which pin of the board does what; None where no board is described.

    Parameters
    ----------
    project : Project
        The project.
    """
    board = project.electronics.board if project.electronics is not None else None
    if board is None:
        return None
    return _mapped(wanted(project), board.kind)


@lru_cache(maxsize=64)
def _mapped(functions: tuple[Function, ...], board: str) -> PinMap:
    """The map for functions on a kind of board; it hangs on no number, so moved numbers find it again."""
    kind = BOARDS[board]
    pins: dict[str, str] = {}
    conflicts: dict[str, str] = {}
    for function in functions:
        if function.given != FREE:
            fault = _fault(function, kind, pins)
            if fault:
                conflicts[function.name] = fault
            else:
                pins[function.name] = function.given
    left = [_beside(each, pins, kind) for each in functions if each.given == FREE]
    pins |= _matched(left, kind, set(pins.values()))
    missing = tuple(each.name for each in left if each.name not in pins)
    ordered = {each.name: pins[each.name] for each in functions if each.name in pins}
    return PinMap(
        functions,
        MappingProxyType(ordered),
        MappingProxyType(conflicts),
        missing,
        tuple(_notes(ordered, kind)),
    )


def wanted(project: Project) -> tuple[Function, ...]:
    """All that a pin must do: what the builder listed, and what the described parts ask for."""
    listed = project.pins
    found: list[Function] = []
    for name, fits, reason, needed in _all(project):
        given = _given(listed, name)
        if given is not None or needed:
            found.append(Function(name, fits, reason, given or FREE))
    display = project.electronics.display if project.electronics is not None else None
    if display is not None and display.bus is DisplayBus.PARALLEL:
        found = [each for each in found if not each.name.startswith("display.")]
        reason = "a display on a parallel bus takes six lines; on the two-wire bus it would take two"
        found += [Function(f"display.{line}", (PinUse.DIGITAL,), reason, FREE) for line in PARALLEL_LINES]
    return tuple(found)


def _given(pins: Pins | None, name: str) -> str | None:
    group, _, line = name.partition(".")
    table = getattr(pins, group) if pins is not None else None
    value = getattr(table, line) if table is not None else None
    if not isinstance(value, str):
        return None
    return FREE if value.strip().lower() == FREE else value.strip().upper()


def _all(project: Project) -> Iterator[tuple[str, tuple[PinUse, ...], str, bool]]:
    """Every function there can be: name, what fits, why, and whether a described part asks for it."""
    electronics, controller = project.electronics, project.controller
    bridge = electronics is not None and electronics.bridge is not None
    sensor = electronics.present_sensor if electronics is not None else None
    display = electronics.display if electronics is not None else None
    commands = controller.commands if controller is not None else ()
    switches = project.drive is not None and project.drive.end_switches is EndSwitches.TO_THE_BOARD
    line, analogue = (PinUse.DIGITAL,), (PinUse.ANALOGUE,)
    pulses = "sets the motor's duty by pulse width, both directions best on the 16-bit timer 1"
    yield "bridge.open", PULSES, pulses, bridge
    yield "bridge.close", PULSES, pulses, bridge
    yield "bridge.enable", line, "a second way to switch the bridge off", False
    yield (
        "sense.current",
        analogue,
        "reads the motor's current",
        electronics is not None and electronics.current_sensor is not None,
    )
    yield "sense.supply", analogue, "reads the supply through a divider", False
    yield "sense.temperature", analogue, "reads the temperature", False
    echo = sensor is not None and sensor.kind is PresentKind.PULSE_ECHO
    yield "present.trigger", line, "sends the pulse", echo
    heard = "hears the echo or reads the beam, best on an interrupt so that no pulse is missed"
    yield "present.echo", (PinUse.INTERRUPT, PinUse.CAPTURE, PinUse.DIGITAL), heard, sensor is not None
    yield "limits.open", line, "reads the switch at fully open", switches
    yield "limits.shut", line, "reads the switch at shut", switches
    yield "commands.button", line, "reads the button", Command.BUTTON in commands
    yield "commands.relay", line, "reads the relay's contact", Command.RELAY in commands
    yield "link.receive", (PinUse.RECEIVE,), "the board's serial line, inwards", False
    yield "link.transmit", (PinUse.TRANSMIT,), "the board's serial line, outwards", False
    two_wire = display is not None and display.bus is DisplayBus.TWO_WIRE
    yield "display.data", (PinUse.BUS_DATA,), "data line of the two-wire bus", two_wire
    yield "display.clock", (PinUse.BUS_CLOCK,), "clock line of the two-wire bus", two_wire


def _beside(function: Function, pins: Mapping[str, str], kind: BoardKind) -> Function:
    """The same function; one side of the bridge looks first for the timer that the other side hangs on."""
    others = [
        pins[name] for name in ("bridge.open", "bridge.close") if name in pins and name != function.name
    ]
    if not function.name.startswith("bridge.") or function.fits != PULSES or not others:
        return function
    timer = _timer(kind.pins[others[0]])
    fits = tuple(sorted(function.fits, key=lambda use: TIMERS[use] != timer))
    return replace(function, fits=fits)


def _fault(function: Function, kind: BoardKind, taken: Mapping[str, str]) -> str:
    """What is wrong with the pin that was named; "" where nothing is."""
    pin = kind.pins.get(function.given)
    if pin is None:
        return f"the board has no pin {function.given}"
    if pin.uses.isdisjoint(function.fits):
        wanted_uses = " or ".join(each.value for each in function.fits)
        return f"{function.given} can only do {_listed(pin)}, wanted is {wanted_uses}"
    other = next((name for name, each in taken.items() if each == function.given), None)
    return f"{function.given} is given to {other} already" if other is not None else ""


def _listed(pin: Pin) -> str:
    return ", ".join(sorted(each.value for each in pin.uses))


def _matched(functions: list[Function], kind: BoardKind, taken: set[str]) -> dict[str, str]:
    """The largest matching of functions to free pins; functions with the fewest pins choose first."""
    liked = {each.name: _liked(each, kind, taken) for each in functions}
    owner: dict[str, str] = {}
    for function in sorted(functions, key=lambda each: len(liked[each.name])):
        _augment(function.name, liked, owner, set())
    return {function: pin for pin, function in owner.items()}


def _augment(function: str, liked: Mapping[str, list[str]], owner: dict[str, str], seen: set[str]) -> bool:
    """Find a pin for a function, a pin that nobody holds first, moving others only where it must."""
    for pin in liked[function]:
        if pin not in owner and pin not in seen:
            owner[pin] = function
            return True
    for pin in liked[function]:
        if pin not in seen:
            seen.add(pin)
            if _augment(owner[pin], liked, owner, seen):
                owner[pin] = function
                return True
    return False


def _liked(function: Function, kind: BoardKind, taken: set[str]) -> list[str]:
    """The pins that fit a function: its best use first, then the least loss, then the order of the ports."""
    fits = set(function.fits)
    fitting = [pin for name, pin in kind.pins.items() if name not in taken and not fits.isdisjoint(pin.uses)]
    rank = {use: number for number, use in enumerate(function.fits)}

    def cost(pin: Pin) -> tuple[int, int]:
        best = min((rank[use] for use in pin.uses if use in rank), default=len(rank))
        return best, sum(WORTH.get(use, 0) for use in pin.uses)

    return [pin.name for pin in sorted(fitting, key=cost)]


def _notes(pins: Mapping[str, str], kind: BoardKind) -> Iterator[str]:
    """What works but could be better."""
    timers = [_timer(kind.pins[pins[name]]) for name in ("bridge.open", "bridge.close") if name in pins]
    if len(timers) == 2 and timers[0] != timers[1]:
        yield "bridge.open and bridge.close hang on two timers, which must be set to the same pulse rate"
    elif timers and timers[0] != 1:
        yield "bridge.open and bridge.close are not on the 16-bit timer 1, so duty has 256 steps only"
    echo = pins.get("present.echo")
    if echo is not None and kind.pins[echo].uses.isdisjoint({PinUse.INTERRUPT, PinUse.CAPTURE}):
        yield f"present.echo on {echo} has no interrupt, so the controller must wait for it in short turns"
    lines = {"link.receive", "link.transmit"}
    for name, pin in pins.items():
        if name not in lines and kind.pins[pin].uses & {PinUse.RECEIVE, PinUse.TRANSMIT}:
            yield f"{name} on {pin} must be unplugged while a program is loaded over the serial line"


def _timer(pin: Pin) -> int | None:
    return next((number for use, number in TIMERS.items() if use in pin.uses), None)
