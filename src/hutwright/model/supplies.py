"""Batteries, power supplies, and the fuses behind them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.quantities import (
    Amperes,
    Coulombs,
    Fraction,
    Ohms,
    OneOf,
    PerKelvin,
    Seconds,
    Volts,
    above_zero,
    not_below_zero,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Charger:
    """What fills the battery again.

    Attributes
    ----------
    current : float
        Current it gives. [A]
    time_a_day : float
        How long it gives it, on a day in midwinter. [s]
    """

    current: Amperes
    time_a_day: Seconds

    def __post_init__(self) -> None:
        """Refuse a charger that takes, and a day longer than a day."""
        above_zero(current=self.current)
        not_below_zero(time_a_day=self.time_a_day)
        if self.time_a_day > 86400.0:
            raise ModelError(
                "time_a_day", f"{self.time_a_day / 3600:g} h", "24 h or less", "give hours of one day"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Supply:
    """A battery or a power supply.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    voltage : float
        At its terminals without load, from empty to full. [V]
    resistance : float
        Its inner resistance. [ohm]
    capacity : float or None
        Charge of a battery. [C]
    usable : float
        Share of the charge that may be drawn. [-]
    cold_loss : float
        Share of its capacity that it loses per kelvin below 25 degC. [1/K]
    self_discharge_a_month : float
        Share of its charge that it loses by itself in 30 days. [-]
    rating : float or None
        Current a power supply gives for ever. [A]
    charger : Charger or None
        What fills the battery again.
    """

    kind: Annotated[str, OneOf("supplies")]
    voltage: Volts
    resistance: Ohms
    capacity: Coulombs | None
    usable: Fraction
    cold_loss: PerKelvin
    self_discharge_a_month: Fraction
    rating: Amperes | None
    charger: Charger | None

    def __post_init__(self) -> None:
        """Refuse a supply without voltage."""
        above_zero(voltage=self.voltage, usable=self.usable)
        not_below_zero(resistance=self.resistance, cold_loss=self.cold_loss)
        if self.capacity is not None:
            above_zero(capacity=self.capacity)
        if self.rating is not None:
            above_zero(rating=self.rating)


@dataclass(frozen=True, kw_only=True, slots=True)
class Fuse:
    """A fuse.

    Attributes
    ----------
    kind : str
        A row of the catalogue.
    rating : float
        Its rated current. [A]
    """

    kind: Annotated[str, OneOf("fuses")]
    rating: Amperes

    def __post_init__(self) -> None:
        """Refuse a fuse for no current."""
        above_zero(rating=self.rating)
