"""Which pin of the board does what."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.model.quantities import Line


@dataclass(frozen=True, kw_only=True, slots=True)
class BridgePins:
    """Pins that drive the bridge.

    Attributes
    ----------
    open : str
        Drives the leaf open.
    close : str
        Drives it shut.
    enable : str or None
        The second way to switch the bridge off.
    """

    open: Line
    close: Line
    enable: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class SensePins:
    """Pins that measure.

    Attributes
    ----------
    current : str or None
        The motor's current.
    supply : str or None
        The supply.
    temperature : str or None
        The temperature.
    """

    current: Line | None
    supply: Line | None
    temperature: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class PresentPins:
    """Pins of the present sensor.

    Attributes
    ----------
    trigger : str or None
        Sends the pulse.
    echo : str
        Hears it, or reads the beam.
    """

    trigger: Line | None
    echo: Line


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitPins:
    """Pins of the limit switches.

    Attributes
    ----------
    open : str or None
        Leaf fully open.
    shut : str or None
        Leaf shut.
    """

    open: Line | None
    shut: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class CommandPins:
    """Pins of the commands.

    Attributes
    ----------
    button : str or None
        A plain button.
    relay : str or None
        A relay contact.
    """

    button: Line | None
    relay: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class LinkPins:
    """Pins of the serial line.

    Attributes
    ----------
    receive : str or None
        Into the board.
    transmit : str or None
        Out of the board.
    """

    receive: Line | None
    transmit: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class DisplayPins:
    """Pins of a display on the two-wire bus.

    Attributes
    ----------
    data : str or None
        The data line.
    clock : str or None
        The clock line.
    """

    data: Line | None
    clock: Line | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Pins:
    """Which pin of the board does what; "free" leaves the choice to hutwright.

    Attributes
    ----------
    bridge : BridgePins or None
        Drive the bridge.
    sense : SensePins or None
        Measure.
    present : PresentPins or None
        Of the present sensor.
    limits : LimitPins or None
        Of the limit switches.
    commands : CommandPins or None
        Of the commands.
    link : LinkPins or None
        Of the serial line.
    display : DisplayPins or None
        Of a display on the two-wire bus.
    """

    bridge: BridgePins | None
    sense: SensePins | None
    present: PresentPins | None
    limits: LimitPins | None
    commands: CommandPins | None
    link: LinkPins | None
    display: DisplayPins | None
