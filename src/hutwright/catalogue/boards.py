"""Controller boards by kind: pins and what each can do, reset levels, converter, consumption."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.sources import Source


class PinUse(Enum):
    """What a pin can do."""

    DIGITAL = "digital in and out"
    ANALOGUE = "analogue in"
    PULSE_TIMER_0 = "pulse width, timer 0"
    PULSE_TIMER_1 = "pulse width, timer 1"
    PULSE_TIMER_2 = "pulse width, timer 2"
    INTERRUPT = "outside interrupt"
    CAPTURE = "input capture"
    BUS_DATA = "two-wire bus, data"
    BUS_CLOCK = "two-wire bus, clock"
    RECEIVE = "serial line, receive"
    TRANSMIT = "serial line, transmit"
    SPI_SELECT = "SPI, select"
    SPI_OUT = "SPI, from controller"
    SPI_IN = "SPI, to controller"
    SPI_CLOCK = "SPI, clock"
    CRYSTAL = "crystal"
    RESET = "reset"


PULSE_WIDTH = frozenset({PinUse.PULSE_TIMER_0, PinUse.PULSE_TIMER_1, PinUse.PULSE_TIMER_2})


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin of a board.

    Attributes
    ----------
    name : str
        Port and bit, such as ``PB1``.
    uses : frozenset of PinUse
        What it can do on this board.
    """

    name: str
    uses: frozenset[PinUse]

    @property
    def pulses(self) -> bool:
        """Whether a timer can drive it with a pulse width."""
        return not PULSE_WIDTH.isdisjoint(self.uses)


@dataclass(frozen=True, kw_only=True, slots=True)
class BoardKind:
    """One kind of controller board.

    Attributes
    ----------
    name : str
        Name in the table.
    supply : float
        Supply of the controller. [V]
    lowest_supply : float
        Supply below which its clock is not allowed. [V]
    clock : float
        Clock. [Hz]
    converter_bits : int
        Width of its converter.
    converter_error : float
        Typical total error of the converter, in counts. [-]
    pins : mapping of str to Pin
        Its pins by name, in the order of the ports.
    brown_outs : mapping of str to Spread
        Levels below which it resets, by the name of the setting. [V]
    brown_out_hysteresis : float
        Rise above the level before it starts again. [V]
    brown_out_pulse : float
        Shortest dip that resets it. [s]
    consumption : Spread
        Own current while awake. [A]
    pins_source : Source
        Where the pins stand.
    brown_out_source : Source
        Where the levels stand.
    converter_source : Source
        Where the converter stands.
    consumption_source : Source
        Where the current comes from.
    """

    name: str
    supply: float
    lowest_supply: float
    clock: float
    converter_bits: int
    converter_error: float
    pins: Mapping[str, Pin]
    brown_outs: Mapping[str, Spread]
    brown_out_hysteresis: float
    brown_out_pulse: float
    consumption: Spread
    pins_source: Source
    brown_out_source: Source
    converter_source: Source
    consumption_source: Source

    def pins_for(self, use: PinUse) -> tuple[str, ...]:
        """Names of the pins that can do it, in the order of the ports."""
        return tuple(name for name, pin in self.pins.items() if use in pin.uses)


_D = PinUse.DIGITAL
# Data sheet of an 8-bit controller family, pin table of the 28-pin package; standing: recalled.
_PORTS: tuple[tuple[str, tuple[PinUse, ...]], ...] = (
    ("PB0", (_D, PinUse.CAPTURE)),
    ("PB1", (_D, PinUse.PULSE_TIMER_1)),
    ("PB2", (_D, PinUse.PULSE_TIMER_1, PinUse.SPI_SELECT)),
    ("PB3", (_D, PinUse.PULSE_TIMER_2, PinUse.SPI_OUT)),
    ("PB4", (_D, PinUse.SPI_IN)),
    ("PB5", (_D, PinUse.SPI_CLOCK)),
    ("PB6", (PinUse.CRYSTAL,)),
    ("PB7", (PinUse.CRYSTAL,)),
    ("PC0", (_D, PinUse.ANALOGUE)),
    ("PC1", (_D, PinUse.ANALOGUE)),
    ("PC2", (_D, PinUse.ANALOGUE)),
    ("PC3", (_D, PinUse.ANALOGUE)),
    ("PC4", (_D, PinUse.ANALOGUE, PinUse.BUS_DATA)),
    ("PC5", (_D, PinUse.ANALOGUE, PinUse.BUS_CLOCK)),
    ("PC6", (PinUse.RESET,)),
    ("PD0", (_D, PinUse.RECEIVE)),
    ("PD1", (_D, PinUse.TRANSMIT)),
    ("PD2", (_D, PinUse.INTERRUPT)),
    ("PD3", (_D, PinUse.INTERRUPT, PinUse.PULSE_TIMER_2)),
    ("PD4", (_D,)),
    ("PD5", (_D, PinUse.PULSE_TIMER_0)),
    ("PD6", (_D, PinUse.PULSE_TIMER_0)),
    ("PD7", (_D,)),
)

# Data sheet of an 8-bit controller family, table 'Brown-out detection'; standing: read.
_BROWN_OUTS: Mapping[str, Spread] = MappingProxyType(
    {
        "4.3 V": Spread(4.1, 4.3, 4.5),
        "2.7 V": Spread(2.5, 2.7, 2.9),
        "1.8 V": Spread(1.7, 1.8, 2.0),
    }
)

_KINDS = (
    BoardKind(
        name="8-bit AVR, 5 V, 16 MHz",
        supply=5.0,
        lowest_supply=3.8,  # line of greatest clock between 10 MHz at 2.7 V and 20 MHz at 4.5 V; recalled
        clock=16e6,
        converter_bits=10,
        converter_error=2.0,
        pins=MappingProxyType({name: Pin(name, frozenset(uses)) for name, uses in _PORTS}),
        brown_outs=_BROWN_OUTS,
        brown_out_hysteresis=0.05,
        brown_out_pulse=2e-6,
        consumption=Spread(0.015, 0.020, 0.025),
        pins_source=sources.CONTROLLER_DATA_SHEET_PINS,
        brown_out_source=sources.CONTROLLER_DATA_SHEET_BROWN_OUT,
        converter_source=sources.CONTROLLER_DATA_SHEET_CONVERTER,
        consumption_source=sources.CONTROLLER_PRACTICE,
    ),
)

BOARDS: Mapping[str, BoardKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
