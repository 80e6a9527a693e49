"""Regulators, the bridge, and the other electronics that the cables feed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from hutwright import units
from hutwright.errors import ModelError
from hutwright.model.quantities import (
    Amperes,
    Count,
    Farads,
    Fraction,
    Kelvins,
    KelvinsPerWatt,
    Name,
    Ohms,
    OneOf,
    Volts,
    VoltsPerAmpere,
    above_zero,
    not_below_zero,
)

BRIDGE = "bridge"
DRIVE = "drive"
FIXED_NODES = (BRIDGE, DRIVE)


class SensorPlace(Enum):
    """The lead that the current sensor sits in."""

    MOTOR_LEAD = "motor lead"
    SUPPLY_LEAD = "supply lead"


class PresentKind(Enum):
    """What tells that a machine or a person stands in the door."""

    PULSE_ECHO = "pulse echo"
    BEAM = "beam"


class DisplayBus(Enum):
    """How a status display hangs on the board."""

    TWO_WIRE = "two-wire"
    PARALLEL = "parallel"


@dataclass(frozen=True, kw_only=True, slots=True)
class Regulator:
    """A voltage regulator, and what stands before and behind it.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    fed_by : str or None
        The node it takes from; nothing where a cable leads to it.
    output : float
        Its output voltage. [V]
    dropout : float
        Least voltage between input and output with which it still regulates. [V]
    quiescent : float
        Current it takes for itself. [A]
    efficiency : float
        Share of the power that comes out; 1 for a linear regulator, whose loss follows from the voltages. [-]
    cooling : float
        Thermal resistance from its junction to the air. [K/W]
    junction_limit : float
        Its highest junction temperature. [K]
    highest_input : float
        Its highest input voltage. [V]
    current_limit : float
        Its highest output current. [A]
    input_capacitor : float
        At its input. [F]
    output_capacitor : float
        At its output. [F]
    diode : bool
        Whether a blocking diode stands before it.
    diode_drop : float
        Forward voltage of that diode. [V]
    reservoir : float
        Capacitor behind the diode, before the regulator. [F]
    """

    kind: Annotated[str, OneOf("regulators")]
    fed_by: Name | None
    output: Volts
    dropout: Volts
    quiescent: Amperes
    efficiency: Fraction
    cooling: KelvinsPerWatt
    junction_limit: Kelvins
    highest_input: Volts
    current_limit: Amperes
    input_capacitor: Farads
    output_capacitor: Farads
    diode: bool
    diode_drop: Volts
    reservoir: Farads

    def __post_init__(self) -> None:
        """Refuse a regulator without output or cooling."""
        above_zero(
            output=self.output,
            cooling=self.cooling,
            efficiency=self.efficiency,
            current_limit=self.current_limit,
        )
        above_zero(junction_limit=self.junction_limit, highest_input=self.highest_input)
        not_below_zero(dropout=self.dropout, quiescent=self.quiescent, diode_drop=self.diode_drop)
        not_below_zero(
            input_capacitor=self.input_capacitor,
            output_capacitor=self.output_capacitor,
            reservoir=self.reservoir,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Bridge:
    """The bridge that turns the motor both ways.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    paralleled : int
        Number of its channels that share the motor's current.
    cooling : float
        Thermal resistance from its junction to the air, heat sink included. [K/W]
    offset : float
        Part of its drop that does not depend on current. [V]
    resistance : float
        Part of its drop that grows with current, of one channel. [ohm]
    current_limit : float
        Highest current for ever, of all the paralleled channels together. [A]
    peak_limit : float
        Highest repeated peak, of all the paralleled channels together. [A]
    junction_limit : float
        Highest junction temperature. [K]
    lowest_supply : float
        Supply below which it does not switch. [V]
    quiescent : float
        Current it takes for itself. [A]
    """

    kind: Annotated[str, OneOf("bridges")]
    paralleled: Annotated[int, Count(1, 2)]
    cooling: KelvinsPerWatt
    offset: Volts
    resistance: Ohms
    current_limit: Amperes
    peak_limit: Amperes
    junction_limit: Kelvins
    lowest_supply: Volts
    quiescent: Amperes

    def __post_init__(self) -> None:
        """Refuse a bridge that gives voltage or carries nothing."""
        not_below_zero(
            offset=self.offset,
            resistance=self.resistance,
            quiescent=self.quiescent,
            lowest_supply=self.lowest_supply,
        )
        above_zero(
            cooling=self.cooling,
            current_limit=self.current_limit,
            peak_limit=self.peak_limit,
            junction_limit=self.junction_limit,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Logic:
    """What the controller board and all that hangs on it take.

    Attributes
    ----------
    fed_by : str
        The regulator it hangs on.
    load : float
        Current while awake. [A]
    asleep : float
        Current between two runs. [A]
    """

    fed_by: Name
    load: Amperes
    asleep: Amperes

    def __post_init__(self) -> None:
        """Refuse a board that feeds back."""
        above_zero(load=self.load)
        not_below_zero(asleep=self.asleep)


@dataclass(frozen=True, kw_only=True, slots=True)
class CurrentSensor:
    """What measures the motor's current.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    place : SensorPlace
        The lead that it sits in.
    range : float
        Highest current it shows, either way. [A]
    sensitivity : float
        Output per current. [V/A]
    noise : float
        Noise at its output, peak to peak. [V]
    """

    kind: Annotated[str, OneOf("sensors")]
    place: SensorPlace
    range: Amperes
    sensitivity: VoltsPerAmpere
    noise: Volts

    def __post_init__(self) -> None:
        """Refuse a sensor that shows nothing."""
        above_zero(range=self.range, sensitivity=self.sensitivity)
        not_below_zero(noise=self.noise)


@dataclass(frozen=True, kw_only=True, slots=True)
class PresentSensor:
    """What tells that somebody stands in the door.

    Attributes
    ----------
    kind : PresentKind
        How it works.
    current : float
        What it takes. [A]
    always_on : bool
        Whether it takes it between two runs too.
    """

    kind: PresentKind
    current: Amperes
    always_on: bool

    def __post_init__(self) -> None:
        """Refuse a sensor that gives current."""
        not_below_zero(current=self.current)


@dataclass(frozen=True, kw_only=True, slots=True)
class Board:
    """The controller board.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    brown_out : str
        The level it is set to reset below; a row of the catalogue.
    resets_below : float
        Where that level really lies. [V]
    reference : float
        Full scale of its converter. [V]
    """

    kind: Annotated[str, OneOf("boards")]
    brown_out: Annotated[str, OneOf("brown_outs")]
    resets_below: Volts
    reference: Volts

    def __post_init__(self) -> None:
        """Refuse a board without levels."""
        above_zero(resets_below=self.resets_below, reference=self.reference)


@dataclass(frozen=True, kw_only=True, slots=True)
class Display:
    """A status display.

    Attributes
    ----------
    bus : DisplayBus
        How it hangs on the board.
    """

    bus: DisplayBus


@dataclass(frozen=True, kw_only=True, slots=True)
class Electronics:
    """The electronics in the box.

    Attributes
    ----------
    warmest : float
        Air around them on the warmest day. [K]
    bridge : Bridge or None
        Turns the motor both ways.
    logic : Logic or None
        What the board takes.
    current_sensor : CurrentSensor or None
        Measures the motor's current.
    present_sensor : PresentSensor or None
        Tells that somebody stands in the door.
    board : Board or None
        The controller board.
    display : Display or None
        A status display.
    """

    warmest: Kelvins
    bridge: Bridge | None
    logic: Logic | None
    current_sensor: CurrentSensor | None
    present_sensor: PresentSensor | None
    board: Board | None
    display: Display | None

    def __post_init__(self) -> None:
        """Refuse air that no box on earth holds."""
        if not 183.15 <= self.warmest <= 398.15:
            raise ModelError(
                "warmest",
                units.show(self.warmest, units.TEMPERATURE),
                "-90..125 degC",
                "check the sign and unit",
            )
